//! Drills followed by the ideal search, each at a plant that is made anew.

use coldcheck::drill::act::Act;
use coldcheck::drill::ask::Ask;
use coldcheck::drill::exercise::Drill;
use coldcheck::profile::builtin_names;
use std::collections::BTreeMap;

/// What became of many drills.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Drills that were followed.
    pub drills: usize,
    /// Faults in them.
    pub faults: usize,
    /// Numbers for which there is no drill.
    pub none: Vec<u64>,
    /// What was wrong.
    pub wrong: Vec<String>,
    /// Faults by the readings that they took.
    pub readings: BTreeMap<u32, usize>,
    /// Faults by their kind.
    pub kinds: BTreeMap<&'static str, usize>,
    /// Most rivals of a fault.
    pub most_rivals: usize,
}

/// What is asked for under a number: units, profiles, faults and paper in turn.
pub fn ask(number: u64) -> Ask {
    let profiles = builtin_names();
    let turn = |of: u64| usize::try_from(number / of).unwrap_or(0);
    Ask {
        units: 3 + u16::try_from(turn(1) % 3).unwrap_or(0),
        profile: profiles[turn(3) % profiles.len()].to_owned(),
        faults: if number % 10 == 9 { 2 } else { 1 },
        number,
        on_paper: number % 7 == 6,
        ..Ask::default()
    }
}

/// Follows the drills of these numbers.
pub fn follow(numbers: impl IntoIterator<Item = u64>, tell: impl Fn(u64)) -> Tally {
    let mut tally = Tally::default();
    for number in numbers {
        tell(number);
        let asked = ask(number);
        let Ok(drill) = Drill::make(&asked) else {
            tally.none.push(number);
            continue;
        };
        tally.drills += 1;
        let plant = drill.plant();
        for answer in drill.answers() {
            let puzzle = answer.puzzle;
            tally.faults += 1;
            *tally.readings.entry(puzzle.readings).or_default() += 1;
            *tally.kinds.entry(answer.cause.kind).or_default() += 1;
            tally.most_rivals = tally.most_rivals.max(puzzle.rivals.len());
            let (steps, left) = puzzle.follow(&plant);
            let spent: u32 = steps.iter().map(|(act, _)| Act::cost(act)).sum();
            let mut wrong = |why: &str| {
                tally.wrong.push(format!("{number} {}: {why}", answer.cause.id()));
            };
            if !puzzle.ends_at_fault(left.as_deref()) {
                wrong("the search ends elsewhere");
            }
            if spent != puzzle.readings || spent > puzzle.at_most {
                wrong("it takes another number of readings than was computed");
            }
            if answer.confirmed.is_none() {
                wrong("nobody confirms the answer");
            }
        }
    }
    tally
}
