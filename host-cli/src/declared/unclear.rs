//! Names that no thing bears as they are written, and what they may mean all the same.
//!
//! A name with one fit is used until a person confirms it; one with several is not guessed.

use super::ends::{Written, named_part};
use super::lookalike::{in_latin, may_be, variants, with_another_digit};
use super::names::{Meaning, pack_key, sensor, unit_key};
use super::readings::Reading;
use super::{At, Declared, End, Subject};
use crate::field::Field;
use crate::fold::Folded;
use crate::vocabulary::{PORT_FILLERS, ROLE, UNIT_STEMS};
use coldcheck_core::plan::{PortClass, Role};
use coldcheck_core::rules::RuleId;

/// A name that may mean one thing or several.
pub(super) struct Doubt {
    rule: RuleId,
    /// The part of the words that is the name.
    head: Folded,
    /// What stands behind it: the socket.
    pub(super) rest: Folded,
    /// What it may mean.
    fits: Vec<Meaning>,
}

impl Doubt {
    fn new(rule: RuleId, head: Folded, rest: Folded) -> Self {
        Self { rule, head, rest, fits: Vec::new() }
    }

    fn may_mean(&mut self, meaning: Meaning) {
        if !self.fits.contains(&meaning) {
            self.fits.push(meaning);
        }
    }

    /// Whether a unit is among what it may mean.
    pub(super) fn is_about_units(&self) -> bool {
        self.fits.iter().any(|meaning| matches!(meaning, Meaning::Unit(_)))
    }

    fn or_none(self) -> Option<Self> {
        (!self.fits.is_empty()).then_some(self)
    }
}

/// A shorter word is no part of a name that anybody would know it by.
const LEAST_LETTERS: usize = 3;

impl Declared {
    /// A name that the person explained in two ways, or with the number of units that are called
    /// otherwise.
    pub(super) fn doubt_before_others(&self, written: &Written<'_>) -> Option<Doubt> {
        written.name.cuts().find_map(|(head, rest)| {
            let mut doubt = Doubt::new(RuleId::UnitNameUnclear, head.clone(), rest.clone());
            for (_, meant) in self.names.twice.iter().filter(|(word, _)| *word == head) {
                doubt.may_mean(Meaning::Unit(self.key_of(meant)));
            }
            let numbered = match head.pair() {
                Some((stem, _)) => UNIT_STEMS.contains(&stem),
                None => {
                    head.only().is_some() && (rest.is_empty() || names_port(written, &rest, None))
                }
            };
            // Where nothing but the cables' ends says which units there are, this name makes one of
            // its own, whichever stands first.
            if let Some(number) = head.number().filter(|_| numbered && self.lists_units) {
                for unit in self.units.iter().filter(|unit| unit.number == Some(number)) {
                    doubt.may_mean(Meaning::Unit(unit.key.clone()));
                }
            }
            doubt.or_none()
        })
    }

    /// A name that fits a known one if some of its signs are read as others.
    pub(super) fn doubt_after_others(&self, written: &Written<'_>) -> Option<Doubt> {
        self.by_role(written)
            .or_else(|| self.by_look(written))
            .or_else(|| self.by_digit(written))
            .or_else(|| self.by_script(written))
            .or_else(|| self.by_part(written))
            .or_else(|| self.socket_in_front(written))
    }

    /// `main`, `the coordinator`: the only unit in that role.
    fn by_role(&self, written: &Written<'_>) -> Option<Doubt> {
        written.name.cuts().find_map(|(head, rest)| {
            let role = ROLE.code(&head.without(PORT_FILLERS)).and_then(Role::from_code)?;
            // `main meter` and `lead battery` are other things.
            let plain = ROLE.words().any(|word| head.is(word));
            let class = if plain { None } else { Some(PortClass::Link) };
            if !rest.is_empty() && !names_port(written, &rest, class) {
                return None;
            }
            let mut doubt = Doubt::new(RuleId::UnitNameUnclear, head.clone(), rest);
            for (position, unit) in self.units.iter().enumerate() {
                let code = self.number(Subject::Unit(position), Field::Role);
                if code == Some(role.code().into()) {
                    doubt.may_mean(Meaning::Unit(unit.key.clone()));
                }
            }
            // The first and the second unit may be meant by number too.
            let number = [("first", 1), ("second", 2)].iter().find(|(word, _)| head.is(word));
            if let Some((_, number)) = number {
                for unit in self.units.iter().filter(|unit| unit.number == Some(*number)) {
                    doubt.may_mean(Meaning::Unit(unit.key.clone()));
                }
            }
            doubt.or_none()
        })
    }

