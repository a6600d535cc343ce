//! The answer: what is wrong, why it matters, what mends it, and who confirms the claim.

use super::act::Act;
use super::cause::{Cause, What};
use super::exercise::Drill;
use super::listen;
use super::look::{Seen, seen};
use super::plant::Plant;
use super::puzzle::Puzzle;
use super::words::{Words, rule_of};
use crate::diagnosis::diagnose;
use coldcheck_core::rule::Severity;

/// Which part of the program says the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// The check of a list that says what is really there.
    Check,
    /// The meter's solver: a reading that a right link never gives.
    Meter,
    /// The rules that hold what is heard against the list.
    Compare,
}

impl By {
    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Check => "check",
            Self::Meter => "meter",
            Self::Compare => "compare",
        }
    }
}

/// A claim that another part of the program confirms.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Confirmed {
    /// Which part.
    pub by: By,
    /// What it says.
    pub says: String,
}

/// One answer of a drill.
#[derive(Debug)]
pub struct Answer<'d> {
    /// The fault.
    pub cause: &'d Cause,
    /// Its readings.
    pub puzzle: &'d Puzzle,
    /// Its words.
    pub words: Words,
    /// Who confirms it.
    pub confirmed: Option<Confirmed>,
    /// The ideal search.
    pub way: Vec<(Act, Seen)>,
    /// What nothing tells from it here.
    pub alike: Vec<&'d Cause>,
}

impl Answer<'_> {
    /// How bad it is.
    pub fn severity(&self) -> Severity {
        self.cause.severity()
    }
}

impl Drill {
    /// The answers, one for each fault.
    pub fn answers(&self) -> Vec<Answer<'_>> {
        let plant = self.plant();
        let answer = |puzzle| {
            let puzzle: &Puzzle = puzzle;
            let cause = self.bench.causes.get(puzzle.cause)?;
            let alike = puzzle.alike.iter().filter_map(|at| self.bench.causes.get(*at));
            Some(Answer {
                cause,
                puzzle,
                words: cause.words(),
                confirmed: confirm(&plant, cause),
                way: puzzle.follow(&plant).0,
                alike: alike.collect(),
            })
        };
        self.puzzles.iter().filter_map(answer).collect()
    }
}

/// Confirms that a fault is there; `None` if no part of the program says so.
pub fn confirm(plant: &Plant<'_>, cause: &Cause) -> Option<Confirmed> {
    match &cause.what {
        What::Declared(fault) => {
            let site = super::bench::read(plant.listed_sheets())?;
            let diagnosis = diagnose(&site).ok()?;
            let found = diagnosis.findings.iter().find(|finding| finding.rule == fault.rule)?;
            Some(Confirmed { by: By::Check, says: found.says.clone() })
        }
        What::Wires(_) => by_meter(plant).or_else(|| by_listening(plant)),
        What::Split(_) => by_listening(plant),
        What::Heard(_) => {
            let rule = rule_of(cause.kind)?;
            let diagnosis = listen::compared(plant)?;
            let found = diagnosis.findings.iter().find(|finding| finding.rule == rule)?;
            Some(Confirmed { by: By::Compare, says: found.says.clone() })
        }
    }
}

/// The first reading that a right link never gives.
fn by_meter(plant: &Plant<'_>) -> Option<Confirmed> {
    let right = Plant::right(plant.bench);
    let is_reading = |act: &Act| matches!(act, Act::Ohms(_) | Act::Pull(..) | Act::Common(_));
    let acts = Act::at_plant(plant.bench).into_iter().filter(is_reading);
    acts.map(|act| (seen(plant, &act), seen(&right, &act), act))
        .find(|(own, planned, _)| own.label != planned.label)
        .map(|(own, planned, act)| Confirmed {
            by: By::Meter,
            says: format!("{}: {}; a right link reads {}", act.says(), own.shown, planned.shown),
        })
}

fn by_listening(plant: &Plant<'_>) -> Option<Confirmed> {
    let found = listen::findings(plant);
    (!found.is_empty()).then(|| Confirmed { by: By::Compare, says: found.join("; ") })
}
