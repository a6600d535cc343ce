//! What a profile or a site can demand: the one table from which the parser of profiles, the
//! overrides of a settings list, the listing and the record in the plan come.

mod values;

pub use values::*;

use super::codes::{
    Arrow, BatteryBanks, BatteryLinkOwner, ChargeLimitFor, CoordinatorPlace, Coordinators,
    CountSetting, Dialect, Medium, Mode, Pairing, SensorOwner, SensorPlace, Shape, TerminatorPlace,
    Wiring, YesNo,
};
use crate::limits;
use crate::units::{BitsPerSecond, MilliRatio, Millimetres, Ohms};

/// `Variant = bit, accessor: Type, which is stricter, "key words", "meaning";`
macro_rules! demands {
    ($($name:ident = $bit:literal, $accessor:ident: $kind:ty, $stricter:ident, $key:literal, $meaning:literal;)+) => {
        /// One demand. Numbers are positions in the record and never change their meaning.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(u8)]
        pub enum Demand {
            $(#[doc = $meaning] $name = $bit,)+
        }

        crate::log::log_by_position! {
            Demand,
            |demand| u8::try_from(demand.position()).unwrap_or(u8::MAX);
            $($name)+
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

            /// The stricter of the profile's value and the site's, both as bits.
            pub fn stricter(self, profile: u32, site: u32) -> u32 {
                let rule = match self { $(Self::$name => Stricter::$stricter,)+ };
                match rule {
                    Stricter::Site => site,
                    Stricter::Lower => profile.min(site),
                    Stricter::Higher => profile.max(site),
                    Stricter::Common => AddressRange::common(profile, site),
                }
            }

            /// How its value is written.
            pub const fn kind(self) -> DemandKind {
                match self { $(Self::$name => <$kind as DemandValue>::KIND,)+ }
            }
        }

        /// The greatest number of a demand's words, by position; 0 where any number is a value.
        const MOST: [u8; limits::DEMANDS] = {
            let mut most = [0; limits::DEMANDS];
            $(most[$bit] = greatest(<$kind as DemandValue>::KIND);)+
            most
        };

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
    UnitsMin = 0, units_min: u32, Higher, "min units", "fewest units that make a group";
    UnitsMax = 1, units_max: u32, Lower, "max units", "most units on one link";
    Ports = 2, ports: PortClasses, Site, "ports", "sockets of a unit and what each is made for";
    Pairing = 3, pairing: Pairing, Site, "sockets", "which link socket may meet which";
    Medium = 4, medium: Medium, Site, "medium", "what the shared pair carries";
    BitRate = 5, bit_rate: BitsPerSecond, Site, "bit rate", "speed of the link";
    LinkShape = 6, link_shape: Shape, Site, "link shape", "shape of the link: line or ring";
    MaxCable = 7, max_cable: Millimetres, Lower, "max cable", "longest single link cable";
    MaxLinkTotal = 8, max_link_total: Millimetres, Lower, "max link total", "longest link, all link cables added";
    MaxStub = 9, max_stub: Millimetres, Lower, "max stub", "longest side branch off the line";
    TerminatorsAt = 10, terminators_at: TerminatorPlace, Site, "terminators at", "where terminators belong";
    TerminatorOhms = 11, terminator_ohms: Ohms, Site, "terminator value", "value of one terminator";
    NodeOhmsMin = 12, node_ohms_min: u32, Higher, "min node resistance", "least resistance of one unit across the pair, in ohms";
    NodeOhmsMax = 13, node_ohms_max: u32, Lower, "max node resistance", "greatest resistance of one unit across the pair, in ohms";
    AddressRange = 14, address_range: AddressRange, Common, "address range", "lowest and highest allowed address";
    AddressesContiguous = 15, addresses_contiguous: YesNo, Site, "addresses without gaps", "whether addresses must follow each other without gaps";
    CoordinatorAddress = 16, coordinator_address: u32, Site, "coordinator address", "the address that the coordinator must have";
    CoordinatorPlace = 17, coordinator_place: CoordinatorPlace, Site, "coordinator place", "where on the link the coordinator must sit";
    Coordinators = 18, coordinators: Coordinators, Site, "coordinators", "how many units lead";
    CountSetting = 19, count_setting: CountSetting, Site, "unit count set on", "which units carry the unit-count setting";
    BatteryLinkOwner = 20, battery_link_owner: BatteryLinkOwner, Site, "battery link at", "which unit the battery link belongs to";
    SensorOwner = 21, sensor_owner: SensorOwner, Site, "sensors at", "which unit the sensor leads belong to";
    Sensors = 22, sensors: u32, Site, "sensors", "how many sensors the group needs";
    SensorRatio = 23, sensor_ratio: MilliRatio, Site, "sensor ratio", "ratio that this group's sensors must have";
    ArrowTowards = 24, arrow_towards: Arrow, Site, "arrow must point to", "where the arrow on every sensor must point";
    BatteryBanks = 25, battery_banks: BatteryBanks, Site, "battery banks", "how many battery banks the group stands on";
    FirmwareAlike = 26, firmware_alike: YesNo, Site, "firmware alike", "whether all units must carry the same firmware";
    ModelAlike = 27, model_alike: YesNo, Site, "model alike", "whether all units must be of one type";
    ModeDemanded = 28, mode: Mode, Site, "mode", "the mode that every unit of a group must be set to";
    LeadWiring = 29, lead_wiring: Wiring, Site, "lead wiring", "how the plugs of a link cable must be wired";
    RatedPower = 30, rated_power: VoltAmperes, Site, "rated power", "rated power of one unit";
    RatedCurrent = 31, rated_current: CurrentLimit, Lower, "rated current", "rated AC current of one unit";
    ShortTimeCurrent = 32, short_time_current: CurrentLimit, Lower, "short-time current", "short-time AC current of one unit";
    BatteryVoltsMin = 33, battery_volts_min: Millivolts, Higher, "min battery voltage", "lowest battery voltage";
    BatteryVoltsMax = 34, battery_volts_max: Millivolts, Lower, "max battery voltage", "highest battery voltage";
    InputCapacitance = 35, input_capacitance: Microfarads, Site, "input capacitance", "battery-side capacitance of one unit";
    SolarVoltsMax = 36, solar_volts_max: Millivolts, Lower, "max solar voltage", "highest voltage of a solar input";
    SolarAmperesMax = 37, solar_amperes_max: CurrentLimit, Lower, "max solar current", "highest short-circuit current of a solar input";
    ChangeoverGap = 38, changeover_gap: Milliseconds, Higher, "min changeover gap", "shortest gap between two sources";
    PairPins = 39, pair_pins: PinPair, Site, "pins of the pair", "the two pins that carry the link";
    WiredPins = 40, wired_pins: PinSet, Site, "wired pins", "pins of a link cable that may carry a wire";
    CommonPin = 41, common_pin: u32, Site, "common pin", "pin that carries the common of the link";
    BatteryLeadWiring = 42, battery_lead_wiring: Wiring, Site, "battery lead wiring", "how the plugs of the battery link must be wired";
    SettingsAlike = 43, settings_alike: Settings, Site, "settings alike", "settings that must be the same on all units";
    ChargeLimitFor = 44, charge_limit_for: ChargeLimitFor, Site, "charge limit is for", "whether a unit's charge limit is the whole bank's or its own share";
    SensorsOn = 45, sensors_on: SensorPlace, Site, "sensors sit on", "where on the supply conductors the sensors must sit";
    DoubledPairs = 46, doubled_pairs: YesNo, Site, "two cables between neighbours", "whether two link cables join each pair of neighbours";
    MaxStubTotal = 47, max_stub_total: Millimetres, Lower, "max stubs total", "longest sum of all side branches";
    Dialect = 48, dialect: Dialect, Site, "dialect", "how units make themselves known on the link";
    HeartbeatPeriod = 49, heartbeat_period: Milliseconds, Site, "heartbeat period", "time between two signs of life of one unit";
}

/// The greatest number of a choice's words. Their numbers begin at 1 and leave no gap.
const fn greatest(kind: DemandKind) -> u8 {
    let DemandKind::Choice(mut words) = kind else { return 0 };
    let mut greatest: u8 = 0;
    while let [(_, code), rest @ ..] = words {
        assert!(*code == greatest.wrapping_add(1), "a word's number");
        greatest = *code;
        words = rest;
    }
    greatest
}

impl super::group::DemandRecord {
    /// Whether every demand that is stated, and the value of each choice, is one of this version.
    /// A later one may have more; to leave them out would be to check less than is demanded.
    pub(super) fn is_known(&self) -> bool {
        let mut stated = self.stated().0;
        if stated & !const { DemandSet::of(Demand::ALL).0 } != 0 {
            return false;
        }
        for (value, most) in self.values.iter().zip(&MOST) {
            let is_choice = stated & 1 != 0 && *most != 0;
            if is_choice && value.get().wrapping_sub(1) >= u32::from(*most) {
                return false;
            }
            stated = stated.wrapping_shr(1);
        }
        true
    }
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
    #[inline(always)]
    pub(crate) const fn bit(demand: Demand) -> u64 {
        1u64.wrapping_shl(demand.position())
    }

    /// Members of this set that are not in the other.
    #[inline(always)]
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether there is no member.
    #[inline(always)]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The member with the lowest position.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub const fn first(self) -> Option<Demand> {
        if self.0 == 0 { None } else { Demand::from_position(self.0.trailing_zeros()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_demand_or_a_word_of_a_later_version_is_not_known() {
        let mut record = crate::plan::DemandRecord::default();
        let shape = usize::try_from(Demand::LinkShape.position()).expect("small");
        let mut state = |stated: u64, bits: u32| {
            record.stated.set(stated);
            record.values[shape].set(bits);
            record.is_known()
        };
        let bit = DemandSet::of(&[Demand::LinkShape]).0;
        assert!(state(bit, 1) && state(bit, 2));
        assert!(!state(bit, 0) && !state(bit, 3) && !state(bit, u32::MAX));
        // What is not stated has no value, and a quantity has any.
        assert!(state(0, 3));
        assert!(state(DemandSet::of(&[Demand::MaxCable]).0, 3));
        let last = u32::try_from(Demand::ALL.len()).expect("few");
        assert!(!state(1 << last, 1) && !state(1 << 63, 1));
    }

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
}
