//! Tables of the communication side, built once from a plan in one pass over its records.
//!
//! Rules read only these tables and the records that they need a value of; none walks the raw
//! cables on its own to find out who meets whom.

mod pieces;
mod ring;

pub use pieces::Pieces;

use crate::limits;
use crate::place::{CableId, PortId, UnitId};
use crate::plan::{
    CableKind, CableRecord, DataSet, Datum, DeviceKind, EndKind, Leg, Plan, PortClass, Role,
    Terminator,
};
use crate::sets::{CableSet, NodeId, NodeSet, UnitSet};

/// Which data are declared, at all and throughout.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// Declared for every unit, or every link cable, that there is.
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
    /// Units set as follower.
    pub followers: UnitSet,
    /// Points of the link where a terminator is on: switched, plugged or built in.
    pub terminated: NodeSet,
    /// Points of the link that switch a terminator on by themselves when they are an end.
    pub automatic: NodeSet,
    /// Points of the link of which it is known what they do to terminate it.
    pub terminator_known: NodeSet,
    /// Cables declared as link.
    pub link_cables: CableSet,
    /// Link cables with both ends at one unit.
    pub self_loops: CableSet,
    /// Link cables to a device that hangs on the line without ending it.
    pub stubs: CableSet,
    /// Cables to the battery.
    pub battery_cables: CableSet,
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
    ports_used: [u8; limits::UNITS],
    ports_twice: [u8; limits::UNITS],
    /// Units with a socket that holds two or more cables.
    crowded: UnitSet,
}

impl<'p> Links<'p> {
    /// Builds the tables.
    pub fn build(plan: &'p Plan<'p>) -> Self {
        let mut links = Self {
            plan,
            known: Known::default(),
            units: UnitSet::first(plan.units.len()),
            coordinators: UnitSet::EMPTY,
            followers: UnitSet::EMPTY,
            terminated: NodeSet::EMPTY,
            automatic: NodeSet::EMPTY,
            terminator_known: NodeSet::EMPTY,
            link_cables: CableSet::EMPTY,
            self_loops: CableSet::EMPTY,
            stubs: CableSet::EMPTY,
            battery_cables: CableSet::EMPTY,
            sensor_cables: CableSet::EMPTY,
            on_link: NodeSet::EMPTY,
            passed: NodeSet::EMPTY,
            branched: NodeSet::EMPTY,
            pieces: Pieces::new(),
            ports_used: [0; limits::UNITS],
            ports_twice: [0; limits::UNITS],
            crowded: UnitSet::EMPTY,
        };
        links.add_units();
        links.add_devices();
        links.add_cables();
        links.join();
        links
    }

    fn add_units(&mut self) {
        // Bits 0 to 31 of the data sets are the units' own.
        let mut whole = u32::MAX;
        let mut some = 0;
        for (id, unit) in self.plan.units() {
            let declared = unit.declared.get();
            whole &= declared;
            some |= declared;
            match unit.role() {
                Some(Role::Coordinator) => self.coordinators.insert(id),
                Some(Role::Follower) => self.followers.insert(id),
                None => {}
            }
            self.add_terminator(NodeId::of_unit(id), unit.terminator());
        }
        let group = self.plan.group.declared.get();
        self.known = Known {
            whole: DataSet(u64::from(whole) | group),
            some: DataSet(u64::from(some) | group),
        };
    }

    fn add_devices(&mut self) {
        for (id, device) in self.plan.devices() {
            self.add_terminator(NodeId::of_device(id), device.terminator());
        }
    }

    fn add_terminator(&mut self, node: NodeId, terminator: Option<Terminator>) {
        match terminator {
            Some(Terminator::On | Terminator::Plug | Terminator::BuiltIn) => {
                self.terminated.insert(node);
            }
            Some(Terminator::Automatic) => self.automatic.insert(node),
            Some(Terminator::Off) => {}
            None => return,
        }
        self.terminator_known.insert(node);
    }

    fn add_cables(&mut self) {
        let mut whole = DataSet(u64::MAX);
        let mut some = DataSet::EMPTY;
        for (id, cable) in self.plan.cables() {
            match cable.kind() {
                Some(CableKind::Link) => {
                    self.link_cables.insert(id);
                    whole = whole.and(cable.data());
                    some = DataSet(some.0 | cable.data().0);
                }
                Some(CableKind::Battery) => self.battery_cables.insert(id),
                Some(CableKind::Sensor) => self.sensor_cables.insert(id),
                Some(CableKind::Terminator) => {
                    if let Some(node) = cable.ends.iter().find_map(|end| end.node()) {
                        self.add_terminator(node, Some(Terminator::Plug));
                    }
                    continue;
                }
                Some(CableKind::Meter | CableKind::PackLink | CableKind::Service) | None => {}
            }
            self.use_ports(cable);
        }
        self.known.whole = DataSet(self.known.whole.0 | whole.and(CABLE_DATA).0);
        self.known.some = DataSet(self.known.some.0 | some.and(CABLE_DATA).0);
    }

    fn use_ports(&mut self, cable: &CableRecord) {
        for end in &cable.ends {
            let (Some(unit), Some(port)) = (end.unit(), end.port()) else { continue };
            let bit = 1u8.checked_shl(u32::from(port.0)).unwrap_or(0);
            let (Some(used), Some(twice)) =
                (self.ports_used.get_mut(unit.index()), self.ports_twice.get_mut(unit.index()))
            else {
                continue;
            };
            if *used & bit != 0 {
                *twice |= bit;
                self.crowded.insert(unit);
            }
            *used |= bit;
        }
    }

