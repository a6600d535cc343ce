//! How well a learner did: readings beside those of the ideal search, wrong claims, claims that no
//! reading supports, dangers missed.

use super::act::Act;
use super::exercise::Drill;
use super::look::{Seen, seen};
use super::plant::Plant;
use super::puzzle::Puzzle;
use super::words::words_of;
use crate::phrase::counted;
use coldcheck_core::rule::Severity;

/// Points that a drill begins with; what is taken away for a reading more than needed, for a wrong
/// claim, for a right one that no reading supports, for a danger that was missed. Ours.
const BEGINS: u32 = 10;
const FOR_READING: u32 = 1;
const FOR_CLAIM: u32 = 2;
const FOR_GUESS: u32 = 5;
const FOR_DANGER: u32 = 5;

/// How points are counted, in a sentence.
pub const SCALE: &str = "Of ten points: one less for a reading more than an ideal search needs, two \
    for a wrong claim, five for a right claim that no reading supports, five for a danger missed.";

/// What a learner did, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Did {
    /// Locked everything off and proved it dead.
    ProvedDead,
    /// An act, by its name.
    Read(String),
    /// Claimed a fault, by its name.
    Claimed(String),
}

/// The outcome.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Score {
    /// Whether every fault was found.
    pub solved: bool,
    /// Readings that were taken.
    pub readings: u32,
    /// Readings that an ideal search needs at the most.
    pub ideal: u32,
    /// Claims that were wrong.
    pub wrong: u32,
    /// Right claims that no reading supports.
    pub guessed: u32,
    /// Dangers that were missed, each in a sentence.
    pub missed: Vec<String>,
    /// Points of ten.
    pub points: u32,
}

/// Whether a claim names one of the faults, or what nothing tells from it.
pub fn is_right(drill: &Drill, id: &str) -> bool {
    drill
        .answers()
        .iter()
        .any(|answer| answer.cause.id() == id || answer.alike.iter().any(|cause| cause.id() == id))
}

/// Weighs what a learner did.
pub fn score(drill: &Drill, did: &[Did]) -> Score {
    let acts = drill.acts();
    let act = |id: &str| acts.iter().find(|act| act.short() == id);
    let (mut dead, mut listened) = (false, false);
    let (mut readings, mut wrong, mut guessed) = (0, 0, 0);
    let mut found: Vec<&str> = Vec::new();
    let mut missed = Vec::new();
    for (at, one) in did.iter().enumerate() {
        match one {
            Did::ProvedDead => dead = true,
            Did::Read(id) => {
                let Some(act) = act(id) else { continue };
                readings += act.cost();
                if act.touches() && !dead {
                    let since = if listened { " again after the gateway listened" } else { "" };
                    missed.push(format!(
                        "\u{201c}{}\u{201d} was done before the plant was locked off and proven \
                         dead{since}",
                        act.says()
                    ));
                    // Once is told; it is one habit.
                    dead = true;
                }
                if *act == Act::Listen {
                    // The link is powered to be listened to.
                    listened |= dead;
                    dead = false;
                }
            }
            Did::Claimed(id) if is_right(drill, id) => {
                let is_new = !found.contains(&id.as_str());
                if is_new && !Taken::of(drill, &did[..at]).support(drill, id) {
                    guessed += 1;
                }
                found.push(id);
            }
            Did::Claimed(_) => wrong += 1,
        }
    }
    let answers = drill.answers();
    let is_found = |answer: &super::answer::Answer<'_>| {
        let ids = answer.alike.iter().map(|cause| cause.id()).chain([answer.cause.id()]);
        ids.into_iter().any(|id| found.contains(&id.as_str()))
    };
    for answer in answers.iter().filter(|answer| answer.severity() == Severity::Danger) {
        if !is_found(answer) || wrong > 0 {
            // Whoever goes on searching is told no name.
            missed.push(if is_found(answer) {
                let title = words_of(answer.cause.kind).map_or("", |words| words.title);
                format!("a danger was named only after a wrong claim: {title}")
            } else {
                "a danger was not named".to_owned()
            });
        }
    }
    let solved = answers.iter().all(is_found);
    let ideal = drill.at_most();
    let away = FOR_READING * readings.saturating_sub(ideal)
        + FOR_CLAIM * wrong
        + FOR_GUESS * guessed
        + FOR_DANGER * u32::try_from(missed.len()).unwrap_or(u32::MAX);
    let points = if solved { BEGINS.saturating_sub(away) } else { 0 };
    Score { solved, readings, ideal, wrong, guessed, missed, points }
}

/// Readings that were taken, and what they showed.
struct Taken(Vec<(Act, Seen)>);

