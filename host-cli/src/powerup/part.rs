//! Parts of a site, by what must be tested again when one of them changes.

use crate::field::{About, Field};
use crate::fold::Folded;
use crate::site_file::List;

/// A part of what was declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Nothing that is wired or set: names, remarks, what lists say of themselves.
    Paper,
    /// The link: cables, terminators, what they are made of.
    Link,
    /// Data leads of battery and sensors, packs and what is set about them.
    BatteryData,
    /// What is dialled in at units, but for what makes their output.
    Settings,
    /// What is dialled in that makes a unit's output: mode, leg, volts, frequency.
    Output,
    /// Firmware.
    Firmware,
    /// Which machine stands there: serial number and type.
    Machine,
    /// Battery bank, its conductors, fuses, pre-charge.
    BatteryPower,
    /// Conductors, breakers and terminals of the AC side.
    Ac,
    /// Where neutral meets earth, and what the changeover does with it.
    Bond,
    /// Sensors.
    Sensor,
    /// Solar arrays.
    Solar,
    /// Supply and generator.
    Supply,
}

impl Part {
    /// The part that a fact belongs to.
    #[allow(clippy::too_many_lines, reason = "one line for each fact that there is")]
    pub const fn of(field: Field) -> Self {
        use Field as F;
        match field {
            F::Site
            | F::Profile
            | F::Scope
            | F::ListCameFrom
            | F::RowsListed
            | F::Code
            | F::Efficiency => Self::Paper,
            F::Terminator
            | F::TerminatorOhms
            | F::Wiring
            | F::Construction
            | F::Pins
            | F::Screen
            | F::AlsoCarries
            | F::PlugOhms
            | F::DeviceTerminator
            | F::DeviceTerminatorOhms
            | F::DeviceAddress
            | F::DeviceAsks => Self::Link,
            F::PacksFitted
            | F::PacksSet
            | F::LeadPack
            | F::CapacitySet
            | F::PackAddress
            | F::PackProtocol => Self::BatteryData,
            F::Role
            | F::Address
            | F::Count
            | F::Protocol
            | F::BitRate
            | F::BatteryType
            | F::ChargeLimit
            | F::Switches
            | F::LineFormat
            | F::ChargeVoltage
            | F::CutOffVoltage
            | F::GridProfile
            | F::SupplyLimit
            | F::GeneratorLimit
            | F::LimitFor => Self::Settings,
            F::Mode | F::Phase | F::Frequency | F::AcVoltage => Self::Output,
            F::Firmware => Self::Firmware,
            F::Serial | F::Model => Self::Machine,
            F::Bank
            | F::BatteryLead
            | F::BatteryFuse
            | F::BatteryConductor
            | F::FuseInterrupts
            | F::Precharge
            | F::PrechargeOhms
            | F::PathOhms
            | F::PackChargeLimit
            | F::PackCapacity
            | F::PackOhms
            | F::PackDischargeLimit
            | F::PacksPerBank => Self::BatteryPower,
            F::AcOut
            | F::OutputLead
            | F::OutputBreaker
            | F::OutputConductor
            | F::EarthConductor
            | F::Supply
            | F::Ambient
            | F::Together
            | F::Metal
            | F::Insulation
            | F::Terminals
            | F::Laid
            | F::FeederBreaker
            | F::FeederConductor
            | F::FeederLength
            | F::FeederEarth
            | F::Busbar
            | F::BusbarMain
            | F::BusbarSources
            | F::BusbarBreakers
            | F::LoadBreaker
            | F::PickUp
            | F::LoadL1
            | F::LoadL2
            | F::LoadL3
            | F::ResidualProtection => Self::Ac,
            F::Bonds | F::ChangeoverNeutral => Self::Bond,
            F::MeterAddressSet
            | F::Arrow
            | F::RatioFitted
            | F::RatioSet
            | F::SensorInput
            | F::SensorPlace
            | F::VoltageReference
            | F::SensorRating
            | F::SensorSecondary
            | F::SensorBurden
            | F::SensorMeter
            | F::SensorLead
            | F::SensorLeadSize => Self::Sensor,
            F::Arrays
            | F::ModuleVolts
            | F::ModuleCoefficient
            | F::ModuleKind
            | F::ModuleAmperes
            | F::ModuleHotVolts
            | F::Strings
            | F::StringFuses
            | F::ColdestDay
            | F::SolarVoltsLeast
            | F::InputsFitted => Self::Solar,
            F::AcIn
            | F::GeneratorIn
            | F::ChangeoverGap
            | F::SupplyBreaker
            | F::Interlock
            | F::GeneratorRating
            | F::SupplyFrequency
            | F::SupplyProfile => Self::Supply,
        }
    }

    /// The part that a line of a site file belongs to: one of a thing, or of the group.
    pub fn of_line(about: About, key: &str) -> Self {
        let words = Folded::of(key);
        if let Some(field) = Field::find(about, &words) {
            return Self::of(field);
        }
        match about {
            // What is said of all units at once, or of all sensors.
            About::Group => [("all units", About::Unit), ("ct", About::Sensor)]
                .into_iter()
                .find_map(|(head, about)| Field::find(about, &words.after(head)?))
                .map_or(Self::Paper, Self::of),
            About::Cable if key == "note" => Self::Paper,
            About::Cable | About::Device => Self::Link,
            About::Pack => Self::BatteryPower,
            About::Sensor => Self::Sensor,
            About::Unit => Self::Paper,
        }
    }

    /// What a cable of this kind belongs to.
    pub(crate) fn of_cable(kind: &str) -> Self {
        match kind {
            "battery" | "pack link" => Self::BatteryData,
            "sensor" | "meter" => Self::Sensor,
            _ => Self::Link,
        }
    }
}

/// The part that changes where a unit or a pack comes or goes.
pub(crate) const fn of_member(list: List) -> Option<Part> {
    match list {
        List::Unit => Some(Part::Machine),
        List::Pack => Some(Part::BatteryPower),
        List::Sensor | List::Device | List::Cable | List::Waiver | List::ToDo => None,
    }
}

/// What kind of thing a list of a site file holds.
pub(crate) const fn about(list: List) -> Option<About> {
    match list {
        List::Unit => Some(About::Unit),
        List::Pack => Some(About::Pack),
        List::Sensor => Some(About::Sensor),
        List::Device => Some(About::Device),
        List::Cable => Some(About::Cable),
        List::Waiver | List::ToDo => None,
    }
}
