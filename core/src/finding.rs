//! What a check says: typed findings and outcomes, never text.

use crate::heard::BusTrouble;
use crate::plan::{AddressRange, Datum, Demand, OperatingState, Pairing, Role, Setting};
use crate::rules::RuleId;
use crate::units::{BitsPerSecond, Capacity, MilliRatio, Milliamperes, Millimetres, Ohms};

/// A number that belongs to a finding, with what it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Quantity {
    /// An address on the link.
    Address(u16),
    /// A number of units.
    Units(u16),
    /// A number of terminators.
    Terminators(u16),
    /// A number of pieces that the link falls into.
    Pieces(u16),
    /// A length.
    Length(Millimetres),
    /// A range of addresses.
    Addresses(AddressRange),
    /// A number of battery packs.
    Packs(u16),
    /// A resistance.
    Resistance(Ohms),
    /// A ratio of a sensor.
    Ratio(MilliRatio),
    /// A speed of a bus.
    BitRate(BitsPerSecond),
    /// A current.
    Current(Milliamperes),
    /// A capacity.
    Capacity(Capacity),
    /// An operating state.
    State(OperatingState),
    /// A setting.
    Setting(Setting),
    /// Which link sockets may meet.
    Pairing(Pairing),
    /// A role.
    Role(Role),
    /// A version of firmware: four parts, the first in the high byte.
    Version(u32),
    /// A serial number.
    Serial(u32),
    /// What is likely to be wrong with the bus.
    Trouble(BusTrouble),
    /// A word that only the host knows: position in its list.
    Word(u16),
}

impl Quantity {
    /// A number of units; more than 65,535 is said to be that many.
    pub fn units(count: u32) -> Self {
        Self::Units(u16::try_from(count).unwrap_or(u16::MAX))
    }
}

/// One fault, with the places that identify it and others to look at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Finding {
    /// The rule that is broken.
    pub rule: RuleId,
    /// What was declared.
    pub value: Option<Quantity>,
    /// What was demanded, or what the others have.
    pub wanted: Option<Quantity>,
    /// Where its places lie in the report.
    pub places: Span,
}

impl Finding {
    /// Fills memory that is lent to a report.
    pub const BLANK: Self = Self {
        rule: RuleId::FIRST,
        value: None,
        wanted: None,
        places: Span { start: 0, places: 0, related: 0 },
    };
}

/// A part of a rule that could not be decided, with the places that lack the datum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Unknown {
    /// The rule.
    pub rule: RuleId,
    /// What is not declared.
    pub datum: Datum,
    /// Where its places lie in the report; none means wherever the datum is missing.
    pub places: Span,
}

impl Unknown {
    /// Fills memory that is lent to a report.
    pub const BLANK: Self = Self {
        rule: RuleId::FIRST,
        datum: Datum::Role,
        places: Span { start: 0, places: 0, related: 0 },
    };
}

/// A run of places in a report: first those that identify, then those to look at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Span {
    pub(crate) start: u16,
    pub(crate) places: u16,
    pub(crate) related: u16,
}

/// How a rule ended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Outcome {
    /// Its stage did not run, or its part is out of scope.
    #[default]
    NotRun,
    /// Nothing against it was declared.
    Met,
    /// At least one finding.
    Broken,
    /// Not checked: nobody demands it.
    Undemanded(Demand),
    /// Not checked: this is not declared.
    Missing(Datum),
    /// Not checked: this broken rule stands in its way.
    Blocked(RuleId),
}

/// What stands at the end, the first that fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Verdict {
    /// Nothing found.
    Ok,
    /// Nothing but notes found.
    OkWithNotes,
    /// Nothing found, but something that must be declared is not.
    Incomplete,
    /// A finding that keeps the group from starting, or from working well.
    FixFirst,
    /// A reading is ambiguous or a sheet contradicts itself.
    Ask,
    /// A danger stands.
    Stop,
}

impl Verdict {
    /// Every verdict with its word, mildest first.
    pub const WORDS: &'static [(Self, &'static str)] = &[
        (Self::Ok, "ok"),
        (Self::OkWithNotes, "ok-with-notes"),
        (Self::Incomplete, "incomplete"),
        (Self::FixFirst, "fix-first"),
        (Self::Ask, "ask"),
        (Self::Stop, "stop"),
    ];

    /// The process exit code.
    pub const fn exit_code(self) -> u8 {
        match self {
            Self::Ok | Self::OkWithNotes => 0,
            Self::FixFirst => 1,
            Self::Ask => 3,
            Self::Incomplete => 4,
            Self::Stop => 5,
        }
    }

    /// The word in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::OkWithNotes => "ok-with-notes",
            Self::Incomplete => "incomplete",
            Self::FixFirst => "fix-first",
            Self::Ask => "ask",
            Self::Stop => "stop",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_verdict_has_its_word_and_its_exit_code() {
        let codes = Verdict::WORDS.iter().map(|(verdict, word)| {
            assert_eq!(verdict.word(), *word);
            verdict.exit_code()
        });
        // As the design lists them.
        assert_eq!(codes.collect::<Vec<_>>(), [0, 0, 4, 1, 3, 5]);
    }
}
