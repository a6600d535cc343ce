//! What was heard, as a table, and what the log was like.

use super::Text;
use crate::diagnosis::{HeardLog, HeardRow, Who};
use crate::log::{Form, Summary, Times};
use crate::phrase::counted;
use crate::visible::{visible, width};
use crate::words::{self, WIDTH};
use coldcheck_core::heard::BusState;
use coldcheck_core::plan::{Dialect, Milliseconds};

/// A longer name is cut.
const LONGEST_NAME: usize = 16;

impl Text {
    /// What was heard.
    pub(super) fn heard(&mut self, heard: &HeardLog) {
        let (units, of) = heard.units_heard();
        let dialect = match heard.dialect {
            Some(Dialect::CanOpen) => "in CANopen",
            Some(Dialect::J1939) => "in J1939",
            Some(Dialect::FrameMap) => "by the profile's frame map",
            None => "in no dialect",
        };
        let seconds = heard.log.seconds().map(|seconds| format!(" in {seconds:.1} s"));
        let frames = counted(usize::try_from(heard.frames).unwrap_or(usize::MAX), "frame");
        let seconds = seconds.unwrap_or_default();
        self.heading(&format!("Heard {dialect}: {frames}{seconds}; {units} of {of} units"));
        if heard.dialect.is_none() {
            self.item(
                "nobody says how the units make themselves known, so nothing that was heard was \
                 understood (write: dialect = canopen, j1939 or frame map; or --dialect)",
            );
        }
        for line in table(&heard.rows, heard.has_times()) {
            self.out.push_str("  ");
            self.out.push_str(line.trim_end());
            self.out.push('\n');
        }
        if let Some(controller) = &heard.controller {
            let state = match controller.worst() {
                BusState::Active if controller.is_troubled() => "kept on, with errors",
                BusState::Active => "took full part",
                BusState::Warning => "counted many errors",
                BusState::Passive => "became passive",
                BusState::Off => "left the bus",
            };
            let trouble = controller
                .is_troubled()
                .then(|| format!(": {}", words::trouble_words(controller.trouble(heard.frames))));
            let trouble = trouble.unwrap_or_default();
            self.item(&format!("the recorder's controller {state}{trouble}"));
        }
        if heard.unheeded > 0 {
            let signs = counted(heard.unheeded.into(), "sign");
            self.item(&format!("{signs} of life of further strangers found no room"));
        }
        // Counters of a unit end at some time; then it is not known how many others there were.
        let counted_signs: u64 = heard.rows.iter().map(|row| u64::from(row.frames)).sum();
        let others = heard.log.frames.saturating_sub(counted_signs);
        let is_whole = heard.rows.iter().all(|row| row.frames < u16::MAX);
        if others > 0 && is_whole && heard.unheeded == 0 && heard.dialect.is_some() {
            let frames = counted(usize::try_from(others).unwrap_or(usize::MAX), "frame");
            self.item(&format!(
                "{frames} of other kinds: no sign of life {dialect} (another identifier, 29 bits in \
                 place of 11, a remote request)"
            ));
        }
        for remark in remarks(&heard.log) {
            self.item(&remark);
        }
    }
}

/// What a person must know of the log.
fn remarks(log: &Summary) -> Vec<String> {
    let mut remarks = Vec::new();
    let mut remark = |count: u64, word: &str, says: &str| {
        if count > 0 {
            let counted = counted(usize::try_from(count).unwrap_or(usize::MAX), word);
            remarks.push(format!("{counted} {says}"));
        }
    };
    remark(log.sent, "frame", "sent by the recorder itself, not counted as heard");
    remark(log.others, "frame", "of CAN FD or of a later kind, passed over");
    remark(log.jumps_back, "jump", "back in the times; time goes on from where it was");
    match log.times() {
        Times::Told => {}
        Times::Lacking if log.frames == 0 => {}
        Times::Lacking => remarks.push(
            "the log does not tell the time of each frame, so rhythms are not known".to_owned(),
        ),
        Times::Unsteady => remarks.push(
            "the times run backwards again and again, as differences do, so rhythms are not known"
                .to_owned(),
        ),
    }
    if log.unfit > 0 {
        let form = log.form.map_or("any form", Form::word);
        let lines = counted(usize::try_from(log.unfit).unwrap_or(usize::MAX), "line");
        let shown: Vec<_> = log
            .shown
            .iter()
            .map(|unfit| format!("line {}: \u{201c}{}\u{201d}", unfit.line, unfit.text))
            .collect();
        let fit = if log.unfit == 1 { "does" } else { "do" };
        remarks.push(format!("{lines} {fit} not fit {form}: {}", shown.join("; ")));
    }
    remarks
}

