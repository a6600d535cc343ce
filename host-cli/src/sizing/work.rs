//! The sheet on which sizes are worked out: every number with its inputs, or with what is missing.
//!
//! Nothing is left out in silence: a number that cannot be computed is kept with the inputs that it
//! lacks, and hands them on to every number that would be computed from it.

use super::Formula;
use crate::declared::Subject;
use crate::field::{About, Field};
use crate::phrase::all_of;
use coldcheck_core::plan::Demand;
use coldcheck_core::rules::RuleId;
use std::borrow::Cow;

/// What a number cannot be computed without.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lack {
    /// A fact that nobody declares.
    Declared(Field),
    /// A rating that neither profile nor site states.
    Demanded(Demand),
    /// Something else, in words.
    Other(String),
}

impl Lack {
    /// A reason in words.
    pub fn words(text: impl Into<String>) -> Self {
        Self::Other(text.into())
    }

    /// The word to write it with, or the reason.
    pub fn text(&self) -> Cow<'_, str> {
        match self {
            // Their keys alone would be those of other things as well.
            Self::Declared(field) if field.about() == About::Pack => {
                format!("pack {}", field.key()).into()
            }
            Self::Declared(field) if field.about() == About::Sensor => {
                format!("CT {}", field.key()).into()
            }
            Self::Declared(field) => field.key().into(),
            Self::Demanded(demand) => demand.key().into(),
            Self::Other(text) => text.into(),
        }
    }
}

/// Where a number comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// The sheets.
    Declared,
    /// Profile or site demand it.
    Demanded,
    /// A formula above.
    Computed,
    /// Nobody says it: what the code or the table takes then.
    Assumed,
}

impl From {
    /// The word in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Declared => "declared",
            Self::Demanded => "demanded",
            Self::Computed => "computed",
            Self::Assumed => "assumed",
        }
    }
}

/// A number, or what is missing for it.
#[derive(Clone, Debug)]
pub struct Number {
    /// What it is, in a few words.
    pub name: String,
    /// Its value in the unit.
    pub value: Result<f64, Vec<Lack>>,
    /// The unit; empty for a plain number or a word.
    pub unit: &'static str,
    /// In words, where the trade has no number for it: `8 AWG`.
    pub text: Option<String>,
    /// Where it comes from.
    pub from: From,
}

impl Number {
    /// A number that is known.
    pub fn known(name: &str, value: f64, unit: &'static str, from: From) -> Self {
        Self { name: name.to_owned(), value: Ok(value), unit, text: None, from }
    }

    /// A word of the trade that is known, with a number to reckon with.
    pub fn word(name: &str, text: impl Into<String>, value: f64, from: From) -> Self {
        let text = Some(text.into());
        Self { name: name.to_owned(), value: Ok(value), unit: "", text, from }
    }

    /// A number that is missing.
    pub fn lacking(name: &str, lack: Lack) -> Self {
        let value = Err(vec![lack]);
        Self { name: name.to_owned(), value, unit: "", text: None, from: From::Declared }
    }

    /// The value, if it is known.
    pub fn get(&self) -> Option<f64> {
        self.value.as_ref().ok().copied()
    }

    /// Under another name.
    #[must_use]
    pub fn called(mut self, name: &str) -> Self {
        name.clone_into(&mut self.name);
        self
    }
}

/// What a number is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Whose {
    /// The group.
    Group,
    /// Units that are alike, by their positions among the declared ones.
    Units(Vec<usize>),
    /// A sensor.
    Sensor(usize),
    /// Strings of an array, and the units that it feeds; an empty name is every array.
    Array(String, Vec<usize>),
}

/// The part of the plant that a number belongs to, in the order of reports.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Units, feeder, busbar, drop.
    Ac,
    /// Earth conductors.
    Earth,
    /// Battery, fuse, leads, pre-charge.
    Battery,
    /// Strings of modules.
    Solar,
    /// Current transformers.
    Sensors,
    /// Supply and generator.
    Sources,
}

impl Part {
    /// Every part.
    pub const ALL: [Self; 6] =
        [Self::Ac, Self::Earth, Self::Battery, Self::Solar, Self::Sensors, Self::Sources];

    /// The word in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ac => "AC",
            Self::Earth => "earth",
            Self::Battery => "battery",
            Self::Solar => "solar",
            Self::Sensors => "sensors",
            Self::Sources => "sources",
        }
    }
}

/// What is to be computed.
#[derive(Clone, Debug)]
pub struct Item {
    /// Its name for programs; with its place it is there once.
    pub id: &'static str,
    /// What it is, in a few words.
    pub label: &'static str,
    /// The unit.
    pub unit: &'static str,
    /// The part that it belongs to.
    pub part: Part,
    /// What it is about.
    pub whose: Whose,
    /// How it is found.
    pub formula: &'static Formula,
}