    /// A letter for a digit, or the other way round.
    fn by_look(&self, written: &Written<'_>) -> Option<Doubt> {
        written.name.cuts().find_map(|(head, rest)| {
            let named = named_part(written.cell, &head);
            let mut doubt: Option<Doubt> = None;
            for (text, rule) in variants(&named.text) {
                let Some(meaning) = self.known_as(&Folded::of(&text)) else { continue };
                let rule = if self.photographed { rule } else { RuleId::UnitNameUnclear };
                doubt
                    .get_or_insert_with(|| Doubt::new(rule, head.clone(), rest.clone()))
                    .may_mean(meaning);
            }
            doubt
        })
    }

    /// A digit of a photographed name for a similar one.
    fn by_digit(&self, written: &Written<'_>) -> Option<Doubt> {
        if !self.photographed {
            return None;
        }
        written.name.cuts().find_map(|(head, rest)| {
            let named = named_part(written.cell, &head);
            let mut doubt = Doubt::new(RuleId::PhotoSimilarDigits, head.clone(), rest);
            for text in with_another_digit(&named.text) {
                if let Some(meaning) = self.known_as(&Folded::of(&text)) {
                    doubt.may_mean(meaning);
                }
            }
            doubt.or_none()
        })
    }

    /// `box` where there are an `old box` and a `new box`: some words of a name, and not all.
    fn by_part(&self, written: &Written<'_>) -> Option<Doubt> {
        written.name.cuts().find_map(|(head, rest)| {
            let is_word =
                |word: &str| !UNIT_STEMS.contains(&word) && word.chars().count() >= LEAST_LETTERS;
            let ends_there = rest.is_empty() || names_port(written, &rest, None);
            if !ends_there || !head.runs().all(is_word) {
                return None;
            }
            let mut doubt = Doubt::new(RuleId::UnitNameUnclear, head.clone(), rest);
            for unit in &self.units {
                let explained = self.names.explained.iter();
                let others = explained.filter(|(_, meant)| unit_key(meant) == unit.key);
                let own = Folded::of(&unit.name);
                let mut names = others.map(|(word, _)| word).chain([&own]);
                let has_all =
                    |name: &Folded| head.runs().all(|word| name.runs().any(|own| own == word));
                if names.any(has_all) {
                    doubt.may_mean(Meaning::Unit(unit.key.clone()));
                }
            }
            doubt.or_none()
        })
    }

    /// What a name means that is known already: a unit, a pack, or the sensor on a leg.
    fn known_as(&self, name: &Folded) -> Option<Meaning> {
        if let Some(unit) = self.find_unit(name) {
            return Some(Meaning::Unit(self.units[unit].key.clone()));
        }
        if !self.photographed {
            return None;
        }
        if let Some(Meaning::Sensor(Some(leg))) = sensor(name) {
            return Some(Meaning::Sensor(Some(leg)));
        }
        let key = pack_key(name)?;
        self.packs.iter().any(|pack| pack.key == key).then_some(Meaning::Pack(key))
    }

    /// Letters of another script, or letters that were lost before the file came here.
    fn by_script(&self, written: &Written<'_>) -> Option<Doubt> {
        written.name.cuts().find_map(|(head, rest)| {
            let rule = RuleId::ListOddDashesSpaces;
            let mut doubt = Doubt::new(rule, head.clone(), rest);
            let named = named_part(written.cell, &head).text;
            for unit in &self.units {
                let same_look = match (in_latin(&named), in_latin(&unit.name)) {
                    (None, None) => false,
                    (mine, theirs) => {
                        let mine = mine.as_deref().unwrap_or(&named);
                        let theirs = theirs.as_deref().unwrap_or(&unit.name);
                        Folded::of(mine) == Folded::of(theirs)
                    }
                };
                if same_look || may_be(&named, &unit.name) || may_be(&unit.name, &named) {
                    doubt.may_mean(Meaning::Unit(unit.key.clone()));
                }
            }
            doubt.or_none()
        })
    }

