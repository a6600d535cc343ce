//! What address switches give, against the address that is declared.

use crate::links::Links;
use crate::place::UnitId;
use crate::plan::{Datum, UnitRecord};

/// The switches of one unit beside its declared address.
#[derive(Clone, Copy)]
pub(crate) struct Reading {
    /// The address that the switches give, the first one being the lowest bit.
    pub(crate) switches: u16,
    /// The address that is declared.
    pub(crate) address: u16,
    count: u32,
}

impl Reading {
    fn of(unit: &UnitRecord) -> Option<Self> {
        let address = unit.address()?;
        let reading = Self {
            switches: unit.switches.get(),
            address,
            count: u32::from(unit.switch_count).clamp(1, u16::BITS),
        };
        unit.declares(Datum::Switches).then_some(reading)
    }

    /// Whether the switches give another address.
    pub(crate) const fn is_off(self) -> bool {
        self.switches != self.address
    }

    /// Whether they would give the declared one if they were read from the other end, or upside
    /// down, or both.
    pub(crate) const fn is_turned(self) -> bool {
        let unused = u16::BITS.saturating_sub(self.count);
        let from_other_end = self.switches.reverse_bits().wrapping_shr(unused);
        let all = u16::MAX.wrapping_shr(unused);
        from_other_end == self.address
            || self.switches ^ all == self.address
            || from_other_end ^ all == self.address
    }
}

/// Every unit of which both switches and address are declared.
pub(crate) fn readings<'l>(links: &'l Links<'_>) -> impl Iterator<Item = (UnitId, Reading)> + 'l {
    links.plan.units().filter_map(|(id, unit)| Some((id, Reading::of(unit)?)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_way_of_misreading_is_known() {
        let turned = |switches, address| Reading { switches, address, count: 4 }.is_turned();
        assert!(turned(0b0101, 0b1010), "from the other end, and upside down");
        assert!(turned(0b0001, 0b1000), "from the other end");
        assert!(turned(0b0001, 0b1110), "upside down");
        assert!(!turned(0b0001, 0b0011), "one switch is off");
    }
}
