//! The report that checks write into: outcomes that are never dropped, and findings with places
//! in memory that the caller lends.
//!
//! A gateway lends room for some dozen findings, a host for thousands. What does not fit is
//! counted; a quarter of the room is kept for dangers.

mod sink;

pub use sink::Sink;

use crate::finding::{Finding, Outcome, Span, Unknown, Verdict};
use crate::limits;
use crate::place::Place;
use crate::plan::DataSet;
use crate::rules::RuleId;

/// Memory that is filled from the front.
#[derive(Debug)]
struct Lent<'m, T> {
    items: &'m mut [T],
    used: usize,
}

impl<'m, T: Copy> Lent<'m, T> {
    fn new(items: &'m mut [T]) -> Self {
        Self { items, used: 0 }
    }

    /// Adds an item and gives its position, unless only the kept room is left.
    fn push(&mut self, item: T, kept: usize) -> Option<usize> {
        if self.used >= self.items.len().saturating_sub(kept) {
            return None;
        }
        *self.items.get_mut(self.used)? = item;
        let position = self.used;
        self.used = self.used.wrapping_add(1);
        Some(position)
    }

    fn filled(&self) -> &[T] {
        self.items.get(..self.used).unwrap_or(&[])
    }

    /// Room that only dangers may take.
    fn kept(&self) -> usize {
        self.items.len().checked_shr(2).unwrap_or(0)
    }
}

/// What a check found, what was met and what could not be checked.
#[derive(Debug)]
pub struct Report<'m> {
    outcomes: [Outcome; limits::RULES],
    findings: Lent<'m, Finding>,
    places: Lent<'m, Place>,
    unknowns: Lent<'m, Unknown>,
    tally: Tally,
    undeclared: DataSet,
    /// Whether any rule ended in a way that can spoil another.
    may_spoil: bool,
}

/// Numbers from which the verdict is taken; what did not fit is counted here all the same.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Tally {
    /// Findings of severity danger.
    pub dangers: u16,
    /// Findings of severity no-start.
    pub no_starts: u16,
    /// Findings of severity degraded.
    pub degraded: u16,
    /// Findings of severity note.
    pub notes: u16,
    /// Findings, and questions of readers, that a person must answer.
    pub questions: u16,
    /// Findings for which the lent memory was too short.
    pub dropped_findings: u16,
    /// Places for which the lent memory was too short.
    pub dropped_places: u16,
}

impl Tally {
    /// The verdict on these counts, the first that fits; `undeclared` is whether something that
    /// must be declared is not.
    pub const fn verdict(&self, undeclared: bool) -> Verdict {
        if self.dangers > 0 {
            Verdict::Stop
        } else if self.questions > 0 {
            Verdict::Ask
        } else if self.no_starts > 0 || self.degraded > 0 {
            Verdict::FixFirst
        } else if undeclared {
            Verdict::Incomplete
        } else if self.notes > 0 {
            Verdict::OkWithNotes
        } else {
            Verdict::Ok
        }
    }
}

impl<'m> Report<'m> {
    /// An empty report that writes into the given memory. The part for unknowns may be empty:
    /// outcomes say what was not checked, unknowns only where.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub fn new(
        findings: &'m mut [Finding],
        places: &'m mut [Place],
        unknowns: &'m mut [Unknown],
    ) -> Self {
        Self {
            outcomes: const { [Outcome::NotRun; limits::RULES] },
            findings: Lent::new(findings),
            places: Lent::new(places),
            unknowns: Lent::new(unknowns),
            tally: Tally::default(),
            undeclared: DataSet::EMPTY,
            may_spoil: false,
        }
    }

    /// How a rule ended.
    pub fn outcome(&self, rule: RuleId) -> Outcome {
        self.outcomes.get(rule.index()).copied().unwrap_or_default()
    }

    /// The findings that fitted, in the order of the rule table.
    pub fn findings(&self) -> &[Finding] {
        self.findings.filled()
    }

    /// What could not be decided, as far as it fitted.
    pub fn unknowns(&self) -> &[Unknown] {
        self.unknowns.filled()
    }

    /// The places that identify a finding or an unknown.
    pub fn places(&self, span: Span) -> &[Place] {
        self.slice(span.start, span.places)
    }

    /// Other places to look at.
    pub fn related(&self, span: Span) -> &[Place] {
        self.slice(span.start.saturating_add(span.places), span.related)
    }

    fn slice(&self, start: u16, count: u16) -> &[Place] {
        let start = usize::from(start);
        let end = start.saturating_add(usize::from(count));
        self.places.filled().get(start..end).unwrap_or(&[])
    }

    /// Counts of findings.
    pub const fn tally(&self) -> Tally {
        self.tally
    }

    /// Data in scope that must be declared and are not.
    pub const fn undeclared(&self) -> DataSet {
        self.undeclared
    }

    /// The verdict on what ran so far, the first that fits.
    pub const fn verdict(&self) -> Verdict {
        self.tally.verdict(!self.undeclared.is_empty())
    }

    pub(crate) fn add_questions(&mut self, count: u16) {
        self.tally.questions = self.tally.questions.saturating_add(count);
    }

    pub(crate) fn set_outcome(&mut self, rule: RuleId, outcome: Outcome) {
        if let Some(place) = self.outcomes.get_mut(rule.index()) {
            *place = outcome;
        }
    }

    /// Whether any rule is broken or blocked; on most sites none is.
    pub(crate) const fn may_spoil(&self) -> bool {
        self.may_spoil
    }

    pub(crate) fn set_undeclared(&mut self, data: DataSet) {
        self.undeclared = data;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rule::Severity;

    #[test]
    fn a_quarter_of_the_room_is_kept_for_dangers() {
        let (note, danger) = (RuleId::LengthMissing, RuleId::CoordinatorTwo);
        let (mut findings, mut places) = ([Finding::BLANK; 8], [Place::Group; 8]);
        let mut report = Report::new(&mut findings, &mut places, &mut []);
        for (rule, severity) in [(note, Severity::Note), (danger, Severity::Danger)] {
            let mut sink = Sink::new(&mut report, rule, severity, false);
            for _ in 0..7 {
                sink.add().at(Place::Group);
            }
        }
        let of = |rule| report.findings().iter().filter(|one| one.rule == rule).count();
        assert_eq!((of(note), of(danger)), (6, 2));
        assert_eq!(report.tally().dropped_findings, 6);
        let kept = report.findings().iter().filter(|one| !report.places(one.places).is_empty());
        assert_eq!(kept.count(), 8, "places are kept for dangers too");
    }
}
