//! The lists of a site: units, cables, packs, sensors, other devices.

#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "what is not taken here is left to the general reader, a new field or meaning too"
)]

use super::Fast;
use super::meaning::{self, Inside, Key, Meaning};
use super::read::{KIND, LABEL, LENGTH, choice, data, serial, small};
use super::scan::{General, Scan};
use super::site::{Cable, Device, Entry, FIRST_PACK, PROTOCOL, Pack, Seen, Span, Unit, column};
use crate::field::Field;
use crate::read::Column;
use coldcheck_core::limits;
use coldcheck_core::plan::{
    DataSet, Datum, DeviceKind, DeviceRecord, Leg, PackRecord, SensorRecord, UnitRecord,
};

impl Fast {
    pub(super) fn unit(&mut self, line: &str, scan: &mut Scan<'_>) -> Result<(), General> {
        let whose = u8::try_from(self.site.units.len()).unwrap_or(u8::MAX);
        if usize::from(whose) >= limits::UNITS {
            return Err(General);
        }
        let mut unit = Unit::default();
        let mut named = None;
        self.object(scan, Inside::Unit, |fast, key, scan| match key {
            Key::Name if named.is_none() => {
                named = Some(fast.name(line, scan)?);
                Ok(())
            }
            Key::Field(field) if unit.seen.add(field) => {
                let word = scan.word()?;
                if field == Field::Serial {
                    unit.record.serial = serial(word)?.into();
                } else {
                    let value = fast.value(field, word)?;
                    fast.unit_fact(&mut unit, whose, field, value)?;
                }
                if field != Field::AcOut {
                    unit.known |= data(field);
                }
                Ok(())
            }
            _ => Err(General),
        })?;
        let (name, thing) = named.ok_or(General)?;
        let thing = self.thing(thing)?;
        if thing.is_open || unit.is_straight && unit.record.phase != 0 {
            return Err(General);
        }
        (unit.name, unit.key, unit.number) = (name, thing.unit, thing.number);
        unit.is_odd = !thing.may_be_unit;
        unit.record.number = thing.number.unwrap_or(0).into();
        self.site.units.push(unit);
        Ok(())
    }

    fn unit_fact(
        &mut self,
        unit: &mut Unit,
        whose: u8,
        field: Field,
        value: Meaning,
    ) -> Result<(), General> {
        if let Some(column) = column(field) {
            self.add_to_column(column, whose, value)?;
        }
        let (record, power) = (&mut unit.record, &mut unit.power);
        match (field, value) {
            (Field::Address, Meaning::Address(address, base)) => {
                (record.address, record.address_base) = (address.into(), base);
            }
            (Field::Address, Meaning::NoAddress) => record.address_base = UnitRecord::NO_ADDRESS,
            (Field::Bank, Meaning::Nets(nets)) => {
                self.place(whose, nets);
            }
            (Field::AcOut | Field::AcIn | Field::GeneratorIn, Meaning::Nets(nets)) => {
                let placed = self.lists.nets.get(usize::from(nets));
                unit.is_straight |= placed.is_some_and(|placed| placed.is_straight);
                let [leg, neutral, earth] = self.place(whose, nets);
                if field == Field::AcOut && leg && neutral {
                    unit.known |= DataSet::of(&[Datum::AcTerminals]).0;
                }
                if field != Field::AcOut && leg {
                    unit.known |= DataSet::of(&[Datum::InputTerminals]).0;
                }
                if field != Field::GeneratorIn && earth {
                    unit.known |= DataSet::of(&[Datum::Earth]).0;
                }
            }
            (Field::Model | Field::Protocol | Field::LineFormat | Field::GridProfile, _) => {}
            (field, Meaning::Number(number)) => match field {
                Field::Role => record.role = choice(number),
                Field::Count => record.count = small(number).into(),
                Field::Firmware => record.firmware = number.into(),
                Field::Terminator => record.terminator = choice(number),
                Field::TerminatorOhms => record.terminator_ohms = small(number).into(),
                Field::Mode => record.mode = choice(number),
                Field::Phase => record.phase = choice(number),
                Field::BitRate => record.bit_rate = number.into(),
                Field::BatteryType => record.battery_type = choice(number),
                Field::ChargeLimit => record.charge_limit = number.into(),
                Field::Switches => {
                    record.switches = u16::try_from(number & 0xFFFF).unwrap_or(0).into();
                    record.switch_count = choice(number >> 16);
                }
                Field::Frequency
                | Field::AcVoltage
                | Field::ChargeVoltage
                | Field::CutOffVoltage => {}
                Field::BatteryLead => power.battery_lead = number.into(),
                Field::OutputLead => power.output_lead = number.into(),
                Field::OutputBreaker => power.output_breaker = small(number / 1000).into(),
                Field::BatteryFuse => power.battery_fuse = small(number / 1000).into(),
                _ => return Err(General),
            },
            _ => return Err(General),
        }
        Ok(())
    }