/// The columns: heading, whether numbers stand in it, and what stands there. A column in which
/// nothing would stand is left out.
type Column = (&'static str, bool, fn(&HeardRow) -> String);

const COLUMNS: &[Column] = &[
    ("addr", true, |row| row.address.map(|address| address.to_string()).unwrap_or_default()),
    ("who", false, |row| match &row.who {
        Who::Declared(place) => shortened(&visible(&place.phrase())),
        Who::Stranger => "(stranger)".to_owned(),
    }),
    ("frames", true, |row| match row.frames {
        0 => "none".to_owned(),
        u16::MAX => "65535+".to_owned(),
        frames => frames.to_string(),
    }),
    ("every", true, |row| row.period.map(seconds).unwrap_or_default()),
    ("first", true, |row| row.heard_at.map(|(first, _)| seconds(first)).unwrap_or_default()),
    ("last", true, |row| row.heard_at.map(|(_, last)| seconds(last)).unwrap_or_default()),
    ("role", false, |row| row.role.map(|role| role.word().to_owned()).unwrap_or_default()),
    ("count", true, |row| row.count.map(|count| count.to_string()).unwrap_or_default()),
    ("firmware", true, |row| row.firmware.map(words::version).unwrap_or_default()),
    ("serial", true, |row| row.serial.map(|serial| serial.to_string()).unwrap_or_default()),
    ("starts", true, |row| match row.starts {
        0 => String::new(),
        starts => starts.to_string(),
    }),
];

/// Columns that go first when the table is too wide.
const LEAST: [&str; 3] = ["starts", "first", "last"];

/// A column with what stands in it.
struct Filled {
    heading: &'static str,
    is_number: bool,
    cells: Vec<String>,
}

impl Filled {
    fn width(&self) -> usize {
        self.cells.iter().map(|cell| width(cell)).max().unwrap_or(0).max(self.heading.len())
    }

    fn padded(&self, text: &str) -> String {
        let space = " ".repeat(self.width().saturating_sub(width(text)));
        if self.is_number { format!("{space}{text}") } else { format!("{text}{space}") }
    }
}

fn table(rows: &[HeardRow], has_times: bool) -> Vec<String> {
    if rows.is_empty() {
        return Vec::new();
    }
    let filled = |(heading, is_number, cell): &Column| {
        let cells = rows.iter().map(cell).collect();
        Filled { heading, is_number: *is_number, cells }
    };
    let mut columns: Vec<Filled> = COLUMNS.iter().map(filled).collect();
    columns.retain(|column| column.cells.iter().any(|cell| !cell.is_empty()));
    columns.retain(|column| has_times || !["first", "last", "every"].contains(&column.heading));
    for heading in LEAST {
        // Two columns in front, and two between any two.
        let whole: usize = columns.iter().map(|column| column.width() + 2).sum();
        if whole > WIDTH {
            columns.retain(|column| column.heading != heading);
        }
    }
    let line = |cells: Vec<String>| cells.join("  ");
    let head = columns.iter().map(|column| column.padded(column.heading));
    let body = (0..rows.len()).map(|place| {
        let cell =
            |column: &Filled| column.padded(column.cells.get(place).map_or("", String::as_str));
        line(columns.iter().map(cell).collect())
    });
    [line(head.collect())].into_iter().chain(body).collect()
}

fn seconds(time: Milliseconds) -> String {
    if time.0 < 1000 {
        return format!("{} ms", time.0);
    }
    format!("{}.{} s", time.0 / 1000, time.0 % 1000 / 100)
}

fn shortened(name: &str) -> String {
    if width(name) <= LONGEST_NAME {
        return name.to_owned();
    }
    let mut short = String::new();
    for sign in name.chars() {
        let longer = format!("{short}{sign}");
        if width(&longer) >= LONGEST_NAME {
            break;
        }
        short = longer;
    }
    format!("{short}…")
}
