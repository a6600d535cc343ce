//! What a changeover record shows, for people and for programs.

use crate::changeover::{Channel, Event, FEWEST_SAMPLES, Outcome, Verdict};
use crate::phrase::all_of;
use crate::words::{CAUTIONS, WIDTH};
use serde_json::{Value, json};

/// The schema of the report for programs.
pub const SCHEMA: &str = "coldcheck.changeover.v1";

/// The report for people.
pub fn text(name: &str, outcome: &Outcome) -> String {
    let mut out = Lines::default();
    out.wrapped("", &headline(outcome));
    let rate = if outcome.seconds > 0.0 {
        #[allow(clippy::cast_precision_loss, reason = "far fewer samples than a float counts")]
        let rate = outcome.moments.saturating_sub(1) as f64 / outcome.seconds;
        format!(", {} a second", number(rate.round(), 0))
    } else {
        String::new()
    };
    let names: Vec<&str> = outcome.channels.iter().map(|channel| channel.name.as_str()).collect();
    out.wrapped(
        "",
        &format!(
            "{name}: {} samples{rate}, {} s; {}",
            outcome.moments,
            number(outcome.seconds, 3),
            all_of(&names)
        ),
    );
    for channel in &outcome.channels {
        out.blank();
        of_channel(&mut out, channel, outcome.longest_step);
    }
    let said = outcome.shortcomings();
    if !said.is_empty() {
        out.blank();
        out.line("About this record:");
        for one in said {
            out.wrapped("  - ", &one);
        }
    }
    out.blank();
    out.wrapped("", CAUTIONS);
    out.0
}

#[derive(Default)]
struct Lines(String);

impl Lines {
    fn line(&mut self, text: &str) {
        self.0.push_str(text);
        self.0.push('\n');
    }

    fn blank(&mut self) {
        self.0.push('\n');
    }

    fn wrapped(&mut self, head: &str, text: &str) {
        let indent = " ".repeat(head.chars().count());
        let options = textwrap::Options::new(WIDTH).initial_indent(head).subsequent_indent(&indent);
        for line in textwrap::wrap(text, options) {
            self.line(line.trim_end());
        }
    }
}

fn headline(outcome: &Outcome) -> String {
    let found = found(outcome);
    let mut held = Vec::new();
    if let Some(limit) = outcome.request.limit {
        held.push(format!("at most {} ms", number(limit, 3)));
    }
    if outcome.request.against_curve {
        held.push("the curve for information equipment".to_owned());
    }
    match outcome.verdict() {
        Verdict::Met => format!("MET: {found}; asked: {}.", all_of(&held)),
        Verdict::Broken => format!("BROKEN: {found}; asked: {}.", all_of(&held)),
        Verdict::NotChecked if held.is_empty() => {
            format!("NOT CHECKED: {found}. No limit was given (--limit, --curve).")
        }
        Verdict::NotChecked => format!(
            "NOT CHECKED: {found}. Whether what was asked is kept ({}) cannot be told from this \
             record.",
            all_of(&held)
        ),
    }
}

/// What happened, in a few words.
fn found(outcome: &Outcome) -> String {
    /// Less than this part of the voltage is none.
    const NONE_LEFT: f64 = 0.1;
    let worst = outcome.worst().and_then(|channel| Some((channel, channel.longest()?)));
    let lowest = outcome.residual_percent().filter(|percent| *percent < 90.0);
    match (worst, outcome.gap_ms(), lowest) {
        (_, None, _) => "no clean wave comes back in this record".to_owned(),
        (Some((channel, event)), Some(gap), _) if gap > 0.0 => {
            let gap = number(gap, 1);
            if event.volts_between < NONE_LEFT * channel.reference {
                format!("{gap} ms without voltage")
            } else {
                format!("{gap} ms off, with {} V left", number(event.volts_between, 0))
            }
        }
        (_, _, Some(lowest)) => {
            let lowest = number(lowest, 0);
            let lasts = outcome.dip_ms().map_or("to the end of the record".to_owned(), |lasts| {
                format!("for {} ms", number(lasts, 0))
            });
            format!("the voltage never went away, but fell to {lowest} % {lasts}")
        }
        _ => "no time without voltage".to_owned(),
    }
}

fn of_channel(out: &mut Lines, channel: &Channel, step: f64) {
    out.line(&format!("{}:", channel.name));
    let first = &channel.first;
    out.wrapped(
        "  before  ",
        &format!(
            "{} V, {} Hz, offset {} V; held against {} V",
            number(first.rms(), 1),
            number(first.frequency(), 2),
            number(first.offset, 1),
            number(channel.reference, 1)
        ),
    );
    for event in &channel.events {
        of_event(out, event, step);
    }
    if channel.events.is_empty() {
        out.wrapped("  wave    ", "one clean wave throughout");
    }
    let lowest = channel.lowest.map_or_else(
        || "the record is too short for one".to_owned(),
        |lowest| {
            format!(
                "lowest {} V, {} %",
                number(lowest, 1),
                number(lowest / channel.reference * 100.0, 1)
            )
        },
    );
    out.wrapped("  cycles  ", &format!("one-cycle values: {lowest}"));
    for dip in &channel.dips {
        let lasts = dip.end.map_or("to the end of the record".to_owned(), |end| {
            format!("for {} ms", number((end - dip.start) * 1000.0, 1))
        });
        out.wrapped("          ", &format!("below 90 % from {} s {lasts}", number(dip.start, 4)));
    }
    if channel.dips.iter().any(|dip| dip.end.is_some()) {
        let half = channel.first.period() * 500.0;
        out.wrapped(
            "          ",
            &format!(
                "A one-cycle value stays low while any of the gap is in its cycle, and comes every \
                 {} ms: this is not the time without voltage.",
                number(half, 1)
            ),
        );
    }
}

