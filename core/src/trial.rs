//! Small sites for the edge tests of rules: a right line, changed by a few words.
//!
//! ```ignore
//! let answer = Trial::line(3).unit(2, |unit| unit.address = 1.into()).check();
//! assert_eq!(answer.places(RuleId::AddressDuplicate), [[unit(0), unit(2)]]);
//! ```

mod air;
mod answer;

pub(crate) use air::Air;
pub(crate) use answer::Answer;

use crate::place::{CableId, Place, UnitId};
use crate::plan::{
    BatteryBanks, BatteryLinkOwner, BondPlace, BondRecord, CableKind, CableRecord, Coordinators,
    CountSetting, DataSet, Datum, Demand, DemandRecord, DemandSet, DeviceKind, DeviceRecord,
    EndKind, EndRecord, GroupRecord, PackRecord, Plan, PowerRecord, Role, Scope, SensorOwner,
    SensorRecord, Shape, Terminal, Terminator, TerminatorPlace, UnitRecord, Wiring, YesNo,
};

/// Sockets of a trial's units: two for the link, one for the battery, one for sensors.
pub(crate) const A: u8 = 0;
pub(crate) const B: u8 = 1;
pub(crate) const BATTERY: u8 = 2;
pub(crate) const SENSOR: u8 = 3;
const PORTS: u32 = 0x3211;

/// A site under test.
#[derive(Clone)]
pub(crate) struct Trial {
    demands: DemandRecord,
    group: GroupRecord,
    units: Vec<UnitRecord>,
    power: Vec<PowerRecord>,
    cables: Vec<CableRecord>,
    sensors: Vec<SensorRecord>,
    devices: Vec<DeviceRecord>,
    packs: Vec<PackRecord>,
    bonds: Vec<BondRecord>,
}

impl Trial {
    /// Units joined A to B, terminated at both ends, led by the first, on one bank, with a
    /// battery link and two sensor leads; lengths of 2 m.
    pub(crate) fn line(count: u8) -> Self {
        let mut trial = Self {
            demands: DemandRecord::default(),
            group: GroupRecord {
                declared: DataSet::of(&[Datum::CableList, Datum::UnitList]).0.into(),
                scope: Scope::ALL.0,
                ..GroupRecord::default()
            },
            units: (0..count).map(|index| unit_record(index, count)).collect(),
            power: vec![PowerRecord::default(); usize::from(count)],
            cables: Vec::new(),
            sensors: Vec::new(),
            devices: Vec::new(),
            packs: vec![PackRecord::default()],
            bonds: Vec::new(),
        };
        for (demand, bits) in [
            (Demand::Ports, PORTS),
            (Demand::LinkShape, Shape::Line.code().into()),
            (Demand::TerminatorsAt, TerminatorPlace::BothEnds.code().into()),
            (Demand::Coordinators, Coordinators::One.code().into()),
            (Demand::CountSetting, CountSetting::All.code().into()),
            (Demand::BatteryLinkOwner, BatteryLinkOwner::Coordinator.code().into()),
            (Demand::SensorOwner, SensorOwner::Coordinator.code().into()),
            (Demand::BatteryBanks, BatteryBanks::One.code().into()),
        ] {
            trial = trial.demand(demand, bits);
        }
        for unit in 0..count {
            trial = trial.net(unit, Terminal::BatteryPlus, 1).net(unit, Terminal::BatteryMinus, 2);
        }
        for unit in 1..count {
            trial = trial.link((unit - 1, A), (unit, B), 2000);
        }
        let pack = EndRecord { kind: EndKind::Pack.code(), index: 0, port: EndRecord::NO_PORT };
        trial = trial.cable(CableKind::Battery, [at(0, BATTERY), pack]);
        trial.sensor(1, 0).sensor(2, 0)
    }

    /// States a demand.
    pub(crate) fn demand(mut self, demand: Demand, bits: u32) -> Self {
        let stated = self.demands.stated.get() | DemandSet::of(&[demand]).0;
        self.demands.stated = stated.into();
        self.demands.values[demand.position() as usize] = bits.into();
        self
    }

    /// Changes a unit.
    pub(crate) fn unit(mut self, index: usize, edit: impl FnOnce(&mut UnitRecord)) -> Self {
        edit(&mut self.units[index]);
        self
    }

    /// Sets what a unit does to terminate the link.
    pub(crate) fn terminator(self, index: usize, terminator: Terminator) -> Self {
        self.unit(index, |unit| unit.terminator = terminator.code())
    }

