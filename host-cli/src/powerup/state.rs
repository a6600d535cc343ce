//! Where a power-up stands: the readings in the order of their file, held against the steps.
//!
//! Nothing is remembered but the file. Whoever is cut off goes on where the file ends, and whoever
//! changes a sheet sees at once which steps are open again.

use super::Stage;
use super::bands::band;
use super::fits::{fits, number};
use super::{Expected, Hold, Refused, Step};
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
    /// It was proven locked off or dead by this reading, and something was found live since: some
    /// source is not off.
    Disproved(usize),
    /// It was brought about by this reading, and everything was locked off since.
    Undone(usize),
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
            Self::Again(_) | Self::Undone(_) => "open-again",
            Self::Alone(_) => "waits-for-others",
            Self::Behind { .. } => "read-and-waits",
            Self::Stale(_) | Self::Disproved(_) => "to-be-proven-again",
        }
    }

    /// Whether a reading can be taken now that changes it.
    pub const fn is_takeable(self) -> bool {
        matches!(
            self,
            Self::Open
                | Self::Failed(_)
                | Self::Again(_)
                | Self::Stale(_)
                | Self::Disproved(_)
                | Self::Undone(_)
        )
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
            | Self::Disproved(at)
            | Self::Undone(at)
            | Self::Behind { reading: at, .. } => Some(at),
            Self::Open | Self::Waits(_) | Self::Stopped => None,
        }
    }
}

/// Where the whole stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// Of each step.
    pub states: Vec<State>,
    /// Readings that do not count, by position.
    pub refused: Vec<(usize, Refused)>,
    /// Readings that counted when they were taken, in their order.
    pub taken: Vec<OneTaken>,
}

/// A reading that counted when it was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OneTaken {
    /// The reading, by position.
    pub reading: usize,
    /// Its step, by position.
    pub step: usize,
    /// What it said of it.
    pub judged: Judged,
}

impl Progress {
    /// The first step that can be taken now: a hold before all others.
    pub fn next(&self, steps: &[Step]) -> Option<usize> {
        let is_open = |at: &usize| self.states.get(*at).is_some_and(|state| state.is_takeable());
        (0..steps.len()).find(is_open)
    }

    /// The readings of a step that were not as expected, by position, oldest first.
    pub fn wrong(&self, step: usize) -> impl Iterator<Item = usize> {
        let is_wrong = move |one: &&OneTaken| one.step == step && one.judged == Judged::Wrong;
        self.taken.iter().filter(is_wrong).map(|one| one.reading)
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
    let mut taken = Taken {
        steps,
        readings,
        then: vec![None; steps.len()],
        last_live: None,
        last_disproof: None,
        last_lock: None,
    };
    let (mut refused, mut counted) = (Vec::new(), Vec::new());
    for (position, reading) in readings.iter().enumerate() {
        let Some(step) = &reading.step else { continue };
        match taken.take(reading, &step.text, today) {
            Ok((step, judged)) => {
                taken.keep(step, position, judged);
                counted.push(OneTaken { reading: position, step, judged });
            }
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
            // A live bar stays told as one, whatever must be done before it is read again.
            (false, Some(_)) if taken.found_live(at).is_some() => {
                taken.state(at).unwrap_or(State::Open)
            }
            (false, Some(hold)) => match taken.then.get(at).copied().flatten() {
                Some((reading, _)) => State::Behind { hold, reading },
                None => State::Waits(hold),
            },
            (false, None) => match taken.state(at) {
                Some(State::Passed(reading) | State::ByReason(reading))
                    if taken.is_disproved(at) =>
                {
                    State::Disproved(reading)
                }
                Some(State::Passed(reading))
                    if is_work_left && taken.is_stale(at, today.now.as_ref()) =>
                {
                    State::Stale(reading)
                }
                state => state.unwrap_or(State::Open),
            },
        });
    }
    Progress { states, refused, taken: counted }
}

/// What a reading says of its step, as far as it does by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judged {
    /// It is as expected.
    Right,
    /// It is not.
    Wrong,
    /// It is a reason, and no reading.
    Reason,
}

/// The last reading of each step that counted when it was taken.
struct Taken<'t> {
    steps: &'t [Step],
    readings: &'t [Reading],
    then: Vec<Option<(usize, Judged)>>,
    /// The last reading that was taken live, by position.
    last_live: Option<usize>,
    /// The last reading that showed that something was not off, by position.
    last_disproof: Option<usize>,
    /// The last reading that says that everything is locked off, by position.
    last_lock: Option<usize>,
}

/// Seconds in an hour.
const HOUR: f64 = 3600.0;

impl Taken<'_> {
    fn keep(&mut self, step: usize, position: usize, judged: Judged) {
        self.then[step] = Some((position, judged));
        if self.steps.get(step).is_some_and(|step| !step.stage.is_dead()) {
            self.last_live = Some(position);
        }
        let is_off = |step: &Step| step.stage == Stage::Off && step.quantity == Quantity::Seen;
        if self.steps.get(step).is_some_and(is_off) && judged == Judged::Right {
            self.last_lock = Some(position);
        }
        if self.steps.get(step).is_some_and(|step| step.stage == Stage::Off)
            && judged == Judged::Wrong
        {
            self.last_disproof = Some(position);
        }
    }

    /// Whether a step's proof that all is off, or that something is dead, is older than a reading
    /// that shows the contrary somewhere: what feeds that place may feed every other.
    fn is_disproved(&self, at: usize) -> bool {
        let is_off = self.steps.get(at).is_some_and(|step| step.stage == Stage::Off);
        let then = self.then.get(at).copied().flatten();
        is_off && then.zip(self.last_disproof).is_some_and(|((then, _), live)| then < live)
    }

    /// The last reading of a step that must be dead and was not, by position.
    fn found_live(&self, at: usize) -> Option<usize> {
        let step = self.steps.get(at).filter(|step| step.stage == Stage::Off)?;
        let (position, judged) = self.then.get(at).copied().flatten()?;
        let reading = self.readings.get(position)?;
        (judged == Judged::Wrong && rests_as_then(step, reading)).then_some(position)
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
            // What was switched on for it is off now, whatever it showed.
            _ if step.is_undone_by_lock() && self.last_lock.is_some_and(|lock| lock > position) => {
                State::Undone(position)
            }
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
                    || self.is_disproved(*hold)
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
