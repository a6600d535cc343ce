//! What a site can declare: one bit each, so that a rule can say what it cannot do without.

use crate::sets::has_64;

/// What a datum is declared for, each for itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Owner {
    /// A unit.
    Unit,
    /// A link cable.
    Cable,
    /// A sensor.
    Sensor,
    /// A pack.
    Pack,
    /// The group.
    Group,
    /// Nothing: it is heard, not declared.
    Heard,
}

macro_rules! data {
    ($($(#[$doc:meta])* $name:ident = $bit:literal $noun:literal,)+) => {
        /// One kind of declared fact.
        ///
        /// Bits belong to units, cables, sensors, packs, the group and what is heard, in this
        /// order; see [`Datum::owner`]. Those of units, cables and the group are stored in
        /// `declared` fields, the others follow from the records themselves or are heard.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(u8)]
        pub enum Datum {
            $($(#[$doc])* $name = $bit,)+
        }

        #[cfg(feature = "defmt")]
        const _: () = {
            let (mut rest, mut position) = (Datum::ALL, 0u8);
            while let [datum, tail @ ..] = rest {
                assert!(datum.position() == position, "a bit is spare that the log does not know of");
                (rest, position) = (tail, position.saturating_add(1));
            }
        };

        crate::log::log_by_position! { Datum, |datum| datum.position(); $($name)+ }

        impl Datum {
            /// Every datum, in order of its bit.
            pub const ALL: &'static [Self] = &[$(Self::$name,)+];

            /// Position of the bit.
            pub const fn bit(self) -> u32 {
                match self { $(Self::$name => $bit,)+ }
            }

            /// The datum at this bit.
            pub const fn from_bit(bit: u32) -> Option<Self> {
                match bit { $($bit => Some(Self::$name),)+ _ => None }
            }

            /// Position in the list of all: one bit is spare before those of cables.
            #[cfg(feature = "defmt")]
            const fn position(self) -> u8 {
                #[allow(clippy::as_conversions, reason = "a fieldless enum has no other const one")]
                let bit = self as u8;
                if self.bit() < Self::FIRST_OF_CABLES { bit } else { bit.saturating_sub(1) }
            }

            /// What it is declared for.
            pub const fn owner(self) -> Owner {
                match self.bit() {
                    0..Self::FIRST_OF_CABLES => Owner::Unit,
                    Self::FIRST_OF_CABLES..Self::FIRST_OF_SENSORS => Owner::Cable,
                    Self::FIRST_OF_SENSORS..Self::FIRST_OF_PACKS => Owner::Sensor,
                    Self::FIRST_OF_PACKS..Self::FIRST_OF_GROUP => Owner::Pack,
                    Self::FIRST_OF_GROUP..Self::FIRST_HEARD => Owner::Group,
                    _ => Owner::Heard,
                }
            }

            /// The lowest bit of a cable's own data.
            pub const FIRST_OF_CABLES: u32 = 24;
            /// The lowest bit of a sensor's own data.
            pub const FIRST_OF_SENSORS: u32 = 31;
            /// The lowest bit of a pack's own data.
            pub const FIRST_OF_PACKS: u32 = 38;
            /// The lowest bit of the group's data.
            pub const FIRST_OF_GROUP: u32 = 43;

            /// The lowest bit of what is heard.
            pub const FIRST_HEARD: u32 = 56;

            /// The trade's word, for the host.
            pub const fn noun(self) -> &'static str {
                match self { $(Self::$name => $noun,)+ }
            }
        }
    };
}

data! {
    /// Whether a unit leads or follows.
    Role = 0 "role",
    /// Number that a unit answers to on the link.
    Address = 1 "address",
    /// How many units a unit believes there are.
    Count = 2 "unit count",
    /// What a unit does to terminate the link.
    Terminator = 3 "terminator",
    /// Value of a unit's terminator.
    TerminatorOhms = 4 "terminator value",
    /// The battery bank that a unit stands on.
    Bank = 5 "battery bank",
    /// Version of the firmware.
    Firmware = 6 "firmware",
    /// Type of the unit.
    Model = 7 "model",
    /// Serial number.
    Serial = 8 "serial number",
    /// Parallel or single.
    Mode = 9 "mode",
    /// Phase or leg that a unit makes.
    Phase = 10 "phase",
    /// Settings that must agree between units.
    Settings = 11 "settings",
    /// Battery protocol chosen at the unit.
    Protocol = 12 "battery protocol",
    /// Speed of the link set at the unit.
    BitRate = 13 "bit rate",
    /// Word length, parity and stop bits of a serial pair.
    LineFormat = 14 "line format",
    /// What the unit takes the battery's state from.
    BatteryType = 15 "battery type",
    /// Charge limit set at the unit.
    ChargeLimit = 16 "charge limit",
    /// Address switches as photographed.
    Switches = 17 "address switches",
    /// Base in which an address was written.
    AddressBase = 18 "base of the address",
    /// Output legs and neutral.
    AcTerminals = 19 "AC terminals",
    /// Protective earth.
    Earth = 20 "earth conductor",
    /// Solar inputs.
    SolarInputs = 21 "solar inputs",
    /// Supply and generator legs.
    InputTerminals = 22 "supply terminals",
    /// Which points a link cable joins: follows from its two ends.
    CableEnds = 24 "cable ends",
    /// Length of a cable.
    Length = 25 "length",
    /// How a cable is built.
    Construction = 26 "cable construction",
    /// How the two plugs of a lead are wired.
    Wiring = 27 "lead wiring",
    /// Which pins of a plug carry a wire.
    Pins = 28 "wired pins",
    /// Screen and where it is earthed.
    Screen = 29 "screen",
    /// Value of a terminator plug.
    PlugOhms = 30 "plug value",
    /// Where a sensor's arrow points.
    Arrow = 31 "arrow",
    /// Ratio on the part.
    RatioFitted = 32 "ratio on the part",
    /// Ratio that is set.
    RatioSet = 33 "ratio that is set",
    /// Where a sensor sits.
    SensorPlace = 34 "place of the sensor",
    /// Leg whose input a sensor feeds.
    SensorInput = 35 "input of the sensor",
    /// Primary rating of a sensor.
    SensorRating = 36 "rating of the sensor",
    /// Leg whose voltage a sensor's current is multiplied with.
    VoltageReference = 37 "voltage reference of the sensor",
    /// Number that a pack answers to.
    PackAddress = 38 "pack address",
    /// Protocol that a pack speaks.
    PackProtocol = 39 "pack protocol",
    /// Charge limit of a pack.
    PackChargeLimit = 40 "pack charge limit",
    /// Capacity of a pack.
    PackCapacity = 41 "pack capacity",
    /// Whether a pack leads the others.
    LeadPack = 42 "lead pack",
    /// A list of the data cables.
    CableList = 43 "cable list",
    /// A list of the units, apart from the cables that name them.
    UnitList = 44 "unit list",
    /// Which units are the ends of the line: follows from the cables.
    LineEnds = 45 "ends of the line",
    /// Which unit each battery link goes to: follows from the cables.
    BatteryLeadEnds = 46 "ends of the battery link",
    /// Which unit each sensor lead goes to: follows from the cables.
    SensorLeadEnds = 47 "ends of the sensor leads",
    /// Which socket each data cable is in: follows from the cables.
    Socket = 48 "socket",
    /// Where neutral and earth are joined.
    Bonds = 49 "neutral-earth bond",
    /// Which poles a changeover switches.
    Changeover = 50 "changeover",
    /// How many packs are fitted.
    PacksFitted = 51 "packs fitted",
    /// How many packs are set.
    PacksSet = 52 "packs set",
    /// Capacity of the bank as it is set.
    CapacitySet = 53 "capacity set",
    /// Address at which the meter is expected.
    MeterAddressSet = 54 "meter address that is set",
    /// Which other devices ask on the pair: follows from the devices.
    Asking = 55 "whether a device asks on the pair",
    /// Whether listening was long enough to call anybody silent.
    ListenedLong = 56 "long enough listening",
    /// Role that a unit tells on the link.
    HeardRole = 57 "role heard",
    /// Unit count that a unit tells.
    HeardCount = 58 "unit count heard",
    /// Firmware that a unit tells.
    HeardFirmware = 59 "firmware heard",
    /// Serial number that a unit tells.
    HeardSerial = 60 "serial number heard",
    /// What tells one unit from any other.
    HeardIdentity = 61 "identity heard",
    /// Time between two signs of life.
    HeardPeriod = 62 "rhythm heard",
    /// State of the gateway's own controller.
    ControllerState = 63 "state of the gateway's controller",
}

/// A set of data.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct DataSet(pub u64);

impl DataSet {
    /// No datum.
    pub const EMPTY: Self = Self(0);

    /// The set of one datum.
    #[inline(always)]
    pub const fn only(datum: Datum) -> Self {
        Self(1u64.wrapping_shl(datum.bit()))
    }

    /// The set of the given data.
    pub const fn of(data: &[Datum]) -> Self {
        let mut set = 0u64;
        let mut rest = data;
        while let [first, tail @ ..] = rest {
            set |= Self::only(*first).0;
            rest = tail;
        }
        Self(set)
    }

    /// Whether the datum is in the set. For one that is not known when this is compiled: without
    /// a shift over both halves.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub fn has(self, datum: Datum) -> bool {
        has_64(self.0, u8::try_from(datum.bit()).unwrap_or(u8::MAX))
    }

    /// Whether the datum is in the set.
    #[inline(always)]
    pub const fn contains(self, datum: Datum) -> bool {
        self.0 & Self::only(datum).0 != 0
    }

    /// Members of this set that are not in the other.
    #[inline(always)]
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Members of both.
    #[inline(always)]
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Members of either.
    #[inline(always)]
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether there is no member.
    #[inline(always)]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The member with the lowest bit.
    #[inline(always)]
    pub const fn first(self) -> Option<Datum> {
        // Mostly there is none, which is told without a call.
        if self.0 == 0 { None } else { self.lowest() }
    }

    #[cfg_attr(target_pointer_width = "32", inline(never))]
    const fn lowest(self) -> Option<Datum> {
        Datum::from_bit(self.0.trailing_zeros())
    }

    /// Members in order of their bits.
    pub fn iter(self) -> impl Iterator<Item = Datum> {
        let mut rest = self;
        core::iter::from_fn(move || {
            while !rest.is_empty() {
                let datum = rest.first();
                // Clears the lowest bit; a bit without a datum is one that a newer plan added.
                rest.0 &= rest.0.wrapping_sub(1);
                if datum.is_some() {
                    return datum;
                }
            }
            None
        })
    }
}