    fn add_to_column(&mut self, at: usize, whose: u8, value: Meaning) -> Result<(), General> {
        let (value, is_name) = match value {
            Meaning::Number(number) => (number, false),
            Meaning::Name(name) => (name.0, true),
            _ => return Err(General),
        };
        self.site.columns.get_mut(at).ok_or(General)?.push(Entry { whose, value, is_name });
        Ok(())
    }

    /// Puts terminals of a unit on their nets; says whether a leg, the neutral and the earth are
    /// among them.
    fn place(&mut self, whose: u8, nets: u16) -> [bool; 3] {
        let Some(placed) = self.lists.nets.get(usize::from(nets)) else { return [false; 3] };
        let terminals = placed.terminals.iter();
        self.site.terminals.extend(terminals.map(|(terminal, net)| (whose, *terminal, *net)));
        placed.has
    }

    pub(super) fn cable(&mut self, line: &str, scan: &mut Scan<'_>) -> Result<(), General> {
        if self.site.cables.len() >= limits::CABLES {
            return Err(General);
        }
        let mut cable = Cable::default();
        self.object(scan, Inside::Cable, |fast, key, scan| match key {
            Key::Column(column) => fast.cable_column(line, &mut cable, column, scan),
            Key::Field(field) if cable.seen.add(field) => {
                let word = scan.word()?;
                let Meaning::Number(number) = fast.value(field, word)? else {
                    return Err(General);
                };
                cable_fact(&mut cable, field, number)
            }
            _ => Err(General),
        })?;
        self.site.cables.push(cable);
        Ok(())
    }

    fn cable_column(
        &mut self,
        line: &str,
        cable: &mut Cable,
        column: Column,
        scan: &mut Scan<'_>,
    ) -> Result<(), General> {
        #[allow(clippy::as_conversions, reason = "a fieldless enum has no other conversion")]
        let bit = 1u16 << (column as u32);
        if cable.columns & bit != 0 {
            return Err(General);
        }
        cable.columns |= bit;
        let [from, to] = &mut cable.ends;
        match column {
            Column::From => from.name = Some(self.name(line, scan)?),
            Column::To => to.name = Some(self.name(line, scan)?),
            Column::Note => {
                scan.word()?;
            }
            _ => {
                let word = scan.word()?;
                if word.is_empty() {
                    return Err(General);
                }
                let place = Span::of(line, word);
                let (lists, memo) = (&mut self.lists, &mut self.memo);
                match column {
                    Column::Label => {
                        let ask = |text: &str| lists.label(text);
                        let Meaning::Name(key) = memo.meaning(LABEL, word, ask).0 else {
                            return Err(General);
                        };
                        cable.label = Some((place, key));
                    }
                    Column::FromPort => from.port = Some(place),
                    Column::ToPort => to.port = Some(place),
                    Column::Kind => {
                        let kind = memo.meaning(KIND, word, meaning::kind).0;
                        let Meaning::Kind(kind) = kind else { return Err(General) };
                        cable.kind = kind;
                    }
                    Column::Length => {
                        let length = memo.meaning(LENGTH, word, meaning::length).0;
                        let Meaning::Number(length) = length else { return Err(General) };
                        cable.record.length = length.into();
                        declare(cable, Datum::Length);
                    }
                    _ => return Err(General),
                }
            }
        }
        Ok(())
    }

    pub(super) fn pack(&mut self, line: &str, scan: &mut Scan<'_>) -> Result<(), General> {
        let mut record = PackRecord::default();
        let (mut named, mut seen) = (None, Seen::default());
        let whose = FIRST_PACK + u8::try_from(self.site.packs.len()).unwrap_or(0);
        self.object(scan, Inside::Pack, |fast, key, scan| match key {
            Key::Name if named.is_none() => {
                named = Some(fast.name(line, scan)?);
                Ok(())
            }
            Key::Field(field) if seen.add(field) => {
                let word = scan.word()?;
                let value = fast.value(field, word)?;
                match (field, value) {
                    (Field::PackAddress, Meaning::Address(address, _)) => {
                        (record.address, record.has_address) = (address.into(), 1);
                    }
                    (Field::PackAddress, Meaning::NoAddress) => {}
                    (Field::PackProtocol, Meaning::Name(_)) => {
                        fast.add_to_column(PROTOCOL, whose, value)?;
                    }
                    (Field::PackChargeLimit, Meaning::Number(n)) => record.charge_limit = n.into(),
                    (Field::PackCapacity, Meaning::Number(n)) => record.capacity = n.into(),
                    _ => return Err(General),
                }
                Ok(())
            }
            _ => Err(General),
        })?;
        let (name, thing) = named.ok_or(General)?;
        let (key, number) = self.thing(thing)?.pack;
        self.add_pack(Pack { name, key, record }, number)
    }

