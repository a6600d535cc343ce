//! The meaning of settings: about the group, about a thing, a demand, or an explanation.

use super::attributes::{attribute, attributes_of};
use super::ends::named_part;
use super::names::{Meaning, has_common_word, pack_key, sensor, unit_key};
use super::{Declared, Subject, Topic};
use crate::demand_words;
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::demand_bits;
use crate::read::ReadError;
use crate::source::{Cell, Origin};
use crate::statement::Setting;
use crate::value::{self, Value};
use coldcheck_core::plan::Scope;
use std::collections::{BTreeMap, BTreeSet};

impl Declared {
    /// Explanations first, because they may stand below the lines that need them; then which
    /// names are units; then everything else but what is about all things of a kind.
    pub(super) fn interpret_settings(&mut self, settings: &[Setting], errors: &mut Vec<ReadError>) {
        self.learn_words(settings);
        self.learn_units(settings);
        for setting in settings {
            self.interpret(setting, errors);
        }
        self.lists_units = !self.units.is_empty();
    }

    /// `name left box = unit 1` and `socket left socket = A`. What is explained in two ways is
    /// not explained.
    fn learn_words(&mut self, settings: &[Setting]) {
        let mut names: BTreeMap<Folded, Vec<(Folded, Origin)>> = BTreeMap::new();
        for setting in settings {
            let key = Folded::of(&setting.key.text);
            let meant = Folded::of(&setting.value.text);
            if let Some(word) = explained(&key, "name") {
                names.entry(word).or_default().push((meant, setting.key.origin));
            } else if let Some(word) = explained(&key, "socket") {
                let before = self.names.sockets.iter_mut().find(|(other, _)| *other == word);
                match before {
                    None => self.names.sockets.push((word, meant)),
                    Some((_, before)) if *before != meant => {
                        let says = format!(
                            "the socket \u{201c}{word}\u{201d} is explained as {before} and as \
                             {meant}"
                        );
                        before.clone_from(&Folded::default());
                        self.ask(setting.key.origin, says, "leave one of the two lines");
                    }
                    Some(_) => {}
                }
            }
        }
        for (word, meanings) in names {
            let Some((first, _)) = meanings.first() else { continue };
            if meanings.iter().all(|(meant, _)| meant == first) {
                self.names.explained.push((word, first.clone()));
            } else {
                let origins = meanings.iter().map(|(_, origin)| *origin).collect();
                self.names.twice_at.push((word.clone(), origins));
                let meant = meanings.into_iter().map(|(meant, _)| (word.clone(), meant));
                self.names.twice.extend(meant);
            }
        }
    }

    /// Which names are units: a table or a file says so, a role is given to them, or two facts
    /// that only units have. One fact is enough for a common word with a number.
    fn learn_units(&mut self, settings: &[Setting]) {
        let mut facts: BTreeMap<Folded, BTreeSet<Field>> = BTreeMap::new();
        for setting in settings {
            for (name, field) in facts_of_units(setting) {
                let twice = self.names.twice.iter().any(|(word, _)| *word == name);
                if pack_key(&name).is_none() && sensor(&name).is_none() && !twice {
                    facts.entry(self.key_of(&name)).or_default().insert(field);
                }
            }
            if let (Some(About::Unit), Some(about)) = (setting.kind, &setting.about) {
                let key = self.key_of(&Folded::of(&about.text));
                self.names.units.insert(key);
            }
        }
        for (key, fields) in facts {
            let numbered = unit_key(&key).number().is_some();
            if fields.contains(&Field::Role)
                || has_common_word(&key)
                || numbered && fields.len() >= 2
            {
                self.names.units.insert(key);
            }
        }
    }

    fn interpret(&mut self, setting: &Setting, errors: &mut Vec<ReadError>) {
        let key = Folded::of(&setting.key.text);
        if ["name", "socket", "column"].iter().any(|word| explained(&key, word).is_some()) {
            return;
        }
        if let Some(about) = &setting.about
            && let Some(meaning) = self.meaning_as(setting.kind, &Folded::of(&about.text))
        {
            // A name alone says that the thing is there.
            let subject = self.subject(&meaning, about);
            match (subject, Field::find(kind_of(&meaning), &key)) {
                (Some(subject), Some(field)) => {
                    self.state(subject, field, &setting.value, errors);
                    return;
                }
                _ if key.is_empty() => return,
                // Lines about the group may stand below the last unit's section.
                _ => {}
            }
        }
        let understood = key.is_empty()
            || self.about_group(&key, setting, errors)
            || for_all(&key).is_some()
            || common_to_all(&key, setting).is_some()
            || self.named_in_key(&key, setting, errors)
            || self.attributes(&key, setting, errors);
        if !understood {
            self.unknown_key(setting);
        }
    }

