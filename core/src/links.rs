//! Tables of the communication side, built once from a plan in one pass over its records.
//!
//! Rules read only these tables and the records that they need a value of; none walks the raw
//! cables on its own to find out who meets whom.

mod build;
mod pieces;
mod ring;
mod shape;
mod sockets;

pub use pieces::Pieces;
pub use sockets::PortIds;
use sockets::has_port;

use crate::alike::{Agreement, Values};
use crate::limits;
use crate::place::{CableId, PortId, UnitId};
use crate::plan::{
    CableKind, CableRecord, DataSet, Datum, EndRecord, Leg, Plan, PortClass, SensorRecord,
    UnitRecord,
};
use crate::sets::{CableSet, NodeId, NodeSet, SensorSet, UnitSet};

/// Which data are declared, at all and throughout.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// Declared for every thing of its kind that there is.
    pub whole: DataSet,
    /// Declared for at least one.
    pub some: DataSet,
}

/// Who meets whom on the communication side.
pub struct Links<'p> {
    /// The plan that the tables were built from.
    pub plan: &'p Plan<'p>,
    /// Which data are declared.
    pub known: Known,
    /// All units.
    pub units: UnitSet,
    /// Units set as coordinator.
    pub coordinators: UnitSet,
    /// Units of which a sheet says that no address is set.
    pub unaddressed: UnitSet,
    /// Units set as follower.
    pub followers: UnitSet,
    /// Data in which not all units hold the same: those that say nothing count as different.
    pub differs: DataSet,
    /// Points of the link where a terminator is on: switched, plugged or built in.
    pub terminated: NodeSet,
    /// Those where two are on.
    pub terminated_twice: NodeSet,
    /// Those where the settings say on and the list has a plug: two words for one terminator.
    pub listed_two_ways: NodeSet,
    /// Points of the link that switch a terminator on by themselves when they are an end.
    pub automatic: NodeSet,
    /// Points of the link of which it is known what they do to terminate it.
    pub terminator_known: NodeSet,
    /// Cables declared as link.
    pub link_cables: CableSet,
    /// Cables that join the same sockets as one before them: one cable, listed again.
    pub again: CableSet,
    /// Link cables with an end in a socket that is made for something else.
    pub misplaced: CableSet,
    /// Link cables with both ends at one point.
    pub self_loops: CableSet,
    /// Cables that carry a second service beside the one that they are for.
    pub shared: CableSet,
    /// Second link cables between two points that one joins already, where that makes no ring.
    pub doubled: CableSet,
    /// Link cables to a device that hangs on the line without ending it.
    pub stubs: CableSet,
    /// Devices that hang on the line without ending it.
    pub hanging: NodeSet,
    /// Other devices that only join cables, and ask nobody.
    pub joints: NodeSet,
    /// Other devices that are computer network equipment.
    pub network_gear: NodeSet,
    /// Cables to the battery.
    pub battery_cables: CableSet,
    /// Those of them with an end at a unit.
    pub battery_to_units: CableSet,
    /// Terminator plugs.
    pub plugs: CableSet,
    /// Units with a cable to the battery.
    pub battery_units: UnitSet,
    /// Leads of sensors.
    pub sensor_cables: CableSet,
    /// Points of the line with at least one link cable, stubs left out.
    pub on_link: NodeSet,
    /// Those with at least two.
    pub passed: NodeSet,
    /// Those with at least three.
    pub branched: NodeSet,
    /// Which points of the line hang together.
    pub pieces: Pieces,
    /// How many pieces the line falls into.
    pub piece_count: u32,
    /// Whether a link cable is listed in a socket that holds another cable too, so that it is not
    /// known where it really goes.
    pub is_doubtful: bool,
    /// Units with a socket that holds two or more cables.
    pub crowded: UnitSet,
    /// Sockets that are made for the link, one bit each.
    link_ports: u8,
    /// Sockets that are made for sensors.
    sensor_ports: u8,
    ports_used: [u8; limits::UNITS],
    ports_twice: [u8; limits::UNITS],
}

