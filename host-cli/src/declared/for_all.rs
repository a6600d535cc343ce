//! Facts about every unit, every sensor and every pack: said once for all of them.

use super::attributes::attribute;
use super::names::Meaning;
use super::settings::{is_item_separator, named_in, whole};
use super::{Declared, Subject};
use crate::demand_words;
use crate::field::{About, Field, Form};
use crate::fold::Folded;
use crate::read::ReadError;
use crate::source::{Cell, SheetId};
use crate::statement::Setting;
use crate::value::{self, Conductor, Pole, Value};
use crate::vocabulary::UNIT_STEMS;
use std::collections::BTreeSet;

/// Units with a fact of their own, and the sheet that states it.
type OwnSizes = BTreeSet<(usize, Field, SheetId)>;

impl Declared {
    /// Facts about every unit, and about every sensor: said last, when all of them are known.
    pub(super) fn interpret_for_all(&mut self, settings: &[Setting], errors: &mut Vec<ReadError>) {
        let own = self.own_sizes();
        for setting in settings {
            let key = Folded::of(&setting.key.text);
            self.check_arrays(&key, setting, errors);
            if Field::find(About::Group, &key).is_some() || demand_words::find(&key).is_some() {
                // `sensor ratio` is demanded; what is on the parts is another line.
                continue;
            }
            if let Some(rest) = for_all(&key) {
                if rest.is_empty() {
                    self.attributes_of_all(setting, &own, errors);
                    continue;
                }
                match Field::find(About::Unit, &rest) {
                    Some(field) => self.for_all_units(field, &setting.value, &own, errors),
                    None => self.unknown_key(setting),
                }
            } else if let Some(field) = common_to_all(&key, setting) {
                self.for_all_units(field, &setting.value, &own, errors);
            }
            self.for_all_sensors(&key, setting, errors);
            self.for_all_packs(&key, setting, errors);
        }
        self.expand_straight();
        self.apply_exceptions(errors);
    }

    /// Sizes, and ends of conductors, that a unit was given by its name, with the sheets that give them:
    /// there the line for all of the same sheet does not hold.
    fn own_sizes(&self) -> OwnSizes {
        let of = |unit: usize| {
            let fields = self.facts_stated(Subject::Unit(unit));
            let sizes = fields
                .filter(|field| field.is_for_sizes() || matches!(field.form(), Form::Conductors));
            sizes.flat_map(move |field| {
                let origins = self.origins(Subject::Unit(unit), field);
                origins.into_iter().map(move |origin| (unit, field, origin.sheet))
            })
        };
        (0..self.units.len()).flat_map(of).collect()
    }

    /// Whether what a unit has by itself leaves nothing of the line for all unsaid: conductors without a
    /// neutral or an earth that all others have would hide them.
    fn says_all(&self, unit: usize, field: Field, for_all: &Cell) -> bool {
        let Some(Value::Conductors(own)) = self.agreed(Subject::Unit(unit), field) else {
            return true;
        };
        let has = |list: &[Conductor], pole: Pole| list.iter().any(|one| one.pole == pole);
        match value::parse(field.form(), &for_all.text) {
            Ok(Value::Conductors(all)) => {
                [Pole::N, Pole::Earth].iter().all(|pole| has(own, *pole) || !has(&all, *pole))
            }
            _ => true,
        }
    }

    fn for_all_units(
        &mut self,
        field: Field,
        value: &Cell,
        own: &OwnSizes,
        errors: &mut Vec<ReadError>,
    ) {
        let all = self.without_exceptions(field, value);
        let is_own = |unit: &usize| {
            own.contains(&(*unit, field, value.origin.sheet)) && self.says_all(*unit, field, value)
        };
        // A line for all that would hold for none contradicts every unit's own: that is asked about.
        let holds_for_none = all.iter().all(is_own);
        let others: Vec<usize> =
            all.into_iter().filter(|unit| holds_for_none || !is_own(unit)).collect();
        for unit in others {
            self.state(Subject::Unit(unit), field, value, errors);
        }
    }

    /// `all units = output breaker 45 A, output conductor 8 AWG`.
    fn attributes_of_all(
        &mut self,
        setting: &Setting,
        own: &OwnSizes,
        errors: &mut Vec<ReadError>,
    ) {
        for item in setting.value.split(is_item_separator) {
            let Some((field, value)) = attribute(&item) else {
                self.unknown_attribute(&item);
                continue;
            };
            self.for_all_units(field, &value, own, errors);
        }
    }

