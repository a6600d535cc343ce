//! Closed vocabularies of the plan: one byte each in a record, one word each on a sheet.

/// An enumeration with one number and one word for each member. The words are for the host; a
/// program that does not read them does not carry them.
macro_rules! coded {
    ($(#[$doc:meta])* $name:ident { $($(#[$member_doc:meta])* $member:ident = $code:literal $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        #[repr(u8)]
        pub enum $name {
            $($(#[$member_doc])* $member = $code,)+
        }

        impl $name {
            /// Every member with its canonical word, in order of number.
            pub const WORDS: &'static [(&'static str, u8)] = &[$(($word, $code),)+];

            /// The number in the record.
            pub const fn code(self) -> u8 {
                match self { $(Self::$member => $code,)+ }
            }

            /// The member with this number; `None` is "not declared" or a newer plan's member.
            pub const fn from_code(code: u8) -> Option<Self> {
                match code { $($code => Some(Self::$member),)+ _ => None }
            }

            /// The canonical word on a sheet.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$member => $word,)+ }
            }
        }
    };
}

coded! {
    /// Who leads.
    Role {
        /// Leads the group.
        Coordinator = 1 "coordinator",
        /// Follows a coordinator.
        Follower = 2 "follower",
    }
}
coded! {
    /// How a unit is set to work.
    Mode {
        /// As a member of the group.
        Parallel = 1 "parallel",
        /// Alone.
        Single = 2 "single",
    }
}
coded! {
    /// The leg or phase that a unit or a sensor belongs to.
    Leg {
        /// First leg.
        L1 = 1 "L1",
        /// Second leg.
        L2 = 2 "L2",
        /// Third leg.
        L3 = 3 "L3",
    }
}
coded! {
    /// What a unit does to terminate the link.
    Terminator {
        /// Its terminator is switched off, or none is fitted.
        Off = 1 "off",
        /// Its terminator is switched on.
        On = 2 "on",
        /// A plug sits in one of its sockets.
        Plug = 3 "plug",
        /// Fitted from new and not removable.
        BuiltIn = 4 "built in",
        /// Switches itself on when the unit is an end.
        Automatic = 5 "automatic",
    }
}
coded! {
    /// What a data cable is for.
    CableKind {
        /// Carries the pair that all units share.
        Link = 1 "link",
        /// Joins a unit to the battery's electronics.
        Battery = 2 "battery",
        /// Lead of a current transformer.
        Sensor = 3 "sensor",
        /// Joins a unit to an energy meter.
        Meter = 4 "meter",
        /// A terminator plug: one end only.
        Terminator = 5 "terminator",
        /// Joins two packs.
        PackLink = 6 "pack link",
        /// For a logger, a display or a computer.
        Service = 7 "service",
    }
}
coded! {
    /// What a cable end is at.
    EndKind {
        /// Nothing: a loose end, or the empty side of a plug.
        Open = 1 "-",
        /// A unit.
        Unit = 2 "unit",
        /// A battery pack.
        Pack = 3 "pack",
        /// A current transformer.
        Sensor = 4 "sensor",
        /// Another device.
        Device = 5 "device",
    }
}
coded! {
    /// What a socket is made for.
    PortClass {
        /// The shared link.
        Link = 1 "link",
        /// Battery data.
        Battery = 2 "battery",
        /// Current transformer leads; takes more than one.
        Sensor = 3 "sensor",
        /// Energy meter data.
        Meter = 4 "meter",
        /// Logger, display or computer.
        Service = 5 "service",
    }
}
coded! {
    /// What an other device is.
    DeviceKind {
        /// Listens to the link and reports.
        Gateway = 1 "gateway",
        /// Joins three or more cables.
        Splitter = 2 "splitter",
        /// Computer network equipment.
        NetworkGear = 3 "network gear",
        /// Energy meter.
        Meter = 4 "meter",
        /// Asks the battery or the units for values.
        Monitor = 5 "monitor",
        /// Starts a new stretch of bus.
        Repeater = 6 "repeater",
        /// Anything else with a name.
        Other = 7 "other",
    }
}
coded! {
    /// Shape of the link.
    Shape {
        /// Open daisy chain with two ends.
        Line = 1 "line",
        /// Closed daisy chain.
        Ring = 2 "ring",
    }
}
coded! {
    /// Which link socket may meet which.
    Pairing {
        /// Any link socket may meet any other.
        Either = 1 "either",
        /// The first link socket meets the second of the neighbour.
        Across = 2 "A to B",
        /// Like meets like.
        Alike = 3 "A to A",
    }
}
coded! {
    /// What the shared pair carries.
    Medium {
        /// Controller area network.
        Can = 1 "can",
        /// TIA/EIA-485.
        Rs485 = 2 "rs485",
    }
}
coded! {
    /// Where terminators belong.
    TerminatorPlace {
        /// One at each end of the line, none between.
        BothEnds = 1 "both ends",
        /// Nowhere.
        Nowhere = 2 "nowhere",
    }
}
coded! {
    /// How many units lead.
    Coordinators {
        /// One for the group.
        One = 1 "one",
        /// One for each phase.
        OneEachPhase = 2 "one a phase",
    }
}
coded! {
    /// Where the coordinator sits.
    CoordinatorPlace {
        /// Anywhere.
        Any = 1 "anywhere",
        /// At an end of the line.
        End = 2 "end of line",
    }
}
coded! {
    /// Which units carry the unit-count setting.
    CountSetting {
        /// All of them.
        All = 1 "all units",
        /// Coordinators only.
        Coordinator = 2 "coordinator",
    }
}
coded! {
    /// Which unit owns the battery link.
    BatteryLinkOwner {
        /// The coordinator.
        Coordinator = 1 "coordinator",
        /// The coordinator of phase L1.
        CoordinatorOfL1 = 2 "coordinator of L1",
        /// Every unit has its own.
        EachUnit = 3 "each unit",
    }
}
coded! {
    /// Which unit owns the sensor leads.
    SensorOwner {
        /// The coordinator.
        Coordinator = 1 "coordinator",
        /// The coordinator of the sensor's own phase.
        CoordinatorOfPhase = 2 "coordinator of the phase",
    }
}
coded! {
    /// How many battery banks the group stands on.
    BatteryBanks {
        /// One bank, common to all units.
        One = 1 "one",
        /// One bank for each unit.
        OneEachUnit = 2 "one a unit",
    }
}
coded! {
    /// Where a sensor's arrow points.
    Arrow {
        /// From the supply into the installation.
        House = 1 "house",
        /// From the installation out to the supply.
        Street = 2 "street",
    }
}
coded! {
    /// Where on the supply conductors a sensor sits.
    SensorPlace {
        /// On the supply side of everything.
        Supply = 1 "supply side",
        /// On the load side.
        Load = 2 "load side",
        /// On a unit's own conductors.
        Unit = 3 "unit side",
    }
}
coded! {
    /// Which pins of the two plugs of a lead are joined.
    Wiring {
        /// 1 to 1 … 8 to 8.
        Straight = 1 "straight",
        /// Two pairs exchanged.
        CrossoverTwo = 2 "crossover, two pairs",
        /// Four pairs exchanged.
        CrossoverFour = 3 "crossover, four pairs",
        /// 1 to 8 … 8 to 1.
        Rollover = 4 "rollover",
        /// Made for one pair of sockets.
        Special = 5 "special",
    }
}
coded! {
    /// What is done with the screen of a data cable.
    Screen {
        /// It has none.
        NotFitted = 1 "no screen",
        /// Earthed at one end.
        OneEnd = 2 "one end",
        /// Earthed at both ends.
        BothEnds = 3 "both ends",
        /// Earthed at neither end.
        NotEarthed = 4 "not earthed",
    }
}
coded! {
    /// A setting that a profile can demand to be the same on all units; position in
    /// [`UnitRecord::settings`](super::UnitRecord::settings) plus one.
    Setting {
        /// Frequency of the output.
        Frequency = 1 "frequency",
        /// Voltage of the output.
        AcVoltage = 2 "AC voltage",
        /// Voltage to which the battery is charged.
        ChargeVoltage = 3 "charge voltage",
        /// Voltage at which discharging ends.
        CutOffVoltage = 4 "cut-off voltage",
        /// Limits for working with the public supply.
        GridProfile = 5 "grid profile",
        /// Where the battery's state is taken from.
        BatteryType = 6 "battery type",
        /// Charge limit.
        ChargeLimit = 7 "charge limit",
    }
}
coded! {
    /// What a unit's charge limit is the limit of.
    ChargeLimitFor {
        /// The whole battery bank.
        Bank = 1 "bank",
        /// That unit's own share.
        Unit = 2 "unit",
    }
}
coded! {
    /// How a data cable is built.
    Construction {
        /// Twisted pairs.
        TwistedPair = 1 "twisted pair",
        /// Conductors side by side.
        Untwisted = 2 "untwisted",
        /// Flat or round telephone cable.
        Telephone = 3 "telephone",
        /// Single stiff wires.
        SolidCore = 4 "solid core",
    }
}
coded! {
    /// Answer that can be given.
    YesNo {
        /// No.
        No = 1 "no",
        /// Yes.
        Yes = 2 "yes",
    }
}
coded! {
    /// What a unit takes the battery's state from.
    BatteryType {
        /// The battery link.
        DataLink = 1 "data link",
        /// Volts only.
        VoltsOnly = 2 "volts only",
    }
}
coded! {
    /// Where neutral and earth are joined.
    BondPlace {
        /// In the main board.
        MainBoard = 1 "main board",
        /// In the board behind the group.
        BackupBoard = 2 "backup board",
        /// In the frame of a generator.
        GeneratorFrame = 3 "generator frame",
        /// By a relay inside a unit.
        UnitRelay = 4 "unit relay",
        /// At another place.
        Other = 5 "other",
        /// In a board before a changeover.
        BeforeChangeover = 6 "before the changeover",
        /// In a board behind a changeover.
        BehindChangeover = 7 "behind the changeover",
    }
}
coded! {
    /// Where the energy comes from at the moment.
    OperatingState {
        /// The public supply.
        Supply = 1 "supply",
        /// The group alone.
        Island = 2 "island",
        /// A generator.
        Generator = 4 "generator",
    }
}
coded! {
    /// How units make themselves known on the link.
    Dialect {
        /// Heartbeat and identity object of CANopen (CiA 301).
        CanOpen = 1 "canopen",
        /// Address claim of SAE J1939-81.
        J1939 = 2 "j1939",
        /// The frames that the profile lists.
        FrameMap = 3 "frame map",
    }
}
