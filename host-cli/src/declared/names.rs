//! Which thing a name means, however it is spelt.

use super::Declared;
use crate::field::About;
use crate::fold::Folded;
use crate::source::{Cell, Origin};
use crate::vocabulary::{DEVICE_KIND, LEG, PACK_STEMS, SENSOR_STEMS, UNIT_STEMS};
use coldcheck_core::plan::{DeviceKind, Leg};
use std::collections::BTreeSet;

/// A thing with a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Thing {
    /// The name as it was first written, in the order of the sheets.
    pub name: String,
    /// Where it was first written.
    named_at: Origin,
    /// The name as it is compared.
    pub key: Folded,
    /// The number in the name.
    pub number: Option<u16>,
    /// Where it is named; settings before cables.
    pub origins: Vec<Origin>,
}

impl Thing {
    pub(super) fn new(name: &str, key: Folded, origin: Origin) -> Self {
        Self {
            name: name.to_owned(),
            named_at: origin,
            number: key.number(),
            key,
            origins: vec![origin],
        }
    }

    /// Notes one more place that names it. The order of sheets and lines decides which spelling
    /// is shown, not the order in which they are understood.
    pub(super) fn also_named(&mut self, name: &str, origin: Origin) {
        if origin < self.named_at {
            name.clone_into(&mut self.name);
            self.named_at = origin;
        }
        self.origins.push(origin);
    }

    /// Where it is named.
    pub fn origin(&self) -> Option<Origin> {
        self.origins.first().copied()
    }
}

/// What the sheets say about names before anything else is understood.
#[derive(Clone, Debug, Default)]
pub(super) struct Names {
    /// `name left box = unit 1`.
    pub(super) explained: Vec<(Folded, Folded)>,
    /// Where those names are explained.
    pub(super) explained_at: Vec<(Folded, Origin)>,
    /// Names that are explained in two ways, each with what it may mean.
    pub(super) twice: Vec<(Folded, Folded)>,
    /// Where those names are explained.
    pub(super) twice_at: Vec<(Folded, Vec<Origin>)>,
    /// `socket left socket = A`.
    pub(super) sockets: Vec<(Folded, Folded)>,
    /// Keys of units that sheets speak of as units, whatever their name.
    pub(super) units: BTreeSet<Folded>,
}

/// What a name in front of a field, or at a cable's end, can mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Meaning {
    /// A unit of this key.
    Unit(Folded),
    /// A pack of this key.
    Pack(Folded),
    /// A sensor on this leg; without a leg, all of them.
    Sensor(Option<Leg>),
    /// Another device.
    Device(DeviceKind, Folded),
}

/// What tells units of one common word apart: a number, or one letter.
fn is_mark(token: &str) -> bool {
    token.parse::<u16>().is_ok() || is_letter(token)
}

/// One letter, but not that of `unit(s)`.
fn is_letter(token: &str) -> bool {
    let mut signs = token.chars();
    let first = signs.next();
    first.is_some_and(|sign| sign.is_alphabetic() && sign != 's') && signs.next().is_none()
}

/// The key of a unit: `unit 2`, `unit a` for every common word in front of a number or a letter, else
/// the name itself.
pub(super) fn unit_key(name: &Folded) -> Folded {
    match (name.only(), name.pair()) {
        (Some(number), _) if number.parse::<u16>().is_ok() => numbered("unit", number),
        (_, Some((stem, mark)))
            if stem != "unit" && is_mark(mark) && UNIT_STEMS.contains(&stem) =>
        {
            numbered("unit", mark)
        }
        _ => name.clone(),
    }
}

/// A common word with a number.
fn numbered(word: &str, number: &str) -> Folded {
    Folded::joined([word, number])
}

/// Whether a unit's key is a common word with a number or a letter.
pub(super) fn has_common_word(key: &Folded) -> bool {
    key.pair().is_some_and(|(stem, mark)| stem == "unit" && is_mark(mark))
}

/// A pack's key, if the name is one: a common word, with or without a number.
pub(super) fn pack_key(name: &Folded) -> Option<Folded> {
    PACK_STEMS.iter().find_map(|stem| {
        let rest = name.after(stem)?;
        match rest.only() {
            None => rest.is_empty().then(|| Folded::of("pack")),
            Some(number) => number.parse::<u16>().is_ok().then(|| numbered("pack", number)),
        }
    })
}

/// The sensor on a leg, or all sensors, if the name is a sensor's.
pub(super) fn sensor(name: &Folded) -> Option<Meaning> {
    SENSOR_STEMS.iter().find_map(|stem| {
        let rest = name.after(stem)?;
        if rest.is_empty() {
            return Some(Meaning::Sensor(None));
        }
        LEG.code(&rest).and_then(Leg::from_code).map(|leg| Meaning::Sensor(Some(leg)))
    })
}

/// Whether a name is a sensor's with a bare number, such as `CT 1`: that the number is that of the
/// leg is an assumption.
pub(crate) fn is_sensor_by_number(name: &Folded) -> bool {
    SENSOR_STEMS
        .iter()
        .filter_map(|stem| name.after(stem))
        .any(|rest| rest.runs().next().is_some_and(|run| run.parse::<u16>().is_ok()))
}

/// A device's kind and key, if the name is one: a common word, with or without a number.
pub(super) fn device_key(name: &Folded) -> Option<(DeviceKind, Folded)> {
    let head = match name.number() {
        Some(_) => name.cut(name.count().saturating_sub(1)).0,
        None => Folded::default(),
    };
    let word = if head.is_empty() { name.clone() } else { head };
    let kind = DEVICE_KIND.code(&word).and_then(DeviceKind::from_code)?;
    Some((kind, name.clone()))
}