impl Links<'_> {
    /// Units whose value of a datum is not that of most; all of them, if nobody can be singled out.
    /// Free where all hold the same.
    #[inline(never)]
    pub fn odd_units(
        &self,
        datum: Datum,
        value: fn(&UnitRecord) -> Option<u32>,
    ) -> Option<UnitSet> {
        if !self.differs.has(datum) {
            return None;
        }
        Agreement::of(&self.values(value)).odd_ones()
    }

    /// Whether all units hold this value of a datum; told without looking at each.
    pub fn all_hold(&self, datum: Datum, value: fn(&UnitRecord) -> u32, wanted: u32) -> bool {
        let alike = self.known.whole.has(datum) && !self.differs.has(datum);
        alike && self.plan.units.first().is_some_and(|first| value(first) == wanted)
    }

    /// Units for which this holds; the number is handed through.
    #[inline(never)]
    pub fn units_where(&self, holds: fn(&UnitRecord, u32) -> bool, number: u32) -> UnitSet {
        let mut found = UnitSet::EMPTY;
        for (id, unit) in self.plan.units() {
            if holds(unit, number) {
                found.insert(id);
            }
        }
        found
    }

    /// Cables of a set for which this holds; the number is handed through.
    #[inline(never)]
    pub fn cables_where(
        &self,
        cables: CableSet,
        holds: fn(&CableRecord, u32) -> bool,
        number: u32,
    ) -> CableSet {
        let mut found = CableSet::EMPTY;
        for id in cables {
            if self.plan.cable(id).is_some_and(|cable| holds(cable, number)) {
                found.insert(id);
            }
        }
        found
    }

    /// Sensors for which this holds; the number is handed through.
    #[inline(never)]
    pub fn sensors_where(&self, holds: fn(&SensorRecord, u32) -> bool, number: u32) -> SensorSet {
        let mut found = SensorSet::EMPTY;
        for (id, sensor) in self.plan.sensors() {
            if holds(sensor, number) {
                found.insert(id);
            }
        }
        found
    }

    /// The cable before this one that is the same: of its kind, and in the very same sockets.
    /// Where a socket is not given, the two must bear one label and stand side by side.
    #[inline(never)]
    pub fn listed_before(&self, cable: CableId) -> Option<CableId> {
        let record = self.plan.cable(cable)?;
        let known = record.ends.iter().all(|end| end.unit().is_none() || end.port().is_some());
        let is_same = |(id, other): &(CableId, &CableRecord)| {
            let side_by_side = id.index().wrapping_add(1) == cable.index();
            other.kind == record.kind
                && (known && other.ends == record.ends
                    || record.label_again != 0 && side_by_side && other.may_be(record))
        };
        self.plan.cables().take(cable.index()).find(is_same).map(|(id, _)| id)
    }

    /// Cables with an end at a point of the link.
    #[inline(never)]
    pub fn cables_at(&self, node: NodeId) -> CableSet {
        self.cables_at_any(NodeSet::only(node))
    }

    /// Cables with an end at one of these points of the link.
    #[inline(never)]
    pub fn cables_at_any(&self, nodes: NodeSet) -> CableSet {
        let mut found = CableSet::EMPTY;
        for (id, cable) in self.plan.cables() {
            let [first, second] = &cable.ends;
            let ends_here = |end: &EndRecord| end.node().is_some_and(|node| nodes.contains(node));
            if ends_here(first) || ends_here(second) {
                found.insert(id);
            }
        }
        found
    }

    /// The two points that a cable joins, if both are known.
    pub fn nodes(&self, cable: CableId) -> Option<(NodeId, NodeId)> {
        self.plan.cable(cable)?.nodes()
    }

    /// Whether a socket is made for the link, as far as the profile says.
    pub fn is_link_port(&self, port: PortId) -> bool {
        has_port(self.link_ports, port)
    }

    /// Link cables that make up the line: side branches, second cables between neighbours and
    /// cables that go back to where they came from left out.
    pub fn line_cables(&self) -> CableSet {
        self.link_cables.without(self.self_loops).without(self.stubs).without(self.doubled)
    }

    /// The unit at a cable's end and the socket it is in.
    #[inline(never)]
    pub fn unit_end(&self, cable: CableId) -> Option<(UnitId, Option<PortId>)> {
        self.plan.cable(cable)?.unit_end()
    }

    /// What a socket is made for, if the profile says so.
    pub fn port_class(&self, port: PortId) -> Option<PortClass> {
        self.plan.demands.ports()?.class(port)
    }

    /// Cables with an end in the socket; terminator plugs left out.
    #[inline(never)]
    pub fn cables_in(&self, unit: UnitId, port: PortId) -> CableSet {
        let mut found = CableSet::EMPTY;
        for (id, cable) in self.plan.cables() {
            let [first, second] = &cable.ends;
            let is_here = |end: &EndRecord| end.unit() == Some(unit) && end.port() == Some(port);
            let is_plug = cable.kind() == Some(CableKind::Terminator);
            if !is_plug && (is_here(first) || is_here(second)) {
                found.insert(id);
            }
        }
        found
    }

    /// Points of the line with exactly one link cable.
    pub fn ends(&self) -> NodeSet {
        self.on_link.without(self.passed)
    }

    /// The two ends, if the link is one open line without branches.
    #[inline(never)]
    pub fn line_ends(&self) -> Option<NodeSet> {
        let ends = self.ends();
        let one_line = self.pieces.closing().is_empty()
            && self.branched.is_empty()
            && ends.len() == 2
            && self.units.without(self.on_link.units()).is_empty();
        one_line.then_some(ends)
    }

    /// Units that lack the datum. For data that units carry.
    pub fn units_without(&self, datum: Datum) -> UnitSet {
        self.plan.units().filter(|(_, unit)| !unit.declares(datum)).map(|(id, _)| id).collect()
    }

    /// Link cables that lack the datum. For data that cables carry.
    pub fn cables_without(&self, datum: Datum) -> CableSet {
        self.link_cables
            .iter()
            .filter(|id| self.plan.cable(*id).is_some_and(|cable| !cable.declares(datum)))
            .collect()
    }

    /// Whether no two units can have the same value: told by the low seven bits of each, so that
    /// a doubt may be unfounded.
    #[inline(never)]
    pub fn surely_differ(&self, value: fn(&UnitRecord) -> Option<u32>) -> bool {
        let mut seen = [0u32; 4];
        for unit in self.plan.units {
            let Some(value) = value(unit) else { continue };
            let word = usize::try_from(value.wrapping_shr(5) & 3).unwrap_or(0);
            let bit = 1u32.wrapping_shl(value & 31);
            let Some(seen) = seen.get_mut(word) else { return false };
            if *seen & bit != 0 {
                return false;
            }
            *seen |= bit;
        }
        true
    }

    /// One value of every unit that has one.
    #[inline(never)]
    pub fn values(&self, value: fn(&UnitRecord) -> Option<u32>) -> Values {
        let mut values = Values::NONE;
        for (id, unit) in self.plan.units() {
            if let Some(value) = value(unit) {
                values.set(id, value);
            }
        }
        values
    }

    /// Units that make the leg or phase.
    #[inline(never)]
    pub fn units_of_phase(&self, leg: Leg) -> UnitSet {
        self.units_where(|unit, leg| u32::from(unit.phase) == leg, leg.code().into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial::Trial;

    #[test]
    fn who_lacks_a_datum_is_told() {
        let trial = Trial::line(3).undeclare(1, Datum::Address).unmeasured(0);
        let plan = trial.plan();
        let links = Links::build(&plan);
        assert_eq!(links.units_without(Datum::Address), UnitSet::only(UnitId(1)));
        assert_eq!(links.cables_without(Datum::Length), CableSet::only(CableId(0)));
    }
}
