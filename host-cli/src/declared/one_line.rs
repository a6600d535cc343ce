//! A site with one line: what its sensors stand on.

use super::{Declared, Subject};
use crate::field::Field;
use crate::profile::Profile;
use crate::value::{Pole, System, Value};
use coldcheck_core::plan::{Demand, Leg};

impl Declared {
    /// Whether nothing of the site has a second line: neither its supply nor an output of a unit.
    pub(crate) fn has_one_line(&self) -> bool {
        let supply = self.agreed(Subject::Group, Field::Supply);
        let has_second = |unit: usize| match self.agreed(Subject::Unit(unit), Field::AcOut) {
            Some(Value::Conductors(list)) => list.iter().any(|one| one.pole == Pole::L2),
            _ => false,
        };
        matches!(supply, Some(Value::Supply(supply)) if supply.system == System::SinglePhase)
            && !(0..self.units.len()).any(has_second)
    }

    /// Whether a sheet says how many sensors there are to be: who says so is believed.
    pub(crate) fn says_how_many_sensors(&self) -> bool {
        self.demands().any(|(demand, _)| demand == Demand::Sensors)
    }

    /// Sensors on legs that the site has not, where neither the sheets nor the profile say how many there
    /// are to be.
    pub(super) fn ask_about_legs_without_line(&mut self, profile: &Profile) {
        let says = self.says_how_many_sensors() || profile.demands.contains_key(&Demand::Sensors);
        if says || !self.has_one_line() {
            return;
        }
        let others = self.sensors.iter().filter(|(_, leg)| leg.is_some_and(|leg| leg != Leg::L1));
        let others: Vec<_> =
            others.filter_map(|(thing, _)| Some((thing.origin()?, thing.name.clone()))).collect();
        for (origin, name) in others {
            self.ask(
                origin,
                format!("the supply has one line; what does {name} stand on?"),
                "write CT L1 for the sensor on that line; what another part of the plant needs \
                 (an array, a generator) is no sensor of the group: leave it out, or say how many \
                 belong to it: sensors = 2",
            );
        }
    }
}
