//! What the person declared: things, the facts about them, and every place where each was read.
//!
//! Statements come in the person's words and in any order; here they get their meaning. Nothing
//! is decided by the order of lines or of sheets. Two values for one fact are both kept, so that
//! both places can be shown; what cannot be understood is kept too, and said in every report.

mod attributes;
mod bonds;
mod cables;
mod capacities;
mod dates;
mod ends;
mod exceptions;
mod for_all;
mod image;
mod lookalike;
mod names;
mod one_line;
mod photograph;
mod places;
pub(crate) mod plain;
mod questions;
mod readings;
mod settings;
mod stating;
mod straight;
mod to_do;
mod twins;
mod unclear;
mod waivers;
mod written;

pub use cables::Cable;
pub use ends::End;
pub use names::Thing;
pub(crate) use names::is_sensor_by_number;
pub use places::Spoken;
pub use readings::{At, Reading};
pub use to_do::ToDo;
pub use waivers::{Covered, Waiver};

use crate::field::Field;
use crate::profile::Profile;
use crate::read::ReadError;
use crate::source::{Origin, Sheets};
use crate::statement::{CableRow, Setting, Statements};
use crate::value::Value;
use coldcheck_core::plan::{Demand, DeviceKind, Leg, Scope};
use coldcheck_core::rules::RuleId;
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

/// What a fact says: a field of a thing, or a demand that the site states.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Topic {
    /// A field.
    Field(Field),
    /// A demand; its value is a number, the demand's bits.
    Demand(Demand),
}

impl Topic {
    /// The canonical word.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Field(field) => field.key(),
            Self::Demand(demand) => demand.key(),
        }
    }
}

