//! The power side of a unit: which terminal lies on which net, leads and protection, bonds.
#![allow(unnameable_types, reason = "zerocopy's derive makes helper types that nobody names")]

use super::codes::BondPlace;
use super::record::record;
use crate::limits;
use crate::units::{Millimetres, SquareHundredths};
use zerocopy::byteorder::little_endian::{U16, U32};

/// One power terminal of a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(u8)]
#[allow(missing_docs, reason = "the trade's names say it: side of the unit, then leg or pole")]
pub enum Terminal {
    BatteryPlus = 0,
    BatteryMinus = 1,
    OutL1 = 2,
    OutL2 = 3,
    OutL3 = 4,
    OutN = 5,
    OutEarth = 6,
    InL1 = 7,
    InL2 = 8,
    InL3 = 9,
    InN = 10,
    InEarth = 11,
    GeneratorL1 = 12,
    GeneratorL2 = 13,
    GeneratorL3 = 14,
    GeneratorN = 15,
    GeneratorEarth = 16,
    Solar1 = 17,
    Solar2 = 18,
    Solar3 = 19,
    Solar4 = 20,
}

impl Terminal {
    /// Position as the number of a bit.
    pub const fn bit(self) -> u32 {
        #[allow(clippy::as_conversions, reason = "a fieldless enum has no other const conversion")]
        {
            self as u32
        }
    }

    /// Position in [`PowerRecord::nets`].
    pub const fn position(self) -> usize {
        #[allow(clippy::as_conversions, reason = "a fieldless enum has no other const conversion")]
        {
            self as usize
        }
    }
}

/// Number of a net: a set of terminals that conductors join.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Net(pub u8);

impl Net {
    /// The number of a net on which no other terminal of the group lies.
    pub const ALONE: Self = Self(255);
}

record! {
    /// The power side of one unit. A plan has one for each unit, or none at all.
    PowerRecord, 40 bytes {
        /// Net of each [`Terminal`]; 0 is not declared, 255 is [`Net::ALONE`].
        nets: [u8; limits::TERMINALS],
        /// Length of one battery lead; 0 is not declared.
        battery_lead: U32,
        /// Length of one output lead; 0 is not declared.
        output_lead: U32,
        /// Section of the battery leads; 0 is not declared.
        battery_section: U16,
        /// Section of the output leads; 0 is not declared.
        output_section: U16,
        /// Breaker in the unit's output; 0 is not declared.
        output_breaker: U16,
        /// Fuse in the unit's battery lead; 0 is not declared.
        battery_fuse: U16,
    }
}

impl PowerRecord {
    /// The net of a terminal, if it was declared.
    pub fn net(&self, terminal: Terminal) -> Option<Net> {
        self.nets.get(terminal.position()).copied().filter(|net| *net != 0).map(Net)
    }

    /// Length and section of one battery lead.
    pub fn battery_lead(&self) -> (Millimetres, SquareHundredths) {
        (Millimetres(self.battery_lead.get()), SquareHundredths(self.battery_section.get()))
    }

    /// Length and section of one output lead.
    pub fn output_lead(&self) -> (Millimetres, SquareHundredths) {
        (Millimetres(self.output_lead.get()), SquareHundredths(self.output_section.get()))
    }
}

record! {
    /// One place where neutral and earth are joined.
    BondRecord, 4 bytes {
        /// A [`BondPlace`].
        place: u8,
        /// Position of the unit, for a relay inside one.
        unit: u8,
        /// Operating states in which it is closed, one bit each.
        closed: u8,
        /// Operating states for which that is declared, one bit each.
        declared: u8,
    }
}

impl BondRecord {
    /// Where it is.
    pub fn place(&self) -> Option<BondPlace> {
        BondPlace::from_code(self.place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leads_have_a_length_and_a_section() {
        let record = PowerRecord {
            battery_lead: 1500.into(),
            battery_section: 7000.into(),
            output_lead: 900.into(),
            output_section: 1000.into(),
            ..PowerRecord::default()
        };
        assert_eq!(record.battery_lead(), (Millimetres(1500), SquareHundredths(7000)));
        assert_eq!(record.output_lead(), (Millimetres(900), SquareHundredths(1000)));
    }
}
