//! How the value of a demand is written and kept: the types that its 32 bits can be read as.

use crate::limits;
use crate::place::PortId;
use crate::plan::{
    Arrow, BatteryBanks, BatteryLinkOwner, ChargeLimitFor, CoordinatorPlace, Coordinators,
    CountSetting, Dialect, Medium, Mode, Pairing, PortClass, SensorOwner, SensorPlace, Setting,
    Shape, TerminatorPlace, Wiring, YesNo,
};
use crate::units::{BitsPerSecond, MilliRatio, Millimetres, Ohms};

/// How the value of a demand is written on a sheet and kept in 32 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DemandKind {
    /// One word of a closed list.
    Choice(&'static [(&'static str, u8)]),
    /// A length with its unit; millimetres.
    Length,
    /// A resistance; ohms.
    Resistance,
    /// A bit rate; bits per second.
    BitRate,
    /// A whole number without unit.
    Whole,
    /// A power; volt-amperes.
    Power,
    /// A voltage; millivolts.
    Voltage,
    /// A current; milliamperes.
    Current,
    /// A capacitance; microfarads.
    Capacitance,
    /// A time; milliseconds.
    Time,
    /// Two whole numbers, the lower one in the high half.
    Range,
    /// A ratio such as `2000:1`; thousandths.
    Ratio,
    /// The sockets of a unit with their classes, a nibble each.
    Ports,
    /// Two pins of a plug, `4 and 5`, the lower one in the high half.
    PinPair,
    /// Pins of a plug, `1, 2, 3`; pin 1 in the lowest bit.
    Pins,
    /// Several words of a closed list; a bit each, by the number of the word.
    Words(&'static [(&'static str, u8)]),
}

/// Which of two values of one demand is the stricter one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stricter {
    /// Neither: what the site says takes the place of what the profile says.
    Site,
    /// The lower one: the demand is an upper limit.
    Lower,
    /// The higher one: the demand is a lower limit.
    Higher,
    /// What lies in both ranges.
    Common,
}

/// A type that a demand's 32 bits can be read as.
pub trait DemandValue: Sized {
    /// How it is written.
    const KIND: DemandKind;
    /// The value of these bits; `None` for a member that a newer plan added.
    fn from_bits(bits: u32) -> Option<Self>;
}

macro_rules! choice_values {
    ($($name:ident)+) => {$(
        impl DemandValue for $name {
            const KIND: DemandKind = DemandKind::Choice($name::WORDS);
            fn from_bits(bits: u32) -> Option<Self> {
                Self::from_code(u8::try_from(bits).ok()?)
            }
        }
    )+};
}
choice_values! {
    Arrow BatteryBanks BatteryLinkOwner ChargeLimitFor CoordinatorPlace Coordinators CountSetting
    Dialect Medium Mode Pairing SensorOwner SensorPlace Shape TerminatorPlace Wiring YesNo
}

macro_rules! quantity_values {
    ($($name:ident: $kind:ident)+) => {$(
        impl DemandValue for $name {
            const KIND: DemandKind = DemandKind::$kind;
            fn from_bits(bits: u32) -> Option<Self> {
                Some(Self(bits.try_into().ok()?))
            }
        }
    )+};
}
quantity_values! { Millimetres: Length Ohms: Resistance BitsPerSecond: BitRate MilliRatio: Ratio }

impl DemandValue for u32 {
    const KIND: DemandKind = DemandKind::Whole;
    fn from_bits(bits: u32) -> Option<Self> {
        Some(bits)
    }
}

macro_rules! plain_quantities {
    ($($(#[$doc:meta])* $name:ident: $kind:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        pub struct $name(pub u32);

        impl DemandValue for $name {
            const KIND: DemandKind = DemandKind::$kind;
            fn from_bits(bits: u32) -> Option<Self> {
                Some(Self(bits))
            }
        }
    )+};
}
plain_quantities! {
    /// Power of one unit.
    VoltAmperes: Power;
    /// A voltage, in thousandths of a volt.
    Millivolts: Voltage;
    /// A current, in thousandths of an ampere.
    CurrentLimit: Current;
    /// A capacitance, in millionths of a farad.
    Microfarads: Capacitance;
    /// A time, in thousandths of a second.
    Milliseconds: Time;
}

/// Lowest and highest allowed number, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct AddressRange {
    /// Lowest.
    pub low: u16,
    /// Highest.
    pub high: u16,
}

