//! What readers found: rules about the sheets themselves, with the words that only the host knows.

use super::{Declared, Subject};
use crate::source::Origin;
use coldcheck_core::rules::RuleId;

/// A place that a reading is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum At {
    /// A thing, or the group.
    Subject(Subject),
    /// A socket of a unit, in the sheet's words: the unit does not have it.
    Socket(usize, String),
}

/// One finding of a reader.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The rule that is broken.
    pub rule: RuleId,
    /// The places that identify it.
    pub at: Vec<At>,
    /// Others to look at.
    pub near: Vec<At>,
    /// What is written.
    pub value: Option<String>,
    /// What was understood or expected.
    pub wanted: Option<String>,
    /// Where it is written.
    pub origins: Vec<Origin>,
}

impl Reading {
    /// A finding at these words of the sheets.
    pub(super) const fn new(rule: RuleId, origins: Vec<Origin>) -> Self {
        Self { rule, at: Vec::new(), near: Vec::new(), value: None, wanted: None, origins }
    }

    pub(super) fn at(mut self, place: At) -> Self {
        self.at.push(place);
        self
    }

    pub(super) fn at_cable(self, cable: usize) -> Self {
        self.at(At::Subject(Subject::Cable(cable)))
    }

    pub(super) fn value(mut self, words: impl Into<String>) -> Self {
        self.value = Some(words.into());
        self
    }

    pub(super) fn wanted(mut self, words: Option<String>) -> Self {
        self.wanted = words;
        self
    }

    pub(super) fn is_about_cable(&self, cable: usize) -> bool {
        self.at.contains(&At::Subject(Subject::Cable(cable)))
    }
}

impl Declared {
    /// Notes a finding. The same words about the same place are one finding.
    pub(super) fn found(&mut self, reading: Reading) {
        let same = |other: &&mut Reading| {
            (other.rule, &other.at, &other.value) == (reading.rule, &reading.at, &reading.value)
        };
        match self.readings.iter_mut().find(same) {
            Some(known) => {
                for origin in reading.origins {
                    if !known.origins.contains(&origin) {
                        known.origins.push(origin);
                    }
                }
            }
            None => self.readings.push(reading),
        }
    }

    /// Says that a rule of the readers cannot be checked, and why.
    pub(super) fn unread(&mut self, rule: RuleId, why: &'static str) {
        self.unread.push((rule, why));
    }

    /// A cable that turned out to be one that another sheet lists: what was found about it is
    /// found about that one.
    pub(super) fn moved_cable(&mut self, from: usize, to: usize) {
        for reading in &mut self.readings {
            for place in &mut reading.at {
                if *place == At::Subject(Subject::Cable(from)) {
                    *place = At::Subject(Subject::Cable(to));
                }
            }
        }
    }
}
