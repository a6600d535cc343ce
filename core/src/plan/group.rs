//! What is demanded, and facts about the group as a whole.
#![allow(unnameable_types, reason = "zerocopy's derive makes helper types that nobody names")]

use super::codes::YesNo;
use super::datum::DataSet;
use super::demand::{Demand, DemandSet};
use super::record::record;
use crate::limits;
use crate::units::Capacity;
use zerocopy::byteorder::little_endian::{U16, U32, U64};

record! {
    /// What the profile and the site demand.
    DemandRecord, 224 bytes {
        /// Data that must be declared, as a [`DataSet`].
        must_declare: U64,
        /// Demands that are stated, as a [`DemandSet`].
        stated: U64,
        /// Values by position.
        values: [U32; limits::DEMANDS],
    }
}

/// The two halves, the lower one first.
fn words(whole: &U64) -> &[U32; 2] {
    zerocopy::transmute_ref!(whole)
}

impl DemandRecord {
    /// The value's bits, if the demand is stated.
    pub fn bits(&self, demand: Demand) -> Option<u32> {
        let position = demand.position();
        let [low, high] = words(&self.stated);
        let word = if position < u32::BITS { low } else { high };
        if word.get().wrapping_shr(position) & 1 == 0 {
            return None;
        }
        Some(self.values.get(usize::try_from(position).ok()?)?.get())
    }

    /// The demands that are stated.
    pub fn stated(&self) -> DemandSet {
        DemandSet(self.stated.get())
    }

    /// The data that must be declared.
    pub fn must_declare(&self) -> DataSet {
        DataSet(self.must_declare.get())
    }
}

record! {
    /// Facts about the group as a whole.
    GroupRecord, 28 bytes {
        /// Data of the group that are declared, as a [`DataSet`].
        declared: U64,
        /// Parts of the site that the check is about, as a [`Scope`].
        scope: u8,
        /// Whether the changeover switches the neutral, as a [`YesNo`].
        switches_neutral: u8,
        /// Whether two sources are kept apart by an interlock, as a [`YesNo`].
        interlock: u8,
        /// Whether the battery switch has a pre-charge path, as a [`YesNo`].
        precharge: u8,
        /// Gap between two sources at changeover, in milliseconds; 0 is not declared.
        changeover_gap: U16,
        /// Packs that are fitted.
        packs_fitted: U16,
        /// Packs that are set.
        packs_set: U16,
        /// Questions that the readers of the sheets left open.
        questions: U16,
        /// Capacity of the bank as it is set; 0 is not declared.
        capacity_set: U32,
        /// Address at which the meter is expected.
        meter_address_set: U16,
        /// Rating of the breaker in the supply; 0 is not declared.
        supply_breaker: U16,
    }
}

impl GroupRecord {
    /// The parts that the check is about.
    pub fn scope(&self) -> Scope {
        Scope(self.scope)
    }

    /// Whether the datum is declared.
    #[inline(always)]
    pub fn declares(&self, datum: super::Datum) -> bool {
        DataSet(self.declared.get()).contains(datum)
    }

    /// Whether the changeover switches the neutral.
    pub const fn switches_neutral(&self) -> Option<YesNo> {
        YesNo::from_code(self.switches_neutral)
    }

    /// The bank's capacity as set.
    pub fn capacity_set(&self) -> Capacity {
        Capacity(self.capacity_set.get())
    }
}

/// The parts of a site that a check is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Scope(pub u8);

impl Scope {
    /// Link, ports, termination, addresses, roles, settings, battery link, sensors.
    pub const COMMUNICATION: Self = Self(1);
    /// Battery, AC, neutral, earth, solar inputs.
    pub const POWER: Self = Self(2);
    /// Both.
    pub const ALL: Self = Self(3);

    /// Whether the other part is in this scope.
    pub const fn covers(self, part: Self) -> bool {
        self.0 & part.0 == part.0
    }
}
