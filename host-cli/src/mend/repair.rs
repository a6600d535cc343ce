//! From acts back to a site file: what the sheets say once they are done, with each act as *to do*.

use super::act::{Act, Dial};
use super::conductors;
use super::model::Model;
use crate::assemble::units::SETTINGS;
use crate::declared::{End, ToDo};
use crate::engine::{Request, Site};
use crate::field::Field;
use crate::fold::Folded;
use crate::read::ReadError;
use crate::site_file::{Entry, List, SiteFile, Table};
use crate::source::{Origin, SheetId};
use crate::tidy;
use crate::words;
use coldcheck_core::plan::{
    BatteryType, CableKind, Datum, EndKind, EndRecord, Leg, Role, Screen, Terminator, Wiring,
};

/// What stands at the top of a repaired site file; a second reading leaves it out of the remarks.
pub const HEAD: [&str; 3] = [
    "Written by `coldcheck mend`: the site as it is to be once every act below is done.",
    "Each [[to_do]] waits for a person: fill in what was seen, initials and the time.",
    "Until then `coldcheck check` asks; `--assume-done` shows the verdict after them.",
];

/// An act with what it is called and what it mends.
pub struct Named<'n> {
    /// In one sentence.
    pub says: &'n str,
    /// The rules, behind commas.
    pub mends: String,
    /// What whoever does it must keep in mind.
    pub cautions: &'n [&'static str],
}