fn of_event(out: &mut Lines, event: &Event, step: f64) {
    let Some((end, gap)) = event.end.zip(event.gap()) else {
        let from = number(event.start, 4);
        out.wrapped("  wave    ", &format!("no clean wave from {from} s to the end of the record"));
        return;
    };
    let jump = event.phase_jump().map_or(String::new(), |jump| {
        let degrees = number(jump.abs(), 1);
        match degrees.as_str() {
            "0" => "; the phase goes on in step".to_owned(),
            _ => format!("; the phase goes on {degrees} degrees {}", ahead(jump)),
        }
    });
    let after = event.after.map_or(String::new(), |after| {
        format!("; then {} V, {} Hz", number(after.rms(), 1), number(after.frequency(), 2))
    });
    // Near a crossing a voltage of 0 is no different from the sine.
    let most = event.longest_gap(step).filter(|most| *most > gap);
    let most = most.map_or(String::new(), |most| {
        format!(" (or up to {} ms: it begins or ends near 0 V)", number(most * 1000.0, 1))
    });
    if gap > 0.0 {
        let between = number(event.volts_between, 1);
        out.wrapped(
            "  wave    ",
            &format!(
                "no clean wave for {} ms{most}, from {} s to {} s, {between} V between{jump}{after}",
                number(gap * 1000.0, 1),
                number(event.start, 4),
                number(end, 4)
            ),
        );
    } else {
        let at = number(event.start, 4);
        out.wrapped("  wave    ", &format!("changed over without a gap at {at} s{jump}{after}"));
    }
}

const fn ahead(jump: f64) -> &'static str {
    if jump < 0.0 { "late" } else { "ahead" }
}

/// A number with so many places at the most.
fn number(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if text == "-0" { "0".to_owned() } else { text }
}

fn rounded(value: f64) -> Value {
    // A millionth of any of these units decides nothing.
    json!((value * 1e6).round() / 1e6)
}

fn maybe(value: Option<f64>) -> Value {
    value.map_or(Value::Null, rounded)
}

/// The report for programs.
pub fn json(name: &str, outcome: &Outcome) -> Value {
    let worst = outcome.worst().and_then(Channel::longest);
    let jump = worst.map_or(Some(0.0), Event::phase_jump);
    json!({
        "schema": SCHEMA,
        "record": name,
        "verdict": outcome.verdict().word(),
        "gap_ms": maybe(outcome.gap_ms()),
        "rms_dip_ms": maybe(outcome.dip_ms()),
        "residual_percent": maybe(outcome.residual_percent()),
        "phase_jump_degrees": maybe(jump),
        "within_information_equipment_curve": outcome.within_curve(),
        "limit_ms": maybe(outcome.request.limit),
        "samples": outcome.moments,
        "seconds": rounded(outcome.seconds),
        "samples_of_cycle": maybe(Some(outcome.samples_of_cycle()).filter(|it| it.is_finite())),
        "fewest_samples_of_cycle": FEWEST_SAMPLES,
        "does_not_tell": outcome.shortcomings(),
        "channels": outcome.channels.iter().map(channel).collect::<Vec<_>>(),
    })
}

fn channel(channel: &Channel) -> Value {
    json!({
        "name": channel.name,
        "reference_volts": rounded(channel.reference),
        "volts": rounded(channel.first.rms()),
        "hertz": rounded(channel.first.frequency()),
        "offset_volts": rounded(channel.first.offset),
        "lowest_one_cycle_volts": maybe(channel.lowest),
        "events": channel.events.iter().map(event).collect::<Vec<_>>(),
        "dips": channel.dips.iter().map(|dip| json!({
            "start_s": rounded(dip.start),
            "end_s": maybe(dip.end),
            "lowest_volts": rounded(dip.lowest),
        })).collect::<Vec<_>>(),
    })
}

fn event(event: &Event) -> Value {
    json!({
        "start_s": rounded(event.start),
        "end_s": maybe(event.end),
        "gap_ms": maybe(event.gap().map(|gap| gap * 1000.0)),
        "volts_between": rounded(event.volts_between),
        "phase_jump_degrees": maybe(event.phase_jump()),
        "volts_after": maybe(event.after.map(|after| after.rms())),
        "hertz_after": maybe(event.after.map(|after| after.frequency())),
    })
}
