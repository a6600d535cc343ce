//! Building the tables: one pass over units, devices and cables, one over the link cables.

use super::sockets::{Seats, link_ports, ports_of};
use super::{Known, Links, Pieces};
use crate::limits;
use crate::plan::{
    CableKind, CableRecord, DataSet, Datum, DeviceKind, Plan, PortClass, Role, Terminator,
    UnitRecord,
};
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
            let bit = DataSet::only(datum);
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

/// Units that say of themselves that a plug is in them, and those that say their switch is on.
#[derive(Default)]
struct Said {
    plugged: UnitSet,
    switched: UnitSet,
}

/// The data in which a unit differs from another.
fn differences(one: &UnitRecord, two: &UnitRecord) -> DataSet {
    // In the low word, where all these data are: one shift serves for each.
    let bit = |datum: Datum, differ: bool| u32::from(differ).wrapping_shl(datum.bit());
    let set = bit(Datum::Count, one.count != two.count)
        | bit(Datum::Firmware, one.firmware != two.firmware)
        | bit(Datum::Model, one.model != two.model)
        | bit(Datum::Settings, one.settings != two.settings)
        | bit(Datum::BitRate, one.bit_rate != two.bit_rate)
        | bit(Datum::LineFormat, one.line_format != two.line_format)
        | bit(Datum::Mode, one.mode != two.mode);
    DataSet(set.into())
}

impl<'p> Links<'p> {
    /// Builds the tables.
    #[inline(always)]
    pub fn build(plan: &'p Plan<'p>) -> Self {
        let mut links = Self::empty(plan);
        links.fill();
        links
    }

    /// Tables without anything in them. Apart from filling them, so that they need not be moved.
    #[inline(never)]
    pub(crate) fn empty(plan: &'p Plan<'p>) -> Self {
        Self {
            plan,
            known: {
                let group = DataSet(plan.group.declared.get());
                Known { whole: group, some: group }
            },
            units: UnitSet::first(plan.units.len()),
            coordinators: UnitSet::EMPTY,
            unaddressed: UnitSet::EMPTY,
            followers: UnitSet::EMPTY,
            differs: DataSet::EMPTY,
            terminated: NodeSet::EMPTY,
            terminated_twice: NodeSet::EMPTY,
            listed_two_ways: NodeSet::EMPTY,
            automatic: NodeSet::EMPTY,
            terminator_known: NodeSet::EMPTY,
            link_cables: CableSet::EMPTY,
            again: CableSet::EMPTY,
            misplaced: CableSet::EMPTY,
            self_loops: CableSet::EMPTY,
            doubled: CableSet::EMPTY,
            shared: CableSet::EMPTY,
            stubs: CableSet::EMPTY,
            hanging: NodeSet::EMPTY,
            joints: NodeSet::EMPTY,
            network_gear: NodeSet::EMPTY,
            battery_cables: CableSet::EMPTY,
            battery_to_units: CableSet::EMPTY,
            plugs: CableSet::EMPTY,
            battery_units: UnitSet::EMPTY,
            sensor_cables: CableSet::EMPTY,
            on_link: NodeSet::EMPTY,
            passed: NodeSet::EMPTY,
            branched: NodeSet::EMPTY,
            pieces: Pieces::new(),
            piece_count: 0,
            is_doubtful: false,
            link_ports: link_ports(plan.demands),
            sensor_ports: ports_of(plan.demands, PortClass::Sensor),
            ports_used: [0; limits::UNITS],
            ports_twice: [0; limits::UNITS],
            crowded: UnitSet::EMPTY,
        }
    }

    /// Fills the tables; once.
    #[inline(never)]
    pub(crate) fn fill(&mut self) {
        let said = self.add_units();
        self.add_devices();
        self.add_cables(said);
        self.add_parts();
        self.join();
        self.is_doubtful = self.has_doubtful_cable();
    }

    /// Gives what the units say of themselves about plugs and switches.
    #[inline(never)]
    fn add_units(&mut self) -> Said {
        let mut coverage = Coverage::NOTHING_SEEN;
        let mut said = Said::default();
        // The bit of each unit in turn is cheaper to move on than to make.
        let mut own = UnitSet(1);
        let first = self.plan.units.first();
        for unit in self.plan.units {
            coverage.see(DataSet(u64::from(unit.declared.get())));
            if unit.role == Role::Coordinator.code() {
                self.coordinators = self.coordinators.or(own);
            } else if unit.role == Role::Follower.code() {
                self.followers = self.followers.or(own);
            }
            if unit.address_base == UnitRecord::NO_ADDRESS {
                self.unaddressed = self.unaddressed.or(own);
            }
            self.differs = self.differs.or(differences(first.unwrap_or(unit), unit));
            self.add_terminator(own.into(), unit.terminator);
            if unit.terminator == Terminator::Plug.code() {
                said.plugged = said.plugged.or(own);
            } else if unit.terminator == Terminator::On.code() {
                said.switched = said.switched.or(own);
            }
            own = UnitSet(own.0.wrapping_shl(1));
        }
        self.known.add(&coverage, bits(0, Datum::FIRST_OF_CABLES));
        said
    }

    #[inline(never)]
    fn add_devices(&mut self) {
        let (mut all_say, mut one_says) = (true, false);
        for (id, device) in self.plan.devices() {
            let own = NodeSet::only(NodeId::of_device(id));
            self.add_terminator(own, device.terminator);
            let kind = device.kind();
            if kind == Some(DeviceKind::NetworkGear) {
                self.network_gear.add(own);
            }
            let is_joint = matches!(
                kind,
                Some(DeviceKind::Splitter | DeviceKind::NetworkGear | DeviceKind::Repeater)
            );
            if is_joint {
                self.joints.add(own);
            }
            let says = device.asks().is_some() || is_joint || kind == Some(DeviceKind::Meter);
            all_say &= says;
            one_says |= says;
        }
        let asking = DataSet::only(Datum::Asking);
        if all_say {
            self.known.whole = self.known.whole.or(asking);
        }
        if all_say || one_says {
            self.known.some = self.known.some.or(asking);
        }
    }

