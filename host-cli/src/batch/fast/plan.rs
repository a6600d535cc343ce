//! A site that was read, put in the order of the plan: the same records as
//! [`crate::assemble`] makes.

use super::Fast;
use super::memo::NameId;
use super::scan::General;
use super::site::{Cable, Entry, FIRST_PACK, FIRST_SETTING, LINE_FORMAT, MODEL, PROTOCOL, Unit};
use crate::assemble::nets::SOLAR;
use crate::profile::Profile;
use coldcheck_core::limits;
use coldcheck_core::plan::{
    BondRecord, CableKind, CableRecord, DataSet, Datum, DemandRecord, DeviceRecord, EndKind,
    EndRecord, Net, PackRecord, Plan, PowerRecord, Scope, SensorRecord, Terminal, Terminator,
    UnitRecord, YesNo,
};
use std::cmp::Ordering;

/// The records of one plan, and which thing that was read each of them is.
#[derive(Debug, Default)]
pub(super) struct Made {
    pub(super) demands: DemandRecord,
    pub(super) units: Vec<UnitRecord>,
    power: Vec<PowerRecord>,
    pub(super) cables: Vec<CableRecord>,
    packs: Vec<PackRecord>,
    sensors: Vec<SensorRecord>,
    devices: Vec<DeviceRecord>,
    bonds: Vec<BondRecord>,
    pub(super) unit_order: Vec<u8>,
    pub(super) cable_order: Vec<u8>,
    pub(super) pack_order: Vec<u8>,
    pub(super) device_order: Vec<u8>,
    pub(super) unit_places: Vec<u8>,
    pack_places: Vec<u8>,
    device_places: Vec<u8>,
    /// Nets with the number of terminals on each, or the number that each got.
    nets: Vec<(NameId, u32)>,
    values: Vec<(u32, bool)>,
}

impl Fast {
    /// Puts the site in order under a profile.
    pub(super) fn make(
        &mut self,
        line: &str,
        profile: &Profile,
        number: u8,
        scope: Scope,
    ) -> Result<(), General> {
        self.order_units()?;
        for cable in 0..self.site.cables.len() {
            self.resolve(line, cable, profile, number)?;
        }
        self.order_things();
        self.order_cables()?;
        self.cables();
        self.arrays()?;
        self.units();
        self.columns();
        self.nets()?;
        if scope.covers(Scope::POWER) && self.asks_for_side_of_boards() {
            return Err(General);
        }
        self.rest(scope);
        Ok(())
    }