    /// Adds a pack that no other entry names.
    fn add_pack(&mut self, mut pack: Pack, number: Option<u16>) -> Result<(), General> {
        let packs = &mut self.site.packs;
        if packs.len() >= limits::PACKS || packs.iter().any(|other| other.key == pack.key) {
            return Err(General);
        }
        pack.record.number = number.unwrap_or(0).into();
        packs.push(pack);
        Ok(())
    }

    pub(super) fn sensor(&mut self, line: &str, scan: &mut Scan<'_>) -> Result<(), General> {
        let mut record = SensorRecord::default();
        let (mut named, mut seen) = (None, Seen::default());
        self.object(scan, Inside::Sensor, |fast, key, scan| match key {
            Key::Name if named.is_none() => {
                named = Some(fast.name(line, scan)?);
                Ok(())
            }
            Key::Field(field) if seen.add(field) => {
                let word = scan.word()?;
                let Meaning::Number(number) = fast.value(field, word)? else {
                    return Err(General);
                };
                sensor_fact(&mut record, field, number)
            }
            _ => Err(General),
        })?;
        let (_, thing) = named.ok_or(General)?;
        let leg = self.thing(thing)?.leg.ok_or(General)?;
        record.leg = leg.code();
        match self.site.sensors.get_mut(place_of(leg)) {
            Some(free @ None) => *free = Some(record),
            Some(Some(_)) | None => return Err(General),
        }
        Ok(())
    }

    pub(super) fn device(&mut self, line: &str, scan: &mut Scan<'_>) -> Result<(), General> {
        let mut record = DeviceRecord::default();
        let (mut named, mut seen) = (None, Seen::default());
        self.object(scan, Inside::Device, |fast, key, scan| match key {
            Key::Name if named.is_none() => {
                named = Some(fast.name(line, scan)?);
                Ok(())
            }
            Key::Field(field) if seen.add(field) => {
                let word = scan.word()?;
                match (field, fast.value(field, word)?) {
                    (Field::DeviceTerminator, Meaning::Number(n)) => record.terminator = choice(n),
                    (Field::DeviceTerminatorOhms, Meaning::Number(n)) => {
                        record.terminator_ohms = small(n).into();
                    }
                    (Field::DeviceAddress, Meaning::Address(address, _)) => {
                        (record.address, record.has_address) = (address.into(), 1);
                    }
                    (Field::DeviceAddress, Meaning::NoAddress) => {}
                    (Field::DeviceAsks, Meaning::Number(number)) => record.asks = choice(number),
                    _ => return Err(General),
                }
                Ok(())
            }
            _ => Err(General),
        })?;
        let (name, thing) = named.ok_or(General)?;
        let (kind, key): (DeviceKind, _) = self.thing(thing)?.device;
        if self.site.devices.len() >= limits::DEVICES
            || self.site.devices.iter().any(|other| other.key == key)
        {
            return Err(General);
        }
        record.kind = kind.code();
        self.site.devices.push(Device { name, key, record });
        Ok(())
    }
}

/// Where the sensor on a leg stands among all of them.
pub(super) fn place_of(leg: Leg) -> usize {
    usize::from(leg.code()).saturating_sub(1)
}

fn cable_fact(cable: &mut Cable, field: Field, number: u32) -> Result<(), General> {
    let record = &mut cable.record;
    match field {
        Field::Construction => record.construction = choice(number),
        Field::Wiring => record.wiring = choice(number),
        Field::Pins => record.pins = choice(number),
        Field::Screen => record.screen = choice(number),
        Field::PlugOhms => record.plug_ohms = small(number).into(),
        Field::AlsoCarries => record.kind |= (choice(number) & 0xF) << 4,
        _ => return Err(General),
    }
    if let Some(datum) = field.datum() {
        declare(cable, datum);
    }
    Ok(())
}

fn declare(cable: &mut Cable, datum: Datum) {
    let bit = 1u16.checked_shl(datum.bit() - Datum::FIRST_OF_CABLES).unwrap_or(0);
    cable.record.declared = (cable.record.declared.get() | bit).into();
}

fn sensor_fact(record: &mut SensorRecord, field: Field, number: u32) -> Result<(), General> {
    match field {
        Field::SensorInput => record.input = choice(number),
        Field::Arrow => record.arrow = choice(number),
        Field::SensorPlace => record.place = choice(number),
        Field::RatioFitted => record.ratio_fitted = number.into(),
        Field::RatioSet => record.ratio_set = number.into(),
        Field::SensorRating => record.rating = small(number / 1000).into(),
        Field::VoltageReference => record.reference = choice(number),
        _ => return Err(General),
    }
    Ok(())
}
