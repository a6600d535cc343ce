//! The record of what a learner did, as a trainer types it: a line for each thing done.

use super::act::Act;
use super::ask::{Refused, near};
use super::bench::Bench;
use super::cause::Cause;
use super::exercise::Drill;
use super::score::Did;
use crate::phrase::one_of;
use std::ops::Range;

/// Most lines of a record; nobody does more on a bench.
const MOST_LINES: usize = 1000;
/// Names that are shown where several would do.
const SHOWN: usize = 5;
/// Letters of what was written that an answer repeats.
const LONGEST_SHOWN: usize = 60;
/// Words of a place that tell nothing.
const FILLERS: [&str; 7] = ["at", "of", "in", "on", "the", "is", "has"];

/// Reads a record: `dead`, a reading by its words (`ohms at unit 2`), `claim FAULT`. Empty lines and
/// those that begin with `#` say nothing.
///
/// # Errors
/// The bytes of the line, and what is wrong with it.
pub fn read(drill: &Drill, text: &str) -> Result<Vec<Did>, (Range<usize>, Refused)> {
    let acts = drill.acts();
    let mut all = Vec::new();
    let mut start = 0;
    for (at, line) in text.split_inclusive('\n').enumerate() {
        let place = start..start + line.trim_end().len();
        start += line.len();
        let words = line.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        if words.is_empty() || words.starts_with('#') {
            continue;
        }
        if at >= MOST_LINES {
            let says = "the record goes on".to_owned();
            return Err((place, Refused::new(says, format!("up to {MOST_LINES} lines"))));
        }
        all.push(did(drill, &acts, &words).map_err(|refused| (place, refused))?);
    }
    if all.is_empty() {
        return Err((0..0, Refused::new("nothing was done", FORMS)));
    }
    Ok(all)
}

const FORMS: &str = "`dead`, a reading such as `ohms at unit 1`, or `claim FAULT`";

fn did(drill: &Drill, acts: &[Act], words: &str) -> Result<Did, Refused> {
    if ["dead", "prove dead", "proved dead", "proven dead"].contains(&words) {
        return Ok(Did::ProvedDead);
    }
    if words == "claim" {
        return Err(Refused::new("nothing is claimed", "`claim FAULT`"));
    }
    if let Some(claim) = words.strip_prefix("claim ") {
        return fault(&drill.bench, claim).map(|cause| Did::Claimed(cause.id()));
    }
    let words = words.strip_prefix("read ").unwrap_or(words);
    let bare = |words: &str| -> Vec<String> {
        let words = words.split(' ').filter(|word| !FILLERS.contains(word));
        words.map(ToOwned::to_owned).collect()
    };
    let wanted = bare(words);
    let named = |act: &&Act| bare(&act.short().to_lowercase()) == wanted;
    acts.iter().find(named).map(|act| Did::Read(act.short())).ok_or_else(|| {
        let near = near(words, acts.iter().map(Act::short));
        let expected = if near.is_empty() { FORMS.to_owned() } else { listed(&near) };
        Refused::new(format!("`{}` is nothing that can be done here", cut(words)), expected)
    })
}

/// The fault of a bench that a person names: by its name (`address-duplicate/1`), or by its kind and
/// words of its place (`address-duplicate unit 2`).
///
/// # Errors
/// If no fault, or more than one, is meant.
pub fn fault<'b>(bench: &'b Bench, words: &str) -> Result<&'b Cause, Refused> {
    let words = words.to_lowercase();
    if let Some(cause) = bench.causes.iter().find(|cause| cause.id() == words) {
        return Ok(cause);
    }
    let (kind, place) = words.split_once([' ', '/']).unwrap_or((&words, ""));
    let of_kind: Vec<&Cause> = bench.causes.iter().filter(|cause| cause.kind == kind).collect();
    if of_kind.is_empty() {
        let near = near(kind, super::words::kinds());
        let expected = if near.is_empty() {
            "a fault of `coldcheck drill --places`".to_owned()
        } else {
            listed(&near)
        };
        return Err(Refused::new(format!("this bench has no fault `{}`", cut(kind)), expected));
    }
    let is_number = !place.is_empty() && place.chars().all(|sign| sign.is_ascii_digit());
    if is_number && words.contains('/') {
        return Err(Refused::new(format!("this bench has no `{}`", cut(&words)), choice(&of_kind)));
    }
    // In their order: unit 2 with the address of unit 1 is another fault than the reverse.
    let wanted: Vec<&str> = split(place).filter(|word| !FILLERS.contains(word)).collect();
    let meant: Vec<&Cause> = of_kind
        .iter()
        .copied()
        .filter(|cause| {
            let done = cause.done.to_lowercase();
            let mut has = split(&done);
            wanted.iter().all(|word| has.any(|own| own == *word))
        })
        .collect();
    match meant[..] {
        [cause] => Ok(cause),
        [] => Err(Refused::new(
            format!("no `{kind}` of this bench has a place `{}`", cut(place)),
            choice(&of_kind),
        )),
        _ => Err(Refused::new(format!("`{}` may be one of several", cut(&words)), choice(&meant))),
    }
}

/// As much of a person's words as an answer shows.
fn cut(text: &str) -> String {
    let mut shown: String = text.chars().take(LONGEST_SHOWN).collect();
    if shown.len() < text.len() {
        shown.push('\u{2026}');
    }
    shown
}

fn split(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|word| !word.is_empty())
}

/// Faults to choose from, by name and place.
fn choice(causes: &[&Cause]) -> String {
    let named = |cause: &&Cause| format!("`{}` ({})", cause.id(), cause.done);
    let mut all: Vec<String> = causes.iter().take(SHOWN).map(named).collect();
    if causes.len() > SHOWN {
        all.push(format!("one of {} more of `--places`", causes.len() - SHOWN));
    }
    one_of(&all)
}

fn listed<N: AsRef<str>>(names: &[N]) -> String {
    one_of(&names.iter().map(|name| format!("`{}`", name.as_ref())).collect::<Vec<_>>())
}
