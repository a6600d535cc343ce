//! What a profile or a site can demand: the one table from which the parser of profiles, the
//! overrides of a settings list, the listing and the record in the plan come.

use super::codes::{
    Arrow, BatteryBanks, BatteryLinkOwner, CoordinatorPlace, Coordinators, CountSetting, Medium,
    Mode, Pairing, PortClass, SensorOwner, Shape, TerminatorPlace, Wiring, YesNo,
};
use crate::limits;
use crate::place::PortId;
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
    /// Two whole numbers, the lower one in the high half.
    Range,
    /// A ratio such as `2000:1`; thousandths.
    Ratio,
    /// The sockets of a unit with their classes, a nibble each.
    Ports,
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
    Arrow BatteryBanks BatteryLinkOwner CoordinatorPlace Coordinators CountSetting Medium Mode
    Pairing SensorOwner Shape TerminatorPlace Wiring YesNo
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

/// Lowest and highest allowed number, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct AddressRange {
    /// Lowest.
    pub low: u16,
    /// Highest.
    pub high: u16,
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

/// `Variant = bit, accessor: Type, "key words", "meaning";`
macro_rules! demands {
    ($($name:ident = $bit:literal, $accessor:ident: $kind:ty, $key:literal, $meaning:literal;)+) => {
        /// One demand. Numbers are positions in the record and never change their meaning.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        #[repr(u8)]
        pub enum Demand {
            $(#[doc = $meaning] $name = $bit,)+
        }

        impl Demand {
            /// Every demand, in order of its position.
            pub const ALL: &'static [Self] = &[$(Self::$name,)+];

            /// Position in the record.
            pub const fn position(self) -> u32 {
                match self { $(Self::$name => $bit,)+ }
            }

            /// The demand at this position.
            pub const fn from_position(position: u32) -> Option<Self> {
                match position { $($bit => Some(Self::$name),)+ _ => None }
            }

            /// The words that state it in a profile or a settings list.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)+ }
            }

            /// What it means, for `profile show` and the error messages.
            pub const fn meaning(self) -> &'static str {
                match self { $(Self::$name => $meaning,)+ }
            }

            /// How its value is written.
            pub const fn kind(self) -> DemandKind {
                match self { $(Self::$name => <$kind as DemandValue>::KIND,)+ }
            }
        }

        impl super::group::DemandRecord {
            $(
                #[doc = $meaning]
                ///
                /// `None` when neither profile nor site states it.
                pub fn $accessor(&self) -> Option<$kind> {
                    <$kind as DemandValue>::from_bits(self.bits(Demand::$name)?)
                }
            )+
        }
    };
}