    /// A fact about the group, or a demand.
    fn about_group(
        &mut self,
        key: &Folded,
        setting: &Setting,
        errors: &mut Vec<ReadError>,
    ) -> bool {
        if self.date(key, &setting.value) {
            return true;
        }
        if let Some(field) = Field::find(About::Group, key) {
            if field == Field::Scope && scope(&setting.value.text).is_none() {
                errors.push(self.wrong_value(&setting.value, "communication, power or all"));
            }
            self.state(Subject::Group, field, &setting.value, errors);
            return true;
        }
        let Some(demand) = demand_words::find(key) else { return false };
        let read = |text: &str| demand_bits(demand.kind(), text);
        let as_it_is = read(&setting.value.text);
        match as_it_is.or_else(|expected| self.without_remark(&setting.value, read).ok_or(expected))
        {
            Ok(bits) => self.say(
                Subject::Group,
                Topic::Demand(demand),
                Value::Number(bits),
                setting.value.origin,
            ),
            // By other words, with a value that is none of it: something else was meant.
            Err(_) if !key.is(demand.key()) => return false,
            Err(expected) => errors.push(self.wrong_value(&setting.value, &expected)),
        }
        true
    }

    /// `unit 1 address = 1`, `pack 2 addr = 2`, `ct L1 arrow = house`, `gateway term = on`; or the
    /// other way round, `address of unit 1 = 1`.
    fn named_in_key(
        &mut self,
        key: &Folded,
        setting: &Setting,
        errors: &mut Vec<ReadError>,
    ) -> bool {
        for about in [About::Sensor, About::Pack, About::Device, About::Unit] {
            let fits = |(name, field): (Folded, Field)| {
                let meaning = self.meaning(&name).filter(|meaning| kind_of(meaning) == about)?;
                (!name.is_empty()).then_some((name, field, meaning))
            };
            let behind = Field::find_at_end(about, key).and_then(fits);
            let found = behind.or_else(|| Field::find_at_start(about, key).and_then(fits));
            let Some((name, field, meaning)) = found else { continue };
            if is_about_all_packs(&meaning, field) {
                // Said when all packs are known.
                return true;
            }
            // Facts about all sensors wait until the sensors are known.
            if let Some(subject) = self.subject(&meaning, &named_in(&setting.key, &name)) {
                self.state(subject, field, &setting.value, errors);
            }
            return true;
        }
        false
    }

    /// The thing that is meant, made if it is new; `None` for all sensors together.
    fn subject(&mut self, meaning: &Meaning, name: &Cell) -> Option<Subject> {
        Some(match meaning {
            Meaning::Unit(key) => Subject::Unit(self.unit(name, key)),
            Meaning::Pack(key) => Subject::Pack(self.pack(name, key.clone())),
            Meaning::Sensor(Some(leg)) => Subject::Sensor(self.sensor(name, Some(*leg))),
            Meaning::Sensor(None) => return None,
            Meaning::Device(kind, key) => Subject::Device(self.device(name, *kind, key.clone())),
        })
    }

    /// `unit 1 = coordinator, addr 1, count 3`.
    fn attributes(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) -> bool {
        let Some(Meaning::Unit(name)) = self.meaning(key) else { return false };
        if attributes_of(&setting.value).is_empty() {
            return false;
        }
        let unit = Subject::Unit(self.unit(&setting.key, &name));
        for item in setting.value.split(is_item_separator) {
            match attribute(&item) {
                Some((field, value)) => self.state(unit, field, &value, errors),
                None => self.unknown_attribute(&item),
            }
        }
        true
    }

    /// Facts about every unit, and about every sensor: said last, when all of them are known.
    pub(super) fn interpret_for_all(&mut self, settings: &[Setting], errors: &mut Vec<ReadError>) {
        for setting in settings {
            let key = Folded::of(&setting.key.text);
            self.check_arrays(&key, setting, errors);
            if Field::find(About::Group, &key).is_some() || demand_words::find(&key).is_some() {
                // `sensor ratio` is demanded; what is on the parts is another line.
                continue;
            }
            if let Some(rest) = for_all(&key) {
                match Field::find(About::Unit, &rest) {
                    Some(field) => self.for_all_units(field, setting, errors),
                    None => self.unknown_key(setting),
                }
            } else if let Some(field) = common_to_all(&key, setting) {
                self.for_all_units(field, setting, errors);
            }
            self.for_all_sensors(&key, setting, errors);
            self.for_all_packs(&key, setting, errors);
        }
        self.apply_exceptions(errors);
    }

    fn for_all_units(&mut self, field: Field, setting: &Setting, errors: &mut Vec<ReadError>) {
        for unit in self.without_exceptions(field, &setting.value) {
            self.state(Subject::Unit(unit), field, &setting.value, errors);
        }
    }

    /// `ct ratio on part = 2000:1`.
    fn for_all_sensors(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) {
        let Some((name, field)) = Field::find_at_end(About::Sensor, key) else { return };
        if setting.kind.is_some() || self.meaning(&name) != Some(Meaning::Sensor(None)) {
            return;
        }
        if self.sensors.is_empty() {
            self.not_understood.push(whole(setting));
        }
        for sensor in 0..self.sensors.len() {
            self.state(Subject::Sensor(sensor), field, &setting.value, errors);
        }
    }