impl Taken {
    fn of(drill: &Drill, did: &[Did]) -> Self {
        let acts = drill.acts();
        let plant = drill.plant();
        let taken = did.iter().filter_map(|did| match did {
            Did::Read(id) => {
                let act = acts.iter().find(|act| act.short() == *id)?.clone();
                let seen = seen(&plant, &act);
                Some((act, seen))
            }
            Did::ProvedDead | Did::Claimed(_) => None,
        });
        Self(taken.collect())
    }

    /// Whether they support a claim: one of them shows what a right plant would not, and what
    /// another fault of the same symptom would not; or they leave no other fault.
    fn support(&self, drill: &Drill, id: &str) -> bool {
        let plant = drill.plant();
        let right = Plant::right(&drill.bench);
        let right = if plant.is_sized { right.sized() } else { right };
        let Some(own) = drill.bench.causes.iter().position(|cause| cause.id() == id) else {
            return false;
        };
        drill.puzzles.iter().filter(|puzzle| puzzle.rivals.contains(&own)).any(|puzzle| {
            let fits = |rival: usize, (act, seen): &(Act, Seen)| {
                puzzle.expected(act, rival) == Some(seen.label.as_str())
            };
            let shows = |taken: &(Act, Seen)| {
                let differs = seen(&right, &taken.0).label != taken.1.label;
                differs && fits(own, taken) && puzzle.rivals.iter().any(|one| !fits(*one, taken))
            };
            let is_left = |rival: &usize| self.0.iter().all(|taken| fits(*rival, taken));
            let is_alike = |rival: &usize| puzzle.cause == *rival || puzzle.alike.contains(rival);
            self.0.iter().any(shows)
                || puzzle.rivals.iter().filter(|rival| is_left(rival)).all(is_alike)
        })
    }
}

/// A reading that was taken and speaks against a claim, in a sentence; `None` if none does.
pub fn against(drill: &Drill, did: &[Did], id: &str) -> Option<String> {
    let own = drill.bench.causes.iter().position(|cause| cause.id() == id)?;
    let puzzle = drill.puzzles.iter().find(|puzzle| puzzle.rivals.contains(&own))?;
    let speaks = |(act, seen): &&(Act, Seen)| {
        let expected = puzzle.expected(act, own);
        // With several faults, what is shown may be a mixture, which speaks of nobody.
        expected.is_some_and(|label| label != seen.label) && puzzle.labels.contains(&seen.label)
    };
    let taken = Taken::of(drill, did);
    let (act, seen) = taken.0.iter().find(speaks)?;
    Some(format!("\u{201c}{}\u{201d} speaks against it: {}", act.short(), seen.shown))
}

/// One thing that a learner did, as it is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What it cost, in readings.
    pub cost: u32,
    /// What was done.
    pub did: String,
    /// What it showed, or how right it was; nothing for what shows nothing.
    pub shown: String,
}

/// What a learner did with what came of it, in order.
pub fn steps(drill: &Drill, did: &[Did]) -> Vec<Step> {
    let (acts, plant) = (drill.acts(), drill.plant());
    let step = |(at, one): (usize, &Did)| match one {
        Did::ProvedDead => Step { cost: 0, did: "proved dead".to_owned(), shown: String::new() },
        Did::Read(id) => {
            let act = acts.iter().find(|act| act.short() == *id);
            Step {
                cost: act.map_or(0, Act::cost),
                did: id.clone(),
                shown: act.map_or_else(String::new, |act| seen(&plant, act).shown),
            }
        }
        Did::Claimed(id) => {
            let cause = drill.bench.causes.iter().find(|cause| cause.id() == *id);
            let place = cause.map_or("", |cause| cause.done.as_str());
            let shown = if is_right(drill, id) {
                "right".to_owned()
            } else {
                let own = drill.bench.causes.iter().position(|cause| cause.id() == *id);
                let is_rival =
                    |puzzle: &Puzzle| own.is_some_and(|own| puzzle.rivals.contains(&own));
                let against = against(drill, &did[..at], id).unwrap_or_else(|| {
                    if drill.puzzles.iter().any(is_rival) {
                        "no reading that was taken speaks against it".to_owned()
                    } else {
                        "what is noticed is nothing that comes of it".to_owned()
                    }
                });
                format!("not it; {against}")
            };
            Step { cost: 0, did: format!("claimed {id}: {place}"), shown }
        }
    };
    did.iter().enumerate().map(step).collect()
}

impl Score {
    /// The outcome in a sentence.
    pub fn says(&self) -> String {
        let word = if self.solved { "Solved" } else { "Not solved" };
        let count = |count: u32, word: &str| counted(usize::try_from(count).unwrap_or(0), word);
        format!(
            "{word}: {} of {BEGINS} points. {} taken, where an ideal search needs {} at the most; {}; {}{}.",
            self.points,
            count(self.readings, "reading"),
            self.ideal,
            count(self.wrong, "wrong claim"),
            counted(self.missed.len(), "danger") + " missed",
            if self.guessed > 0 { "; a claim that no reading supports" } else { "" }
        )
    }
}
