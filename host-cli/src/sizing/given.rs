//! What a site and its profile say of the power side, as numbers to reckon with.

use super::conductor;
use super::current::Code;
use super::work::{From, Lack, Number, Whose};
use crate::declared::{Declared, Subject};
use crate::field::{About, Field};
use crate::phrase::all_of;
use crate::value::{Section, Supply, Value};
use coldcheck_core::plan::{Demand, DemandRecord};

/// A site, seen as what sizes are computed from.
#[derive(Clone, Copy, Debug)]
pub struct Given<'s> {
    pub(super) declared: &'s Declared,
    pub(super) demands: &'s DemandRecord,
}

/// Thousandths, as sheets keep most quantities.
const MILLI: f64 = 1000.0;

impl<'s> Given<'s> {
    /// Of a site.
    pub const fn new(declared: &'s Declared, demands: &'s DemandRecord) -> Self {
        Self { declared, demands }
    }

    /// Whether anything at all is stated that only sizes are computed from.
    pub fn has_any(&self) -> bool {
        let stated = |subject: Subject, about: About| {
            Field::of(about)
                .filter(|field| field.is_for_sizes())
                .any(|field| self.declared.agreed(subject, field).is_some())
        };
        stated(Subject::Group, About::Group)
            || (0..self.declared.units.len()).any(|unit| stated(Subject::Unit(unit), About::Unit))
            || (0..self.declared.packs.len()).any(|pack| stated(Subject::Pack(pack), About::Pack))
            || (0..self.declared.sensors.len())
                .any(|sensor| stated(Subject::Sensor(sensor), About::Sensor))
    }

    /// A rating that profile or site states; thousandths unless its unit is whole.
    pub(super) fn rating(&self, demand: Demand, unit: &'static str, parts: f64) -> Number {
        match self.demands.bits(demand) {
            Some(bits) => {
                Number::known(demand.key(), f64::from(bits) / parts, unit, From::Demanded)
            }
            None => Number::lacking(demand.key(), Lack::Demanded(demand)),
        }
    }

    /// A quantity that the sheets state, in its unit.
    pub(super) fn number(&self, subject: Subject, field: Field) -> Number {
        let Some(value) = self.declared.agreed(subject, field) else {
            return Number::lacking(field.key(), Lack::Declared(field));
        };
        if let Value::Measured(measured) = value {
            let unit = measured.measure.unit();
            return Number::known(field.key(), measured.number(), unit, From::Declared);
        }
        if let Value::Section(section) = value {
            let mut word =
                Number::word(field.key(), section.to_string(), section.area(), From::Declared);
            word.unit = "mm2";
            return word;
        }
        let Some(number) = value.number().map(f64::from) else {
            return Number::lacking(field.key(), Lack::Declared(field));
        };
        let (parts, unit) = unit_of(field);
        Number::known(field.key(), number / parts, unit, From::Declared)
    }

    /// A fact about the group.
    pub(super) fn group(&self, field: Field) -> Number {
        self.number(Subject::Group, field)
    }

    /// A word of a closed vocabulary as its number, with the word to show.
    pub(super) fn choice(&self, field: Field) -> Number {
        let mut number = self.group(field);
        if let (Some(code), crate::field::Form::Choice(words)) =
            (self.declared.number(Subject::Group, field), field.form())
        {
            number.text = words.word(code).map(str::to_owned);
        }
        number
    }

    /// The conductor that is stated.
    pub(super) fn section(&self, subject: Subject, field: Field) -> Option<Section> {
        let Value::Section(section) = self.declared.agreed(subject, field)? else { return None };
        Some(*section)
    }

    /// The conductor that is stated as the tables of the code that applies have it, and the number
    /// to show: one of a size that they lack says as which it counts.
    pub(super) fn listed(&self, subject: Subject, field: Field) -> (Number, Option<Section>) {
        let (mut number, own) = (self.number(subject, field), self.section(subject, field));
        let (Some(section), Some(code)) = (own, self.code()) else { return (number, own) };
        match conductor::listed(section.size, code) {
            Some(size) if size != section.size => {
                number.text = number.text.map(|text| format!("{text}, counted as {size}"));
                (number, Some(Section { size, ..section }))
            }
            Some(_) | None => (number, own),
        }
    }

    /// Which code applies.
    pub(super) fn code(&self) -> Option<Code> {
        match self.declared.number(Subject::Group, Field::Code)? {
            1 => Some(Code::Nec),
            2 => Some(Code::Iec),
            _ => None,
        }
    }

    /// What the supply is.
    pub(super) fn supply(&self) -> Option<Supply> {
        let Value::Supply(supply) = self.declared.agreed(Subject::Group, Field::Supply)? else {
            return None;
        };
        Some(*supply)
    }

    /// How many units there are.
    #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
    pub(super) fn units(&self) -> Number {
        Number::known("units", self.declared.units.len() as f64, "", From::Declared)
    }

    /// The person's own words for units, in one phrase.
    pub(super) fn names(&self, units: &[usize]) -> String {
        let own = self.declared.units.iter().enumerate().filter(|(at, _)| units.contains(at));
        all_of(&own.map(|(_, unit)| unit.name.clone()).collect::<Vec<_>>())
    }

    /// Every unit.
    pub(super) fn every_unit(&self) -> Whose {
        Whose::Units((0..self.declared.units.len()).collect())
    }

    /// Units of which the same is stated of these facts.
    pub(super) fn alike(&self, fields: &[Field]) -> Vec<Vec<usize>> {
        let facts = |unit: usize| {
            fields
                .iter()
                .map(|field| self.declared.agreed(Subject::Unit(unit), *field))
                .collect::<Vec<_>>()
        };
        let mut groups: Vec<(Vec<Option<&Value>>, Vec<usize>)> = Vec::new();
        for unit in 0..self.declared.units.len() {
            let own = facts(unit);
            match groups.iter_mut().find(|(other, _)| *other == own) {
                Some((_, units)) => units.push(unit),
                None => groups.push((own, vec![unit])),
            }
        }
        // A site without a unit lacks what one unit would lack.
        if groups.is_empty() {
            return vec![Vec::new()];
        }
        groups.into_iter().map(|(_, units)| units).collect()
    }
}

/// A whole number that is not below 0.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count that a sheet stated as a whole number"
)]
pub(super) fn whole(number: Option<f64>) -> u32 {
    number.map_or(0, |number| number.clamp(0.0, 1e9) as u32)
}

/// How many parts of its unit a sheet's number counts, and that unit.
#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "all others are no quantities: a number, or the number of a word"
)]
fn unit_of(field: Field) -> (f64, &'static str) {
    use crate::field::Form;
    match field.form() {
        Form::Current => (MILLI, "A"),
        Form::Voltage => (MILLI, "V"),
        Form::Length => (MILLI, "m"),
        Form::Capacity => (MILLI, "kWh"),
        Form::Ratio => (MILLI, ""),
        Form::Frequency => (MILLI, "Hz"),
        Form::Milliseconds => (1.0, "ms"),
        _ => (1.0, ""),
    }
}
