//! What a rule is: its name, what it needs, what spoils it, its check and its words.
//!
//! One rule is one file under `rules/`, named after its slug, that holds a single
//! `pub(crate) const RULE: Rule` and the check. The words never reach a microcontroller: what it
//! links is the projection in [`crate::rules`], which copies everything but them.

use crate::compared::Compared;
use crate::links::Links;
use crate::nets::Nets;
use crate::plan::{DataSet, Datum, Demand, DemandSet};
use crate::report::Sink;
use crate::rules::RuleId;

/// How bad it is when a rule is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Works, but not well or not for long.
    Degraded,
    /// Will not start.
    NoStart,
    /// Hurts people or damages things.
    Danger,
}

impl Severity {
    /// The word in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Degraded => "degraded",
            Self::NoStart => "no-start",
            Self::Danger => "danger",
        }
    }
}

/// What must be stated and declared before a rule can be checked at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Needs {
    /// Demands that must be stated, all of them.
    pub demands: DemandSet,
    /// Demands of which one must be stated, if there are any.
    pub any: DemandSet,
    /// A demand that must have this value.
    pub value: Option<(Demand, u8)>,
    /// Data that must be declared everywhere.
    pub whole: DataSet,
    /// Data that must be declared somewhere. Where it is missing, the rule has a gap.
    pub some: DataSet,
    /// Data that it reads besides, if they are declared.
    pub also: DataSet,
    /// Demands that it reads besides, if they are stated.
    pub also_demands: DemandSet,
    /// Rules that hide what this one looks for while they are broken: finding nothing then means
    /// nothing. What is found stands.
    pub doubted_by: &'static [RuleId],
}

impl Needs {
    /// Nothing.
    pub const NOTHING: Self = Self {
        demands: DemandSet::EMPTY,
        any: DemandSet::EMPTY,
        value: None,
        whole: DataSet::EMPTY,
        some: DataSet::EMPTY,
        also: DataSet::EMPTY,
        also_demands: DemandSet::EMPTY,
        doubted_by: &[],
    };

    /// These demands, all of them.
    pub const fn demands(demands: &[Demand]) -> Self {
        Self { demands: DemandSet::of(demands), ..Self::NOTHING }
    }

    /// One of these demands.
    pub const fn any(demands: &[Demand]) -> Self {
        Self { any: DemandSet::of(demands), ..Self::NOTHING }
    }

    /// A demand with this value, as its word's code.
    pub const fn value(demand: Demand, code: u8) -> Self {
        Self { demands: DemandSet::of(&[demand]), value: Some((demand, code)), ..Self::NOTHING }
    }

    /// It reads these data besides, if they are declared. For the host.
    #[must_use]
    pub const fn also(self, data: &[Datum]) -> Self {
        Self { also: DataSet::of(data), ..self }
    }

    /// It reads these demands besides, if they are stated. For the host.
    #[must_use]
    pub const fn also_demands(self, demands: &[Demand]) -> Self {
        Self { also_demands: DemandSet::of(demands), ..self }
    }

    /// It is met only while none of these is broken; otherwise it is not checked.
    #[must_use]
    pub const fn doubted_by(self, rules: &'static [RuleId]) -> Self {
        Self { doubted_by: rules, ..self }
    }

    /// And these data everywhere.
    #[must_use]
    pub const fn whole(self, data: &[Datum]) -> Self {
        Self { whole: DataSet::of(data), ..self }
    }

    /// And these data somewhere.
    #[must_use]
    pub const fn some(self, data: &[Datum]) -> Self {
        Self { some: DataSet::of(data), ..self }
    }
}

/// The check of a rule about the communication side.
pub type LinkCheck = fn(&Links<'_>, &mut Sink<'_, '_>);
/// The check of a rule about the power side.
pub type PowerCheck = fn(&Nets<'_>, &mut Sink<'_, '_>);
/// The check of a rule about what is heard.
pub type HeardCheck = fn(&Compared<'_>, &mut Sink<'_, '_>);

/// Who finds it, and from what.
#[derive(Clone, Copy, Debug)]
pub enum Check {
    /// The readers of sheets, while they read.
    Reader,
    /// A function over the tables of the communication side.
    Link(LinkCheck),
    /// A function over the tables of the power side.
    Power(PowerCheck),
    /// A function over what was declared and what was heard.
    Heard(HeardCheck),
    /// The host, which has the tables and the floating point that sizes need; it writes the outcome
    /// before the other checks run. A microcontroller never runs it.
    Sized,
}

/// One rule.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Its name for people: the fault, in words joined by hyphens.
    pub slug: &'static str,
    /// How bad it is when it is broken.
    pub severity: Severity,
    /// Whether a person must answer before anything else makes sense.
    pub asks: bool,
    /// What it needs.
    pub needs: Needs,
    /// Rules whose breakage spoils it; they stand above it in the table.
    pub after: &'static [RuleId],
    /// Its check.
    pub check: Check,
    /// The declared fact that a finding points at on the sheet.
    pub shows: Datum,
    /// Its words.
    pub text: Text,
}

/// The words of a rule. For the host only.
#[derive(Clone, Copy, Debug)]
pub struct Text {
    /// The fault, at most 60 characters, no full stop.
    pub title: &'static str,
    /// One sentence with the slots `{places}`, `{either}` (the places joined by "or"),
    /// `{related}`, `{value}` and `{wanted}`; a part in square brackets is left out if one of its
    /// slots has nothing to say.
    pub says: &'static str,
    /// What goes wrong on site.
    pub why: &'static str,
    /// What to do, one action.
    pub act: &'static str,
    /// What to measure or to look at, and what must be seen.
    pub prove: &'static str,
    /// Where the fact comes from, or that it has no source.
    pub source: &'static str,
    /// Why rules that come after this one cannot be checked while it is broken; empty if none do.
    pub spoils: &'static str,
    /// An edit of the right example site that breaks exactly this rule.
    pub example: Example,
}

/// A right site, and the edit that breaks it.
#[derive(Clone, Copy, Debug)]
pub struct Example {
    /// The right site, as a site file; or several sheets, each below a line `== NAME`.
    pub site: &'static str,
    /// Pieces of that file, each with what a person wrote in its place.
    pub edits: &'static [(&'static str, &'static str)],
    /// Rules that are broken along with this one whenever it is.
    pub with: &'static [RuleId],
}

/// What every rule file needs: `use crate::rule::prelude::*;`.
pub(crate) mod prelude {
    pub(crate) use super::{Check, Example, Needs, Rule, Severity, Text};
    pub(crate) use crate::compared::Compared;
    pub(crate) use crate::finding::Quantity;
    pub(crate) use crate::links::Links;
    pub(crate) use crate::place::{CableId, Place};
    pub(crate) use crate::plan::{Datum, Demand};
    pub(crate) use crate::report::Sink;
    pub(crate) use crate::rules::RuleId;
    pub(crate) use crate::rules::examples;
    pub(crate) use crate::sets::{CableSet, NodeSet, UnitSet};
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn severities_have_the_words_of_the_reports() {
        let all = [Severity::Note, Severity::Degraded, Severity::NoStart, Severity::Danger];
        assert_eq!(all.map(Severity::word), ["note", "degraded", "no-start", "danger"]);
    }

    #[test]
    fn what_a_rule_reads_besides_is_kept() {
        let needs = Needs::NOTHING.also(&[Datum::Phase]).also_demands(&[Demand::BitRate]);
        assert!(needs.also.contains(Datum::Phase));
        assert_eq!(needs.also_demands, DemandSet::of(&[Demand::BitRate]));
    }
}
