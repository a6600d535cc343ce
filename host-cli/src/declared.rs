//! What the person declared: things, the facts about them, and every place where each was read.
//!
//! Statements come in the person's words and in any order; here they get their meaning. Nothing
//! is decided by the order of lines or of sheets. Two values for one fact are both kept, so that
//! both places can be shown; what cannot be understood is kept too, and said in every report.

mod cables;
mod ends;
mod names;
mod settings;

pub use cables::Cable;
pub use ends::End;
pub use names::Thing;

use crate::field::Field;
use crate::profile::Profile;
use crate::read::ReadError;
use crate::source::{Origin, Sheets};
use crate::statement::Statements;
use crate::value::Value;
use coldcheck_core::plan::{Demand, DeviceKind, Leg, Scope};
use std::collections::BTreeMap;

/// What a fact is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// The group.
    Group,
    /// A unit, by position.
    Unit(usize),
    /// A cable, by position.
    Cable(usize),
    /// A pack, by position.
    Pack(usize),
    /// A sensor, by position.
    Sensor(usize),
    /// Another device, by position.
    Device(usize),
}

/// One value of a fact, with every place that states it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What is stated.
    pub value: Value,
    /// Where.
    pub origins: Vec<Origin>,
}

/// Something that a person must answer, and that belongs to no rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The question.
    pub says: String,
    /// How to answer it.
    pub answer: String,
    /// What it is about.
    pub origins: Vec<Origin>,
}

/// A cable that names a unit which the site does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownUnit {
    /// The cable, by position.
    pub cable: usize,
    /// The name as written.
    pub name: String,
    /// The known name that is most like it.
    pub nearest: Option<String>,
    /// Where it is written.
    pub origin: Origin,
}

/// A demand that a sheet states.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteDemand {
    /// Which.
    pub demand: Demand,
    /// Its value as bits.
    pub bits: u32,
    /// Its value as written.
    pub text: String,
    /// Where.
    pub origin: Origin,
}

/// Everything that was declared.
#[derive(Clone, Debug, Default)]
pub struct Declared {
    /// The sheets.
    pub sheets: Sheets,
    /// The units, in the order in which they were named.
    pub units: Vec<Thing>,
    /// The packs.
    pub packs: Vec<Thing>,
    /// The sensors, with their legs.
    pub sensors: Vec<(Thing, Option<Leg>)>,
    /// Other devices, with their kinds.
    pub devices: Vec<(Thing, DeviceKind)>,
    /// The cables.
    pub cables: Vec<Cable>,
    /// Whether a sheet sets out to list the cables.
    pub lists_cables: bool,
    /// Whether a sheet names the units apart from the cables.
    pub lists_units: bool,
    /// The facts.
    facts: BTreeMap<(Subject, Field), Vec<Fact>>,
    /// Demands that sheets state, in the order of the sheets.
    pub demands: Vec<SiteDemand>,
    /// The parts that the check is about, if a sheet says so.
    pub scope: Option<Scope>,
    /// What a person must answer.
    pub questions: Vec<Question>,
    /// Cables that name unknown units.
    pub unknown_units: Vec<UnknownUnit>,
    /// Text that nobody understood.
    pub not_understood: Vec<crate::source::Cell>,
    /// Other words for things and sockets, as the person explained them.
    names: names::Names,
}

impl Declared {
    /// Gives statements their meaning under a profile.
    ///
    /// # Errors
    /// Every value that cannot be read, with its place and what was expected there.
    pub fn of(
        sheets: Sheets,
        statements: Vec<Statements>,
        profile: &Profile,
    ) -> Result<Self, (Sheets, Vec<ReadError>)> {
        let mut declared = Self { sheets, ..Self::default() };
        let mut errors = Vec::new();
        let mut rows = Vec::new();
        let mut settings = Vec::new();
        for statement in statements {
            declared.lists_cables |= statement.lists_cables;
            declared.not_understood.extend(statement.not_understood);
            declared.ask_about_columns(statement.unknown_columns);
            rows.extend(statement.cables);
            settings.extend(statement.settings);
        }
        declared.interpret_settings(&settings, &mut errors);
        declared.interpret_cables(rows, profile, &mut errors);
        declared.settle_sensors(&settings, &mut errors);
        errors.extend(declared.capacity_errors());
        if declared.units.is_empty() && errors.is_empty() {
            let file = declared.sheets.0.first().map_or("", |sheet| sheet.name.as_str());
            errors.push(ReadError::file(
                file,
                "no unit is named",
                "a line such as: unit 1 = coordinator, addr 1",
            ));
        }
        if errors.is_empty() { Ok(declared) } else { Err((declared.sheets, errors)) }
    }

