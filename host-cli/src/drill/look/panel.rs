//! Where each fact is read: on which panel of a unit, or at which part of the site.

use crate::field::Field;
use coldcheck_core::plan::Demand;

/// Where on a unit a fact is read.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Panel {
    Settings,
    Plate,
    Sockets,
    Terminals,
    Battery,
    Name,
}

impl Panel {
    pub(super) fn of(key: &str) -> Self {
        let is = |fields: &[Field]| fields.iter().any(|field| field.key() == key);
        if key == "name" {
            Self::Name
        } else if is(&[Field::Model, Field::Serial, Field::Switches, Field::InputsFitted]) {
            Self::Plate
        } else if is(&[Field::Terminator, Field::TerminatorOhms]) {
            Self::Sockets
        } else if is(&[
            Field::AcOut,
            Field::AcIn,
            Field::GeneratorIn,
            Field::OutputLead,
            Field::OutputBreaker,
            Field::OutputConductor,
            Field::EarthConductor,
        ]) {
            Self::Terminals
        } else if is(&[
            Field::Bank,
            Field::BatteryLead,
            Field::BatteryFuse,
            Field::FuseInterrupts,
            Field::BatteryConductor,
        ]) {
            Self::Battery
        } else {
            Self::Settings
        }
    }
}

/// Where a fact about the group is read.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Board,
    Battery,
    Roof,
    Papers,
}

impl Part {
    pub(super) fn of(key: &str) -> Self {
        let is = |fields: &[Field]| fields.iter().any(|field| field.key() == key);
        if is(&[
            Field::PacksFitted,
            Field::PacksSet,
            Field::LeadPack,
            Field::CapacitySet,
            Field::Precharge,
            Field::PrechargeOhms,
        ]) {
            Self::Battery
        } else if key == Demand::SolarAmperesMax.key()
            || key == Demand::SolarVoltsMax.key()
            || is(&[
                Field::Arrays,
                Field::Strings,
                Field::StringFuses,
                Field::ModuleVolts,
                Field::ModuleCoefficient,
                Field::ModuleAmperes,
                Field::ColdestDay,
            ])
        {
            Self::Roof
        } else if is(&[Field::Site, Field::Profile, Field::Code])
            || Demand::ALL.iter().any(|demand| demand.key() == key)
            || ["sheet date", "last change"].contains(&key)
        {
            Self::Papers
        } else {
            Self::Board
        }
    }
}
