//! What a site can declare: one bit each, so that a rule can say what it cannot do without.

macro_rules! data {
    ($($(#[$doc:meta])* $name:ident = $bit:literal $noun:literal,)+) => {
        /// One kind of declared fact.
        ///
        /// Bits 0 to 31 stand in every unit's `declared` field, bits 32 to 47 in every cable's;
        /// the rest belong to the group.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        #[repr(u8)]
        pub enum Datum {
            $($(#[$doc])* $name = $bit,)+
        }

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

            /// Whether each unit declares it for itself.
            pub const fn is_of_units(self) -> bool {
                self.bit() < Self::FIRST_OF_CABLES
            }

            /// Whether each cable declares it for itself.
            pub const fn is_of_cables(self) -> bool {
                self.bit() >= Self::FIRST_OF_CABLES && self.bit() < Self::FIRST_OF_GROUP
            }

            /// The lowest bit of a cable's own data.
            pub const FIRST_OF_CABLES: u32 = 32;
            /// The lowest bit of the group's data.
            pub const FIRST_OF_GROUP: u32 = 48;

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
    /// Which points a link cable joins.
    CableEnds = 32 "cable ends",
    /// Length of a cable.
    Length = 33 "length",
    /// How a cable is built.
    Construction = 34 "cable construction",
    /// How the two plugs of a lead are wired.
    Wiring = 35 "lead wiring",
    /// Which pins of a plug carry a wire.
    Pins = 36 "wired pins",
    /// Screen and where it is earthed.
    Screen = 37 "screen",
    /// Value of a terminator plug.
    PlugOhms = 38 "plug value",
    /// A list of the data cables.
    CableList = 48 "cable list",
    /// A list of the units, apart from the cables that name them.
    UnitList = 49 "unit list",
    /// Which units are the ends of the line: follows from the cables.
    LineEnds = 50 "ends of the line",
    /// Where neutral and earth are joined.
    Bonds = 51 "neutral-earth bond",
    /// Which poles a changeover switches.
    Changeover = 52 "changeover",
    /// How many packs are fitted.
    PacksFitted = 53 "packs fitted",
    /// How many packs are set.
    PacksSet = 54 "packs set",
    /// Which socket a cable end is in.
    Socket = 55 "socket",
}

/// A set of data.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct DataSet(pub u64);

impl DataSet {
    /// No datum.
    pub const EMPTY: Self = Self(0);

    /// The set of the given data.
    pub const fn of(data: &[Datum]) -> Self {
        let mut set = 0u64;
        let mut rest = data;
        while let [first, tail @ ..] = rest {
            set |= 1u64.wrapping_shl(first.bit());
            rest = tail;
        }
        Self(set)
    }

    /// Whether the datum is in the set.
    pub const fn contains(self, datum: Datum) -> bool {
        self.0 & Self::of(&[datum]).0 != 0
    }

    /// Members of this set that are not in the other.
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Members of both.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Whether there is no member.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The member with the lowest bit.
    pub const fn first(self) -> Option<Datum> {
        if self.0 == 0 { None } else { Datum::from_bit(self.0.trailing_zeros()) }
    }

    /// Members in order of their bits.
    pub fn iter(self) -> impl Iterator<Item = Datum> {
        Datum::ALL.iter().copied().filter(move |datum| self.contains(*datum))
    }
}