/// The site file after acts.
///
/// # Errors
/// If there are no words for a fact.
pub fn site_file(
    site: &Site,
    request: &Request<'_>,
    before: &Model,
    acts: &[Act],
    named: &[Named<'_>],
) -> Result<SiteFile, ReadError> {
    let mut file = tidy::shape(site, request)?;
    file.head = head(named);
    let after = acts.iter().fold(before.clone(), |model, act| act.done(&model));
    if !site.declared.lists_units {
        tidy::list_units(site, &mut file)?;
    }
    let mut repair = Repair { site, before, after: &after, file };
    for act in acts {
        repair.set(*act);
    }
    repair.terminators();
    repair.cables();
    for one in named {
        let to_do = ToDo {
            act: one.says.to_owned(),
            mends: one.mends.clone(),
            seen: [const { String::new() }; 3],
            confirmed: false,
            assumed: false,
            origin: Origin { sheet: SheetId(0), start: 0, end: 0 },
        };
        repair.file.tables.push(tidy::to_do(&to_do));
    }
    Ok(repair.file)
}

/// What stands at the top: the cautions that hold for all acts, and those of each.
fn head(named: &[Named<'_>]) -> Vec<String> {
    let mut head: Vec<String> = HEAD.iter().map(|line| (*line).to_owned()).collect();
    head.push(words::CAUTIONS.to_owned());
    for (number, act) in (1..).zip(named) {
        head.extend(act.cautions.iter().map(|says| format!("Act {number}: {says}")));
    }
    head
}

struct Repair<'r> {
    site: &'r Site,
    before: &'r Model,
    after: &'r Model,
    file: SiteFile,
}

impl Repair<'_> {
    fn unit_name(&self, unit: usize) -> &str {
        let declared = self.site.assembled.map.units.get(unit);
        declared.map_or("?", |unit| self.site.declared.units[*unit].name.as_str())
    }

    fn pack_name(&self, pack: usize) -> &str {
        let declared = self.site.assembled.map.packs.get(pack);
        declared.map_or("?", |pack| self.site.declared.packs[*pack].name.as_str())
    }

    fn sensor_name(&self, sensor: usize) -> &str {
        let declared = self.site.assembled.map.sensors.get(sensor);
        declared.map_or("?", |sensor| self.site.declared.sensors[*sensor].0.name.as_str())
    }

    /// States a fact of a named thing.
    fn put(&mut self, list: List, name: &str, field: Field, value: String) {
        let is_it = |table: &&mut Table| table.list == list && table.value("name") == name;
        let table = if let Some(table) = self.file.tables.iter_mut().find(is_it) {
            table
        } else {
            let entries = vec![Entry::new("name", name)];
            self.file.tables.insert(0, Table { list, entries });
            &mut self.file.tables[0]
        };
        put(&mut table.entries, field.key(), value);
    }

    fn of(&self, list: List, name: &str, field: Field) -> String {
        let mut tables = self.file.tables.iter();
        let table = tables.find(|table| table.list == list && table.value("name") == name);
        table.map_or_else(String::new, |table| table.value(field.key()).to_owned())
    }

    /// Settings, by the act; cables and terminators follow from what is different afterwards.
    fn set(&mut self, act: Act) {
        match act {
            Act::Set { unit, what } => {
                let name = self.unit_name(unit.into()).to_owned();
                let like = |field: Field, other: u8| {
                    (field, self.of(List::Unit, self.unit_name(other.into()), field))
                };
                let (field, value) = match what {
                    Dial::Role(code) => {
                        let word = Role::from_code(code).map_or("", Role::word);
                        (Field::Role, word.to_owned())
                    }
                    Dial::Address(address) => (Field::Address, address.to_string()),
                    Dial::Count(count) => (Field::Count, count.to_string()),
                    Dial::Parallel => {
                        (Field::Mode, coldcheck_core::plan::Mode::Parallel.word().to_owned())
                    }
                    Dial::AsUnit(setting, other) => like(SETTINGS[usize::from(setting)], other),
                    Dial::BitRateAs(other) => like(Field::BitRate, other),
                    Dial::BitRate(rate) => (Field::BitRate, words::bit_rate(rate)),
                    Dial::LineFormatAs(other) => like(Field::LineFormat, other),
                    Dial::ProtocolAs(pack) => {
                        let pack = self.pack_name(pack.into());
                        (Field::Protocol, self.of(List::Pack, pack, Field::PackProtocol))
                    }
                    Dial::BatteryType(code) => {
                        let word = BatteryType::from_code(code).map_or("", BatteryType::word);
                        (Field::BatteryType, word.to_owned())
                    }
                };
                self.put(List::Unit, &name, field, value);
                let record = &self.before.units[usize::from(unit)];
                if let Dial::Address(address) = what
                    && record.declares(Datum::Switches)
                {
                    let bit = |bit| if address >> bit & 1 == 0 { '0' } else { '1' };
                    let switches = (0..record.switch_count).map(bit).collect();
                    self.put(List::Unit, &name, Field::Switches, switches);
                }
            }
            Act::Rejoin { unit, terminal, net } => self.rejoin(unit, terminal, net),
            Act::SetPacks(count) => {
                put(&mut self.file.group, Field::PacksSet.key(), count.to_string());
            }
            Act::SetCapacity(capacity) => {
                put(&mut self.file.group, Field::CapacitySet.key(), format!("{capacity} Wh"));
            }
            Act::SetPackAddress { pack, address } => {
                let name = self.pack_name(pack.into()).to_owned();
                self.put(List::Pack, &name, Field::PackAddress, address.to_string());
            }
            Act::TurnSensor { sensor } => {
                let name = self.sensor_name(sensor.into()).to_owned();
                let arrow = self.after.sensors[usize::from(sensor)].arrow();
                let word = arrow.map_or("", |arrow| arrow.word()).to_owned();
                self.put(List::Sensor, &name, Field::Arrow, word);
            }
            Act::SetRatio { sensor } => {
                let name = self.sensor_name(sensor.into()).to_owned();
                let ratio = self.of(List::Sensor, &name, Field::RatioFitted);
                self.put(List::Sensor, &name, Field::RatioSet, ratio);
            }
            Act::SetInput { sensor } => {
                let name = self.sensor_name(sensor.into()).to_owned();
                let leg = Leg::from_code(self.after.sensors[usize::from(sensor)].input);
                let word = leg.map_or("", Leg::word).to_owned();
                self.put(List::Sensor, &name, Field::SensorInput, word);
            }
            Act::MovePlug { .. }
            | Act::TurnCable { .. }
            | Act::ExchangePlugs { .. }
            | Act::AddCable { .. }
            | Act::RemoveCable { .. }
            | Act::Unplug { .. }
            | Act::ReplaceCable { .. }
            | Act::ScreenOnce { .. }
            | Act::SwitchTerminator { .. }
            | Act::MoveTerminator { .. } => {}
        }
    }

    fn rejoin(&mut self, unit: u8, terminal: u8, net: u8) {
        let name = self.unit_name(unit.into()).to_owned();
        let Some(field) = conductors::field_of(terminal) else { return };
        let written = self.of(List::Unit, &name, field);
        let after = conductors::rejoined(self.before, &written, (terminal, net));
        if let Some(text) = after {
            self.put(List::Unit, &name, field, text);
        }
    }

    fn terminators(&mut self) {
        for unit in 0..self.after.units.len() {
            let (old, new) =
                (self.before.units[unit].terminator(), self.after.units[unit].terminator());
            if old != new {
                let name = self.unit_name(unit).to_owned();
                let word = new.map_or("", Terminator::word).to_owned();
                self.put(List::Unit, &name, Field::Terminator, word);
            }
        }
    }

    fn cables(&mut self) {
        let positions: Vec<usize> = (0..self.file.tables.len())
            .filter(|at| self.file.tables[*at].list == List::Cable)
            .collect();
        for (cable, at) in positions.iter().enumerate() {
            let (Some(old), Some(new)) =
                (self.before.cables.get(cable), self.after.cables.get(cable))
            else {
                continue;
            };
            for end in 0..2 {
                if old.ends[end] != new.ends[end] {
                    let keys = self.keys_of_end(cable, old.ends[end]);
                    let entries = self.end_entries(new.ends[end], keys);
                    let table = &mut self.file.tables[*at];
                    table.entries.retain(|entry| entry.key != keys.0 && entry.key != keys.1);
                    let head = 1.min(table.entries.len());
                    table.entries.splice(head..head, entries);
                }
            }
            let entries = &mut self.file.tables[*at].entries;
            if old.screen != new.screen {
                let word = new.screen().map_or("", Screen::word);
                put(entries, Field::Screen.key(), word.to_owned());
            }
            if (old.wiring, old.pins, old.construction) != (new.wiring, new.pins, new.construction)
            {
                let told = [
                    (Field::Wiring, new.wiring().map(|one| Wiring::word(one).to_owned())),
                    (Field::Pins, new.pins().map(|pins| words::numbered(pins.0.into(), 1))),
                    (Field::Construction, new.construction().map(|one| one.word().to_owned())),
                ];
                for (field, value) in told {
                    entries.retain(|entry| entry.key != field.key());
                    entries.extend(value.map(|value| Entry::new(field.key(), value)));
                }
            }
        }
        for cable in self.before.cables.len()..self.after.cables.len() {
            if !self.after.is_out[cable] {
                let label = self.new_label();
                let table = self.new_cable(cable, &label);
                let behind = positions.last().map_or(self.file.tables.len(), |last| last + 1);
                self.file.tables.insert(behind, table);
            }
        }
        let is_out = |cable: usize| self.after.is_out.get(cable).copied().unwrap_or(false);
        let gone: Vec<usize> = positions
            .iter()
            .enumerate()
            .filter(|(cable, _)| is_out(*cable))
            .map(|(_, at)| *at)
            .collect();
        let mut labels = Vec::new();
        for at in gone.into_iter().rev() {
            labels.push(Folded::of(self.file.tables.remove(at).value("label")));
        }
        self.end_waivers(&labels);
    }

    /// A waiver at a cable that is taken out ends with it, and is kept as a remark: it would name
    /// nothing that there is.
    fn end_waivers(&mut self, gone: &[Folded]) {
        let is_gone = |place: &str| {
            let place = Folded::of(place);
            gone.contains(&place.after("cable").unwrap_or(place))
        };
        let tables = std::mem::take(&mut self.file.tables);
        let (ended, kept): (Vec<Table>, Vec<Table>) = tables.into_iter().partition(|table| {
            table.list == List::Waiver && table.value("place").split(',').any(is_gone)
        });
        self.file.tables = kept;
        self.file.remarks.extend(ended.iter().map(|waiver| {
            let [rule, place, reason, by] =
                ["rule", "place", "reason", "by"].map(|key| waiver.value(key));
            format!("ended with the cable: the waiver of {rule} at {place} ({reason}, {by})")
        }));
    }

    /// The keys of the end of a cable that had this record.
    fn keys_of_end(&self, cable: usize, record: EndRecord) -> (&'static str, &'static str) {
        let map = &self.site.assembled.map;
        let ends =
            map.cable(super::model::cable_id(cable)).map(|at| self.site.declared.cables[at].ends);
        let is_it = |end: End| match end {
            End::Unit(unit, port) => {
                record.unit().and_then(|own| map.unit(own)) == Some(unit) && record.port() == port
            }
            End::Pack(pack) => record.pack().and_then(|own| map.pack(own)) == Some(pack),
            End::Sensor(sensor) => record.sensor().and_then(|own| map.sensor(own)) == Some(sensor),
            End::Device(_) => record.kind() == Some(EndKind::Device),
            End::Open => record.kind() == Some(EndKind::Open),
            End::Unknown => false,
        };
        match ends {
            Some([_, second]) if is_it(second) => ("to", "to_port"),
            _ => ("from", "from_port"),
        }
    }

    fn end_entries(&self, end: EndRecord, (key, port_key): (&str, &str)) -> Vec<Entry> {
        let index = usize::from(end.index);
        match end.kind() {
            Some(EndKind::Unit) => {
                let mut entries = vec![Entry::new(key, self.unit_name(index))];
                let port = end.port().map(|port| self.site.profile.port_name(port));
                entries.extend(port.map(|port| Entry::new(port_key, port)));
                entries
            }
            Some(EndKind::Pack) => {
                vec![Entry::new(key, format!("{} data", self.pack_name(index)))]
            }
            Some(EndKind::Sensor) => vec![Entry::new(key, self.sensor_name(index))],
            Some(EndKind::Open | EndKind::Device) | None => vec![Entry::new(key, "-")],
        }
    }

    /// A label that no cable has, one that is new neither.
    fn new_label(&self) -> String {
        let tables = self.file.tables.iter().filter(|table| table.list == List::Cable);
        let mut taken: Vec<Folded> = tables.map(|table| Folded::of(table.value("label"))).collect();
        taken.extend(self.site.declared.cables.iter().map(|cable| cable.key.clone()));
        let mut labels = (1..).map(|number| format!("N{number}"));
        labels.find(|label| !taken.contains(&Folded::of(label))).unwrap_or_default()
    }

    fn new_cable(&self, cable: usize, label: &str) -> Table {
        let record = self.after.cables[cable];
        let mut entries = vec![Entry::new("label", label)];
        entries.extend(self.end_entries(record.ends[0], ("from", "from_port")));
        entries.extend(self.end_entries(record.ends[1], ("to", "to_port")));
        entries.push(Entry::new("kind", record.kind().map_or("", CableKind::word)));
        Table { list: List::Cable, entries }
    }
}

fn put(entries: &mut Vec<Entry>, key: &str, value: String) {
    match entries.iter_mut().find(|entry| entry.key == key) {
        Some(entry) => entry.value = Some(value),
        None => entries.push(Entry::new(key, value)),
    }
}
