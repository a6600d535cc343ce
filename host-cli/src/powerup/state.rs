//! Where a power-up stands: the readings in the order of their file, held against the steps.
//!
//! Nothing is remembered but the file. Whoever is cut off goes on where the file ends, and whoever
//! changes a sheet sees at once which steps are open again.

use super::Stage;
use super::bands::band;
use super::{Expected, Hold, Step};
use crate::readings::{Amount, Moment, Quantity, Reading};

/// Where a step stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It can be taken now.
    Open,
    /// A hold before it, by position, is not passed.
    Waits(usize),
    /// A danger stands in the sheets, and this is done live.
    Stopped,
    /// The reading, by position, is as expected.
    Passed(usize),
    /// A reason, by position, lets it stand.
    ByReason(usize),
    /// The reading, by position, is not as expected.
    Failed(usize),
    /// It was passed by this reading, and what it rests on has changed since.
    Again(usize),
    /// A reading says something only beside those of the other units.
    Alone(usize),
    /// It was read, and a hold before it is open again.
    Behind {
        /// The hold, by position.
        hold: usize,
        /// The reading, by position.
        reading: usize,
    },
    /// It was proven dead by this reading, too long ago, or before something was live.
    Stale(usize),
}

impl State {
    /// Its word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Waits(_) => "waits",
            Self::Stopped => "stopped",
            Self::Passed(_) => "passed",
            Self::ByReason(_) => "passed-by-reason",
            Self::Failed(_) => "failed",
            Self::Again(_) => "open-again",
            Self::Alone(_) => "waits-for-others",
            Self::Behind { .. } => "read-and-waits",
            Self::Stale(_) => "to-be-proven-again",
        }
    }

    /// Whether a reading can be taken now that changes it.
    pub const fn is_takeable(self) -> bool {
        matches!(self, Self::Open | Self::Failed(_) | Self::Again(_) | Self::Stale(_))
    }

    /// Whether it holds nothing back.
    pub const fn is_passed(self) -> bool {
        matches!(self, Self::Passed(_) | Self::ByReason(_))
    }

    /// The reading that it comes from.
    pub const fn reading(self) -> Option<usize> {
        match self {
            Self::Passed(at)
            | Self::ByReason(at)
            | Self::Failed(at)
            | Self::Again(at)
            | Self::Alone(at)
            | Self::Stale(at)
            | Self::Behind { reading: at, .. } => Some(at),
            Self::Open | Self::Waits(_) | Self::Stopped => None,
        }
    }
}

/// Why a reading does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// The site has no such step.
    NoSuchStep,
    /// It was taken under other sheets, of a step that the site has no more.
    Gone,
    /// It was taken before this hold, by position, was passed.
    OutOfTurn(usize),
    /// It was taken live while a danger stood in the sheets.
    Danger,
    /// A reason does not pass this step.
    NoReason,
    /// It is of another quantity.
    OtherQuantity,
    /// Nobody states what must be read, so that nothing can be held against it; the step, by
    /// position.
    NotJudged(usize),
}

/// Where the whole stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// Of each step.
    pub states: Vec<State>,
    /// Readings that do not count, by position.
    pub refused: Vec<(usize, Refused)>,
}

impl Progress {
    /// The first step that can be taken now: a hold before all others.
    pub fn next(&self, steps: &[Step]) -> Option<usize> {
        let is_open = |at: &usize| self.states.get(*at).is_some_and(|state| state.is_takeable());
        (0..steps.len()).find(is_open)
    }

    /// Whether every step is passed.
    pub fn is_done(&self) -> bool {
        self.states.iter().all(|state| state.is_passed())
    }
}

/// The sheets of today.
#[derive(Clone, Copy, Debug)]
pub struct Today<'t> {
    /// Their hash.
    pub hash: &'t str,
    /// Whether a danger stands in them.
    pub has_danger: bool,
    /// The time, where there is a clock.
    pub now: Option<Moment>,
}

