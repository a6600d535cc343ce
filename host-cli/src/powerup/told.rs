//! Everything that `powerup` tells, in words; renderers only lay it out.

use super::{Expected, Hold, Progress, Refused, Stage, State, Step, WayDown};
use crate::diagnosis::Diagnosis;
use crate::engine::Site;
use crate::readings::{Amount, Quantity, Reading};

/// Everything that `powerup` tells.
#[derive(Debug)]
pub struct Told<'t> {
    /// The site.
    pub site: &'t Site,
    /// What `check` says of it.
    pub diagnosis: &'t Diagnosis,
    /// The steps.
    pub steps: &'t [Step],
    /// Where each stands.
    pub progress: Progress,
    /// The readings.
    pub readings: &'t [Reading],
    /// The way down.
    pub way_down: &'t WayDown,
    /// The hash of the sheets.
    pub hash: &'t str,
    /// What is to be said of the readings file.
    pub remarks: Vec<String>,
}

impl Told<'_> {
    /// The reading that a step's state comes from.
    pub fn reading(&self, step: usize) -> Option<&Reading> {
        self.readings.get(self.progress.states.get(step)?.reading()?)
    }

    /// Where a step stands, in a few words.
    pub fn state(&self, step: usize) -> String {
        let state = self.progress.states.get(step).copied().unwrap_or(State::Open);
        match state {
            State::Open => "open".to_owned(),
            State::Waits(hold) => format!("waits for {}", self.name(hold)),
            State::Stopped => "stopped: a danger stands in the sheets".to_owned(),
            State::Passed(_) => "passed".to_owned(),
            State::ByReason(_) => "left by reason".to_owned(),
            State::Failed(_) => "NOT AS EXPECTED".to_owned(),
            State::Again(_) => "open again: what it rests on has changed".to_owned(),
            State::Undone(_) => "open again: everything was locked off since".to_owned(),
            State::Alone(_) => "waits for the other units' readings".to_owned(),
            State::Behind { hold, .. } => format!("read, and waits for {}", self.name(hold)),
            State::Stale(_) => {
                "to be proven again: it is too long ago, or something was live since".to_owned()
            }
            State::Disproved(_) => {
                "to be proven again: something was found live, or not off, since: what feeds it may \
                 feed this too"
                    .to_owned()
            }
        }
    }

    fn name(&self, step: usize) -> &str {
        self.steps.get(step).map_or("", |step| step.id.as_str())
    }

    /// How many steps are passed.
    pub fn passed(&self) -> usize {
        self.progress.states.iter().filter(|state| state.is_passed()).count()
    }

    /// How many are not as expected.
    pub fn failed(&self) -> usize {
        let is_failed = |state: &&State| matches!(state, State::Failed(_));
        self.progress.states.iter().filter(is_failed).count()
    }
}

/// Why a reading does not count, in words.
pub fn refusal(steps: &[Step], refused: Refused) -> String {
    let name = |step: usize| steps.get(step).map_or("", |step| step.id.as_str());
    match refused {
        Refused::NoSuchStep | Refused::Gone => "this site has no such step".to_owned(),
        Refused::OutOfTurn(hold) => {
            let is_off = steps.get(hold).is_some_and(|step| step.stage == Stage::Off);
            let again = if is_off {
                ", also where that was long ago, or something was live or found live since"
            } else {
                ""
            };
            format!("{} must be passed first{again}", name(hold))
        }
        Refused::Danger => "a danger stands in the sheets: nothing is done live".to_owned(),
        Refused::NoReason => "only a reading passes this step, no reason".to_owned(),
        Refused::OtherQuantity => "this step takes another quantity".to_owned(),
        Refused::NotJudged(at) => {
            let missing = match steps.get(at).map(|step| &step.expected) {
                Some(Expected::Unknown(missing)) => missing.as_str(),
                Some(Expected::Between { .. } | Expected::Share { .. } | Expected::Seen(_))
                | None => "what must be read",
            };
            format!("it cannot be judged before the sheets state {missing}")
        }
    }
}

impl Step {
    /// What must be read, in words.
    pub fn must(&self) -> String {
        match &self.expected {
            Expected::Between { source, .. } => format!("{} ({source})", self.bare()),
            Expected::Share { bar, low, high, least, source } => {
                let load = least.map_or_else(String::new, |least| {
                    format!(", the mean at least {} A", number(least))
                });
                format!(
                    "{:.0} to {:.0} % of the mean of all units at {bar}{load} ({source})",
                    low * 100.0,
                    high * 100.0
                )
            }
            Expected::Seen(what) => what.clone(),
            Expected::Unknown(missing) => format!("not known: nobody states {missing}"),
        }
    }

    /// The same without who says so.
    pub fn bare(&self) -> String {
        match &self.expected {
            Expected::Between { low, high, .. } => range(self.quantity, *low, *high),
            Expected::Unknown(_) => "not known for want of the same".to_owned(),
            Expected::Share { .. } | Expected::Seen(_) => self.must(),
        }
    }

    /// What its hold means, in words.
    pub const fn holds(&self) -> &'static str {
        match self.hold {
            Hold::None => "note",
            Hold::Reason => "hold",
            Hold::Reading => "HOLD, reading only",
        }
    }
}

fn range(quantity: Quantity, low: Option<f64>, high: Option<f64>) -> String {
    let unit = quantity.unit();
    match (low, high) {
        (Some(low), Some(high)) => format!("{} to {} {unit}", number(low), number(high)),
        (Some(low), None) => format!("at least {}", with_unit(quantity, low)),
        (None, Some(high)) => format!("at most {}", with_unit(quantity, high)),
        (None, None) => format!("any {unit}"),
    }
}

/// A number with its unit; millions of ohms as such.
fn with_unit(quantity: Quantity, value: f64) -> String {
    let unit = quantity.unit();
    if unit == "ohm" && value >= 1e6 {
        return format!("{} Mohm", number(value / 1e6));
    }
    format!("{} {unit}", number(value))
}

/// A number with as many places as a meter shows of it.
fn number(value: f64) -> String {
    let places = if value.abs() >= 100.0 || value.fract() == 0.0 { 0 } else { 2 };
    let text = format!("{value:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// What was read, in words.
pub fn shown(reading: &Reading) -> String {
    match &reading.value {
        Amount::Number { value, .. } => with_unit(reading.quantity, *value),
        Amount::Above(least) => format!("above {}", with_unit(reading.quantity, *least)),
        Amount::OverRange => "over range".to_owned(),
        Amount::Seen(words) => words.clone(),
    }
}