    /// `CT L1 = rating 400 A, secondary 5 A`, `pack 2 = address 2, capacity 5 kWh`: facts of a thing
    /// that is no unit; false if nothing of it is one.
    pub(super) fn facts_of_thing(
        &mut self,
        meaning: &Meaning,
        setting: &Setting,
        errors: &mut Vec<ReadError>,
    ) -> bool {
        let about = match meaning {
            Meaning::Sensor(Some(_)) => About::Sensor,
            Meaning::Pack(_) => About::Pack,
            Meaning::Device(..) => About::Device,
            Meaning::Sensor(None) | Meaning::Unit(_) => return false,
        };
        let items = setting.value.split(is_item_separator);
        if items.iter().all(|item| fact_of(about, item).is_none()) {
            return false;
        }
        let Some(subject) = self.subject(meaning, &setting.key) else { return false };
        for item in items {
            match fact_of(about, &item) {
                Some((field, value)) => self.state(subject, field, &value, errors),
                None => self.unknown_attribute(&item),
            }
        }
        true
    }

    /// Whether a line lists facts of every sensor: `CT = secondary 5 A, burden 10 VA`.
    pub(super) fn lists_sensors(&self, key: &Folded, setting: &Setting) -> bool {
        let all = self.meaning(key) == Some(Meaning::Sensor(None));
        let items = setting.value.split(is_item_separator);
        all && !items.is_empty() && items.iter().all(|item| fact_of(About::Sensor, item).is_some())
    }

    /// `ct ratio on part = 2000:1`, `ct = secondary 5 A, burden 10 VA`.
    fn for_all_sensors(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) {
        if setting.about.is_none() && self.lists_sensors(key, setting) {
            if self.sensors.is_empty() {
                self.not_understood.push(whole(setting));
            }
            for item in setting.value.split(is_item_separator) {
                let Some((field, value)) = fact_of(About::Sensor, &item) else { continue };
                for sensor in 0..self.sensors.len() {
                    self.state(Subject::Sensor(sensor), field, &value, errors);
                }
            }
            return;
        }
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

    /// Whether a line lists facts of every pack: `pack = resistance 20 mohm, discharge limit 100 A`.
    pub(super) fn lists_packs(&self, key: &Folded, setting: &Setting) -> bool {
        let all = matches!(self.meaning(key), Some(Meaning::Pack(key)) if key.number().is_none());
        let items = setting.value.split(is_item_separator);
        all && !items.is_empty() && items.iter().all(|item| fact_of_pack(item).is_some())
    }

    fn packs_listed(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) {
        if self.packs.is_empty()
            && let Some(meaning) = self.meaning(key)
        {
            self.subject(&meaning, &setting.key);
        }
        for item in setting.value.split(is_item_separator) {
            let Some((field, value)) = fact_of_pack(&item) else { continue };
            for pack in 0..self.packs.len() {
                self.state(Subject::Pack(pack), field, &value, errors);
            }
        }
    }

    /// `pack capacity = 5 kWh`: of every pack, numbered or not.
    fn for_all_packs(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) {
        if setting.about.is_none() && self.lists_packs(key, setting) {
            self.packs_listed(key, setting, errors);
            return;
        }
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

/// `ac out` in `all units ac out`, whatever word units go by.
pub(super) fn for_all(key: &Folded) -> Option<Folded> {
    let mut runs = key.runs();
    let (all, unit) = (runs.next()?, runs.next()?);
    let singular = unit.strip_suffix('s').unwrap_or(unit);
    let is_unit = UNIT_STEMS.contains(&unit) || UNIT_STEMS.contains(&singular);
    (["all", "every", "each"].contains(&all) && is_unit).then(|| key.cut(2).1)
}

/// A fact of such a thing, and its value: the longest beginning that is a field.
fn fact_of(about: About, item: &Cell) -> Option<(Field, Cell)> {
    item.text.char_indices().rev().filter(|(_, c)| c.is_whitespace()).find_map(|(at, _)| {
        let field = Field::find(about, &Folded::of(item.text.get(..at)?))?;
        Some((field, item.part(at..item.text.len())))
    })
}

/// A fact that all packs may have alike, and its value.
fn fact_of_pack(item: &Cell) -> Option<(Field, Cell)> {
    fact_of(About::Pack, item).filter(|(field, _)| OF_ALL_PACKS.contains(field))
}

/// What packs of one make have alike.
const OF_ALL_PACKS: &[Field] = &[
    Field::PackCapacity,
    Field::PackChargeLimit,
    Field::PackProtocol,
    Field::PackOhms,
    Field::PackDischargeLimit,
];

/// A fact that is mostly the same on all units, said without the name of any: `firmware = 2.14`.
/// A number of units may be what is fitted, and a charge limit the battery's: neither is taken for
/// what is set on the units.
pub(super) fn common_to_all(key: &Folded, setting: &Setting) -> Option<Field> {
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
pub(super) fn is_about_all_packs(meaning: &Meaning, field: Field) -> bool {
    matches!(meaning, Meaning::Pack(key) if key.number().is_none()) && OF_ALL_PACKS.contains(&field)
}
