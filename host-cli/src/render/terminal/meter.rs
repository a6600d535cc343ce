//! The meter plan for people: one page to stand with in the cold.

use super::{Ink, Style, Text};
use crate::diagnosis::Diagnosis;
use crate::engine::Site;
use crate::meter::told::{Group, Outcome, Result, Sheet, ohms, range};
use crate::phrase::counted;
use crate::render::told::measuring;
use crate::words::{CAUTIONS, WIDTH};
use std::fmt::Write;

/// Everything that `meter` tells.
#[derive(Debug)]
pub struct Told<'t> {
    /// The site.
    pub site: &'t Site,
    /// What `check` says of it.
    pub diagnosis: &'t Diagnosis,
    /// The plan.
    pub sheet: Sheet,
    /// What the readings say, if there are any.
    pub outcome: Option<Outcome>,
    /// The hash of the sheets.
    pub hash: String,
    /// The sheets, as they were named.
    pub sheets: Vec<String>,
    /// What is to be said of the readings.
    pub remarks: Vec<String>,
}

impl Told<'_> {
    /// How many dangers stand in the sheets.
    pub fn dangers(&self) -> usize {
        self.diagnosis.dangers().count()
    }
}

/// The plan, or the outcome of readings.
pub fn text(told: &Told<'_>, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    out.head(told);
    match &told.outcome {
        None => {
            out.before_ohms(&told.sheet);
            out.steps(&told.sheet);
            out.table(&told.sheet);
            out.ports(&told.sheet);
            out.blind(&told.sheet);
            out.how_to_go_on(told);
        }
        Some(outcome) => {
            out.outcome(outcome);
            if outcome.result != Result::Live {
                out.blind(&told.sheet);
            }
        }
    }
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}

impl Text {
    fn head(&mut self, told: &Told<'_>) {
        if let Some(says) = measuring::stop(told.diagnosis) {
            let head = self.bold("STOP:", Ink::Alarm);
            self.wrapped(&format!("{head} "), &says);
        }
        let head = self.bold("METER PLAN", Ink::Calm);
        let site = told.site;
        let name = site.declared.site_name().unwrap_or("this site");
        let assumed = if site.profile_assumed { " (assumed)" } else { "" };
        let sheet = &told.sheet;
        self.wrapped(
            &format!("{head} "),
            &format!(
                "{name}; profile {}{assumed}; {}, {}; sheets {}",
                site.profile.name,
                counted(sheet.units, "unit"),
                sheet.shape,
                told.hash
            ),
        );
        self.left_out(told.site);
        if let Some(doubt) = measuring::doubt(told.diagnosis) {
            self.item(&doubt);
        }
        for remark in sheet.remarks.iter().chain(&told.remarks) {
            self.item(remark);
        }
    }

    fn before_ohms(&mut self, sheet: &Sheet) {
        self.heading("Before any ohms");
        for act in measuring::before_ohms(sheet) {
            self.wrapped("  [ ] ", &act);
        }
    }

    fn steps(&mut self, sheet: &Sheet) {
        self.heading("Ohms between the two wires                    must read     usual    read");
        for step in &sheet.steps {
            if let Some(act) = &step.act {
                self.wrapped("  ", act);
            }
            let leads = cut(&step.leads, 36);
            let usual = ohms(step.band.typical);
            let (number, band) = (step.number, &step.band_text);
            let _ = writeln!(self.out, "  {number:>3}  {leads:<36} {band:>11} {usual:>9}    ____");
        }
        if let Some(fastest) = measuring::fastest(sheet) {
            self.wrapped("  Short of time: ", &fastest);
        }
        self.wrapped("  ", measuring::PLUG_IN_AGAIN);
    }

    fn table(&mut self, sheet: &Sheet) {
        const LABEL: usize = 25;
        let columns = sheet.steps.len().max(1);
        let width = ((WIDTH - LABEL - 2) / columns).min(9);
        let row = |label: &str, cells: &[String]| {
            let mut line = format!("  {:<LABEL$}", cut(label, LABEL));
            for cell in cells {
                let _ = write!(line, "{cell:>width$}");
            }
            line
        };
        let numbers: Vec<String> = sheet.steps.iter().map(|step| step.number.to_string()).collect();
        let heading = row(measuring::WOULD_SHOW, &numbers);
        self.heading(heading.trim_start());
        // The heading stands two columns to the left of its numbers.
        for entry in &sheet.table {
            let cells: Vec<String> =
                entry.shows.iter().map(|(low, high)| short(*low, *high, width - 1)).collect();
            let _ = writeln!(self.out, "{}", row(&entry.says, &cells));
        }
    }

