//! Every fact that a sheet can state: what it is about, the words for it, and how it is written.
//!
//! Readers of settings lists, tables of units, cable lists and site files all look up this one
//! table. Demands have a table of their own, [`coldcheck_core::plan::Demand`].

mod expected;
mod index;
mod looks;

use crate::value::Measure;
use crate::vocabulary::{self, Vocabulary};
use coldcheck_core::plan::Datum;

/// What kind of thing a fact is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// The group or the site.
    Group,
    /// A unit.
    Unit,
    /// A data cable.
    Cable,
    /// A battery pack.
    Pack,
    /// A current transformer.
    Sensor,
    /// Another device.
    Device,
}

/// How a value is written.
#[derive(Clone, Copy, Debug)]
pub enum Form {
    /// One word of a closed vocabulary.
    Choice(Vocabulary),
    /// A whole number, from the first to the second.
    Whole(u32, u32),
    /// A whole number, decimal or with `0x`.
    Address,
    /// Letters and numbers that only have to be equal or not.
    Name,
    /// A version such as `2.14` or `V1.9.0`.
    Version,
    /// A serial number.
    Serial,
    /// A length with its unit.
    Length,
    /// A resistance, `120 ohm`.
    Resistance,
    /// A bit rate, `500 kbit/s`.
    BitRate,
    /// A current, `80 A`.
    Current,
    /// A capacity, `5.1 kWh` or `100 Ah`.
    Capacity,
    /// A ratio, `2000:1` or `100/5`.
    Ratio,
    /// A time, `300 ms`.
    Milliseconds,
    /// A frequency, `50 Hz`.
    Frequency,
    /// A voltage, `54.4 V`.
    Voltage,
    /// Positions of switches, `on off off on` or `1001`, the first switch first.
    Switches,
    /// Pins of a plug, `1, 2, 3` or `all`.
    Pins,
    /// Terminals and where they go: `L1->bar L1; N->bar N`, or `straight`.
    Conductors,
    /// Places where neutral and earth are joined.
    Bonds,
    /// Arrays and the units they feed: `roof south -> unit 1`.
    Arrays,
    /// A quantity of the power side: `40 C`, `20 mohm`, `94 %`.
    Measured(Measure),
    /// A conductor: `8 AWG`, `250 kcmil`, `16 mm2`, `2 x 1/0 AWG`.
    Section,
    /// What the supply is: `split-phase 120/240 V`.
    Supply,
    /// Strings of solar modules: `roof south 10 x 2`.
    Strings,
    /// Free text.
    Text,
}

