//! A changeover as a picture: the wave around the longest change, the time without voltage, and the
//! one-cycle value.

use crate::changeover::{Channel, Event, Outcome};
use crate::draw::palette::{BATTERY, DANGER, FAINT, INK, LINK, PAPER, RULE};
use maud::{Markup, PreEscaped, html};
use std::fmt::Write;

/// Pixels.
const WIDTH: f64 = 720.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 16.0;
const HEAD: f64 = 78.0;
const PANEL: f64 = 220.0;
const BETWEEN: f64 = 44.0;
const FOOT: f64 = 40.0;
/// Columns of the wave: one for each pixel between the edges.
const COLUMNS: u32 = 640;
/// Cycles before the change and behind it.
const CYCLES: f64 = 3.5;
const FONTS: &str = "DejaVu Sans, Verdana, sans-serif";

/// The picture of a record, as a file of its own.
pub fn svg(name: &str, outcome: &Outcome) -> String {
    let channels: Vec<(usize, &Channel)> = outcome.channels.iter().enumerate().collect();
    let count = f64::from(u32::try_from(channels.len()).unwrap_or(1));
    let height = HEAD + count * (PANEL + BETWEEN) + FOOT - BETWEEN;
    let (from, to) = span(outcome);
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let title = format!("Changeover: {}", crate::visible::visible(file));
    let says: Vec<String> = channels.iter().map(|(_, channel)| heading(channel)).collect();
    let text = html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(WIDTH) height=(height)
            viewBox=(format!("0 0 {WIDTH} {height}")) role="img"
            aria-labelledby="plot-title plot-desc" font-family=(FONTS) font-size="13" {
            title id="plot-title" { (title) }
            desc id="plot-desc" { (says.join(". ")) }
            rect width=(WIDTH) height=(height) fill=(PAPER) {}
            text x=(LEFT) y="22" font-size="16" font-weight="bold" fill=(INK) { (title) }
            (legend())
            @for (place, (at, channel)) in channels.iter().enumerate() {
                @let top = HEAD + f64::from(u32::try_from(place).unwrap_or(0)) * (PANEL + BETWEEN);
                (panel(outcome, *at, channel, top, (from, to)))
            }
            (axis(height - FOOT, (from, to)))
        }
    };
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n", text.into_string())
}

fn legend() -> Markup {
    let entries = [(LINK, "voltage", ""), (BATTERY, "one-cycle value, and its negative", "6 3")];
    html! {
        @for (place, (colour, says, dash)) in entries.into_iter().enumerate() {
            @let x = LEFT + f64::from(u32::try_from(place).unwrap_or(0)) * 110.0;
            line x1=(x) y1="38" x2=(x + 24.0) y2="38" stroke=(colour) stroke-width="2"
                stroke-dasharray=(dash) {}
            text x=(x + 30.0) y="42" fill=(FAINT) { (says) }
        }
        rect x=(LEFT + 400.0) y="31" width="24" height="14" fill=(DANGER) fill-opacity="0.18" {}
        text x=(LEFT + 430.0) y="42" fill=(FAINT) { "without either source" }
    }
}

fn heading(channel: &Channel) -> String {
    let event = channel.longest();
    let gap = event.map_or_else(
        || "no change of source".to_owned(),
        |event| match event.gap() {
            Some(gap) => format!("{:.2} ms without either source", gap * 1000.0),
            None => "the voltage does not come back".to_owned(),
        },
    );
    let jump = event.and_then(Event::phase_jump).map_or_else(String::new, |jump| {
        // Zero has no sign.
        format!(", phase jump {:.0} degrees", jump.round() + 0.0)
    });
    format!("{}: {gap}{jump}", crate::visible::visible(&channel.name))
}

/// From when to when is shown.
fn span(outcome: &Outcome) -> (f64, f64) {
    let ends = outcome.picture.first().zip(outcome.picture.last());
    let (first, last) = ends.map_or((0.0, 1.0), |(first, last)| (first.time, last.time));
    let worst = outcome.worst();
    let period = worst.map_or(0.02, |channel| channel.first.period());
    let Some(event) = worst.and_then(Channel::longest) else {
        return (last - 2.0 * CYCLES * period, last);
    };
    let end = event.end.unwrap_or(last);
    let (from, to) = (event.start - CYCLES * period, end + CYCLES * period);
    (from.max(first), to.min(last).max(from + period))
}

/// A place between two edges, in pixels.
fn along(time: f64, (from, to): (f64, f64)) -> f64 {
    LEFT + (time - from) / (to - from) * (WIDTH - LEFT - RIGHT)
}

