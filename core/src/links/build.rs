//! Building the tables: one pass over units, devices and cables, one over the link cables.

use super::{Known, Links, Pieces};
use crate::limits;
use crate::plan::{CableKind, CableRecord, DataSet, Datum, DeviceKind, Plan, Role, Terminator};
use crate::sets::{CableSet, NodeId, NodeSet, UnitSet};

/// Coverage of the data of one kind of thing: bits that all have, and that some have.
struct Coverage {
    whole: DataSet,
    some: DataSet,
}

impl Coverage {
    const NOTHING_SEEN: Self = Self { whole: DataSet(u64::MAX), some: DataSet::EMPTY };

    fn see(&mut self, data: DataSet) {
        self.whole = self.whole.and(data);
        self.some = self.some.or(data);
    }
}

impl Known {
    fn add(&mut self, coverage: &Coverage, mask: DataSet) {
        self.whole = self.whole.or(coverage.whole.and(mask));
        self.some = self.some.or(coverage.some.and(mask));
    }

    /// Notes a datum of the group that follows from the cables.
    fn derive(&mut self, datum: Datum, known: bool) {
        if known {
            let bit = DataSet::of(&[datum]);
            self.whole = self.whole.or(bit);
            self.some = self.some.or(bit);
        }
    }
}

/// The bits from one position up to another.
const fn bits(from: u32, to: u32) -> DataSet {
    let below_to = 1u64.wrapping_shl(to).wrapping_sub(1);
    let below_from = 1u64.wrapping_shl(from).wrapping_sub(1);
    DataSet(below_to & !below_from)
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
            terminated_twice: NodeSet::EMPTY,
            automatic: NodeSet::EMPTY,
            terminator_known: NodeSet::EMPTY,
            link_cables: CableSet::EMPTY,
            self_loops: CableSet::EMPTY,
            stubs: CableSet::EMPTY,
            hanging: NodeSet::EMPTY,
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
        let plugged = links.add_units();
        links.add_devices();
        links.add_cables(plugged);
        links.add_parts();
        links.join();
        links
    }

    /// Gives the units that say of themselves that a plug is in them.
    fn add_units(&mut self) -> NodeSet {
        let mut coverage = Coverage::NOTHING_SEEN;
        let mut plugged = NodeSet::EMPTY;
        for (id, unit) in self.plan.units() {
            coverage.see(DataSet(u64::from(unit.declared.get())));
            match unit.role() {
                Some(Role::Coordinator) => self.coordinators.insert(id),
                Some(Role::Follower) => self.followers.insert(id),
                None => {}
            }
            let node = NodeId::of_unit(id);
            let terminator = unit.terminator();
            self.add_terminator(node, terminator);
            if terminator == Some(Terminator::Plug) {
                plugged.insert(node);
            }
        }
        let group = DataSet(self.plan.group.declared.get());
        self.known = Known { whole: group, some: group };
        self.known.add(&coverage, bits(0, Datum::FIRST_OF_CABLES));
        plugged
    }

    fn add_devices(&mut self) {
        for (id, device) in self.plan.devices() {
            self.add_terminator(NodeId::of_device(id), device.terminator());
        }
    }

    fn add_terminator(&mut self, node: NodeId, terminator: Option<Terminator>) {
        match terminator {
            Some(Terminator::On | Terminator::Plug | Terminator::BuiltIn) => {
                let bit = NodeSet::only(node);
                self.terminated_twice = self.terminated_twice.or(self.terminated.and(bit));
                self.terminated = self.terminated.or(bit);
            }
            Some(Terminator::Automatic) => self.automatic.insert(node),
            Some(Terminator::Off) => {}
            None => return,
        }
        self.terminator_known.insert(node);
    }

    fn add_cables(&mut self, mut plugged: NodeSet) {
        let mut coverage = Coverage::NOTHING_SEEN;
        let (mut battery_ends, mut sensor_ends, mut sockets) = (true, true, true);
        for (id, cable) in self.plan.cables() {
            match cable.kind() {
                Some(CableKind::Link) => {
                    self.link_cables.insert(id);
                    coverage.see(cable.data());
                }
                Some(CableKind::Battery) => {
                    self.battery_cables.insert(id);
                    battery_ends &= cable.unit_end().is_some();
                }
                Some(CableKind::Sensor) => {
                    self.sensor_cables.insert(id);
                    sensor_ends &= cable.unit_end().is_some();
                }
                Some(CableKind::Terminator) => {
                    self.add_plug(cable, &mut plugged);
                    continue;
                }
                // A cable of which nothing is known may be any.
                None if cable.ends.iter().all(|end| end.kind().is_none()) => {
                    coverage.see(cable.data());
                    (battery_ends, sensor_ends, sockets) = (false, false, false);
                }
                Some(CableKind::Meter | CableKind::PackLink | CableKind::Service) | None => {}
            }
            sockets &= self.use_ports(cable);
        }
        self.known.add(&coverage, bits(Datum::FIRST_OF_CABLES, Datum::FIRST_OF_SENSORS));
        let listed = self.known.whole.contains(Datum::CableList);
        self.known.derive(Datum::BatteryLeadEnds, listed && battery_ends);
        self.known.derive(Datum::SensorLeadEnds, listed && sensor_ends);
        self.known.derive(Datum::Socket, listed && sockets);
    }

    /// A plug in the list is the one that the unit's settings speak of, if they do.
    fn add_plug(&mut self, cable: &CableRecord, plugged: &mut NodeSet) {
        let Some(node) = cable.ends.iter().find_map(|end| end.node()) else { return };
        if plugged.contains(node) {
            *plugged = plugged.without(NodeSet::only(node));
        } else {
            self.add_terminator(node, Some(Terminator::Plug));
        }
    }

    /// Marks the sockets that a cable is in, and says whether they are all known.
    fn use_ports(&mut self, cable: &CableRecord) -> bool {
        let mut known = true;
        let [first, second] = &cable.ends;
        for end in [first, second] {
            let Some(unit) = end.unit() else { continue };
            let Some(port) = end.port() else {
                known = false;
                continue;
            };
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
            // Both ends in one socket is one cable too few, not one too many.
            if first == second {
                break;
            }
        }
        known
    }

    fn add_parts(&mut self) {
        let (mut sensors, mut packs) = (Coverage::NOTHING_SEEN, Coverage::NOTHING_SEEN);
        for sensor in self.plan.sensors {
            sensors.see(sensor.data());
        }
        for pack in self.plan.packs {
            packs.see(pack.data());
        }
        self.known.add(&sensors, bits(Datum::FIRST_OF_SENSORS, Datum::FIRST_OF_PACKS));
        self.known.add(&packs, bits(Datum::FIRST_OF_PACKS, Datum::FIRST_OF_GROUP));
    }

    /// Joins the ends of link cables: first finds the devices that only hang on the line, then
    /// counts cables at every point and puts the points together into pieces.
    fn join(&mut self) {
        self.hanging = self.hanging_devices();
        for id in self.link_cables {
            let Some((a, b)) = self.nodes(id) else { continue };
            if a == b {
                self.self_loops.insert(id);
                continue;
            }
            if self.hanging.contains(a) || self.hanging.contains(b) {
                self.stubs.insert(id);
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
}
