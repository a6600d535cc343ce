//! The meaning of settings: about the group, about a thing, a demand, or an explanation.

use super::attributes::{attribute, attributes_of};
use super::ends::named_part;
use super::for_all::{common_to_all, for_all, is_about_all_packs};
use super::names::{Meaning, has_common_word, pack_key, sensor, unit_key};
use super::{Declared, Subject, Topic};
use crate::demand_words;
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::demand_bits;
use crate::read::ReadError;
use crate::source::{Cell, Origin};
use crate::statement::Setting;
use crate::value::Value;
use coldcheck_core::plan::{Demand, Scope};
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
            let meant = || Folded::of(&setting.value.text);
            if let Some(word) = explained(&key, "name") {
                names.entry(word).or_default().push((meant(), setting.key.origin));
            } else if let Some(word) = explained(&key, "socket") {
                let meant = meant();
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
            let Some((first, origin)) = meanings.first() else { continue };
            if meanings.iter().all(|(meant, _)| meant == first) {
                self.names.explained_at.push((word.clone(), *origin));
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
            || self.list_about_group(&key, setting, errors)
            || self.about_group(&key, setting, errors)
            || for_all(&key).is_some()
            || self.lists_packs(&key, setting)
            || self.lists_sensors(&key, setting)
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
                errors
                    .push(self.wrong_value(&setting.value, &field.expected().unwrap_or_default()));
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

    /// `feeder = breaker 125 A, conductor 1 AWG, length 24 m`: several facts about the group whose
    /// words begin alike. All of its items are such facts, or it is none.
    fn list_about_group(
        &mut self,
        key: &Folded,
        setting: &Setting,
        errors: &mut Vec<ReadError>,
    ) -> bool {
        let items = setting.value.split(is_item_separator);
        let facts: Option<Vec<_>> = items.iter().map(|item| fact_of_group(key, item)).collect();
        let Some(facts) = facts.filter(|facts| !facts.is_empty()) else { return false };
        for (topic, value) in facts {
            match topic {
                Topic::Field(field) => self.state(Subject::Group, field, &value, errors),
                Topic::Demand(demand) => self.demand(demand, &value, errors),
            }
        }
        true
    }

    /// States a demand, or says why its value cannot be read.
    fn demand(&mut self, demand: Demand, value: &Cell, errors: &mut Vec<ReadError>) {
        match demand_bits(demand.kind(), &value.text) {
            Ok(bits) => {
                let topic = Topic::Demand(demand);
                self.say(Subject::Group, topic, Value::Number(bits), value.origin);
            }
            Err(expected) => errors.push(self.wrong_value(value, &expected)),
        }
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
    pub(super) fn subject(&mut self, meaning: &Meaning, name: &Cell) -> Option<Subject> {
        Some(match meaning {
            Meaning::Unit(key) => Subject::Unit(self.unit(name, key)),
            Meaning::Pack(key) => Subject::Pack(self.pack(name, key.clone())),
            Meaning::Sensor(Some(leg)) => Subject::Sensor(self.sensor(name, Some(*leg))),
            Meaning::Sensor(None) => return None,
            Meaning::Device(kind, key) => Subject::Device(self.device(name, *kind, key.clone())),
        })
    }

    /// `unit 1 = coordinator, addr 1, count 3`; `CT L1 = rating 400 A, secondary 5 A`.
    fn attributes(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) -> bool {
        let Some(meaning) = self.meaning(key) else { return false };
        let Meaning::Unit(name) = meaning else {
            return self.facts_of_thing(&meaning, setting, errors);
        };
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
    if for_all(&key).is_some() {
        return Vec::new();
    }
    attributes_of(&setting.value).into_iter().map(|field| (key.clone(), field)).collect()
}

/// The fact about the group, or the demand, in an item of a list: the longest beginning that, behind
/// the list's own words, names one.
fn fact_of_group(key: &Folded, item: &Cell) -> Option<(Topic, Cell)> {
    item.text.char_indices().rev().filter(|(_, c)| c.is_whitespace()).find_map(|(at, _)| {
        let words = Folded::of(&format!("{key} {}", item.text.get(..at)?));
        let field = Field::find(About::Group, &words).map(Topic::Field);
        let topic = field.or_else(|| demand_words::find(&words).map(Topic::Demand))?;
        Some((topic, item.part(at..item.text.len())))
    })
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

/// The part of a key that is a thing's name, at its start or at its end.
pub(super) fn named_in(key: &Cell, name: &Folded) -> Cell {
    let at_start = named_part(key, name);
    if name.is(&at_start.text) {
        return at_start;
    }
    let starts = key.text.char_indices().map(|(at, _)| at).rev();
    let tail = |at: usize| key.part(at..key.text.len());
    starts.map(tail).find(|tail| name.is(&tail.text)).unwrap_or(at_start)
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
