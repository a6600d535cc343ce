//! A drill as text, HTML and JSON.

pub mod html;
pub mod json;

use crate::drill::class::{Class, PARTS};
use crate::drill::exercise::Drill;
use crate::drill::score::{self, Did, SCALE};
use crate::drill::told::{Answers, CAUTION, Exercise, PROVE_DEAD, readings};
use crate::phrase::all_of;
use crate::visible::visible;
use crate::words::{CAUTIONS, WIDTH};
use std::fmt::Write;

/// What the trainer does with the readings.
pub(crate) const HAND_OUT: &str = "What to tell whoever asks. What is not here is as it should be: \
    what the sheets state is as they have it, and else:";

/// The name of an exercise among its class, as the class gets it: without the number of the drill,
/// since whoever has that has the answer.
pub(crate) fn titled(class: &Class, at: usize) -> String {
    let of = class.drills.len();
    if of > 1 { format!("Exercise {} of {of}", at + 1) } else { "Exercise".to_owned() }
}

/// The same for the trainer, with the number that makes the drill.
pub(crate) fn titled_with_number(class: &Class, at: usize, drill: &Drill) -> String {
    format!("{} (drill {})", titled(class, at), drill.ask.number)
}

/// An exercise.
pub fn exercise(exercise: &Exercise, title: &str) -> String {
    let mut out = String::new();
    heading(&mut out, title);
    wrapped(&mut out, "", &format!("{}.", exercise.head));
    out.push('\n');
    wrapped(&mut out, "", CAUTION);
    out.push('\n');
    for noticed in &exercise.noticed {
        wrapped(&mut out, "Noticed: ", noticed);
    }
    wrapped(&mut out, "To do:   ", &exercise.task);
    wrapped(&mut out, "First:   ", PROVE_DEAD);
    out.push_str("\nReadings and what they cost:\n");
    for (cost, says) in &exercise.acts {
        wrapped(&mut out, &format!("  {cost}  "), says);
    }
    for sheet in &exercise.sheets {
        let _ = writeln!(out, "\n--- {} ---", sheet.name);
        for line in String::from_utf8_lossy(&sheet.bytes).lines() {
            let _ = writeln!(out, "{}", visible(line));
        }
    }
    out.push('\n');
    wrapped(&mut out, "", CAUTIONS);
    out
}

/// The answers of one drill.
pub fn answers(answers: &Answers<'_>, title: &str) -> String {
    let mut out = String::new();
    heading(&mut out, &format!("{title}: ANSWER"));
    for answer in &answers.answers {
        let words = answer.words;
        let head = format!("{}: {} [{}]", answer.severity().word(), words.title, words.kind);
        wrapped(&mut out, "", &head);
        wrapped(&mut out, "  place:  ", &answer.place());
        wrapped(&mut out, "  why:    ", words.why);
        wrapped(&mut out, "  prove:  ", words.prove);
        wrapped(&mut out, "  mend:   ", words.act);
        wrapped(&mut out, "  sure:   ", &answer.confirmed());
        wrapped(&mut out, "  search: ", &answer.search());
        if let Some(alike) = answer.alike() {
            wrapped(&mut out, "          ", &alike);
        }
        for (at, (act, seen)) in answer.way.iter().enumerate() {
            let cost = readings(act.cost());
            let says = format!("{} ({cost}) -> {}", act.says(), one_line(&seen.shown));
            wrapped(&mut out, &format!("    {}. ", at + 1), &says);
        }
        out.push('\n');
    }
    if !answers.readings.is_empty() {
        wrapped(&mut out, "", HAND_OUT);
        for (asked, told) in &answers.usual {
            wrapped(&mut out, "  - ", &format!("{asked} -> {}", one_line(told)));
        }
        out.push('\n');
        for (act, shown) in &answers.readings {
            wrapped(&mut out, "  - ", &format!("{} -> {}", act.short(), one_line(shown)));
        }
        for heard in &answers.heard {
            wrapped(&mut out, "  - Heard: ", heard);
        }
        out.push('\n');
    }
    wrapped(&mut out, "", CAUTION);
    out
}