    /// Takes back that a unit declares the datum.
    pub(crate) fn undeclare(self, index: usize, datum: Datum) -> Self {
        self.unit(index, |unit| {
            unit.declared = (unit.declared.get() & !(1 << datum.bit())).into();
            match datum {
                Datum::Role => unit.role = 0,
                Datum::Terminator => unit.terminator = 0,
                _ => {}
            }
        })
    }

    /// Puts a terminal of a unit on a net.
    pub(crate) fn net(mut self, unit: u8, terminal: Terminal, net: u8) -> Self {
        self.power[usize::from(unit)].nets[terminal.position()] = net;
        self
    }

    /// Adds a link cable between two sockets.
    pub(crate) fn link(self, a: (u8, u8), b: (u8, u8), millimetres: u32) -> Self {
        let mut trial = self.cable(CableKind::Link, [at(a.0, a.1), at(b.0, b.1)]);
        let cable = trial.cables.last_mut().expect("just added");
        cable.length = millimetres.into();
        cable.declared = bit_of_cables(Datum::Length).into();
        trial
    }

    /// Adds a cable of another kind.
    pub(crate) fn cable(mut self, kind: CableKind, ends: [EndRecord; 2]) -> Self {
        self.cables.push(CableRecord { ends, kind: kind.code(), ..CableRecord::default() });
        self
    }

    /// Adds a terminator plug.
    pub(crate) fn plug(self, unit: u8, port: u8) -> Self {
        let open = EndRecord { kind: EndKind::Open.code(), index: 0, port: EndRecord::NO_PORT };
        self.cable(CableKind::Terminator, [at(unit, port), open])
    }

    /// Adds a terminator plug of which so many ohms are stated.
    pub(crate) fn plug_of(self, unit: u8, port: u8, ohms: Option<u16>) -> Self {
        let mut trial = self.plug(unit, port);
        if let (Some(ohms), Some(plug)) = (ohms, trial.cables.last_mut()) {
            plug.plug_ohms = ohms.into();
            plug.declared = bit_of_cables(Datum::PlugOhms).into();
        }
        trial
    }

    /// Adds a sensor on a leg with its lead.
    pub(crate) fn sensor(mut self, leg: u8, unit: u8) -> Self {
        let index = u8::try_from(self.sensors.len()).expect("few sensors");
        self.sensors.push(SensorRecord { leg, ..SensorRecord::default() });
        let end = EndRecord { kind: EndKind::Sensor.code(), index, port: EndRecord::NO_PORT };
        self.cable(CableKind::Sensor, [at(unit, SENSOR), end])
    }

    /// Rates every sensor at so many amperes.
    pub(crate) fn sensors_rated(mut self, amperes: u16) -> Self {
        for sensor in &mut self.sensors {
            sensor.rating = amperes.into();
        }
        self
    }

    /// Lets a device ask on the pair.
    pub(crate) fn asking(mut self, device: usize) -> Self {
        self.devices[device].asks = YesNo::Yes.code();
        self
    }

    /// Gives the terminator of a device a value.
    pub(crate) fn device_ohms(mut self, device: usize, ohms: u16) -> Self {
        self.devices[device].terminator_ohms = ohms.into();
        self
    }

    /// Gives a device an address.
    pub(crate) fn device_address(mut self, device: usize, address: u16) -> Self {
        self.devices[device].address = address.into();
        self.devices[device].has_address = 1;
        self
    }

    /// Adds another device and gives the end at it.
    pub(crate) fn device(mut self, kind: DeviceKind, terminator: Option<Terminator>) -> Self {
        self.devices.push(DeviceRecord {
            kind: kind.code(),
            terminator: terminator.map_or(0, Terminator::code),
            ..DeviceRecord::default()
        });
        self
    }

    /// Takes out the cables for which this holds.
    pub(crate) fn without_cables(mut self, unwanted: impl Fn(usize) -> bool) -> Self {
        let mut index = 0;
        self.cables.retain(|_| {
            index += 1;
            !unwanted(index - 1)
        });
        self
    }

    /// Changes the socket or the place of a cable's end.
    pub(crate) fn move_end(mut self, cable: usize, end: usize, to: EndRecord) -> Self {
        self.cables[cable].ends[end] = to;
        self
    }

    /// Gives a cable a length.
    pub(crate) fn length(mut self, cable: usize, millimetres: u32) -> Self {
        self.cables[cable].length = millimetres.into();
        self.cables[cable].declared = bit_of_cables(Datum::Length).into();
        self
    }

    /// Gives the last plug a value.
    pub(crate) fn plug_ohms(mut self, ohms: u16) -> Self {
        let plug = self.cables.last_mut().expect("a plug");
        plug.plug_ohms = ohms.into();
        plug.declared = bit_of_cables(Datum::PlugOhms).into();
        self
    }