fn panel(outcome: &Outcome, at: usize, channel: &Channel, top: f64, span: (f64, f64)) -> Markup {
    let peak = outcome
        .picture
        .iter()
        .filter(|moment| moment.time >= span.0 && moment.time <= span.1)
        .map(|moment| moment.sample(at).volts.abs())
        .fold(channel.first.peak(), f64::max);
    let most = peak * 1.08;
    let y = |volts: f64| top + PANEL / 2.0 - volts / most * (PANEL / 2.0);
    let rms = one_cycle(outcome, at, channel, span);
    let rms_lines: Vec<String> = [1.0, -1.0]
        .iter()
        .map(|sign| list(rms.iter().map(|(time, volts)| (along(*time, span), y(sign * volts)))))
        .collect();
    let marks = [channel.reference, 0.0, -channel.reference];
    html! {
        text x=(LEFT) y=(top - 8.0) font-weight="bold" fill=(INK) { (heading(channel)) }
        @for event in &channel.events {
            @let from = along(event.start.clamp(span.0, span.1), span);
            @let to = along(event.end.unwrap_or(span.1).clamp(span.0, span.1), span);
            @if to > from {
                rect x=(number(from)) y=(top) width=(number(to - from)) height=(PANEL) fill=(DANGER)
                    fill-opacity="0.18" {}
            }
        }
        rect x=(LEFT) y=(top) width=(WIDTH - LEFT - RIGHT) height=(PANEL) fill="none" stroke=(RULE) {}
        @for volts in marks {
            line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(number(y(volts))) y2=(number(y(volts)))
                stroke=(RULE) stroke-width="0.5" stroke-dasharray="2 4" {}
            text x=(LEFT - 6.0) y=(number(y(volts) + 4.0)) text-anchor="end" fill=(FAINT) {
                (format!("{volts:.0} V"))
            }
        }
        polyline points=(wave(outcome, at, span, y)) fill="none" stroke=(LINK) stroke-width="1.4"
            stroke-linejoin="round" {}
        @for line in rms_lines {
            polyline points=(line) fill="none" stroke=(BATTERY) stroke-width="1.6"
                stroke-dasharray="6 3" {}
        }
        (PreEscaped("\n"))
    }
}

/// The wave: the least and the most of each column of pixels, so that no peak is lost.
fn wave(outcome: &Outcome, at: usize, span: (f64, f64), y: impl Fn(f64) -> f64) -> String {
    let width = (span.1 - span.0) / f64::from(COLUMNS);
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut column: Option<(f64, Vec<f64>)> = None;
    let mut close = |column: &mut Option<(f64, Vec<f64>)>| {
        let Some((time, volts)) = column.take() else { return };
        let least = volts.iter().copied().fold(f64::INFINITY, f64::min);
        let most = volts.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let x = along(time, span);
        // In the order in which the wave runs.
        let falls = volts.first() > volts.last();
        let ends = if falls { [most, least] } else { [least, most] };
        points.extend(ends.map(|volts| (x, y(volts))));
    };
    let shown = outcome.picture.iter().filter(|one| one.time >= span.0 && one.time <= span.1);
    for moment in shown {
        let is_next = column.as_ref().is_some_and(|(from, _)| moment.time - from >= width);
        if is_next {
            close(&mut column);
        }
        let (_, volts) = column.get_or_insert_with(|| (moment.time, Vec::new()));
        volts.push(moment.sample(at).volts);
    }
    close(&mut column);
    list(points.into_iter())
}

/// The one-cycle value, twelve times a cycle.
fn one_cycle(outcome: &Outcome, at: usize, channel: &Channel, span: (f64, f64)) -> Vec<(f64, f64)> {
    let period = channel.first.period();
    let mut energy = 0.0;
    let mut before: Option<(f64, f64)> = None;
    let sums: Vec<(f64, f64)> = outcome
        .picture
        .iter()
        .map(|moment| {
            let volts = moment.sample(at).volts;
            if let Some((time, volts)) = before {
                energy += volts * volts * (moment.time - time);
            }
            before = Some((moment.time, volts));
            (moment.time, energy)
        })
        .collect();
    let mut first = 0;
    let mut values = Vec::new();
    let mut next = span.0;
    for (time, energy) in &sums {
        while sums.get(first + 1).is_some_and(|(start, _)| *start <= time - period) {
            first += 1;
        }
        let Some((start, at_start)) = sums.get(first).filter(|(start, _)| *start <= time - period)
        else {
            continue;
        };
        if *time >= next && *time <= span.1 {
            values.push((*time, ((energy - at_start) / (time - start)).max(0.0).sqrt()));
            next = time + period / 12.0;
        }
    }
    values
}

fn axis(top: f64, span: (f64, f64)) -> Markup {
    let milliseconds = (span.1 - span.0) * 1000.0;
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 5000.0];
    let step = steps.into_iter().find(|step| milliseconds / step <= 12.0).unwrap_or(10_000.0);
    let mut marks = Vec::new();
    let mut at = 0.0;
    while at <= milliseconds {
        marks.push(at);
        at += step;
    }
    html! {
        @for mark in marks {
            @let x = along(span.0 + mark / 1000.0, span);
            line x1=(number(x)) x2=(number(x)) y1=(top) y2=(top + 5.0) stroke=(RULE) {}
            text x=(number(x)) y=(top + 18.0) text-anchor="middle" fill=(FAINT) {
                (format!("{mark:.0}"))
            }
        }
        text x=(WIDTH - RIGHT) y=(top + 34.0) text-anchor="end" fill=(FAINT) {
            (format!("ms from {:.4} s of the record", span.0))
        }
    }
}

fn number(value: f64) -> String {
    format!("{value:.1}")
}

fn list(points: impl Iterator<Item = (f64, f64)>) -> String {
    let mut text = String::new();
    for (x, y) in points {
        let _ = write!(text, "{x:.1},{y:.1} ");
    }
    text.trim_end().to_owned()
}
