//! What a changeover record shows, for people and for programs.

use crate::changeover::{Channel, Event, FEWEST_SAMPLES, Outcome, Verdict, off_by};
use crate::phrase::{all_of, counted};
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
        of_channel(&mut out, channel);
    }
    let said = shortcomings(outcome);
    if !said.is_empty() {
        out.blank();
        out.line("What this record does not tell:");
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
    let gap = match outcome.gap_ms() {
        None => "the voltage does not come back in this record".to_owned(),
        Some(gap) if gap > 0.0 => format!("{} ms without voltage", number(gap, 1)),
        Some(_) => "no time without voltage".to_owned(),
    };
    let mut held = Vec::new();
    if let Some(limit) = outcome.request.limit {
        held.push(format!("at most {} ms", number(limit, 3)));
    }
    if outcome.request.against_curve {
        held.push("the curve for information equipment".to_owned());
    }
    match outcome.verdict() {
        Verdict::Met => format!("MET: {gap}; asked: {}.", all_of(&held)),
        Verdict::Broken => format!("BROKEN: {gap}; asked: {}.", all_of(&held)),
        Verdict::NotChecked if held.is_empty() => {
            format!("NOT CHECKED: {gap}. No limit was given (--limit, --curve).")
        }
        Verdict::NotChecked => {
            format!("NOT CHECKED: {gap}; this record does not tell about {}.", all_of(&held))
        }
    }
}

fn of_channel(out: &mut Lines, channel: &Channel) {
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
        of_event(out, event);
    }
    if channel.events.is_empty() {
        out.wrapped("  wave    ", "never off its sine");
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

fn of_event(out: &mut Lines, event: &Event) {
    let Some((end, gap)) = event.end.zip(event.gap()) else {
        let from = number(event.start, 4);
        out.wrapped("  wave    ", &format!("off its sine from {from} s to the end of the record"));
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
    let hidden = libm::asin((off_by(&event.before) / event.before.peak()).min(1.0))
        / (core::f64::consts::TAU * event.before.frequency());
    let edge = format!("an edge may lie {} ms further out", number(hidden * 1000.0, 2));
    if gap > 0.0 {
        let between = number(event.volts_between, 1);
        out.wrapped(
            "  wave    ",
            &format!(
                "{} ms off both sines, from {} s to {} s ({edge}), {between} V between{jump}{after}",
                number(gap * 1000.0, 1),
                number(event.start, 4),
                number(end, 4)
            ),
        );
    } else {
        let at = number(event.start, 4);
        out.wrapped("  wave    ", &format!("one sine follows the other at {at} s{jump}{after}"));
    }
}

const fn ahead(jump: f64) -> &'static str {
    if jump < 0.0 { "late" } else { "ahead" }
}

fn shortcomings(outcome: &Outcome) -> Vec<String> {
    let mut all = outcome.shortcomings();
    if outcome.channels.iter().any(|channel| channel.events.len() > 1) {
        let count: usize = outcome.channels.iter().map(|channel| channel.events.len()).sum();
        all.push(format!("which of {} is the one that is meant", counted(count, "change")));
    }
    if outcome.within_curve().is_none() && outcome.request.against_curve {
        all.push("whether information equipment rides through: the curve is for 120 V".to_owned());
    }
    all
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
        "does_not_tell": shortcomings(outcome),
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