    /// Lists a link cable behind the first one, with the label of that one or not.
    pub(crate) fn link_after_first(self, a: (u8, u8), b: (u8, u8), again: bool) -> Self {
        let mut trial = self.link(a, b, 2000);
        let mut cable = trial.cables.pop().expect("just added");
        cable.label_again = again.into();
        trial.cables.insert(1, cable);
        trial
    }

    /// Lists a cable once more at the end.
    pub(crate) fn repeat(mut self, cable: usize) -> Self {
        self.cables.push(self.cables[cable]);
        self
    }

    /// Takes out all sensors and their leads.
    pub(crate) fn without_sensors(mut self) -> Self {
        self.sensors.clear();
        self.cables.retain(|cable| cable.kind() != Some(CableKind::Sensor));
        self
    }

    /// Changes a pack, which is added if it is not there yet.
    pub(crate) fn pack(mut self, index: usize, edit: impl FnOnce(&mut PackRecord)) -> Self {
        self.packs.resize(self.packs.len().max(index + 1), PackRecord::default());
        edit(&mut self.packs[index]);
        self
    }

    /// Changes the facts about the group.
    pub(crate) fn group(mut self, edit: impl FnOnce(&mut GroupRecord)) -> Self {
        edit(&mut self.group);
        self
    }

    /// Says that all bonds are listed.
    pub(crate) fn declare_bonds(mut self) -> Self {
        let declared = self.group.declared.get() | DataSet::of(&[Datum::Bonds]).0;
        self.group.declared = declared.into();
        self
    }

    /// Adds a bond between neutral and earth, with the states in which it is closed and those of
    /// which that is stated.
    pub(crate) fn bond(mut self, place: BondPlace, closed: u8, stated: u8) -> Self {
        self.bonds.push(BondRecord { place: place.code(), unit: 0, closed, declared: stated });
        self.declare_bonds()
    }

    /// Says how the plugs of a cable are wired.
    pub(crate) fn wired(mut self, cable: usize, wiring: Wiring) -> Self {
        let record = &mut self.cables[cable];
        record.wiring = wiring.code();
        record.declared = (record.declared.get() | bit_of_cables(Datum::Wiring)).into();
        self
    }

    /// Takes back the length of a cable.
    pub(crate) fn unmeasured(mut self, cable: usize) -> Self {
        self.cables[cable].declared = 0.into();
        self
    }

    /// The plan of the site.
    pub(crate) fn plan(&self) -> Plan<'_> {
        Plan {
            demands: &self.demands,
            group: &self.group,
            units: &self.units,
            power: &self.power,
            cables: &self.cables,
            packs: &self.packs,
            sensors: &self.sensors,
            devices: &self.devices,
            bonds: &self.bonds,
            frames: &[],
        }
    }

    /// Checks the site.
    pub(crate) fn check(&self) -> Answer {
        Answer::of(&self.plan(), None)
    }
}

fn bit_of_cables(datum: Datum) -> u16 {
    1 << (datum.bit() - Datum::FIRST_OF_CABLES)
}

fn unit_record(index: u8, count: u8) -> UnitRecord {
    let declared = [
        Datum::Role,
        Datum::Address,
        Datum::Count,
        Datum::Terminator,
        Datum::Bank,
        Datum::AcTerminals,
        Datum::Earth,
    ];
    let role = if index == 0 { Role::Coordinator } else { Role::Follower };
    let is_end = index == 0 || index + 1 == count;
    UnitRecord {
        declared: u32::try_from(DataSet::of(&declared).0).expect("bits of units").into(),
        number: u16::from(index + 1).into(),
        address: u16::from(index + 1).into(),
        count: u16::from(count).into(),
        role: role.code(),
        terminator: if is_end { Terminator::On } else { Terminator::Off }.code(),
        ..UnitRecord::default()
    }
}

/// An end at a socket of a unit.
pub(crate) fn at(unit: u8, port: u8) -> EndRecord {
    EndRecord { kind: EndKind::Unit.code(), index: unit, port }
}

/// An end at another device.
pub(crate) fn at_device(device: u8) -> EndRecord {
    EndRecord { kind: EndKind::Device.code(), index: device, port: EndRecord::NO_PORT }
}

/// A unit as a place.
pub(crate) fn unit(index: u8) -> Place {
    Place::Unit(UnitId(index))
}

/// A unit's terminator as a place.
pub(crate) fn terminator(index: u8) -> Place {
    Place::Terminator(UnitId(index))
}

/// A cable as a place.
pub(crate) fn cable(index: u8) -> Place {
    Place::Cable(CableId(index))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_trial_is_right_until_it_is_changed() {
        for count in 2..=32 {
            assert_eq!(Trial::line(count).check().broken(), [], "{count} units");
        }
    }
}