/// Everything that was declared.
#[allow(clippy::struct_excessive_bools, reason = "each is a fact of its own about the sheets")]
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
    /// What units have otherwise than all, until all is read.
    waiting: exceptions::Waiting,
    /// The facts, and the demands that the site states.
    facts: BTreeMap<(Subject, Topic), Vec<Fact>>,
    /// What a person must answer.
    pub questions: Vec<Question>,
    /// What readers found that rules are about.
    pub readings: Vec<Reading>,
    /// Rules of readers that could not be checked, and why.
    pub unread: Vec<(RuleId, &'static str)>,
    /// Whether a list was read from a photograph.
    photographed: bool,
    /// Rows of cables, sheet by sheet, as they were read.
    rows_read: BTreeMap<usize, usize>,
    /// Lines of the cable lists for a cable that another list has too.
    rows_again: usize,
    /// Whether a sheet says that its list has more rows than were read.
    pub(crate) rows_lost: bool,
    /// Dates of sheets and of changes.
    dates: dates::Dates,
    /// Text that nobody understood.
    pub not_understood: Vec<crate::source::Cell>,
    /// Findings that a named person lets stand.
    pub waivers: Vec<Waiver>,
    /// Acts that are to do, and what was seen of each.
    pub to_do: Vec<ToDo>,
    /// Remarks that no rule reads.
    pub remarks: Vec<crate::source::Cell>,
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
        let mut waivers = Vec::new();
        let mut to_do = Vec::new();
        let mut in_doubt = Vec::new();
        for statement in statements {
            declared.lists_cables |= statement.lists_cables;
            declared.not_understood.extend(statement.not_understood);
            declared.ask_about_columns(statement.unknown_columns);
            declared.ask_about_table(&statement.unclear_table);
            declared.readings.extend(statement.unread.iter().map(unread_text));
            declared.ask_about_doubtful(&statement.doubtful);
            in_doubt.extend(statement.doubtful.iter().map(|doubtful| doubtful.cell.origin));
            rows.extend(statement.cables);
            settings.extend(statement.settings);
            waivers.extend(statement.waivers);
            to_do.extend(statement.to_do);
            declared.remarks.extend(statement.remarks);
        }
        if let Some(error) = declared.too_much(&settings, &rows) {
            return Err((declared.sheets, vec![error]));
        }
        declared.photographed = settings.iter().any(photograph::says_photograph);
        declared.interpret_settings(&settings, &mut errors);
        declared.interpret_cables(rows, profile, &mut errors);
        declared.leave_names_in_doubt(&in_doubt);
        declared.interpret_for_all(&settings, &mut errors);
        declared.interpret_waivers(&waivers, profile, &mut errors);
        declared.interpret_to_do(&to_do, &mut errors);
        declared.look_over();
        declared.ask_about_legs_without_line(profile);
        declared.ask_for_frames(profile);
        errors.extend(declared.capacity_errors());
        if declared.units.is_empty() && errors.is_empty() {
            let file = declared.sheets.0.first().map_or("", |sheet| sheet.name.as_str());
            errors.push(ReadError::file(
                file,
                "no sheet says which units there are",
                "a line for each unit, such as: unit 1 = coordinator, addr 1; or, where the units \
                 have other names: left box = coordinator, addr 1",
            ));
        }
        if errors.is_empty() { Ok(declared) } else { Err((declared.sheets, errors)) }
    }

    /// States a fact. The same value in two places is one fact with two origins.
    fn say(&mut self, subject: Subject, topic: Topic, value: Value, origin: Origin) {
        let facts = self.facts.entry((subject, topic)).or_default();
        match facts.iter_mut().find(|fact| fact.value == value) {
            Some(fact) if fact.origins.contains(&origin) => {}
            Some(fact) => fact.origins.push(origin),
            None => facts.push(Fact { value, origins: vec![origin] }),
        }
    }

    /// The value that all sheets agree on.
    pub fn agreed(&self, subject: Subject, field: Field) -> Option<&Value> {
        match self.facts.get(&(subject, Topic::Field(field))).map(Vec::as_slice) {
            Some([fact]) => Some(&fact.value),
            Some(_) | None => None,
        }
    }

    /// Every value that the sheets give: none, one, or several that contradict each other.
    pub fn stated(&self, subject: Subject, field: Field) -> &[Fact] {
        self.facts.get(&(subject, Topic::Field(field))).map_or(&[], Vec::as_slice)
    }

    /// Demands that the site states, each with its values: one, or several that contradict each
    /// other.
    pub fn demands(&self) -> impl Iterator<Item = (Demand, &[Fact])> {
        self.facts.iter().filter_map(|((_, topic), facts)| match topic {
            Topic::Demand(demand) => Some((*demand, facts.as_slice())),
            Topic::Field(_) => None,
        })
    }

    /// The parts that the check is about, if the sheets agree on them.
    pub fn scope(&self) -> Option<Scope> {
        let Value::Text(text) = self.agreed(Subject::Group, Field::Scope)? else { return None };
        settings::scope(text)
    }

    /// The number that all sheets agree on.
    pub fn number(&self, subject: Subject, field: Field) -> Option<u32> {
        self.agreed(subject, field).and_then(Value::number)
    }

    /// Every place that states the fact.
    pub fn origins(&self, subject: Subject, field: Field) -> Vec<Origin> {
        self.facts
            .get(&(subject, Topic::Field(field)))
            .into_iter()
            .flatten()
            .flat_map(|fact| fact.origins.iter().copied())
            .collect()
    }

    /// Facts with more than one value.
    pub fn disagreements(&self) -> impl Iterator<Item = (Subject, Topic, &[Fact])> {
        self.facts
            .iter()
            .filter(|(_, facts)| facts.len() > 1)
            .map(|((subject, topic), facts)| (*subject, *topic, facts.as_slice()))
    }

    /// How many questions the sheets leave open, those of rules that readers check included.
    pub fn question_count(&self) -> usize {
        let asking = self.readings.iter().filter(|reading| reading.rule.rule().asks);
        self.questions.len() + asking.count()
    }

    /// What can only be said when everything is read: what all the sheets together give away.
    fn look_over(&mut self) {
        self.ask_about_unused_names();
        self.leave_out_photographs();
        self.compare_rows();
        self.compare_addresses();
        self.compare_dates();
        self.compare_capacities();
        self.compare_labels();
        self.compare_sheets();
    }

    /// The person's own word for the site.
    pub fn site_name(&self) -> Option<&str> {
        let Value::Text(name) = self.agreed(Subject::Group, Field::Site)? else { return None };
        Some(name)
    }

    /// Far more lines than a site can have: refused before any is understood.
    fn too_much(&self, settings: &[Setting], rows: &[CableRow]) -> Option<ReadError> {
        use coldcheck_core::limits::{CABLES, UNITS};
        // Two sheets may list every cable; a unit may have some dozen settings.
        let (most_rows, most_settings) = (4 * CABLES, 64 * UNITS);
        if let Some(surplus) = rows.get(most_rows).and_then(|row| row.row.as_ref()) {
            let says = format!("there are {} rows of cables", rows.len());
            let expected = format!("at most {CABLES} cables");
            return Some(ReadError::at(&self.sheets, surplus.origin, says, expected));
        }
        let surplus = settings.get(most_settings)?;
        let says = format!("there are {} settings", settings.len());
        let expected = "the settings of one site";
        Some(ReadError::at(&self.sheets, surplus.key.origin, says, expected))
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

/// Text that its reader could not make rows of.
fn unread_text(unread: &crate::statement::Unread) -> Reading {
    let reading = Reading::new(unread.rule, vec![unread.cell.origin]).value(&unread.cell.text);
    reading.wanted(unread.wanted.clone())
}