demands! {
    UnitsMin = 0, units_min: u32, "min units", "fewest units that make a group";
    UnitsMax = 1, units_max: u32, "max units", "most units on one link";
    Ports = 2, ports: PortClasses, "ports", "sockets of a unit and what each is made for";
    Pairing = 3, pairing: Pairing, "sockets", "which link socket may meet which";
    Medium = 4, medium: Medium, "medium", "what the shared pair carries";
    BitRate = 5, bit_rate: BitsPerSecond, "bit rate", "speed of the link";
    LinkShape = 6, link_shape: Shape, "link shape", "shape of the link: line or ring";
    MaxCable = 7, max_cable: Millimetres, "max cable", "longest single link cable";
    MaxLinkTotal = 8, max_link_total: Millimetres, "max link total", "longest link, all link cables added";
    MaxStub = 9, max_stub: Millimetres, "max stub", "longest side branch off the line";
    TerminatorsAt = 10, terminators_at: TerminatorPlace, "terminators at", "where terminators belong";
    TerminatorOhms = 11, terminator_ohms: Ohms, "terminator value", "value of one terminator";
    NodeOhmsMin = 12, node_ohms_min: u32, "min node resistance", "least resistance of one unit across the pair, in ohms";
    NodeOhmsMax = 13, node_ohms_max: u32, "max node resistance", "greatest resistance of one unit across the pair, in ohms";
    AddressRange = 14, address_range: AddressRange, "address range", "lowest and highest allowed address";
    AddressesContiguous = 15, addresses_contiguous: YesNo, "addresses without gaps", "whether addresses must follow each other without gaps";
    CoordinatorAddress = 16, coordinator_address: u32, "coordinator address", "the address that the coordinator must have";
    CoordinatorPlace = 17, coordinator_place: CoordinatorPlace, "coordinator place", "where on the link the coordinator must sit";
    Coordinators = 18, coordinators: Coordinators, "coordinators", "how many units lead";
    CountSetting = 19, count_setting: CountSetting, "unit count set on", "which units carry the unit-count setting";
    BatteryLinkOwner = 20, battery_link_owner: BatteryLinkOwner, "battery link at", "which unit the battery link belongs to";
    SensorOwner = 21, sensor_owner: SensorOwner, "sensors at", "which unit the sensor leads belong to";
    Sensors = 22, sensors: u32, "sensors", "how many sensors the group needs";
    SensorRatio = 23, sensor_ratio: MilliRatio, "sensor ratio", "ratio that this group's sensors must have";
    ArrowTowards = 24, arrow_towards: Arrow, "arrow must point to", "where the arrow on every sensor must point";
    BatteryBanks = 25, battery_banks: BatteryBanks, "battery banks", "how many battery banks the group stands on";
    FirmwareAlike = 26, firmware_alike: YesNo, "firmware alike", "whether all units must carry the same firmware";
    ModelAlike = 27, model_alike: YesNo, "model alike", "whether all units must be of one type";
    ModeDemanded = 28, mode: Mode, "mode", "the mode that every unit of a group must be set to";
    LeadWiring = 29, lead_wiring: Wiring, "lead wiring", "how the plugs of a link cable must be wired";
    RatedPower = 30, rated_power: u32, "rated power", "rated power of one unit, in volt-amperes";
    RatedCurrent = 31, rated_current: u32, "rated current", "rated AC current of one unit, in milliamperes";
    ShortTimeCurrent = 32, short_time_current: u32, "short-time current", "short-time AC current of one unit, in milliamperes";
    BatteryVoltsMin = 33, battery_volts_min: u32, "min battery voltage", "lowest battery voltage, in millivolts";
    BatteryVoltsMax = 34, battery_volts_max: u32, "max battery voltage", "highest battery voltage, in millivolts";
    InputCapacitance = 35, input_capacitance: u32, "input capacitance", "battery-side capacitance of one unit, in microfarads";
    SolarVoltsMax = 36, solar_volts_max: u32, "max solar voltage", "highest voltage of a solar input, in millivolts";
    SolarAmperesMax = 37, solar_amperes_max: u32, "max solar current", "highest short-circuit current of a solar input, in milliamperes";
    ChangeoverGap = 38, changeover_gap: u32, "min changeover gap", "shortest gap between two sources, in milliseconds";
}

/// A set of demands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct DemandSet(pub u64);

impl DemandSet {
    /// No demand.
    pub const EMPTY: Self = Self(0);

    /// The set of the given demands.
    pub const fn of(demands: &[Demand]) -> Self {
        let mut set = 0u64;
        let mut rest = demands;
        while let [first, tail @ ..] = rest {
            set |= Self::bit(*first);
            rest = tail;
        }
        Self(set)
    }

    /// The demand's bit.
    pub(crate) const fn bit(demand: Demand) -> u64 {
        1u64.wrapping_shl(demand.position())
    }

    /// Members of this set that are not in the other.
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// The member with the lowest position.
    pub const fn first(self) -> Option<Demand> {
        if self.0 == 0 { None } else { Demand::from_position(self.0.trailing_zeros()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_position_fits_the_record_and_no_key_is_repeated() {
        for (index, demand) in Demand::ALL.iter().enumerate() {
            assert!(
                demand.position() < u32::try_from(limits::DEMANDS).expect("small"),
                "{demand:?}"
            );
            assert!(
                Demand::ALL.iter().skip(index + 1).all(|other| other.key() != demand.key()),
                "{demand:?} shares its key"
            );
        }
    }

    #[test]
    fn a_port_past_the_eighth_has_no_class() {
        let ports = PortClasses(0x5432_1111);
        assert_eq!(ports.class(PortId(4)), Some(PortClass::Battery));
        assert_eq!(ports.class(PortId(7)), Some(PortClass::Service));
        assert_eq!(ports.class(PortId(8)), None);
        assert_eq!(ports.class(PortId(255)), None);
    }
}
