//! The sheet of a power-up: one page to sign, with every hold and what was read, and the way down in
//! large type.

use super::one_line;
use crate::changed::title;
use crate::diagnosis::Diagnosis;
use crate::phrase::all_of;
use crate::powerup::told::{Told, shown};
use crate::powerup::{Hold, Outline, OutlineUnit, State, Step};
use crate::readings::{Amount, Reading};
use crate::render::told;
use crate::visible::in_markup;
use crate::words::CAUTIONS;
use maud::{Markup, html};

/// The sheet.
pub(super) fn sheet(told: &Told<'_>, outline: &Outline, day: &str) -> Markup {
    html! {
        section.sheet {
            (head(told, day))
            (one_line::drawing(outline))
            (units(outline))
            (of_units(told, outline))
            (of_group(told, outline))
            (instrument_line(told))
            (waivers(told.diagnosis))
            (way_down(told))
            (sign())
            p.small { (CAUTIONS) }
        }
    }
}

fn head(told: &Told<'_>, day: &str) -> Markup {
    let (word, says) = told::verdict(told.diagnosis);
    let open = told::open_dangers(told.diagnosis);
    let dangers: Vec<&str> = told.diagnosis.dangers().map(|one| one.says.as_str()).collect();
    let steps = told.steps.len();
    let failed = told.failed();
    let stand = if failed > 0 {
        format!("{} of {steps} steps passed, {failed} not as expected", told.passed())
    } else {
        format!("{} of {steps} steps passed", told.passed())
    };
    html! {
        h1 { "Power-up: " bdi { (in_markup(told::site_name(told.site))) } }
        @if !told.progress.is_done() { p.across { "NOT COMMISSIONED" } }
        p.stand {
            strong { (word) ": " } (in_markup(&says)) " " strong { (stand) "." }
            " " (day) "; sheets " (told.hash)
        }
        @if !dangers.is_empty() {
            p.stop { strong { "STOP: " } (in_markup(&dangers.join("; "))) }
        }
        @for remark in &told.remarks { p.small { strong { (in_markup(remark)) } } }
        @if !open.is_empty() {
            p.small { strong { "Dangers left open (the report says of each why): " (open.join(", ")) } }
        }
    }
}

/// A table that may be wider than a phone, and then is moved by finger or by key.
fn scrolled(what: &str, table: &Markup) -> Markup {
    html! { div.scroll tabindex="0" role="region" aria-label=(what) { (table) } }
}

fn units(outline: &Outline) -> Markup {
    let table = html! {
        table {
            thead { tr {
                @for head in ["Unit", "Serial", "Firmware", "Mode", "Leg", "Address", "Terminator"] {
                    th scope="col" { (head) }
                }
            } }
            tbody {
                @for unit in &outline.units {
                    tr {
                        th scope="row" { (in_markup(&unit.name)) }
                        @for (at, fact) in unit.facts.iter().enumerate() {
                            // A leg follows from the conductors where no phase is set.
                            @let legs = unit.legs.join(" ");
                            td { (in_markup(if at == 3 && fact.is_empty() { &legs } else { fact })) }
                        }
                    }
                }
            }
        }
    };
    scrolled("Units", &table)
}

/// Steps of one kind at the units: a row.
struct Row<'t> {
    kind: &'t str,
    /// By unit, then by leg.
    cells: Vec<Vec<usize>>,
}

fn is_of_any(step: &Step, outline: &Outline) -> bool {
    outline.units.iter().any(|unit| step.is_of(&unit.name))
}

fn rows<'t>(told: &'t Told<'_>, outline: &Outline) -> Vec<Row<'t>> {
    let mut rows: Vec<Row<'t>> = Vec::new();
    for (at, step) in told.steps.iter().enumerate() {
        let of_unit = |unit: &OutlineUnit| step.is_of(&unit.name);
        let Some(column) = outline.units.iter().position(of_unit) else { continue };
        let place = rows.iter().position(|row| row.kind == step.kind).unwrap_or_else(|| {
            rows.push(Row { kind: &step.kind, cells: vec![Vec::new(); outline.units.len()] });
            rows.len() - 1
        });
        rows[place].cells[column].push(at);
    }
    rows
}

fn of_units(told: &Told<'_>, outline: &Outline) -> Markup {
    let table = html! {
        table.tight {
            thead { tr {
                th.what scope="col" { "At each unit" } th.must scope="col" { "Expected" }
                @for unit in &outline.units { th scope="col" { (in_markup(&unit.name)) } }
                th.by scope="col" { "When, by, with" }
            } }
            tbody {
                @for row in rows(told, outline) {
                    @let all: Vec<usize> = row.cells.iter().flatten().copied().collect();
                    @let first = all.first().and_then(|at| told.steps.get(*at));
                    @let hold = first.is_some_and(|step| step.hold == Hold::Reading);
                    tr.hold[hold] {
                        th scope="row" { (title(row.kind)) }
                        td { (first.map(short).unwrap_or_default()) }
                        @for cell in &row.cells { td { (read(told, cell)) } }
                        td { (in_markup(&taken(told, &all))) }
                    }
                }
            }
        }
    };
    scrolled("Steps at each unit", &table)
}