/// A result: a number, and the words where the trade has some.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The number.
    pub number: f64,
    /// The words.
    pub text: Option<String>,
}

impl std::convert::From<f64> for Answer {
    fn from(number: f64) -> Self {
        Self { number, text: None }
    }
}

/// A number that was computed.
#[derive(Clone, Debug)]
pub struct Quantity {
    /// What it is.
    pub item: Item,
    /// Its value.
    pub answer: Answer,
    /// What it was computed from.
    pub inputs: Vec<Number>,
}

/// A number that could not be computed.
#[derive(Clone, Debug)]
pub struct Uncomputed {
    /// What it would be.
    pub item: Item,
    /// What is missing.
    pub lacks: Vec<Lack>,
}

/// A fault that numbers show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What is declared.
    pub value: String,
    /// What it should be.
    pub wanted: String,
}

/// What a rule says of one place.
#[derive(Clone, Debug)]
pub struct Judgement {
    /// The rule.
    pub rule: RuleId,
    /// The place.
    pub whose: Whose,
    /// The facts to show on the sheets.
    pub shows: Vec<(Subject, Field)>,
    /// The fault or none; or what is missing.
    pub outcome: Result<Option<Fault>, Vec<Lack>>,
}

/// Everything that was worked out.
#[derive(Clone, Debug, Default)]
pub struct Worksheet {
    /// What was computed.
    pub quantities: Vec<Quantity>,
    /// What could not be.
    pub uncomputed: Vec<Uncomputed>,
    /// What rules say of it.
    pub judgements: Vec<Judgement>,
}

impl Worksheet {
    /// Computes a number from its inputs, or notes what is missing.
    pub fn work<const N: usize, A: Into<Answer>>(
        &mut self,
        item: Item,
        inputs: [&Number; N],
        compute: impl FnOnce([f64; N]) -> Result<A, Lack>,
    ) -> Number {
        let finite = |answer: Answer| {
            // A word of the trade has no number of its own.
            let is_zero = |input: &&&Number| input.text.is_none() && input.get() == Some(0.0);
            let zeros: Vec<_> =
                inputs.iter().filter(is_zero).map(|input| input.name.clone()).collect();
            let zero = || Lack::words(format!("{} is 0", all_of(&zeros)));
            if answer.number.is_finite() { Ok(answer) } else { Err(zero()) }
        };
        let computed = values(inputs).and_then(|values| {
            compute(values).map(Into::into).and_then(finite).map_err(|lack| vec![lack])
        });
        let name = item.label.to_owned();
        match computed {
            Ok(answer) => {
                let (value, text) = (Ok(answer.number), answer.text.clone());
                let number = Number { name, value, unit: item.unit, text, from: From::Computed };
                let inputs = inputs.into_iter().cloned().collect();
                self.quantities.push(Quantity { item, answer, inputs });
                number
            }
            Err(lacks) => {
                let value = Err(lacks.clone());
                let number =
                    Number { name, value, unit: item.unit, text: None, from: From::Computed };
                self.uncomputed.push(Uncomputed { item, lacks });
                number
            }
        }
    }

    /// Judges a place by its inputs, or notes what is missing.
    pub fn judge<const N: usize>(
        &mut self,
        rule: RuleId,
        whose: &Whose,
        shows: Vec<(Subject, Field)>,
        inputs: [&Number; N],
        check: impl FnOnce([f64; N]) -> Result<Option<Fault>, Lack>,
    ) {
        let outcome = values(inputs).and_then(|values| check(values).map_err(|lack| vec![lack]));
        self.judgements.push(Judgement { rule, whose: whose.clone(), shows, outcome });
    }
}

/// The values of all inputs, or everything that is missing.
fn values<const N: usize>(inputs: [&Number; N]) -> Result<[f64; N], Vec<Lack>> {
    let mut lacks: Vec<Lack> = Vec::new();
    for lack in inputs.iter().filter_map(|input| input.value.as_ref().err()).flatten() {
        if !lacks.contains(lack) {
            lacks.push(lack.clone());
        }
    }
    if lacks.is_empty() {
        Ok(inputs.map(|input| input.get().unwrap_or(f64::NAN)))
    } else {
        Err(lacks)
    }
}

/// A number as people write it: four significant places, and all places before the point.
pub fn shown(number: f64) -> String {
    let size = number.abs();
    if size >= 1000.0 || size == 0.0 {
        return format!("{number:.0}");
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and some 300"
    )]
    let places = (3.0 - libm::floor(libm::log10(size))).clamp(0.0, 9.0) as usize;
    let text = format!("{number:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A number with its unit.
pub fn with_unit(number: f64, unit: &str) -> String {
    if unit.is_empty() { shown(number) } else { format!("{} {unit}", shown(number)) }
}