impl AddressRange {
    /// The range as bits.
    pub fn to_bits(self) -> u32 {
        let ([a, b], [c, d]) = (self.low.to_be_bytes(), self.high.to_be_bytes());
        u32::from_be_bytes([a, b, c, d])
    }

    /// What lies in both ranges, as bits.
    pub(super) fn common(one: u32, two: u32) -> u32 {
        match (Self::from_bits(one), Self::from_bits(two)) {
            (Some(one), Some(two)) => {
                Self { low: one.low.max(two.low), high: one.high.min(two.high) }.to_bits()
            }
            _ => two,
        }
    }
}

impl DemandValue for AddressRange {
    const KIND: DemandKind = DemandKind::Range;
    fn from_bits(bits: u32) -> Option<Self> {
        let [a, b, c, d] = bits.to_be_bytes();
        Some(Self { low: u16::from_be_bytes([a, b]), high: u16::from_be_bytes([c, d]) })
    }
}

/// The sockets of a unit: class by position, a nibble each, the first in the lowest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PortClasses(pub u32);

impl PortClasses {
    /// What the socket is made for.
    pub fn class(self, port: PortId) -> Option<PortClass> {
        if port.index() >= limits::PORTS {
            return None;
        }
        let shifted = self.0.checked_shr(u32::from(port.0).saturating_mul(4))?;
        PortClass::from_code(u8::try_from(shifted & 0xF).ok()?)
    }
}

impl DemandValue for PortClasses {
    const KIND: DemandKind = DemandKind::Ports;
    fn from_bits(bits: u32) -> Option<Self> {
        Some(Self(bits))
    }
}

/// Two pins of a plug, the lower one first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PinPair(pub u8, pub u8);

impl DemandValue for PinPair {
    const KIND: DemandKind = DemandKind::PinPair;
    fn from_bits(bits: u32) -> Option<Self> {
        let [_, low, _, high] = bits.to_be_bytes();
        Some(Self(low, high))
    }
}

/// A set of pins, pin 1 in the lowest bit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PinSet(pub u8);

impl PinSet {
    /// Whether the pin is in the set.
    pub fn contains(self, pin: u8) -> bool {
        let bit = pin.checked_sub(1).and_then(|shift| 1u8.checked_shl(u32::from(shift)));
        bit.is_some_and(|bit| self.0 & bit != 0)
    }

    /// Pins of this set that are not in the other.
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }
}

impl DemandValue for PinSet {
    const KIND: DemandKind = DemandKind::Pins;
    fn from_bits(bits: u32) -> Option<Self> {
        Some(Self(bits.try_into().ok()?))
    }
}

/// Settings that must agree, a bit each by the number of the [`Setting`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings(pub u32);

impl Settings {
    /// Whether the setting is in the set.
    pub fn contains(self, setting: Setting) -> bool {
        self.0.checked_shr(u32::from(setting.code())).unwrap_or(0) & 1 != 0
    }
}

impl DemandValue for Settings {
    const KIND: DemandKind = DemandKind::Words(Setting::WORDS);
    fn from_bits(bits: u32) -> Option<Self> {
        Some(Self(bits))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_port_past_the_eighth_has_no_class() {
        let ports = PortClasses(0x5432_1111);
        assert_eq!(ports.class(PortId(4)), Some(PortClass::Battery));
        assert_eq!(ports.class(PortId(7)), Some(PortClass::Service));
        assert_eq!(ports.class(PortId(8)), None);
        assert_eq!(ports.class(PortId(255)), None);
    }

    #[test]
    fn two_ranges_have_in_common_what_lies_in_both() {
        let range = |low, high| AddressRange { low, high }.to_bits();
        assert_eq!(AddressRange::common(range(1, 16), range(4, 32)), range(4, 16));
        assert_eq!(AddressRange::common(range(4, 8), range(1, 32)), range(4, 8));
    }

    #[test]
    fn pins_are_taken_out_of_a_set() {
        assert_eq!(PinSet(0b1110).without(PinSet(0b0111)), PinSet(0b1000));
    }
}