    /// `A1`: the socket in front of the unit's number.
    fn socket_in_front(&self, written: &Written<'_>) -> Option<Doubt> {
        let (socket, number) = written.name.pair()?;
        let socket = Folded::of(socket);
        if written.port.is_some() || !names_port(written, &socket, Some(PortClass::Link)) {
            return None;
        }
        let unit = self.find_unit(&Folded::of(number))?;
        let mut doubt = Doubt::new(RuleId::UnitNameUnclear, written.name.clone(), socket);
        doubt.may_mean(Meaning::Unit(self.units[unit].key.clone()));
        doubt.or_none()
    }

    /// Signs in a photographed name that is known, but would be another known one if they were
    /// read otherwise.
    pub(super) fn doubt_about_known(
        &self,
        written: &Written<'_>,
        head: &Folded,
        rest: &Folded,
    ) -> Option<Doubt> {
        if !self.photographed {
            return None;
        }
        let own = self.find_unit(head)?;
        let named = named_part(written.cell, head);
        let others: Vec<_> = variants(&named.text)
            .into_iter()
            .filter_map(|(text, rule)| Some((self.find_unit(&Folded::of(&text))?, rule)))
            .filter(|(unit, _)| *unit != own)
            .collect();
        let (_, rule) = others.first()?;
        let mut doubt = Doubt::new(*rule, head.clone(), rest.clone());
        for unit in others.iter().map(|(unit, _)| *unit).chain([own]) {
            doubt.may_mean(Meaning::Unit(self.units[unit].key.clone()));
        }
        Some(doubt)
    }

    /// Notes the doubt about one end of a cable, and gives what is meant if only one thing fits.
    pub(super) fn settle(
        &mut self,
        cable: usize,
        written: &Written<'_>,
        doubt: &Doubt,
    ) -> Option<End> {
        let named = named_part(written.cell, &doubt.head);
        let ends: Vec<End> = doubt
            .fits
            .iter()
            .filter_map(|meaning| {
                Some(match meaning {
                    Meaning::Unit(key) => {
                        End::Unit(self.units.iter().position(|unit| unit.key == *key)?, None)
                    }
                    Meaning::Pack(key) => End::Pack(self.pack(&named, key.clone())),
                    Meaning::Sensor(leg) => End::Sensor(self.sensor(&named, *leg)),
                    Meaning::Device(..) => return None,
                })
            })
            .collect();
        let mut reading = Reading::new(doubt.rule, vec![named.origin]).at_cable(cable);
        reading.value = Some(named.text.clone());
        let only = match ends.as_slice() {
            [end] => Some(*end),
            _ => None,
        };
        reading.wanted = only.and_then(|end| self.end_name(end));
        if only.is_none() {
            for end in &ends {
                if let End::Unit(unit, _) = end {
                    reading.near.push(At::Subject(Subject::Unit(*unit)));
                }
            }
        }
        self.found(reading);
        only
    }

    fn end_name(&self, end: End) -> Option<String> {
        let thing = match end {
            End::Unit(unit, _) => self.units.get(unit),
            End::Pack(pack) => self.packs.get(pack),
            End::Sensor(sensor) => self.sensors.get(sensor).map(|(thing, _)| thing),
            End::Device(device) => self.devices.get(device).map(|(thing, _)| thing),
            End::Open | End::Unknown => None,
        };
        thing.map(|thing| thing.name.clone())
    }

    /// A name that is explained in two ways and that no cable uses, or as a unit that nobody knows.
    pub(super) fn ask_about_unused_names(&mut self) {
        for (word, origin) in std::mem::take(&mut self.names.explained_at) {
            if self.find_unit(&word).is_none() {
                let meant = self.key_of(&word);
                let says = format!(
                    "this explains a name as {meant}, and no sheet has a unit of that name"
                );
                self.ask(origin, says, "write the unit's name as the settings have it");
            }
        }
        for (word, origins) in std::mem::take(&mut self.names.twice_at) {
            let used = self.readings.iter().any(|reading| {
                reading.rule == RuleId::UnitNameUnclear
                    && reading.value.as_deref().is_some_and(|value| Folded::of(value) == word)
            });
            if !used {
                let reading = Reading::new(RuleId::UnitNameUnclear, origins);
                self.found(reading.value(word.to_string()));
            }
        }
    }
}

/// Whether the words name a socket, of this class if one is wanted.
fn names_port(written: &Written<'_>, words: &Folded, class: Option<PortClass>) -> bool {
    let profile = written.profile;
    let port = profile.port(words).or_else(|| profile.port(&words.without(PORT_FILLERS)));
    let found = port.and_then(|port| profile.ports.get(port.index()));
    found.is_some_and(|port| class.is_none_or(|class| port.class == class))
}