/// What a learner did, and how well.
pub fn score(drill: &Drill, did: &[Did]) -> String {
    let mut out = String::new();
    let score = score::score(drill, did);
    heading(&mut out, "Score");
    let exercise = drill.exercise();
    wrapped(&mut out, "Drill:   ", &format!("{}: {}.", drill.ask.number, exercise.head));
    for noticed in &exercise.noticed {
        wrapped(&mut out, "Noticed: ", noticed);
    }
    out.push('\n');
    for step in score::steps(drill, did) {
        let cost = if step.cost > 0 { step.cost.to_string() } else { " ".to_owned() };
        let arrow = if step.shown.is_empty() { "" } else { " -> " };
        let says = format!("{}{arrow}{}", step.did, one_line(&step.shown));
        wrapped(&mut out, &format!("  {cost}  "), &says);
    }
    out.push('\n');
    for missed in &score.missed {
        wrapped(&mut out, "Danger missed: ", &crate::phrase::sentence(missed));
    }
    wrapped(&mut out, "", &score.says());
    out.push('\n');
    wrapped(&mut out, "", SCALE);
    out.push('\n');
    wrapped(&mut out, "", CAUTION);
    out
}

/// A class: all exercises, then the answer sheet behind a line to cut.
pub fn class(class: &Class) -> String {
    let mut out = exercises(class);
    let _ = writeln!(out, "{}\n", "- - ".repeat(WIDTH / 4).trim_end());
    out.push_str(&answer_sheet(class));
    out
}

/// All exercises without an answer, to print in one go: a form feed begins each on a new page.
pub fn exercises(class: &Class) -> String {
    let mut out = String::new();
    for (at, drill) in class.drills.iter().enumerate() {
        if at > 0 {
            out.push('\u{c}');
        }
        out.push_str(&exercise(&drill.exercise(), &titled(class, at)));
        out.push('\n');
    }
    out
}

/// The answer sheet of a class.
pub fn answer_sheet(class: &Class) -> String {
    let mut out = String::new();
    if class.drills.len() > 1 {
        wrapped(&mut out, "", &spread(class));
        for (at, drill) in class.drills.iter().enumerate() {
            let (number, readings) = (drill.ask.number, readings(drill.readings()));
            let says = format!("drill {number}: {readings}, {}", parts(drill));
            wrapped(&mut out, &format!("  {:>2}  ", at + 1), &says);
        }
        out.push('\n');
    }
    for (at, drill) in class.drills.iter().enumerate() {
        out.push_str(&answers(&drill.answered(), &titled_with_number(class, at, drill)));
        out.push('\n');
    }
    out
}

/// The parts of the plant that the faults of a drill are in.
pub(crate) fn parts(drill: &Drill) -> String {
    let parts: Vec<&str> = drill.parts().collect();
    all_of(&parts)
}

/// How alike the drills of a class are.
pub(crate) fn spread(class: &Class) -> String {
    let range = |(least, most): (u32, u32)| {
        if least == most { most.to_string() } else { format!("{least} to {most}") }
    };
    let level = class.drills.first().and_then(|drill| drill.ask.level);
    format!(
        "{} drills; an ideal search takes {} readings for their faults, and needs {} at the most. \
         Each can be made alone by its own number, all else as for the class{}.",
        class.drills.len(),
        range(class.taken),
        range(class.spread),
        level.map_or_else(String::new, |level| format!(", also with --level {}", level.word())),
    ) + &crowded(class)
}

/// What part of the plant has more than its share of the drills, for want of others.
fn crowded(class: &Class) -> String {
    let most = class.drills.len().div_ceil(PARTS);
    let count = |part: &str| {
        class.drills.iter().filter(|drill| drill.parts().any(|own| own == part)).count()
    };
    let mut all: Vec<&str> = class.drills.iter().flat_map(Drill::parts).collect();
    all.sort_unstable();
    all.dedup();
    let full = all.into_iter().filter(|part| count(part) > most);
    let told: Vec<String> = full.map(|part| format!("{} have {part}", count(part))).collect();
    if told.is_empty() {
        return String::new();
    }
    format!(
        " There were too few like ones of other parts: {}; another number, level or more units may \
         spread better.",
        all_of(&told)
    )
}

fn heading(out: &mut String, text: &str) {
    let _ = writeln!(out, "{text}\n{}", "=".repeat(text.chars().count()));
}

/// Several lines as one.
fn one_line(text: &str) -> String {
    text.lines().map(str::trim).collect::<Vec<_>>().join(" | ")
}

fn wrapped(out: &mut String, head: &str, text: &str) {
    let hanging = " ".repeat(head.chars().count());
    let options = textwrap::Options::new(WIDTH).initial_indent(head).subsequent_indent(&hanging);
    let _ = writeln!(out, "{}", textwrap::fill(&visible(text), options));
}
