//! A site as records that acts change.

use super::bars::Bars;
use crate::engine::{self, Site};
use coldcheck_core::place::{CableId, PortId, UnitId};
use coldcheck_core::plan::{
    BondRecord, CableKind, CableRecord, DemandRecord, DeviceKind, DeviceRecord, EndRecord,
    FrameRecord, GroupRecord, Net, PackRecord, Plan, PlanError, PortClass, PowerRecord,
    SensorRecord, UnitRecord,
};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;
use zerocopy::IntoBytes;

/// The records of a site. Cables keep their positions: one that was taken out is marked, a new one
/// comes last.
#[derive(Clone, Debug)]
pub struct Model {
    demands: DemandRecord,
    /// Facts about the group.
    pub group: GroupRecord,
    /// Units.
    pub units: Vec<UnitRecord>,
    /// The power side: one record for each unit, or none.
    pub power: Vec<PowerRecord>,
    /// Cables and plugs.
    pub cables: Vec<CableRecord>,
    /// Which of them were taken out.
    pub is_out: Vec<bool>,
    /// Packs.
    pub packs: Vec<PackRecord>,
    /// Sensors.
    pub sensors: Vec<SensorRecord>,
    /// Other devices.
    pub devices: Vec<DeviceRecord>,
    /// The bars of the AC side, which no act changes.
    pub bars: Arc<Bars>,
    bonds: Vec<BondRecord>,
    frames: Vec<FrameRecord>,
}

impl Model {
    /// The records of a site.
    ///
    /// # Errors
    /// [`PlanError`] never for a site that was read.
    pub fn of(site: &Site) -> Result<Self, PlanError> {
        let plan = engine::plan(site)?;
        let mut power = plan.power.to_vec();
        let bars = Arc::new(Bars::of(site, &mut power));
        Ok(Self {
            demands: *plan.demands,
            group: *plan.group,
            units: plan.units.to_vec(),
            power,
            bars,
            is_out: vec![false; plan.cables.len()],
            cables: plan.cables.to_vec(),
            packs: plan.packs.to_vec(),
            sensors: plan.sensors.to_vec(),
            devices: plan.devices.to_vec(),
            bonds: plan.bonds.to_vec(),
            frames: plan.frames.to_vec(),
        })
    }

    /// What is demanded.
    pub const fn demands(&self) -> &DemandRecord {
        &self.demands
    }

    /// The cables that are there, ends in ascending order, each with its position.
    pub fn present(&self) -> (Vec<CableRecord>, Vec<usize>) {
        let there = self.cables.iter().enumerate().filter(|(at, _)| !self.is_out[*at]);
        let sorted = there.map(|(at, cable)| {
            let mut cable = *cable;
            cable.ends.sort_by_key(|end| (end.kind, end.index, end.port));
            (cable, at)
        });
        sorted.unzip()
    }

    /// The power side as a plan has it: a bar that one conductor is left on is none.
    pub fn joined(&self) -> Vec<PowerRecord> {
        let mut users = [0_usize; 256];
        for net in self.power.iter().flat_map(|unit| unit.nets) {
            users[usize::from(net)] += 1;
        }
        let mut power = self.power.clone();
        for net in power.iter_mut().flat_map(|unit| &mut unit.nets) {
            if *net != 0 && users[usize::from(*net)] == 1 {
                *net = Net::ALONE.0;
            }
        }
        power
    }