impl Declared {
    /// The key of the unit that a name means, with what the person explained. A letter alone, and one
    /// with a common word in front of it, are one name, as a number is.
    pub(super) fn key_of(&self, name: &Folded) -> Folded {
        let explained = self.names.explained.iter().find(|(word, _)| word == name);
        let key = unit_key(explained.map_or(name, |(_, meant)| meant));
        let other = match (key.only(), key.pair()) {
            (Some(letter), _) if is_letter(letter) => numbered("unit", letter),
            (_, Some(("unit", letter))) if is_letter(letter) => key.cut(1).1,
            _ => return key,
        };
        let is_known = |key: &Folded| self.names.units.contains(key);
        if !is_known(&key) && is_known(&other) { other } else { key }
    }

    /// The unit that a name means.
    pub(super) fn find_unit(&self, name: &Folded) -> Option<usize> {
        let key = self.key_of(name);
        self.units.iter().position(|unit| unit.key == key)
    }

    /// What a name can mean: a unit if the sheets speak of it as one or it bears a common word
    /// for a unit with a number; a pack, a sensor, or another device.
    pub(super) fn meaning(&self, name: &Folded) -> Option<Meaning> {
        let key = self.key_of(name);
        // A name that is explained in two ways means nothing for sure.
        if self.names.twice.iter().any(|(word, _)| word == name) {
            return None;
        }
        if self.names.units.contains(&key)
            || self.find_unit(name).is_some()
            || self.names.explained.iter().any(|(word, _)| word == name)
        {
            return Some(Meaning::Unit(key));
        }
        if let Some(key) = pack_key(name) {
            return Some(Meaning::Pack(key));
        }
        if let Some(sensor) = sensor(name) {
            return Some(sensor);
        }
        if let Some((kind, key)) = device_key(name) {
            return Some(Meaning::Device(kind, key));
        }
        has_common_word(&key).then_some(Meaning::Unit(key))
    }

    /// What a name means where the form of the sheet tells what kind of thing it is.
    pub(super) fn meaning_as(&self, kind: Option<About>, name: &Folded) -> Option<Meaning> {
        let with_word = |word: &str| Folded::of(&format!("{word} {name}"));
        match kind {
            Some(About::Unit) => Some(Meaning::Unit(self.key_of(name))),
            Some(About::Pack) => pack_key(name)
                .or_else(|| pack_key(&with_word("pack")))
                .or_else(|| Some(name.clone()))
                .map(Meaning::Pack),
            Some(About::Sensor) => sensor(name).or_else(|| sensor(&with_word("CT"))),
            Some(About::Device) => {
                let (kind, key) =
                    device_key(name).unwrap_or_else(|| (DeviceKind::Other, name.clone()));
                Some(Meaning::Device(kind, key))
            }
            Some(About::Group | About::Cable) | None => self.meaning(name),
        }
    }

    /// The unit of this key, made if it is new.
    pub(super) fn unit(&mut self, cell: &Cell, key: &Folded) -> usize {
        named(&mut self.units, cell, key.clone())
    }

    /// The pack of this key, made if it is new.
    pub(super) fn pack(&mut self, cell: &Cell, key: Folded) -> usize {
        named(&mut self.packs, cell, key)
    }

    /// The sensor on this leg, made if it is new.
    pub(super) fn sensor(&mut self, cell: &Cell, leg: Option<Leg>) -> usize {
        let key = Folded::of(&format!("CT {}", leg.map_or("", Leg::word)));
        if let Some(position) = self.sensors.iter().position(|(thing, _)| thing.key == key) {
            let name = self.sensors[position].0.name.clone();
            self.sensors[position].0.also_named(&name, cell.origin);
            return position;
        }
        let name = leg.map_or("CT".to_owned(), |leg| format!("CT {}", leg.word()));
        self.sensors.push((Thing::new(&name, key, cell.origin), leg));
        self.sensors.len() - 1
    }

    /// The device of this key, made if it is new.
    pub(super) fn device(&mut self, cell: &Cell, kind: DeviceKind, key: Folded) -> usize {
        if let Some(position) = self.devices.iter().position(|(thing, _)| thing.key == key) {
            self.devices[position].0.also_named(&cell.text, cell.origin);
            return position;
        }
        self.devices.push((Thing::new(&cell.text, key, cell.origin), kind));
        self.devices.len() - 1
    }

    /// The known name that is most like the beginning of a phrase; a socket may stand behind it.
    pub(super) fn nearest_unit(&self, phrase: &str) -> Option<String> {
        let names = || self.units.iter().map(|unit| unit.name.as_str());
        Folded::of(phrase)
            .cuts()
            .find_map(|(head, _)| crate::fold::nearest(&head.to_string(), names()))
            .map(ToOwned::to_owned)
    }
}

fn named(things: &mut Vec<Thing>, cell: &Cell, key: Folded) -> usize {
    if let Some(position) = things.iter().position(|thing| thing.key == key) {
        things[position].also_named(&cell.text, cell.origin);
        return position;
    }
    things.push(Thing::new(&cell.text, key, cell.origin));
    things.len() - 1
}

impl Declared {
    /// The unit that a phrase starts with: `unit 1 relay`.
    pub fn unit_named_in(&self, phrase: &Folded) -> Option<usize> {
        phrase.cuts().find_map(|(head, _)| self.find_unit(&head))
    }

    /// The unit that is called so.
    pub fn unit_called(&self, name: &str) -> Option<usize> {
        self.find_unit(&Folded::of(name))
    }
}
