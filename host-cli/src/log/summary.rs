//! What a log was like: how much of it was understood, and whether its times can be used.

use super::{MOST_INTERFACES, Said};
use coldcheck_core::plan::Milliseconds;

/// The form of a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Lines as candump writes them.
    Candump,
    /// Lines of an adapter that speaks SLCAN.
    Slcan,
}

impl Form {
    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Candump => "candump",
            Self::Slcan => "SLCAN",
        }
    }
}

/// What is known of the times of a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Times {
    /// They can be used.
    Told,
    /// Some lines have none, or all.
    Lacking,
    /// They run backwards so often that they are no times of day.
    Unsteady,
}

/// A line that fits no form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfit {
    /// Its number, from 1.
    pub line: u64,
    /// Its beginning.
    pub text: String,
}

/// What a log was like.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Summary {
    /// Its form; `None` if no line fits any.
    pub form: Option<Form>,
    /// How many lines it has.
    pub lines: u64,
    /// How many frames came.
    pub frames: u64,
    /// How many frames the recorder sent itself.
    pub sent: u64,
    /// How many frames of CAN FD or of a later kind came.
    pub others: u64,
    /// How many error frames and states of the controller came.
    pub errors: u64,
    /// How many lines fit no form.
    pub unfit: u64,
    /// The first of them.
    pub shown: Vec<Unfit>,
    /// The interfaces, with the number of lines of each.
    pub interfaces: Vec<(String, u64)>,
    /// How many lines have a time.
    pub with_time: u64,
    /// How many lines have none.
    pub without_time: u64,
    /// How often a line was older than the one before.
    pub steps_back: u64,
    /// How often it was older by more than a second.
    pub jumps_back: u64,
    /// The time of the last line, in milliseconds since the first.
    pub last_ms: u32,
}

impl Summary {
    /// What is known of the times: one without a time makes the rhythm of all doubtful, and times
    /// that run backwards in every fourth line, or more often, are differences.
    pub const fn times(&self) -> Times {
        if self.without_time > 0 || self.with_time == 0 {
            Times::Lacking
        } else if self.steps_back.saturating_mul(4) >= self.with_time && self.steps_back > 1 {
            Times::Unsteady
        } else {
            Times::Told
        }
    }

    /// How many seconds it is of, if its times can be used.
    pub fn seconds(&self) -> Option<f64> {
        (self.times() == Times::Told).then(|| f64::from(self.last_ms) / 1000.0)
    }

    pub(super) const fn note(&mut self, said: &Said, at: Milliseconds) {
        self.last_ms = at.0;
        let count = match said {
            Said::Frame(_) => &mut self.frames,
            Said::Sent(_) => &mut self.sent,
            Said::Other => &mut self.others,
            Said::Error(_) | Said::Status(_) => &mut self.errors,
        };
        *count += 1;
    }

    pub(super) fn note_interface(&mut self, name: &str) {
        if let Some((_, count)) = self.interfaces.iter_mut().find(|(known, _)| known == name) {
            *count += 1;
        } else if self.interfaces.len() < MOST_INTERFACES {
            self.interfaces.push((name.to_owned(), 1));
        }
    }
}