    fn ports(&mut self, sheet: &Sheet) {
        self.heading(measuring::PORTS);
        let told: Vec<String> = sheet
            .ports
            .iter()
            .map(|port| {
                let names = measuring::points(&port.points);
                format!("{names}: {}, {}", port.band_text, ohms(port.band.typical))
            })
            .collect();
        self.wrapped("  ", &told.join("; "));
    }

    fn blind(&mut self, sheet: &Sheet) {
        self.heading(measuring::BLIND);
        for blind in &sheet.blind {
            self.wrapped("  - ", &format!("{}: {}", blind.what, blind.instead));
        }
    }

    fn how_to_go_on(&mut self, told: &Told<'_>) {
        self.blank();
        let reads: Vec<String> = told
            .sheet
            .steps
            .iter()
            .take(2)
            .map(|step| format!("--read \"{}\"", with_value(&step.place)))
            .collect();
        let sheets = told.sheets.join(" ");
        self.wrapped("Then: ", &format!("coldcheck meter {sheets} {} …", reads.join(" ")));
    }

    fn outcome(&mut self, outcome: &Outcome) {
        self.blank();
        let (word, ink) = match outcome.result {
            Result::Live => ("STOP:", Ink::Alarm),
            Result::NoOhms => ("NO OHMS:", Ink::Attention),
            Result::FitsDeclared => ("FITS:", Ink::Calm),
            Result::PointsToFault => ("FAULT:", Ink::Alarm),
            Result::NothingFits => ("NOTHING FITS:", Ink::Attention),
        };
        let head = self.bold(word, ink);
        self.wrapped(&format!("{head} "), &outcome.says);
        if let Some(volts) = &outcome.volts_first {
            self.heading("Volts first");
            self.wrapped("  ", &volts.says);
            for place in &volts.places {
                self.wrapped("  ", &format!("--read \"{place}\""));
            }
        }
        self.groups("Fits, and the readings do not tell these apart:", &outcome.front);
        if let Some(odd) = &outcome.odd {
            self.groups("Without that one, the others fit:", &odd.others_fit);
        } else if let Some(nearest) = &outcome.nearest {
            self.groups("Nearest, and still not near enough:", std::slice::from_ref(nearest));
        }
        if let Some(next) = &outcome.next {
            self.heading("Next");
            self.wrapped("  ", &next.says);
            for place in &next.places {
                self.wrapped("  ", &format!("--read \"{}\"", with_value(place)));
            }
        }
        self.groups("Fits too, more than 20 times less likely:", &outcome.behind);
        if !outcome.rows.is_empty() {
            self.heading("Readings                                       shown     must read");
        }
        for row in &outcome.rows {
            let mark = if row.within { "" } else { "  outside" };
            let place = cut(&row.place, 40);
            let _ = writeln!(self.out, "  {place:<40} {:>9} {:>13}{mark}", row.shown, row.expected);
        }
    }

    fn groups(&mut self, heading: &str, groups: &[Group]) {
        let heading = match groups {
            [] => return,
            [one] if one.count == 1 && heading.contains("apart") => "Fits:",
            _ => heading,
        };
        self.heading(heading);
        for group in groups {
            self.item(&group.says);
        }
    }
}

/// A place with the value in front of what is out: `unit 1=60.1@pull C1`.
fn with_value(place: &str) -> String {
    match place.split_once('@') {
        Some((place, state)) => format!("{place}=OHMS@{state}"),
        None => format!("{place}=OHMS"),
    }
}

/// A range that fits a column: with fewer digits, or only its ends in whole ohms.
fn short(low: f64, high: f64, width: usize) -> String {
    let full = range(low, high);
    let whole = |value: f64| if value < 999.5 { format!("{value:.0}") } else { ohms(value) };
    let rounded = match (whole(low), whole(high)) {
        (low, high) if low == high => low,
        (low, high) => format!("{low}-{high}"),
    };
    let fits = |text: &String| text.chars().count() <= width;
    [full, rounded].into_iter().find(fits).unwrap_or_else(|| format!("{}+", whole(low)))
}

/// A text that fits a column.
fn cut(text: &str, width: usize) -> String {
    let text = crate::visible::visible(text);
    if textwrap::core::display_width(&text) <= width {
        return text.into_owned();
    }
    let mut kept = String::new();
    for sign in text.chars() {
        if textwrap::core::display_width(&kept) + 2 > width {
            break;
        }
        kept.push(sign);
    }
    format!("{kept}…")
}