    /// The plan over what [`present`](Self::present) and [`joined`](Self::joined) gave.
    pub fn plan<'m>(&'m self, cables: &'m [CableRecord], power: &'m [PowerRecord]) -> Plan<'m> {
        Plan {
            demands: &self.demands,
            group: &self.group,
            units: &self.units,
            power,
            cables,
            packs: &self.packs,
            sensors: &self.sensors,
            devices: &self.devices,
            bonds: &self.bonds,
            frames: &self.frames,
        }
    }

    /// Positions of the cables of a kind that are there.
    pub fn cables_of(&self, kind: CableKind) -> impl Iterator<Item = usize> + '_ {
        let is_it = move |at: &usize| !self.is_out[*at] && self.cables[*at].kind() == Some(kind);
        (0..self.cables.len()).filter(is_it)
    }

    /// The sockets of a class; `None` where the profile names no sockets.
    pub fn ports_of(&self, class: PortClass) -> Option<Vec<PortId>> {
        let ports = self.demands.ports()?;
        Some((0..8).map(PortId).filter(|port| ports.class(*port) == Some(class)).collect())
    }

    /// Whether a plug is in a socket.
    pub fn is_used(&self, unit: u8, port: PortId) -> bool {
        self.plugs_in(unit, port).next().is_some()
    }

    /// The plugs in a socket, as cable and end.
    pub fn plugs_in(&self, unit: u8, port: PortId) -> impl Iterator<Item = (usize, usize)> + '_ {
        let is_here =
            move |end: &EndRecord| end.unit() == Some(UnitId(unit)) && end.port() == Some(port);
        let cables = self.cables.iter().enumerate().filter(|(at, _)| !self.is_out[*at]);
        cables.flat_map(move |(at, cable)| {
            let ends = cable.ends.iter().enumerate().filter(move |(_, end)| is_here(end));
            ends.map(move |(which, _)| (at, which)).collect::<Vec<_>>()
        })
    }

    /// Whether a plug is in a socket of another kind than its cable.
    pub fn is_foreign(&self, cable: usize, end: usize) -> bool {
        let record = self.cables[cable].ends[end];
        let own = self.cables[cable].kind().and_then(class_of);
        let socket = record.unit().and(record.port());
        let class = socket.and_then(|port| self.demands.ports()?.class(port));
        socket.is_some() && self.demands.ports().is_some() && own.is_some() && class != own
    }

    /// Whether any plug is in a socket of another kind.
    pub fn has_foreign(&self) -> bool {
        let there = (0..self.cables.len()).filter(|cable| !self.is_out[*cable]);
        there.into_iter().any(|cable| self.is_foreign(cable, 0) || self.is_foreign(cable, 1))
    }

    /// Whether an end is at computer network equipment, which has no place on the link.
    pub fn is_gear(&self, end: EndRecord) -> bool {
        let device = end.node().and_then(|node| node.device());
        let device = device.and_then(|device| self.devices.get(device.index()));
        device.is_some_and(|one| one.kind() == Some(DeviceKind::NetworkGear))
    }

    /// Whether a link cable may go: never the last one of a device that belongs on the link.
    pub fn may_go(&self, cable: usize) -> bool {
        let own = self.cables[cable];
        own.ends.iter().all(|end| {
            let Some(node) = end.node().filter(|node| node.unit().is_none()) else { return true };
            let others = self.cables_of(CableKind::Link).filter(|other| *other != cable);
            self.is_gear(*end)
                || others
                    .flat_map(|other| self.cables[other].ends)
                    .any(|end| end.node() == Some(node))
        })
    }

    /// What tells this state from every other, as far as 128 bits do.
    pub fn key(&self) -> (u64, u64) {
        let half = |salt: u64| {
            let mut hasher = DefaultHasher::new();
            salt.hash(&mut hasher);
            hasher.write(self.group.as_bytes());
            hasher.write(self.units.as_slice().as_bytes());
            hasher.write(self.power.as_slice().as_bytes());
            hasher.write(self.sensors.as_slice().as_bytes());
            hasher.write(self.packs.as_slice().as_bytes());
            hasher.write(self.devices.as_slice().as_bytes());
            for (at, cable) in self.cables.iter().enumerate() {
                if self.is_out[at] {
                    hasher.write_u8(1);
                } else {
                    let mut cable = *cable;
                    cable.ends.sort_by_key(|end| (end.kind, end.index, end.port));
                    hasher.write(cable.as_bytes());
                }
            }
            hasher.finish()
        };
        (half(1), half(2))
    }
}

/// A position as the number of a cable.
pub fn cable_id(position: usize) -> CableId {
    CableId(u8::try_from(position).unwrap_or(u8::MAX))
}

/// The sockets that the plugs of a cable belong into.
pub const fn class_of(kind: CableKind) -> Option<PortClass> {
    match kind {
        CableKind::Link | CableKind::Terminator => Some(PortClass::Link),
        CableKind::Battery => Some(PortClass::Battery),
        CableKind::Sensor => Some(PortClass::Sensor),
        CableKind::Meter | CableKind::PackLink | CableKind::Service => None,
    }
}
