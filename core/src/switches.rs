//! What address switches give, against the address that is declared.

use crate::finding::Quantity;
use crate::links::Links;
use crate::place::Place;
use crate::plan::{Datum, UnitRecord};
use crate::report::Sink;

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

    /// Whether they give another address, and not for being read the wrong way.
    pub(crate) const fn is_knocked(self) -> bool {
        self.switches != self.address && !self.is_turned()
    }

    /// Whether they give another address, and would give the declared one if they were read from
    /// the other end, or upside down, or both.
    pub(crate) const fn is_turned(self) -> bool {
        let unused = u16::BITS.saturating_sub(self.count);
        let from_other_end = self.switches.reverse_bits().wrapping_shr(unused);
        let all = u16::MAX.wrapping_shr(unused);
        let would_give = from_other_end == self.address
            || self.switches ^ all == self.address
            || from_other_end ^ all == self.address;
        self.switches != self.address && would_give
    }
}

/// Reports every unit of which both switches and address are declared and differ in this way.
pub(crate) fn report(links: &Links<'_>, sink: &mut Sink<'_, '_>, differs: fn(Reading) -> bool) {
    for (id, unit) in links.plan.units() {
        if let Some(reading) = Reading::of(unit)
            && differs(reading)
        {
            sink.add()
                .at(Place::Unit(id))
                .value(Quantity::Address(reading.switches))
                .wanted(Quantity::Address(reading.address));
        }
    }
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
        assert!(turned(0b0001, 0b0111), "both, where neither alone would do");
        assert!(!turned(0b0001, 0b0011), "one switch is off");
        assert!(!turned(0b0110, 0b0110), "the same from both ends, and right");
    }
}