    /// Joins the ends of link cables: first finds the devices that only hang on the line, then
    /// counts cables at every point and puts the points together into pieces.
    fn join(&mut self) {
        let hanging = self.hanging_devices();
        for id in self.link_cables {
            let Some((a, b)) = self.nodes(id) else { continue };
            if hanging.contains(a) || hanging.contains(b) {
                self.stubs.insert(id);
                continue;
            }
            if a == b {
                self.self_loops.insert(id);
                continue;
            }
            for node in [a, b] {
                let bit = NodeSet::only(node);
                self.branched = self.branched.or(self.passed.and(bit));
                self.passed = self.passed.or(self.on_link.and(bit));
                self.on_link = self.on_link.or(bit);
            }
            self.pieces.join(a, b, id);
        }
    }

    /// Devices with one link cable and no terminator: a gateway on a side branch does not end the
    /// line. Splitters and repeaters are made to be passed through, so they stay on it.
    fn hanging_devices(&self) -> NodeSet {
        let mut devices = NodeSet::EMPTY;
        for (id, device) in self.plan.devices() {
            if !matches!(device.kind(), Some(DeviceKind::Splitter | DeviceKind::Repeater)) {
                devices.insert(NodeId::of_device(id));
            }
        }
        if devices.is_empty() {
            return devices;
        }
        let mut once = NodeSet::EMPTY;
        let mut twice = NodeSet::EMPTY;
        for id in self.link_cables {
            let Some((a, b)) = self.nodes(id) else { continue };
            for node in [a, b] {
                let bit = NodeSet::only(node);
                twice = twice.or(once.and(bit));
                once = once.or(bit);
            }
        }
        devices.and(once).without(twice).without(self.terminated).without(self.automatic)
    }

    /// The two points that a cable joins, if both are known.
    pub fn nodes(&self, cable: CableId) -> Option<(NodeId, NodeId)> {
        let [a, b] = &self.plan.cable(cable)?.ends;
        Some((a.node()?, b.node()?))
    }

    /// The unit at a cable's end and the socket it is in.
    pub fn unit_end(&self, cable: CableId) -> Option<(UnitId, Option<PortId>)> {
        self.plan.cable(cable)?.unit_end()
    }

    /// Whether neither end of the cable says where it is, or the one that should be a unit does
    /// not.
    pub fn unit_end_unknown(&self, cable: CableId) -> bool {
        self.plan
            .cable(cable)
            .is_some_and(|record| record.ends.iter().any(|end| end.kind().is_none()))
    }

    /// What a socket is made for, if the profile says so.
    pub fn port_class(&self, port: PortId) -> Option<PortClass> {
        self.plan.demands.ports()?.class(port)
    }

    /// Sockets that hold two or more cables, with their units.
    pub fn ports_twice(&self) -> impl Iterator<Item = (UnitId, PortId)> + '_ {
        self.crowded.iter().flat_map(move |unit| {
            let twice = self.ports_twice.get(unit.index()).copied().unwrap_or(0);
            PORTS
                .into_iter()
                .filter(move |port| has_port(twice, *port))
                .map(move |port| (unit, port))
        })
    }

    /// A link socket of the unit that no cable is in, the first one if there are several.
    pub fn free_link_port(&self, unit: UnitId) -> Option<PortId> {
        let used = *self.ports_used.get(unit.index())?;
        PORTS
            .into_iter()
            .filter(|port| self.port_class(*port) == Some(PortClass::Link))
            .find(|port| !has_port(used, *port))
    }

    /// Cables with an end in the socket; terminator plugs left out.
    pub fn cables_in(&self, unit: UnitId, port: PortId) -> CableSet {
        self.plan
            .cables()
            .filter(|(_, cable)| cable.kind() != Some(CableKind::Terminator))
            .filter(|(_, cable)| {
                cable.ends.iter().any(|end| end.unit() == Some(unit) && end.port() == Some(port))
            })
            .map(|(id, _)| id)
            .collect()
    }

    /// Points of the line with exactly one link cable.
    pub fn ends(&self) -> NodeSet {
        self.on_link.without(self.passed)
    }

    /// The two ends, if the link is one open line without branches.
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

    /// Units that make the leg or phase.
    pub fn units_of_phase(&self, leg: Leg) -> UnitSet {
        self.plan.units().filter(|(_, unit)| unit.phase() == Some(leg)).map(|(id, _)| id).collect()
    }

    /// Whether the cable has an end at a thing of this kind.
    pub fn has_end(&self, cable: CableId, kind: EndKind) -> bool {
        self.plan
            .cable(cable)
            .is_some_and(|record| record.ends.iter().any(|end| end.kind() == Some(kind)))
    }
}

/// The bits of the data sets that cables carry.
const CABLE_DATA: DataSet = DataSet(0xFFFF << 32);

const PORTS: [PortId; limits::PORTS] =
    [PortId(0), PortId(1), PortId(2), PortId(3), PortId(4), PortId(5), PortId(6), PortId(7)];

fn has_port(mask: u8, port: PortId) -> bool {
    mask & 1u8.checked_shl(u32::from(port.0)).unwrap_or(0) != 0
}
