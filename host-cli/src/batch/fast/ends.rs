//! What the ends of cables are at.

#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "what is not taken here is left to the general reader, a new field or meaning too"
)]

use super::Fast;
use super::meaning::{self, Meaning, OtherId};
use super::memo::NameId;
use super::read::SOCKETS;
use super::scan::General;
use super::site::{Device, Pack, Written};
use super::things::place_of;
use crate::profile::Profile;
use coldcheck_core::limits;
use coldcheck_core::plan::{
    CableKind, DeviceRecord, EndKind, EndRecord, Leg, PackRecord, SensorRecord,
};

impl Fast {
    /// The unit of this key.
    fn unit_called(&self, key: NameId) -> Option<u8> {
        let called = self.unit_called.get(usize::try_from(key.0).ok()?)?;
        (called.0 == self.line).then_some(called.1)
    }

    /// Finds what the ends of a cable are at. Units have their place in the plan already, other
    /// things that of the site.
    pub(super) fn resolve(
        &mut self,
        line: &str,
        cable: usize,
        profile: &Profile,
        number: u8,
    ) -> Result<(), General> {
        let Some(read) = self.site.cables.get(cable).copied() else { return Err(General) };
        if read.label.is_none() {
            return Err(General);
        }
        let kind = CableKind::from_code(read.kind).ok_or(General)?;
        let mut ends = [EndRecord::UNKNOWN; 2];
        for (end, written) in ends.iter_mut().zip(read.ends) {
            *end = self.end(line, written, profile, number, kind)?;
        }
        let is_at = |wanted: EndKind| ends.iter().filter(move |end| end.kind() == Some(wanted));
        let both_units = is_at(EndKind::Unit).count() == 2;
        let from_pack_to_pack = is_at(EndKind::Pack).count() == 2;
        let mut kind = kind;
        match kind {
            // What it is for is asked.
            CableKind::Battery | CableKind::Sensor if both_units => return Err(General),
            CableKind::Battery if from_pack_to_pack => kind = CableKind::PackLink,
            // A remark may tell the value of a plug.
            CableKind::Terminator if read.columns & NOTE != 0 => return Err(General),
            CableKind::Terminator => {
                let is_thing =
                    |end: &EndRecord| matches!(end.kind(), Some(EndKind::Pack | EndKind::Sensor));
                if ends.iter().any(is_thing) {
                    return Err(General);
                }
            }
            CableKind::Link
            | CableKind::Battery
            | CableKind::Sensor
            | CableKind::Meter
            | CableKind::PackLink
            | CableKind::Service => {}
        }
        if let Some(read) = self.site.cables.get_mut(cable) {
            read.record.ends = ends;
            read.record.kind |= kind.code();
        }
        Ok(())
    }

    fn end(
        &mut self,
        line: &str,
        written: Written,
        profile: &Profile,
        number: u8,
        kind: CableKind,
    ) -> Result<EndRecord, General> {
        let open = EndRecord { kind: EndKind::Open.code(), index: 0, port: EndRecord::NO_PORT };
        let Some((name, thing)) = written.name else {
            // The empty side of a plug may be left out.
            let may_be_left_out = kind == CableKind::Terminator && written.port.is_none();
            return if may_be_left_out { Ok(open) } else { Err(General) };
        };
        let thing = self.thing(thing)?;
        if thing.is_open {
            return if written.port.is_none() { Ok(open) } else { Err(General) };
        }
        if let Some(position) = self.unit_called(thing.unit) {
            let unit = self.site.units.get(usize::from(position)).ok_or(General)?;
            // Of two spellings the first one is shown.
            if !unit.name.is(name, line) {
                return Err(General);
            }
            let index = self.made.unit_places.get(usize::from(position)).ok_or(General)?;
            let (index, port) = (*index, self.port(line, written, profile, number)?);
            return Ok(EndRecord { kind: EndKind::Unit.code(), index, port });
        }
        if thing.may_be_unit || self.begins_with_odd_unit(thing.folded) {
            return Err(General);
        }
        let at = |kind: EndKind, index: usize| EndRecord {
            kind: kind.code(),
            index: u8::try_from(index).unwrap_or(u8::MAX),
            port: EndRecord::NO_PORT,
        };
        match thing.other.ok_or(General)? {
            OtherId::Pack(key, number) => {
                let packs = &mut self.site.packs;
                let known = packs.iter().position(|pack| pack.key == key);
                if known.is_none() {
                    let number = number.unwrap_or(0).into();
                    let record = PackRecord { number, ..PackRecord::default() };
                    packs.push(Pack { name, key, record });
                }
                let position = known.unwrap_or(packs.len() - 1);
                let same = packs.get(position).is_some_and(|pack| pack.name.is(name, line));
                if !same || packs.len() > limits::PACKS {
                    return Err(General);
                }
                Ok(at(EndKind::Pack, position))
            }
            OtherId::Sensor(leg) => {
                // It feeds the input that a socket bears the name of.
                self.add_sensor(leg);
                Ok(at(EndKind::Sensor, place_of(leg)))
            }
            OtherId::Device(kind, key) => {
                let devices = &mut self.site.devices;
                let known = devices.iter().position(|device| device.key == key);
                if known.is_none() {
                    let record = DeviceRecord { kind: kind.code(), ..DeviceRecord::default() };
                    devices.push(Device { name, key, record });
                }
                let position = known.unwrap_or(devices.len() - 1);
                let same = devices.get(position).is_some_and(|device| device.name.is(name, line));
                if !same || devices.len() > limits::DEVICES {
                    return Err(General);
                }
                Ok(at(EndKind::Device, position))
            }
        }
    }

    fn add_sensor(&mut self, leg: Leg) {
        if let Some(sensor) = self.site.sensors.get_mut(place_of(leg)) {
            sensor.get_or_insert(SensorRecord { leg: leg.code(), ..SensorRecord::default() });
        }
    }

    /// Whether a name begins with that of a unit which is called by other words than most.
    fn begins_with_odd_unit(&self, name: NameId) -> bool {
        let names = &self.lists.names;
        let Some(name) = names.folded(name).filter(|_| self.has_odd_units) else { return false };
        self.site.units.iter().filter(|unit| unit.is_odd).any(|unit| {
            names.folded(unit.key).is_some_and(|key| name.after(key.as_str()).is_some())
        })
    }

    /// The socket of a unit.
    fn port(
        &mut self,
        line: &str,
        written: Written,
        profile: &Profile,
        number: u8,
    ) -> Result<u8, General> {
        let Some(span) = written.port else { return Ok(EndRecord::NO_PORT) };
        let ask = |text: &str| meaning::socket(text, profile);
        match self.memo.meaning(SOCKETS + number, span.text(line), ask).0 {
            Meaning::Socket(port) => Ok(port.unwrap_or(EndRecord::NO_PORT)),
            _ => Err(General),
        }
    }
}

/// The bit of the column for remarks.
#[allow(clippy::as_conversions, reason = "a fieldless enum has no other const conversion")]
const NOTE: u16 = 1 << (crate::read::Column::Note as u32);