/// Where the power-up stands after these readings.
///
/// A reading under other sheets counts where what its step rests on is still the same: its turn was
/// looked after when it was written. One under the sheets of today counts only if every hold before
/// it was passed by then, and is not open again.
pub fn progress(steps: &[Step], readings: &[Reading], today: Today<'_>) -> Progress {
    let mut taken = Taken { steps, readings, then: vec![None; steps.len()], last_live: None };
    let mut refused = Vec::new();
    for (position, reading) in readings.iter().enumerate() {
        let Some(step) = &reading.step else { continue };
        match taken.take(reading, &step.text, today) {
            Ok((step, judged)) => taken.keep(step, position, judged),
            Err(why) => refused.push((position, why)),
        }
    }
    let is_work_left = (0..steps.len())
        .filter(|at| steps.get(*at).is_some_and(|step| step.stage == Stage::Dead))
        .any(|at| !taken.state(at).is_some_and(State::is_passed));
    let mut states: Vec<State> = Vec::with_capacity(steps.len());
    for (at, step) in steps.iter().enumerate() {
        let waits = states
            .iter()
            .take(step.behind)
            .zip(steps)
            .position(|(state, step)| step.hold != Hold::None && !state.is_passed());
        states.push(match (today.has_danger && !step.stage.is_dead(), waits) {
            (true, _) => State::Stopped,
            (false, Some(hold)) => match taken.then.get(at).copied().flatten() {
                Some((reading, _)) => State::Behind { hold, reading },
                None => State::Waits(hold),
            },
            (false, None) => match taken.state(at) {
                Some(State::Passed(reading))
                    if is_work_left && taken.is_stale(at, today.now.as_ref()) =>
                {
                    State::Stale(reading)
                }
                state => state.unwrap_or(State::Open),
            },
        });
    }
    Progress { states, refused }
}

/// What a reading says of its step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Judged {
    Right,
    Wrong,
    Reason,
}

/// The last reading of each step that counted when it was taken.
struct Taken<'t> {
    steps: &'t [Step],
    readings: &'t [Reading],
    then: Vec<Option<(usize, Judged)>>,
    /// The last reading that was taken live, by position.
    last_live: Option<usize>,
}

/// Seconds in an hour.
const HOUR: f64 = 3600.0;

impl Taken<'_> {
    fn keep(&mut self, step: usize, position: usize, judged: Judged) {
        self.then[step] = Some((position, judged));
        if self.steps.get(step).is_some_and(|step| !step.stage.is_dead()) {
            self.last_live = Some(position);
        }
    }

    /// Whether a proof that something is dead says nothing any more: something was live since, or
    /// it is too long ago for what is done at this moment.
    fn is_stale(&self, at: usize, moment: Option<&Moment>) -> bool {
        let is_proof = |step: &Step| step.stage == Stage::Off && step.hold == Hold::Reading;
        if !self.steps.get(at).is_some_and(is_proof) {
            return false;
        }
        let Some((position, _)) = self.then.get(at).copied().flatten() else { return false };
        let hours = band("dead for").high;
        let age = || {
            let then = self.readings.get(position)?.time;
            // Clocks without zones are compared as they stand.
            moment.map(|now| now.seconds_since(then) / HOUR)
        };
        self.last_live.is_some_and(|live| live > position)
            || hours.zip(age()).is_some_and(|(most, age)| age > most)
    }

    /// What the last reading of a step says of it, whatever stands before it; `None` if there is
    /// none.
    fn state(&self, at: usize) -> Option<State> {
        let (position, judged) = self.then.get(at).copied().flatten()?;
        let (step, reading) = (self.steps.get(at)?, self.readings.get(position)?);
        Some(match judged {
            _ if !rests_as_then(step, reading) => State::Again(position),
            Judged::Reason => State::ByReason(position),
            Judged::Right => self.shared(at, position),
            Judged::Wrong => State::Failed(position),
        })
    }

    /// Holds a reading against its step.
    fn take(
        &self,
        reading: &Reading,
        id: &str,
        today: Today<'_>,
    ) -> Result<(usize, Judged), Refused> {
        let is_of_today = reading.sheets == today.hash;
        let at = self.steps.iter().position(|step| step.id == id);
        let at = at.ok_or(if is_of_today { Refused::NoSuchStep } else { Refused::Gone })?;
        let step = &self.steps[at];
        if is_of_today && today.has_danger && !step.stage.is_dead() {
            return Err(Refused::Danger);
        }
        let is_dead_work = step.stage == Stage::Dead;
        let is_closed = |hold: &usize| {
            self.steps[*hold].hold != Hold::None
                && (!self.state(*hold).is_some_and(State::is_passed)
                    || is_dead_work && self.is_stale(*hold, Some(&reading.time)))
        };
        if let Some(hold) = (0..step.behind).find(is_closed).filter(|_| is_of_today) {
            return Err(Refused::OutOfTurn(hold));
        }
        if reading.quantity == Quantity::Reason {
            let has_words =
                matches!(&reading.value, Amount::Seen(words) if !words.trim().is_empty());
            return if step.hold == Hold::Reading || !has_words {
                Err(Refused::NoReason)
            } else {
                Ok((at, Judged::Reason))
            };
        }
        if reading.quantity != step.quantity {
            return Err(Refused::OtherQuantity);
        }
        if matches!(step.expected, Expected::Unknown(_)) {
            return Err(Refused::NotJudged(at));
        }
        let is_right = fits(step, &reading.value);
        Ok((at, if is_right { Judged::Right } else { Judged::Wrong }))
    }

    /// A reading that says something only beside the others of its kind.
    fn shared(&self, at: usize, position: usize) -> State {
        let Some(Expected::Share { bar, low, high, least, .. }) =
            self.steps.get(at).map(|step| &step.expected)
        else {
            return State::Passed(position);
        };
        let amperes = |(step, then): (&Step, &Option<(usize, Judged)>)| {
            if !matches!(&step.expected, Expected::Share { bar: other, .. } if other == bar) {
                return None;
            }
            let reading = then.and_then(|(position, _)| self.readings.get(position));
            let current = reading.filter(|reading| rests_as_then(step, reading));
            Some(current.and_then(number))
        };
        let all: Option<Vec<f64>> = self.steps.iter().zip(&self.then).filter_map(amperes).collect();
        let own = self.readings.get(position).and_then(number);
        let Some((all, own)) = all.zip(own) else { return State::Alone(position) };
        let count = u32::try_from(all.len()).map_or(1.0, f64::from);
        let mean = all.iter().sum::<f64>() / count;
        let share = own / mean;
        let is_right = share >= *low && share <= *high && least.is_none_or(|least| mean >= least);
        if is_right { State::Passed(position) } else { State::Failed(position) }
    }
}