    /// States a fact. The same value in two places is one fact with two origins.
    pub(crate) fn say(&mut self, subject: Subject, field: Field, value: Value, origin: Origin) {
        let facts = self.facts.entry((subject, field)).or_default();
        match facts.iter_mut().find(|fact| fact.value == value) {
            Some(fact) if fact.origins.contains(&origin) => {}
            Some(fact) => fact.origins.push(origin),
            None => facts.push(Fact { value, origins: vec![origin] }),
        }
    }

    /// The value that all sheets agree on.
    pub fn agreed(&self, subject: Subject, field: Field) -> Option<&Value> {
        match self.facts.get(&(subject, field)).map(Vec::as_slice) {
            Some([fact]) => Some(&fact.value),
            Some(_) | None => None,
        }
    }

    /// The number that all sheets agree on.
    pub fn number(&self, subject: Subject, field: Field) -> Option<u32> {
        self.agreed(subject, field).and_then(Value::number)
    }

    /// Every place that states the fact.
    pub fn origins(&self, subject: Subject, field: Field) -> Vec<Origin> {
        self.facts
            .get(&(subject, field))
            .into_iter()
            .flatten()
            .flat_map(|fact| fact.origins.iter().copied())
            .collect()
    }

    /// Facts with more than one value.
    pub fn disagreements(&self) -> impl Iterator<Item = (Subject, Field, &[Fact])> {
        self.facts
            .iter()
            .filter(|(_, facts)| facts.len() > 1)
            .map(|((subject, field), facts)| (*subject, *field, facts.as_slice()))
    }

    /// The person's own word for the site.
    pub fn site_name(&self) -> Option<&str> {
        let Value::Text(name) = self.agreed(Subject::Group, Field::Site)? else { return None };
        Some(name)
    }

    fn ask(&mut self, origin: Origin, says: impl Into<String>, answer: impl Into<String>) {
        let question = Question { says: says.into(), answer: answer.into(), origins: vec![origin] };
        if !self.questions.contains(&question) {
            self.questions.push(question);
        }
    }

    /// More things than the core has room for.
    fn capacity_errors(&self) -> Vec<ReadError> {
        use coldcheck_core::limits;
        let first_past = |things: Vec<Option<Origin>>, limit: usize, word: &str| {
            let count = things.len();
            let origin = things.into_iter().nth(limit)?;
            let says = format!("there are {count} {word}, and {limit} are the most");
            let expected = format!("at most {limit} {word}");
            Some(match origin {
                Some(origin) => ReadError::at(&self.sheets, origin, says, expected),
                None => ReadError::file("", says, expected),
            })
        };
        let origins = |things: &[Thing]| things.iter().map(Thing::origin).collect::<Vec<_>>();
        [
            first_past(origins(&self.units), limits::UNITS, "units"),
            first_past(origins(&self.packs), limits::PACKS, "packs"),
            first_past(
                self.sensors.iter().map(|(thing, _)| thing.origin()).collect(),
                limits::SENSORS,
                "sensors",
            ),
            first_past(
                self.devices.iter().map(|(thing, _)| thing.origin()).collect(),
                limits::DEVICES,
                "other devices",
            ),
            first_past(
                self.cables.iter().map(|cable| cable.origins.first().copied()).collect(),
                limits::CABLES,
                "cables",
            ),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}