    /// The plan in the memory of this worker.
    pub(super) fn plan(&self) -> Plan<'_> {
        let made = &self.made;
        Plan {
            demands: &made.demands,
            group: &self.site.group,
            units: &made.units,
            power: &made.power,
            cables: &made.cables,
            packs: &made.packs,
            sensors: &made.sensors,
            devices: &made.devices,
            bonds: &made.bonds,
            // A gateway's business: no rule about declared facts reads them.
            frames: &[],
        }
    }

    fn order_units(&mut self) -> Result<(), General> {
        let (units, names) = (&self.site.units, &self.lists.names);
        if units.is_empty() {
            return Err(General);
        }
        self.line += 1;
        self.unit_called.resize(names.len().max(self.unit_called.len()), (0, 0));
        for (position, unit) in (0u8..).zip(units) {
            let place = usize::try_from(unit.key.0).unwrap_or(usize::MAX);
            let Some(called) = self.unit_called.get_mut(place) else { return Err(General) };
            // Two names for one unit.
            if called.0 == self.line {
                return Err(General);
            }
            *called = (self.line, position);
        }
        let key = |unit: &Unit| (unit.number.is_none(), unit.number);
        order(&mut self.made.unit_order, units, |one, other| {
            let by_number = key(one).cmp(&key(other));
            by_number.then_with(|| names.by_nature(one.key, other.key))
        });
        invert(&self.made.unit_order, &mut self.made.unit_places);
        self.has_odd_units = units.iter().any(|unit| unit.is_odd);
        Ok(())
    }

    fn order_things(&mut self) {
        let names = &self.lists.names;
        let made = &mut self.made;
        order(&mut made.pack_order, &self.site.packs, |a, b| names.by_nature(a.key, b.key));
        invert(&made.pack_order, &mut made.pack_places);
        order(&mut made.device_order, &self.site.devices, |a, b| names.by_nature(a.key, b.key));
        invert(&made.device_order, &mut made.device_places);
        made.sensors.clear();
        made.sensors.extend(self.site.sensors.iter().flatten());
    }

    fn order_cables(&mut self) -> Result<(), General> {
        let names = &self.lists.names;
        let key = |cable: &Cable| cable.label.map(|(_, key)| key).unwrap_or_default();
        let cables = &self.site.cables;
        order(&mut self.made.cable_order, cables, |a, b| names.by_nature(key(a), key(b)));
        let at = |position: u8| cables.get(usize::from(position)).map(key);
        // One label on two cables.
        let twice = self.made.cable_order.windows(2).any(|pair| match pair {
            [one, other] => at(*one) == at(*other),
            _ => false,
        });
        if twice { Err(General) } else { Ok(()) }
    }

    /// Cable records in order, with the places of the plan in their ends.
    fn cables(&mut self) {
        let made = &mut self.made;
        let mut sensor_places = [0; 3];
        let mut next = 0;
        for (place, sensor) in sensor_places.iter_mut().zip(&self.site.sensors) {
            *place = next;
            next += u8::from(sensor.is_some());
        }
        made.cables.clear();
        for position in &made.cable_order {
            let Some(cable) = self.site.cables.get(usize::from(*position)) else { continue };
            let mut record = cable.record;
            for end in &mut record.ends {
                let places: &[u8] = match end.kind() {
                    Some(EndKind::Pack) => &made.pack_places,
                    Some(EndKind::Device) => &made.device_places,
                    Some(EndKind::Sensor) => &sensor_places,
                    Some(EndKind::Unit | EndKind::Open) | None => continue,
                };
                end.index = places.get(usize::from(end.index)).copied().unwrap_or(u8::MAX);
            }
            let key = |end: &EndRecord| (end.kind, end.index, end.port);
            let [one, other] = &record.ends;
            if key(one) > key(other) {
                record.ends.swap(0, 1);
            }
            made.cables.push(record);
        }
    }

    /// Each array takes the next free input of the unit that it feeds.
    fn arrays(&mut self) -> Result<(), General> {
        let Some(arrays) = self.site.arrays else { return Ok(()) };
        let arrays = self.lists.arrays.get(usize::from(arrays)).ok_or(General)?;
        for (net, unit) in arrays {
            let called = self.unit_called.get(usize::try_from(unit.0).map_err(|_| General)?);
            let unit = called.filter(|called| called.0 == self.line).ok_or(General)?.1;
            let terminals = &mut self.site.terminals;
            let is_free = |input: &Terminal| {
                terminals.iter().all(|(other, taken, _)| (other, taken) != (&unit, input))
            };
            if let Some(input) = SOLAR.into_iter().find(is_free) {
                terminals.push((unit, input, Some(*net)));
            }
        }
        for unit in &mut self.site.units {
            unit.known |= DataSet::of(&[Datum::SolarInputs]).0;
        }
        Ok(())
    }

    fn units(&mut self) {
        let made = &mut self.made;
        made.units.clear();
        for position in &made.unit_order {
            let Some(unit) = self.site.units.get(usize::from(*position)) else { continue };
            let mut record = unit.record;
            let known = u32::try_from(unit.known & u64::from(u32::MAX)).unwrap_or(0);
            record.declared = known.into();
            made.units.push(record);
        }
        // A plug in the cable list says what the unit does, where its settings do not.
        let plugs = made.cables.iter().filter(|one| one.kind() == Some(CableKind::Terminator));
        for unit in plugs.flat_map(|cable| &cable.ends).filter_map(EndRecord::unit) {
            if let Some(record) = made.units.get_mut(unit.index())
                && record.terminator == 0
            {
                record.terminator = Terminator::Plug.code();
                let bit = u32::try_from(DataSet::of(&[Datum::Terminator]).0).unwrap_or(0);
                record.declared = (record.declared.get() | bit).into();
            }
        }
    }

    /// Numbers for values that only have to be equal or not, by their order.
    fn columns(&mut self) {
        let names = &self.lists.names;
        let made = &mut self.made;
        for (at, column) in self.site.columns.iter().enumerate() {
            let Some(first) = column.first() else { continue };
            let same = |one: &Entry| one.value == first.value;
            made.values.clear();
            if !column.iter().all(same) {
                made.values.extend(column.iter().map(|entry| (entry.value, entry.is_name)));
                made.values.sort_by(|one, other| match (*one, *other) {
                    ((one, true), (other, true)) => names.by_letters(NameId(one), NameId(other)),
                    _ => one.cmp(other),
                });
                made.values.dedup();
            }
            for entry in column {
                let position = made.values.iter().position(|(value, _)| *value == entry.value);
                let number = position.map_or(1, |position| position + 1);
                let number = u16::try_from(number).unwrap_or(0);
                let small = u8::try_from(number).unwrap_or(u8::MAX);
                let place = |places: &[u8], whose: u8| {
                    places.get(usize::from(whose)).copied().map_or(usize::MAX, usize::from)
                };
                if let Some(pack) = entry.whose.checked_sub(FIRST_PACK) {
                    let pack = self.site.packs.get_mut(usize::from(pack));
                    if let Some(pack) = pack {
                        pack.record.protocol = number.into();
                    }
                    continue;
                }
                let Some(unit) = made.units.get_mut(place(&made.unit_places, entry.whose)) else {
                    continue;
                };
                match at {
                    MODEL => unit.model = number.into(),
                    PROTOCOL => unit.protocol = number.into(),
                    LINE_FORMAT => unit.line_format = small,
                    _ => {
                        if let Some(setting) = unit.settings.get_mut(at - FIRST_SETTING) {
                            *setting = small;
                        }
                    }
                }
            }
        }
    }

    /// One record of the power side for each unit, or none if nothing about it is declared.
    fn nets(&mut self) -> Result<(), General> {
        if self.site.mixes_inputs() || self.site.states_in_part() {
            return Err(General);
        }
        let made = &mut self.made;
        let terminals = &self.site.terminals;
        made.power.clear();
        let is_declared = |unit: &Unit| unit.power != PowerRecord::default();
        if terminals.is_empty() && !self.site.units.iter().any(is_declared) {
            return Ok(());
        }
        made.nets.clear();
        for net in terminals.iter().filter_map(|(_, _, net)| *net) {
            match made.nets.iter_mut().find(|(known, _)| *known == net) {
                Some((_, count)) => *count += 1,
                None => made.nets.push((net, 1)),
            }
        }
        let names = &self.lists.names;
        made.nets.retain(|(_, count)| *count > 1);
        made.nets.sort_by(|(one, _), (other, _)| names.by_letters(*one, *other));
        if made.nets.len() > limits::NETS {
            return Err(General);
        }
        let nets = &made.nets;
        let number = |net: Option<NameId>| {
            let position = nets.iter().position(|(known, _)| Some(*known) == net);
            let number = position.and_then(|position| u8::try_from(position + 1).ok());
            number.unwrap_or(Net::ALONE.0)
        };
        for position in &made.unit_order {
            let Some(unit) = self.site.units.get(usize::from(*position)) else { continue };
            made.power.push(unit.power);
        }
        for (unit, terminal, net) in terminals {
            let place = made.unit_places.get(usize::from(*unit)).copied().unwrap_or(u8::MAX);
            let record = made.power.get_mut(usize::from(place)).ok_or(General)?;
            *record.nets.get_mut(terminal.position()).ok_or(General)? = number(*net);
        }
        // The bank that all packs are on, if there is only one.
        let plus = |(_, terminal, net): &(u8, Terminal, Option<NameId>)| {
            if *terminal == Terminal::BatteryPlus { *net } else { None }
        };
        let mut banks = terminals.iter().filter_map(plus);
        if let Some(first) = banks.next()
            && banks.all(|other| other == first)
        {
            let bank = number(Some(first));
            self.site.packs.iter_mut().for_each(|pack| pack.record.net = bank);
        }
        Ok(())
    }

    /// Whether the general way would ask on which side of the changeover a board stands.
    fn asks_for_side_of_boards(&self) -> bool {
        let bonds = self.site.bonds.and_then(|bonds| self.lists.bonds.get(usize::from(bonds)));
        self.site.group.switches_neutral() == Some(YesNo::Yes)
            && bonds.into_iter().flatten().any(|bonded| bonded.bond.hangs_on_side())
    }

    /// Packs, devices, bonds and the group.
    fn rest(&mut self, scope: Scope) {
        let (site, made) = (&mut self.site, &mut self.made);
        made.packs.clear();
        for position in &made.pack_order {
            let Some(pack) = site.packs.get(usize::from(*position)) else { continue };
            let mut record = pack.record;
            if let Some(lead) = site.lead_pack {
                let leads = u32::from(record.number.get()) == lead;
                record.lead = if leads { YesNo::Yes } else { YesNo::No }.code();
            }
            made.packs.push(record);
        }
        made.devices.clear();
        let devices = made.device_order.iter();
        let devices = devices.filter_map(|position| site.devices.get(usize::from(*position)));
        made.devices.extend(devices.map(|device| device.record));
        made.bonds.clear();
        let bonds = site.bonds.and_then(|bonds| self.lists.bonds.get(usize::from(bonds)));
        for bonded in bonds.into_iter().flatten() {
            let called = |key: &NameId| {
                let called = self.unit_called.get(usize::try_from(key.0).ok()?)?;
                (called.0 == self.line).then_some(called.1)
            };
            let unit = bonded.units.iter().find_map(called);
            let place = unit.and_then(|unit| made.unit_places.get(usize::from(unit)).copied());
            made.bonds.push(BondRecord {
                place: bonded.bond.kind.code(),
                unit: place.unwrap_or(u8::MAX),
                closed: bonded.bond.closed,
                declared: bonded.bond.stated,
            });
        }
        let mut known = site.known | DataSet::of(&[Datum::UnitList]).0;
        if site.lists_cables {
            known |= DataSet::of(&[Datum::CableList]).0;
        }
        site.group.declared = known.into();
        site.group.scope = scope.0;
    }
}

/// Positions in an order; mostly they stand in it already.
fn order<T>(positions: &mut Vec<u8>, things: &[T], compare: impl Fn(&T, &T) -> Ordering) {
    positions.clear();
    positions.extend((0u8..).zip(things).map(|(position, _)| position));
    let at = |position: u8| things.get(usize::from(position));
    if !things.is_sorted_by(|one, other| compare(one, other) == Ordering::Less) {
        positions.sort_by(|one, other| match (at(*one), at(*other)) {
            (Some(one), Some(other)) => compare(one, other),
            (_, _) => Ordering::Equal,
        });
    }
}

/// The place of each position.
fn invert(order: &[u8], places: &mut Vec<u8>) {
    places.clear();
    places.resize(order.len(), 0);
    for (place, position) in (0u8..).zip(order) {
        if let Some(slot) = places.get_mut(usize::from(*position)) {
            *slot = place;
        }
    }
}