/// Whether what a step rests on is as it was when the reading was taken.
fn rests_as_then(step: &Step, reading: &Reading) -> bool {
    reading.basis.as_deref() == Some(step.basis.as_str())
}

/// Whether a reading is as expected, as far as it says so by itself.
fn fits(step: &Step, amount: &Amount) -> bool {
    match (&step.expected, amount) {
        (Expected::Seen(_), Amount::Seen(words)) => is_yes(words),
        (Expected::Between { low, high, .. }, amount) => {
            // Only of resistance, more than an instrument can show says something.
            let is_told = |most: f64| most.is_finite() || step.quantity == Quantity::Ohms;
            span(amount).filter(|(_, most)| is_told(*most)).is_some_and(|(least, most)| {
                // A sign counts where there is a least: of polarity.
                let (least, most) = match low {
                    Some(_) => (least, most),
                    None => (least.abs(), most.abs()),
                };
                low.is_none_or(|low| least >= low) && high.is_none_or(|high| most <= high)
            })
        }
        (Expected::Share { .. }, amount) => {
            span(amount).is_some_and(|(least, most)| least > 0.0 && most.is_finite())
        }
        (Expected::Seen(_) | Expected::Unknown(_), _) => false,
    }
}

/// The least and the most that was there when an instrument showed this.
const fn span(amount: &Amount) -> Option<(f64, f64)> {
    match amount {
        Amount::Number { value, .. } => Some((*value, *value)),
        Amount::Above(least) => Some((*least, f64::INFINITY)),
        Amount::OverRange => Some((f64::INFINITY, f64::INFINITY)),
        Amount::Seen(_) => None,
    }
}

/// Words that begin an answer.
const YES: [&str; 4] = ["yes", "y", "ok", "seen"];
const NO: [&str; 4] = ["no", "n", "not", "never"];

/// Yes or no at the beginning of what was seen.
///
/// # Errors
/// It begins with neither, or with a yes that a no follows: what is meant then?
pub(super) fn answer(words: &str) -> Result<bool, &'static str> {
    let is_in = |list: &[&str], word: &str| list.iter().any(|one| word.eq_ignore_ascii_case(one));
    let mut all = words.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
    let first = all.next().unwrap_or_default();
    match (is_in(&YES, first), is_in(&NO, first)) {
        (_, true) => Ok(false),
        (true, false) if all.any(|word| is_in(&NO, word)) => {
            Err("it says yes, and no or not behind it: which is meant?")
        }
        (true, false) => Ok(true),
        (false, false) => Err("an answer begins with yes or with no"),
    }
}

fn is_yes(words: &str) -> bool {
    answer(words) == Ok(true)
}

/// What was shown, if it is a number.
const fn number(reading: &Reading) -> Option<f64> {
    match reading.value {
        Amount::Number { value, .. } => Some(value),
        Amount::Above(_) | Amount::OverRange | Amount::Seen(_) => None,
    }
}