    /// `pack capacity = 5 kWh`: of every pack, numbered or not.
    fn for_all_packs(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) {
        let Some((name, field)) = Field::find_at_end(About::Pack, key) else { return };
        let Some(meaning) = self.meaning(&name) else { return };
        if setting.kind.is_some() || setting.about.is_some() || !is_about_all_packs(&meaning, field)
        {
            return;
        }
        if self.packs.is_empty() {
            self.subject(&meaning, &named_in(&setting.key, &name));
        }
        for pack in 0..self.packs.len() {
            self.state(Subject::Pack(pack), field, &setting.value, errors);
        }
    }

    /// Units that a line about arrays names must be there.
    fn check_arrays(&self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) {
        if Field::find(About::Group, key) != Some(Field::Arrays) {
            return;
        }
        let Ok(Value::Arrays(arrays)) = value::parse(Field::Arrays.form(), &setting.value.text)
        else {
            return;
        };
        for (_, unit) in arrays {
            if self.find_unit(&Folded::of(&unit)).is_none() {
                let near = self.nearest_unit(&unit).map(|near| format!("; {near}, perhaps"));
                let expected =
                    format!("a unit of this site in place of {unit}{}", near.unwrap_or_default());
                errors.push(self.wrong_value(&setting.value, &expected));
            }
        }
    }
}

/// Facts that only units have, as far as a setting states any, with the names it gives them to.
fn facts_of_units(setting: &Setting) -> Vec<(Folded, Field)> {
    let key = Folded::of(&setting.key.text);
    if let Some(about) = &setting.about {
        let name = Folded::of(&about.text);
        return Field::find(About::Unit, &key).map(|field| (name, field)).into_iter().collect();
    }
    if let Some((name, field)) = Field::find_at_end(About::Unit, &key)
        && !name.is_empty()
    {
        return vec![(name, field)];
    }
    // Before a name, the words of a fact could be part of one: only a common word tells.
    if let Some((name, field)) = Field::find_at_start(About::Unit, &key)
        && has_common_word(&unit_key(&name))
    {
        return vec![(name, field)];
    }
    attributes_of(&setting.value).into_iter().map(|field| (key.clone(), field)).collect()
}

/// What stands between the items of an attribute list.
pub(super) const fn is_item_separator(character: char) -> bool {
    matches!(character, ',' | ';')
}

/// The setting as one cell.
pub(super) fn whole(setting: &Setting) -> Cell {
    let mut cell = setting.key.clone();
    cell.origin.end = setting.value.origin.end.max(cell.origin.end);
    cell.text = format!("{} = {}", setting.key.text, setting.value.text);
    cell
}

/// The word that a line such as `name left box = …` explains.
pub(super) fn explained(key: &Folded, what: &str) -> Option<Folded> {
    key.after(what).filter(|word| !word.is_empty())
}

/// `ac out` in `all units ac out`.
fn for_all(key: &Folded) -> Option<Folded> {
    ["all units", "every unit", "all inverters"].iter().find_map(|words| key.after(words))
}

/// A fact that is mostly the same on all units, said without the name of any: `firmware = 2.14`.
/// A number of units may be what is fitted, and a charge limit the battery's: neither is taken for
/// what is set on the units.
fn common_to_all(key: &Folded, setting: &Setting) -> Option<Field> {
    const COMMON: &[Field] = &[
        Field::Firmware,
        Field::Model,
        Field::Protocol,
        Field::BatteryType,
        Field::LineFormat,
        Field::Frequency,
        Field::AcVoltage,
        Field::ChargeVoltage,
        Field::CutOffVoltage,
        Field::GridProfile,
    ];
    if setting.kind.is_some() || setting.about.is_some() {
        return None;
    }
    Field::find(About::Unit, key).filter(|field| COMMON.contains(field))
}

/// Whether a fact is about packs of which none is named: all are of one make, but each has an
/// address of its own.
fn is_about_all_packs(meaning: &Meaning, field: Field) -> bool {
    matches!(meaning, Meaning::Pack(key) if key.number().is_none())
        && matches!(field, Field::PackCapacity | Field::PackChargeLimit | Field::PackProtocol)
}

/// The part of a key that is a thing's name, at its start or at its end.
fn named_in(key: &Cell, name: &Folded) -> Cell {
    let at_start = named_part(key, name);
    if Folded::of(&at_start.text) == *name {
        return at_start;
    }
    let starts = key.text.char_indices().map(|(at, _)| at).rev();
    let tail = |at: usize| key.part(at..key.text.len());
    starts.map(tail).find(|tail| Folded::of(&tail.text) == *name).unwrap_or(at_start)
}

const fn kind_of(meaning: &Meaning) -> About {
    match meaning {
        Meaning::Unit(_) => About::Unit,
        Meaning::Pack(_) => About::Pack,
        Meaning::Sensor(_) => About::Sensor,
        Meaning::Device(..) => About::Device,
    }
}

/// A scope in words.
pub(super) fn scope(text: &str) -> Option<Scope> {
    match Folded::of(text).to_string().as_str() {
        "communication" | "comms" | "link" => Some(Scope::COMMUNICATION),
        "power" => Some(Scope::POWER),
        "all" | "everything" | "communication power" | "communication and power" => {
            Some(Scope::ALL)
        }
        _ => None,
    }
}