macro_rules! fields {
    ($($(#[$doc:meta])* $name:ident: $about:ident, $form:expr, $datum:expr, [$key:literal $(, $other:literal)*];)+) => {
        /// One kind of fact.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Field {
            $($(#[$doc])* $name,)+
        }

        impl Field {
            /// Every field.
            pub const ALL: &'static [Self] = &[$(Self::$name,)+];

            /// What it is about.
            pub const fn about(self) -> About {
                match self { $(Self::$name => About::$about,)+ }
            }

            /// How it is written.
            pub const fn form(self) -> Form {
                match self { $(Self::$name => $form,)+ }
            }

            /// The datum that it declares, if rules ask for one.
            pub const fn datum(self) -> Option<Datum> {
                match self { $(Self::$name => $datum,)+ }
            }

            /// The words for it, the canonical one first.
            pub const fn keys(self) -> &'static [&'static str] {
                match self { $(Self::$name => &[$key $(, $other)*],)+ }
            }
        }
    };
}

use Form as F;

fields! {
    /// Name of the site.
    Site: Group, F::Text, None, ["site", "site name", "job"];
    /// Profile by name or file.
    Profile: Group, F::Text, None, ["profile"];
    /// Parts that the check is about.
    Scope: Group, F::Text, None, ["scope"];
    /// How the list came to be.
    ListCameFrom: Group, F::Text, None, ["list came from"];
    /// How many rows the cable list has.
    RowsListed: Group, F::Whole(0, 1000), None, ["rows", "rows listed", "cables listed", "lines listed", "number of rows", "rows on paper", "lines on paper"];
    /// How many packs there are.
    PacksFitted: Group, F::Whole(0, 1000), Some(Datum::PacksFitted), ["packs fitted", "number of packs"];
    /// How many packs are set.
    PacksSet: Group, F::Whole(0, 1000), Some(Datum::PacksSet), ["packs set", "pack count set"];
    /// Which pack leads.
    LeadPack: Group, F::Whole(0, 1000), None, ["lead pack", "first pack"];
    /// Capacity that is set.
    CapacitySet: Group, F::Capacity, Some(Datum::CapacitySet), ["capacity set", "battery capacity set"];
    /// Where neutral and earth are joined.
    Bonds: Group, F::Bonds, Some(Datum::Bonds), ["neutral-earth bond", "neutral earth bonds", "ne bond", "bond"];
    /// Whether the changeover switches the neutral.
    ChangeoverNeutral: Group, F::Choice(vocabulary::YES_NO), Some(Datum::Changeover), ["changeover switches the neutral", "changeover switches neutral"];
    /// Gap between two sources.
    ChangeoverGap: Group, F::Milliseconds, None, ["changeover gap", "changeover gap ms"];
    /// Address at which the meter is expected.
    MeterAddressSet: Group, F::Address, Some(Datum::MeterAddressSet), ["meter address set", "meter address expected", "meter expected at"];
    /// Rating of the breaker in the supply.
    SupplyBreaker: Group, F::Current, None, ["supply breaker", "main breaker", "supply fuse", "main fuse", "service fuse", "supply rating"];
    /// Whether two sources are kept apart.
    Interlock: Group, F::Choice(vocabulary::YES_NO), None, ["interlock", "sources interlocked"];
    /// Whether the battery has a pre-charge path.
    Precharge: Group, F::Choice(vocabulary::YES_NO), None, ["pre-charge", "precharge"];
    /// Arrays and the units they feed.
    Arrays: Group, F::Arrays, Some(Datum::SolarInputs), ["pv", "solar", "arrays"];

    /// Coordinator or follower.
    Role: Unit, F::Choice(vocabulary::ROLE), Some(Datum::Role), ["role"];
    /// Number on the link.
    Address: Unit, F::Address, Some(Datum::Address), ["address", "addr", "adr", "node", "node id", "bus address", "address planned", "planned address", "address on plan"];
    /// Unit count that it is set to.
    Count: Unit, F::Whole(0, u16::MAX as u32), Some(Datum::Count), ["count", "unit count", "units set", "number of units"];
    /// Version of its firmware.
    Firmware: Unit, F::Version, Some(Datum::Firmware), ["firmware", "fw", "firmware version", "software"];
    /// What it does to terminate the link.
    Terminator: Unit, F::Choice(vocabulary::TERMINATOR), Some(Datum::Terminator), ["terminator", "term", "termination", "end resistor"];
    /// Value of its terminator.
    TerminatorOhms: Unit, F::Resistance, Some(Datum::TerminatorOhms), ["terminator ohms", "term ohms", "terminator value", "terminator resistance", "term value"];
    /// Battery bank that it stands on.
    Bank: Unit, F::Name, Some(Datum::Bank), ["bank", "battery bank"];
    /// Serial number.
    Serial: Unit, F::Serial, Some(Datum::Serial), ["serial", "serial number", "sn", "serial no", "serial on label", "serial number on label"];
    /// Type.
    Model: Unit, F::Name, Some(Datum::Model), ["model", "type", "unit type"];
    /// Parallel or single.
    Mode: Unit, F::Choice(vocabulary::MODE), Some(Datum::Mode), ["mode", "working mode"];
    /// Phase or leg that it makes.
    Phase: Unit, F::Choice(vocabulary::LEG), Some(Datum::Phase), ["phase", "leg"];
    /// Battery protocol that it is set to.
    Protocol: Unit, F::Name, Some(Datum::Protocol), ["battery protocol", "protocol", "bms protocol"];
    /// Speed of the link that it is set to.
    BitRate: Unit, F::BitRate, Some(Datum::BitRate), ["link bit rate", "bit rate", "can speed", "bus speed"];
    /// What it takes the battery's state from.
    BatteryType: Unit, F::Choice(vocabulary::BATTERY_TYPE), Some(Datum::BatteryType), ["battery type", "battery mode"];
    /// Charge limit that it is set to.
    ChargeLimit: Unit, F::Current, Some(Datum::ChargeLimit), ["charge limit", "max charge current"];
    /// Address switches as seen, the first one first.
    Switches: Unit, F::Switches, Some(Datum::Switches), ["switches", "address switches", "dip switches", "dip"];
    /// Word length, parity and stop bits, with the speed, of a serial pair.
    LineFormat: Unit, F::Name, Some(Datum::LineFormat), ["serial format", "line format", "serial settings"];
    /// Frequency of its output.
    Frequency: Unit, F::Frequency, Some(Datum::Settings), ["frequency", "output frequency"];
    /// Voltage of its output.
    AcVoltage: Unit, F::Voltage, Some(Datum::Settings), ["ac voltage", "output voltage"];
    /// Voltage to which it charges.
    ChargeVoltage: Unit, F::Voltage, Some(Datum::Settings), ["charge voltage", "absorption voltage", "bulk voltage"];
    /// Voltage at which it stops discharging.
    CutOffVoltage: Unit, F::Voltage, Some(Datum::Settings), ["cut-off voltage", "low battery cut-off", "discharge end voltage"];
    /// Limits for working with the supply.
    GridProfile: Unit, F::Name, Some(Datum::Settings), ["grid profile", "grid code", "country setting"];
    /// Output terminals and where they go.
    AcOut: Unit, F::Conductors, Some(Datum::AcTerminals), ["ac out", "output", "ac output"];
    /// Supply terminals and where they go.
    AcIn: Unit, F::Conductors, None, ["ac in", "input", "ac input", "supply"];
    /// Generator terminals and where they go.
    GeneratorIn: Unit, F::Conductors, None, ["generator in", "gen in"];
    /// Length of one battery lead.
    BatteryLead: Unit, F::Length, None, ["battery lead", "battery lead length"];
    /// Length of one output lead.
    OutputLead: Unit, F::Length, None, ["output lead", "output lead length"];
    /// Breaker in its output.
    OutputBreaker: Unit, F::Current, None, ["output breaker"];
    /// Fuse in its battery lead.
    BatteryFuse: Unit, F::Current, None, ["battery fuse"];

    /// How its plugs are wired.
    Wiring: Cable, F::Choice(vocabulary::WIRING), Some(Datum::Wiring), ["wiring", "lead wiring", "pinout"];
    /// How it is built.
    Construction: Cable, F::Choice(vocabulary::CONSTRUCTION), Some(Datum::Construction), ["construction", "cable type", "build"];
    /// Pins that carry a wire.
    Pins: Cable, F::Pins, Some(Datum::Pins), ["pins", "wired pins", "wires"];
    /// What is done with its screen.
    Screen: Cable, F::Choice(vocabulary::SCREEN), Some(Datum::Screen), ["screen", "shield", "screen earthed"];
    /// What else runs over the same pair.
    AlsoCarries: Cable, F::Choice(vocabulary::CABLE_KIND), None, ["also carries", "second service", "carries also"];
    /// Value of a terminator plug.
    PlugOhms: Cable, F::Resistance, Some(Datum::PlugOhms), ["ohms", "value", "resistance"];

    /// Its address.
    PackAddress: Pack, F::Address, Some(Datum::PackAddress), ["address", "addr", "adr"];
    /// Its protocol.
    PackProtocol: Pack, F::Name, Some(Datum::PackProtocol), ["protocol"];
    /// Its charge limit.
    PackChargeLimit: Pack, F::Current, Some(Datum::PackChargeLimit), ["charge limit"];
    /// Its capacity.
    PackCapacity: Pack, F::Capacity, Some(Datum::PackCapacity), ["capacity"];

    /// Where its arrow points.
    Arrow: Sensor, F::Choice(vocabulary::ARROW), Some(Datum::Arrow), ["arrow", "arrow points to", "arrow to"];
    /// Ratio on the part.
    RatioFitted: Sensor, F::Ratio, Some(Datum::RatioFitted), ["ratio on part", "ratio", "ratio fitted"];
    /// Ratio that is set.
    RatioSet: Sensor, F::Ratio, Some(Datum::RatioSet), ["ratio set"];
    /// Leg whose input it feeds.
    SensorInput: Sensor, F::Choice(vocabulary::LEG), Some(Datum::SensorInput), ["input", "fed to", "into input"];
    /// Where it sits.
    SensorPlace: Sensor, F::Choice(vocabulary::SENSOR_PLACE), Some(Datum::SensorPlace), ["place", "sits on", "position"];
    /// Leg whose voltage its current is multiplied with.
    VoltageReference: Sensor, F::Choice(vocabulary::LEG), Some(Datum::VoltageReference), ["voltage reference", "voltage leg", "voltage from"];
    /// Primary rating.
    SensorRating: Sensor, F::Current, Some(Datum::SensorRating), ["rating", "rated current"];

    /// What it does to terminate the link.
    DeviceTerminator: Device, F::Choice(vocabulary::TERMINATOR), None, ["terminator", "term", "termination"];
    /// Value of its terminator.
    DeviceTerminatorOhms: Device, F::Resistance, None, ["terminator ohms", "term ohms"];
    /// Its address.
    DeviceAddress: Device, F::Address, None, ["address", "addr"];
    /// Whether it asks on the pair.
    DeviceAsks: Device, F::Choice(vocabulary::YES_NO), None, ["asks", "polls"];

    // What sizes are computed from.
    /// Which code applies.
    Code: Group, F::Choice(vocabulary::CODE), None, ["code", "wiring code", "electrical code"];
    /// What the supply is.
    Supply: Group, F::Supply, None, ["supply system", "system", "service"];
    /// Ambient temperature of the conductors.
    Ambient: Group, F::Measured(Measure::Temperature), None, ["ambient", "ambient temperature", "conductor ambient"];
    /// Conductors that lie together and carry current.
    Together: Group, F::Whole(1, 1000), None, ["conductors together", "grouped conductors", "conductor together"];
    /// What conductors are made of.
    Metal: Group, F::Choice(vocabulary::METAL), None, ["conductor metal", "metal"];
    /// What the insulation of conductors is.
    Insulation: Group, F::Choice(vocabulary::INSULATION), None, ["insulation", "conductor insulation"];
    /// What the terminals stand.
    Terminals: Group, F::Choice(vocabulary::TERMINALS), None, ["terminals", "terminal temperature", "conductor terminals"];
    /// How conductors are laid.
    Laid: Group, F::Choice(vocabulary::LAID), None, ["laid", "way of laying", "conductor laid"];
    /// Breaker in the feeder of all units.
    FeederBreaker: Group, F::Current, None, ["feeder breaker"];
    /// Conductor of the feeder.
    FeederConductor: Group, F::Section, None, ["feeder conductor"];
    /// Length of the feeder, one way.
    FeederLength: Group, F::Length, None, ["feeder length"];
    /// Earth conductor of the feeder.
    FeederEarth: Group, F::Section, None, ["feeder earth", "feeder earth conductor"];
    /// Rating of the busbar.
    Busbar: Group, F::Current, None, ["busbar rating", "busbar"];
    /// Main breaker of the busbar.
    BusbarMain: Group, F::Current, None, ["busbar main", "busbar main breaker"];
    /// Where the sources sit on the busbar.
    BusbarSources: Group, F::Choice(vocabulary::BAR_PLACE), None, ["busbar sources", "busbar sources at"];
    /// All breakers of the busbar but the main, added.
    BusbarBreakers: Group, F::Current, None, ["busbar breakers", "busbar breakers together"];
    /// The largest breaker in front of a load.
    LoadBreaker: Group, F::Current, None, ["largest load breaker", "load breaker"];
    /// At how many times its rating a breaker trips at once.
    PickUp: Group, F::Measured(Measure::Times), None, ["magnetic pick-up", "pick-up"];
    /// How much of what a unit takes it gives.
    Efficiency: Group, F::Measured(Measure::Percent), None, ["efficiency", "unit efficiency", "battery efficiency"];
    /// Resistance from the battery to where a fault is, packs left out.
    PathOhms: Group, F::Measured(Measure::Resistance), None, ["battery path resistance", "path resistance"];
    /// Resistor of the pre-charge path.
    PrechargeOhms: Group, F::Measured(Measure::Resistance), None, ["pre-charge resistor", "precharge resistor"];
    /// What the generator gives.
    GeneratorRating: Group, F::Measured(Measure::Power), None, ["generator rating", "generator power"];
    /// Whether limits that are set at units are each unit's own or the group's.
    LimitFor: Group, F::Choice(vocabulary::LIMIT_FOR), None, ["source limit is for", "source limits are for"];
    /// Open-circuit voltage of a solar module.
    ModuleVolts: Group, F::Voltage, None, ["module voc", "module open-circuit voltage"];
    /// How that voltage changes with temperature.
    ModuleCoefficient: Group, F::Measured(Measure::PercentPerKelvin), None, ["module coefficient", "module voc coefficient"];
    /// What the modules are made of.
    ModuleKind: Group, F::Choice(vocabulary::MODULE_KIND), None, ["module kind"];
    /// Short-circuit current of a module.
    ModuleAmperes: Group, F::Current, None, ["module isc", "module short-circuit current"];
    /// Voltage of a module at work on the hottest day.
    ModuleHotVolts: Group, F::Voltage, None, ["module vmp hot", "module voltage hot"];
    /// Strings of modules.
    Strings: Group, F::Strings, None, ["strings", "modules in a string", "array strings"];
    /// Whether each string has a fuse.
    StringFuses: Group, F::Choice(vocabulary::YES_NO), None, ["string fuses", "strings fused", "array string fuses"];
    /// The lowest temperature that is expected.
    ColdestDay: Group, F::Measured(Measure::Temperature), None, ["coldest day", "lowest temperature", "array coldest day"];
    /// The lowest voltage at which a solar input works.
    SolarVoltsLeast: Group, F::Voltage, None, ["lowest solar voltage", "min solar voltage"];
    /// Load on L1.
    LoadL1: Group, F::Current, None, ["load L1", "load on L1"];
    /// Load on L2.
    LoadL2: Group, F::Current, None, ["load L2", "load on L2"];
    /// Load on L3.
    LoadL3: Group, F::Current, None, ["load L3", "load on L3"];
    /// Frequency of the supply on site.
    SupplyFrequency: Group, F::Frequency, None, ["supply frequency", "grid frequency", "mains frequency"];
    /// Grid profile that the utility demands.
    SupplyProfile: Group, F::Name, None, ["grid profile demanded", "grid profile of the supply"];
    /// Conductor of its output.
    OutputConductor: Unit, F::Section, None, ["output conductor", "output size"];
    /// Its earth conductor.
    EarthConductor: Unit, F::Section, None, ["earth conductor", "earth size"];
    /// Conductor of its battery leads.
    BatteryConductor: Unit, F::Section, None, ["battery conductor", "battery lead size"];
    /// The direct current that its battery fuse can interrupt.
    FuseInterrupts: Unit, F::Measured(Measure::Current), None, ["fuse interrupts", "battery fuse interrupts"];
    /// How much it may take from the supply.
    SupplyLimit: Unit, F::Current, None, ["supply limit", "supply current limit"];
    /// How much it may take from the generator.
    GeneratorLimit: Unit, F::Current, None, ["generator limit", "generator current limit"];
    /// How many solar inputs it has.
    InputsFitted: Unit, F::Whole(0, 16), None, ["solar inputs", "number of solar inputs"];
    /// Its resistance.
    PackOhms: Pack, F::Measured(Measure::Resistance), None, ["resistance", "internal resistance"];
    /// The most that may be taken from it.
    PackDischargeLimit: Pack, F::Current, None, ["discharge limit", "max discharge current"];
    /// Rated secondary current.
    SensorSecondary: Sensor, F::Current, None, ["secondary", "rated secondary"];
    /// Rated burden.
    SensorBurden: Sensor, F::Measured(Measure::Power), None, ["burden", "rated burden"];
    /// Resistance of the meter and of contacts.
    SensorMeter: Sensor, F::Measured(Measure::Resistance), None, ["meter resistance"];
    /// Length of its lead, one way.
    SensorLead: Sensor, F::Length, None, ["lead length"];
    /// Size of its lead.
    SensorLeadSize: Sensor, F::Section, None, ["lead size", "lead section"];
    /// Packs beside each other in each battery bank, where there are several.
    PacksPerBank: Group, F::Whole(0, 1000), None, ["packs per bank", "packs in each bank"];
    /// Whether residual-current devices protect the loads.
    ResidualProtection: Group, F::Choice(vocabulary::YES_NO), None, ["residual-current protection", "residual current devices", "earth fault protection"];
}

impl Field {
    /// Position in the list of all.
    #[allow(clippy::as_conversions, reason = "a fieldless enum has no other const conversion")]
    pub const fn position(self) -> u32 {
        self as u32
    }

    /// The canonical word.
    pub const fn key(self) -> &'static str {
        match self.keys() {
            [key, ..] => key,
            [] => "",
        }
    }
}