fn of_group(told: &Told<'_>, outline: &Outline) -> Markup {
    let all: Vec<(usize, &Step)> =
        told.steps.iter().enumerate().filter(|(_, step)| !is_of_any(step, outline)).collect();
    let half = all.len().div_ceil(2);
    let tables = html! {
        div.halves {
            @for part in all.chunks(half.max(1)) {
                table.tight {
                    thead { tr {
                        th.what scope="col" { "Of the group" } th.must scope="col" { "Expected" }
                        th.read scope="col" { "Read" } th.by scope="col" { "When, by, with" }
                    } }
                    tbody {
                        @for (at, step) in part {
                            tr.hold[step.hold == Hold::Reading] {
                                th scope="row" { (in_markup(&name(step))) }
                                td { (short(step)) }
                                td { (read(told, std::slice::from_ref(at))) }
                                td { (in_markup(&taken(told, std::slice::from_ref(at)))) }
                            }
                        }
                    }
                }
            }
        }
    };
    scrolled("Steps of the group", &tables)
}

/// What a step is about, and of what, where there are several of its kind.
fn name(step: &Step) -> String {
    let rest = step.id.strip_prefix(&step.kind).unwrap_or("").trim_start_matches('-');
    let title = title(&step.kind);
    if rest.is_empty() { title.to_owned() } else { format!("{title}: {}", rest.replace('-', " ")) }
}

/// What must be read, as short as it goes.
fn short(step: &Step) -> String {
    use crate::powerup::Expected;
    match &step.expected {
        Expected::Between { .. } => {
            step.bare().replace("at most ", "\u{2264} ").replace("at least ", "\u{2265} ")
        }
        Expected::Share { low, high, .. } => {
            format!("{:.0} to {:.0} % of mean", low * 100.0, high * 100.0)
        }
        Expected::Seen(_) => "seen".to_owned(),
        Expected::Unknown(_) => "not known".to_owned(),
    }
}

/// What was read, one behind the other, in the unit of what is expected; of several steps of one
/// kind also how many were read, and which were not.
fn read(told: &Told<'_>, steps: &[usize]) -> Markup {
    let is_read = |at: &&usize| told.reading(**at).is_some();
    let parts: Vec<(bool, String)> =
        steps.iter().filter_map(|at| one_read(told, *at, told.reading(*at)?)).collect();
    let open: Vec<String> =
        steps.iter().filter(|at| !is_read(at)).filter_map(|at| last_word(told, *at)).collect();
    // Three or more alike, in all of their steps, are one with their number.
    let alike = parts.first().filter(|first| {
        parts.len() > 2 && open.is_empty() && !first.0 && parts.iter().all(|part| part == *first)
    });
    html! {
        @if let Some((_, words)) = alike {
            (in_markup(words)) " (" (parts.len()) ")"
        } @else {
            @for (at, (is_failed, words)) in parts.iter().enumerate() {
                @if at > 0 { " " }
                @if *is_failed { strong { (in_markup(words)) } } @else { (in_markup(words)) }
            }
        }
        @if !parts.is_empty() && !open.is_empty() {
            " " strong {
                "(" (parts.len()) " of " (steps.len()) ", not " (in_markup(&open.join(" "))) ")"
            }
        }
    }
}

/// What was read of one step, and whether it is not as expected.
fn one_read(told: &Told<'_>, at: usize, reading: &Reading) -> Option<(bool, String)> {
    let state = told.progress.states.get(at)?;
    let sign = match state {
        State::Passed(_) => "",
        State::ByReason(_) => " (reason)",
        State::Failed(_) => "!",
        State::Again(_) | State::Undone(_) | State::Stale(_) | State::Disproved(_) => " (again)",
        State::Open | State::Waits(_) | State::Stopped | State::Alone(_) | State::Behind { .. } => {
            "?"
        }
    };
    // What was wrong before stays to be seen: whoever signs is to know of it.
    let before = told.progress.wrong(at).filter_map(|one| told.readings.get(one));
    let before = before.filter(|one| !std::ptr::eq(*one, reading)).last();
    let before = before.map_or_else(String::new, |one| format!(" (before: {})", bare(one)));
    Some((matches!(state, State::Failed(_)), format!("{}{sign}{before}", bare(reading))))
}

