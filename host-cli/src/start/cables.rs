//! The data cables of a plan: the link from socket to socket, the battery link, the sensor leads.

use super::{Plan, Unit, value};
use crate::field::Form;
use crate::read::ReadError;
use crate::site_file::{Entry, List, Table};
use crate::words;
use coldcheck_core::plan::{
    BatteryLinkOwner, CableKind, Datum, Demand, Leg, Pairing, PortClass, Role, SensorOwner, Shape,
};
use coldcheck_core::units::Millimetres;

impl Plan<'_> {
    /// All data cables, or why the profile's sockets cannot be joined so.
    pub(super) fn cables(&self) -> Result<Vec<Table>, ReadError> {
        let mut cables = self.link()?;
        cables.extend(self.battery_links());
        cables.extend(self.sensor_leads());
        Ok(cables)
    }

    fn ports(&self, class: PortClass) -> Vec<&str> {
        let of_class = self.profile.ports.iter().filter(|port| port.class == class);
        of_class.map(|port| port.name.as_str()).collect()
    }

    /// From unit to unit along the link, and in a ring from the last back to the first.
    fn link(&self) -> Result<Vec<Table>, ReadError> {
        let count = self.units.len();
        let sockets = self.ports(PortClass::Link);
        let ring = self.shape == Shape::Ring;
        let refused = |says: String, expected: &str| {
            Err(ReadError::file(
                "--units",
                format!("profile {}: {says}", self.profile.name),
                expected,
            ))
        };
        let (first, second) = match sockets.as_slice() {
            [] => return refused("no socket is for the link".to_owned(), "a profile with one"),
            [only] if count <= 2 && !ring => (*only, *only),
            [_] => {
                return refused(
                    format!("{count} units cannot be joined over one link socket each"),
                    "a profile with two link sockets",
                );
            }
            [first, second, ..] => (*first, *second),
        };
        let alike = value(self.profile, Demand::Pairing) == Some(Pairing::Alike);
        if ring && alike && count % 2 == 1 {
            return refused(
                format!("a ring of {count} units cannot be closed where like meets like"),
                "an even number",
            );
        }
        let pairs = (0..count.saturating_sub(1)).map(|from| (from, from + 1));
        let closing = (ring && count > 1).then(|| (count - 1, 0));
        Ok(pairs
            .chain(closing)
            .enumerate()
            .map(|(position, (from, to))| {
                let (from_port, to_port) = match (alike, from % 2) {
                    (false, _) => (first, second),
                    (true, 0) => (first, first),
                    (true, _) => (second, second),
                };
                let [from, to] = [from, to].map(|at| self.order[at]);
                let ends = [
                    (self.units[from].name(), Some(from_port)),
                    (self.units[to].name(), Some(to_port)),
                ];
                let mut cable = self.cable(format!("C{}", position + 1), CableKind::Link, ends);
                if let Some(distances) = &self.distances {
                    let length = words::length(Millimetres(distances[from][to]));
                    cable.entries.retain(|entry| entry.key != "length");
                    cable.entries.push(Entry::new("length", length));
                }
                cable.entries.extend(self.facts_of_cable());
                cable
            })
            .collect())
    }

    fn battery_links(&self) -> Vec<Table> {
        let leads = |unit: &&Unit| unit.role == Role::Coordinator;
        let owners: Vec<&Unit> = match value(self.profile, Demand::BatteryLinkOwner) {
            Some(BatteryLinkOwner::Coordinator) => {
                self.units.iter().find(leads).into_iter().collect()
            }
            Some(BatteryLinkOwner::CoordinatorOfL1) => {
                let of_l1 = |unit: &&Unit| unit.phase.is_none_or(|leg| leg == Leg::L1);
                self.units.iter().filter(leads).find(of_l1).into_iter().collect()
            }
            Some(BatteryLinkOwner::EachUnit) => self.units.iter().collect(),
            None => Vec::new(),
        };
        let port = self.ports(PortClass::Battery).first().copied();
        (1..)
            .zip(owners)
            .map(|(number, unit)| {
                let ends = [(format!("pack {number}"), None), (unit.name(), port)];
                self.cable(format!("B{number}"), CableKind::Battery, ends)
            })
            .collect()
    }

    fn sensor_leads(&self) -> Vec<Table> {
        let of_phase =
            value(self.profile, Demand::SensorOwner) == Some(SensorOwner::CoordinatorOfPhase);
        let port = self.ports(PortClass::Sensor).first().copied();
        (1..)
            .zip(self.sensors())
            .filter_map(|(number, leg): (u32, Leg)| {
                let owner = self.units.iter().find(|unit| {
                    let own_phase = !of_phase || unit.phase.is_none_or(|phase| phase == leg);
                    unit.role == Role::Coordinator && own_phase
                })?;
                let ends = [(format!("CT {}", leg.word()), None), (owner.name(), port)];
                Some(self.cable(format!("S{number}"), CableKind::Sensor, ends))
            })
            .collect()
    }

    fn cable(&self, label: String, kind: CableKind, ends: [(String, Option<&str>); 2]) -> Table {
        let [(from, from_port), (to, to_port)] = ends;
        let mut entries = vec![Entry::new("label", label), Entry::new("from", from)];
        entries.extend(from_port.map(|port| Entry::new("from_port", port)));
        entries.push(Entry::new("to", to));
        entries.extend(to_port.map(|port| Entry::new("to_port", port)));
        entries.push(Entry::new("kind", kind.word()));
        if self.profile.must_declare.contains(Datum::Length) {
            entries.push(Entry::blank("length", super::facts::hint(Form::Length)));
        }
        Table { list: List::Cable, entries }
    }
}