    /// Notes what a point of the link does to terminate it; the code is a [`Terminator`]'s.
    fn add_terminator(&mut self, own: NodeSet, terminator: u8) {
        match Terminator::from_code(terminator) {
            Some(Terminator::On | Terminator::Plug | Terminator::BuiltIn) => {
                self.terminated_twice = self.terminated_twice.or(self.terminated.and(own));
                self.terminated = self.terminated.or(own);
            }
            Some(Terminator::Automatic) => self.automatic = self.automatic.or(own),
            Some(Terminator::Off) => {}
            None => return,
        }
        self.terminator_known = self.terminator_known.or(own);
    }

    #[inline(never)]
    fn add_cables(&mut self, mut said: Said) {
        let mut coverage = Coverage::NOTHING_SEEN;
        let (mut battery_ends, mut sensor_ends, mut sockets) = (true, true, true);
        let mut next = CableSet(1);
        for cable in self.plan.cables {
            let own = next;
            next = CableSet(next.0.wrapping_shl(1));
            let kind = cable.kind();
            if kind == Some(CableKind::Terminator) {
                self.plugs.add(own);
                self.add_plug(cable, &mut said);
                continue;
            }
            let Some(seats) = self.plug_in(own, cable) else {
                self.again.add(own);
                continue;
            };
            if cable.also_carries().is_some() {
                self.shared.add(own);
            }
            sockets &= !seats.has(Seats::UNKNOWN);
            if seats.has(Seats::FREE) {
                // It fills its socket and serves nothing.
                continue;
            }
            match kind {
                Some(CableKind::Link) => {
                    self.link_cables = self.link_cables.or(own);
                    coverage.see(cable.data());
                    if seats.has(Seats::NOT_OF_LINK) {
                        self.misplaced.add(own);
                    }
                }
                Some(CableKind::Battery) => {
                    self.battery_cables.add(own);
                    match cable.unit_end() {
                        Some((unit, _)) => {
                            self.battery_units.insert(unit);
                            self.battery_to_units.add(own);
                        }
                        None => battery_ends = false,
                    }
                }
                Some(CableKind::Sensor) => {
                    self.sensor_cables = self.sensor_cables.or(own);
                    sensor_ends &= cable.unit_end().is_some();
                }
                // A cable of which nothing is known may be any.
                None if cable.ends.iter().all(|end| end.kind().is_none()) => {
                    coverage.see(cable.data());
                    (battery_ends, sensor_ends, sockets) = (false, false, false);
                }
                Some(
                    CableKind::Meter
                    | CableKind::PackLink
                    | CableKind::Service
                    | CableKind::Terminator,
                )
                | None => {}
            }
        }
        self.known.add(&coverage, bits(Datum::FIRST_OF_CABLES, Datum::FIRST_OF_SENSORS));
        let listed = self.known.whole.contains(Datum::CableList);
        self.known.derive(Datum::BatteryLeadEnds, listed && battery_ends);
        self.known.derive(Datum::SensorLeadEnds, listed && sensor_ends);
        self.known.derive(Datum::Socket, listed && sockets);
    }

    /// A plug in the list is the one that the unit's settings speak of, if they do.
    #[inline(never)]
    fn add_plug(&mut self, cable: &CableRecord, said: &mut Said) {
        let Some(node) = cable.ends.iter().find_map(|end| end.node()) else { return };
        let unit = node.unit().map_or(UnitSet::EMPTY, UnitSet::only);
        if !said.plugged.and(unit).is_empty() {
            said.plugged = said.plugged.without(unit);
        } else if !said.switched.and(unit).is_empty() {
            said.switched = said.switched.without(unit);
            self.listed_two_ways.insert(node);
        } else {
            self.add_terminator(NodeSet::only(node), Terminator::Plug.code());
        }
    }

    #[inline(never)]
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::EndRecord;
    use crate::trial::{Trial, at};

    #[test]
    fn a_datum_in_which_two_units_differ_is_noted_and_no_other() {
        type Change = fn(&mut UnitRecord);
        let changes: [(Datum, Change); 7] = [
            (Datum::Count, |unit| unit.count = 9.into()),
            (Datum::Firmware, |unit| unit.firmware = 9.into()),
            (Datum::Model, |unit| unit.model = 9.into()),
            (Datum::Settings, |unit| unit.settings = [9; 8]),
            (Datum::BitRate, |unit| unit.bit_rate = 9.into()),
            (Datum::LineFormat, |unit| unit.line_format = 9),
            (Datum::Mode, |unit| unit.mode ^= 1),
        ];
        for (datum, change) in changes {
            let mut other = UnitRecord::default();
            change(&mut other);
            assert_eq!(differences(&UnitRecord::default(), &other), DataSet::of(&[datum]));
        }
    }

    #[test]
    fn sockets_are_known_only_where_every_cable_says_them() {
        let whole = |trial: &Trial| Links::build(&trial.plan()).known.whole.contains(Datum::Socket);
        let line = Trial::line(3);
        assert!(whole(&line));
        assert!(!whole(&line.clone().move_end(0, 0, at(0, EndRecord::NO_PORT))));
        let unlisted = line.group(|group| group.declared = 0.into());
        assert!(!whole(&unlisted));
    }
}