/// What a reading showed, without its unit, as short as it goes.
fn bare(reading: &Reading) -> String {
    let words = match &reading.value {
        Amount::OverRange => "OL".to_owned(),
        Amount::Number { .. } | Amount::Above(_) | Amount::Seen(_) => shown(reading),
    };
    let bare = words.strip_suffix(reading.quantity.unit()).unwrap_or(&words).trim();
    bare.chars().take(24).collect()
}

/// What tells a step from the others of its kind at the same unit: its conductor.
fn last_word(told: &Told<'_>, at: usize) -> Option<String> {
    told.steps.get(at)?.id.rsplit('-').next().map(str::to_uppercase)
}

/// The instruments of all readings that count, in the order of the steps.
fn instruments<'t>(told: &'t Told<'_>) -> Vec<&'t str> {
    let mut all: Vec<&str> = Vec::new();
    for reading in (0..told.steps.len()).filter_map(|at| told.reading(at)) {
        if !all.contains(&reading.instrument.as_str()) {
            all.push(&reading.instrument);
        }
    }
    all
}

/// By whom, when the last of them was taken, and with which instruments, by number.
fn taken(told: &Told<'_>, steps: &[usize]) -> String {
    let readings: Vec<&Reading> = steps.iter().filter_map(|at| told.reading(*at)).collect();
    let Some(last) = readings.iter().max_by_key(|one| (one.time.date.days(), one.time.seconds))
    else {
        return String::new();
    };
    let all = instruments(told);
    let mut by: Vec<&str> = readings.iter().map(|one| one.by.as_str()).collect();
    let number = |one: &&Reading| all.iter().position(|name| *name == one.instrument);
    let mut with: Vec<usize> = readings.iter().filter_map(number).collect();
    by.sort_unstable();
    by.dedup();
    with.sort_unstable();
    with.dedup();
    let with: Vec<String> = with.iter().map(|number| (number + 1).to_string()).collect();
    // The year stands at the foot.
    let time = last.time.to_string();
    let short = time.get(5..).unwrap_or(&time);
    format!("{short} {} {}", by.join(" "), with.join(","))
}

/// What the numbers behind the initials mean, and of which years the readings are.
fn instrument_line(told: &Told<'_>) -> Markup {
    let all = instruments(told);
    let readings = (0..told.steps.len()).filter_map(|at| told.reading(at));
    let mut years: Vec<String> =
        readings.filter_map(|one| one.time.to_string().get(..4).map(str::to_owned)).collect();
    years.sort();
    years.dedup();
    html! {
        @if !all.is_empty() {
            p.small {
                "Readings of " (years.join(", ")) ". With: "
                @for (at, name) in all.iter().enumerate() {
                    @if at > 0 { ", " }
                    (at + 1) " " (in_markup(name))
                }
                ". !: not as expected. Before: it was, and was read again. Again: it is to be read \
                 again. ?: it waits for another step. 1 of 3: the others were not read."
            }
        }
    }
}

fn waivers(diagnosis: &Diagnosis) -> Markup {
    html! {
        @if !diagnosis.waived.is_empty() {
            p.small {
                strong { "Waived: " }
                @for waived in &diagnosis.waived {
                    @let (severity, says) = told::waived(&waived.finding);
                    (severity) ": " (in_markup(&says)) " (" (in_markup(&waived.waiver.reason)) ", "
                    (in_markup(&waived.waiver.by)) ", until " (waived.waiver.until) "). "
                }
            }
        }
    }
}

fn way_down(told: &Told<'_>) -> Markup {
    html! {
        div.down {
            h2 { "The way down" }
            ol { @for down in &told.way_down.acts { li { (in_markup(&down.act)) } } }
            p {
                strong { "Isolate and lock: " }
                (in_markup(&together(&told.way_down.isolation).join("; "))) "."
            }
        }
    }
}

/// Points of isolation, those of one kind at several units in one phrase.
fn together(points: &[String]) -> Vec<String> {
    let mut all: Vec<(&str, Vec<&str>)> = Vec::new();
    for point in points {
        let (kind, of) = point.rsplit_once(" of ").unwrap_or((point, ""));
        match all.last_mut() {
            Some((last, names)) if *last == kind && !of.is_empty() => names.push(of),
            _ => all.push((kind, if of.is_empty() { Vec::new() } else { vec![of] })),
        }
    }
    let phrase = |(kind, names): (&str, Vec<&str>)| match names.as_slice() {
        [] => kind.to_owned(),
        names => format!("{kind} of {}", all_of(names)),
    };
    all.into_iter().map(phrase).collect()
}

fn sign() -> Markup {
    html! {
        table.signed {
            tbody { tr {
                @for what in ["Read by", "Seen by", "Handed over to"] {
                    td { (what) br; "name, date, signature" }
                }
            } }
        }
    }
}
