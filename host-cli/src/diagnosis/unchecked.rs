//! What was not checked, and why: in words that say what would help.

use super::findings::Teller;
use super::naming::NamedPlace;
use super::sized;
use crate::field::{Field, Form};
use crate::phrase::all_of;
use coldcheck_core::finding::Outcome;
use coldcheck_core::links::Links;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{DataSet, Datum, Demand, Owner};
use coldcheck_core::rule::Check;
use coldcheck_core::rules::RuleId;

/// Why a rule was not checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// These are not declared. Empty if what is missing is no datum of the plan: its words say it.
    Missing(DataSet),
    /// Nobody demands it.
    Undemanded(Demand),
    /// This broken rule stands in its way.
    BlockedBy(RuleId),
}

/// A rule that was not checked, or not everywhere.
#[derive(Clone, Debug)]
pub struct NotChecked {
    /// The rule.
    pub rule: RuleId,
    /// The cause.
    pub because: Because,
    /// The cause in words.
    pub says: String,
    /// Where what it needs is missing.
    pub places: Vec<NamedPlace>,
    /// The same places by their numbers in the plan.
    pub at: Vec<Place>,
    /// The one datum that it needs, if nothing of the site declares it.
    pub nowhere: Option<Datum>,
    /// What it lacks, by the words to write it with, where that is no datum of the plan.
    pub inputs: Vec<String>,
}

impl NotChecked {
    /// Whether the site lacks something that it could declare. What needs a second sheet or a
    /// photograph is not lacking anything, and nobody can declare what is to be heard.
    pub fn lacks_data(&self) -> bool {
        !self.inputs.is_empty()
            || matches!(self.because, Because::Missing(data) if data.iter().any(is_declarable))
    }
}

impl Teller<'_, '_> {
    /// A rule that ended without an answer.
    pub(super) fn not_checked(&self, rule: RuleId, outcome: Outcome) -> Option<NotChecked> {
        if let (Check::Sized, Outcome::Missing(_)) = (rule.rule().check, outcome) {
            return sized::not_checked(self.site, self.words, rule).into_iter().next();
        }
        let unread = self.site.declared.unread.iter().find(|(unread, _)| *unread == rule);
        Some(match outcome {
            Outcome::Missing(_) if unread.is_some() => NotChecked {
                rule,
                because: Because::Missing(DataSet::EMPTY),
                says: unread.map(|(_, why)| (*why).to_owned()).unwrap_or_default(),
                places: Vec::new(),
                at: Vec::new(),
                nowhere: None,
                inputs: Vec::new(),
            },
            Outcome::Missing(datum) => {
                if self.no_numbers(rule).is_some_and(|(other, _)| other == datum)
                    && let Some(no_number) = self.no_number(rule)
                {
                    return Some(no_number);
                }
                let mut lacks = self.lacks(rule);
                if lacks.iter().all(|(other, _)| *other != datum) {
                    lacks.insert(0, (datum, Vec::new()));
                }
                self.missing(rule, &lacks)
            }
            Outcome::Undemanded(demand) => NotChecked {
                rule,
                because: Because::Undemanded(demand),
                says: undemanded(demand, self.plan.demands.bits(demand)),
                places: Vec::new(),
                at: Vec::new(),
                nowhere: None,
                inputs: Vec::new(),
            },
            Outcome::Blocked(root) => NotChecked {
                rule,
                because: Because::BlockedBy(root),
                says: root.rule().text.spoils.to_owned(),
                places: Vec::new(),
                at: Vec::new(),
                nowhere: None,
                inputs: Vec::new(),
            },
            Outcome::NotRun | Outcome::Met | Outcome::Broken => return None,
        })
    }

    /// What a rule that was checked could not look at, one entry for each datum: a finding in one
    /// place says nothing about another.
    pub(super) fn gaps(&self, rule: RuleId) -> Vec<NotChecked> {
        if let Check::Sized = rule.rule().check {
            return sized::not_checked(self.site, self.words, rule);
        }
        if let Some((_, why)) = self.site.declared.unread.iter().find(|(unread, _)| *unread == rule)
        {
            let because = Because::Missing(DataSet::EMPTY);
            let says = (*why).to_owned();
            return vec![NotChecked {
                rule,
                because,
                says,
                places: Vec::new(),
                at: Vec::new(),
                nowhere: None,
                inputs: Vec::new(),
            }];
        }
        let lacks = self.lacks(rule);
        let lacks = lacks.iter().map(|lack| self.missing(rule, std::slice::from_ref(lack)));
        lacks.chain(self.no_number(rule)).collect()
    }

    /// That declared numbers cannot be compared with what is heard.
    fn no_number(&self, rule: RuleId) -> Option<NotChecked> {
        let (datum, places) = self.no_numbers(rule)?;
        let mut entry = self.missing(rule, &[(datum, places)]);
        let phrases: Vec<_> = entry.places.iter().map(NamedPlace::phrase).collect();
        entry.says = format!(
            "what is declared as {} of {} is no number that the bus can carry",
            datum.noun(),
            all_of(&phrases)
        );
        Some(entry)
    }

    /// The data that a rule lacked, each with the places that the rule named.
    fn lacks(&self, rule: RuleId) -> Vec<(Datum, Vec<Place>)> {
        let mut lacks: Vec<(Datum, Vec<Place>)> = Vec::new();
        for unknown in self.report.unknowns().iter().filter(|unknown| unknown.rule == rule) {
            let places = self.report.places(unknown.places);
            match lacks.iter_mut().find(|(datum, _)| *datum == unknown.datum) {
                Some((_, known)) => known.extend(places),
                None => lacks.push((unknown.datum, places.to_vec())),
            }
        }
        // A rule may come to one unit by two of its cables.
        for (_, places) in &mut lacks {
            *places = each_once(places);
        }
        lacks
    }

    /// The rule itself may say where a datum is missing; else it is missing wherever it is not
    /// declared.
    fn missing(&self, rule: RuleId, lacks: &[(Datum, Vec<Place>)]) -> NotChecked {
        let data =
            lacks.iter().fold(DataSet::EMPTY, |data, (datum, _)| data.or(DataSet::of(&[*datum])));
        let mut entry = NotChecked {
            rule,
            because: Because::Missing(data),
            says: String::new(),
            places: Vec::new(),
            at: Vec::new(),
            nowhere: match lacks {
                [(datum, places)] if places.is_empty() && !self.is_declared(*datum) => Some(*datum),
                _ => None,
            },
            inputs: Vec::new(),
        };
        for (datum, places) in lacks {
            let at = if places.is_empty() { self.places_without(*datum) } else { places.clone() };
            let places = self.names(&at);
            entry
                .at
                .extend(at.iter().filter(|place| !entry.at.contains(place)).collect::<Vec<_>>());
            if !entry.says.is_empty() {
                entry.says.push_str("; ");
            }
            // Bonds may be listed and yet leave open what one does in some state.
            if *datum == Datum::Bonds && self.is_declared(*datum) {
                entry.says.push_str("of a bond it is not clear in which states it is closed");
            } else {
                entry.says.push_str(&lacking(*datum, &places));
            }
            for place in places {
                // Two cables may bear one label; any other place is the same place.
                if matches!(place, NamedPlace::Cable(_)) || !entry.places.contains(&place) {
                    entry.places.push(place);
                }
            }
        }
        entry
    }

    /// Whether anything of the site declares the datum, or anything that was heard tells it.
    fn is_declared(&self, datum: Datum) -> bool {
        self.known().some.contains(datum)
    }

    /// The units or cables that lack a datum; none for data of the whole group.
    pub(super) fn places_without(&self, datum: Datum) -> Vec<Place> {
        let links = Links::build(self.plan);
        match datum.owner() {
            Owner::Unit => links.units_without(datum).iter().map(Place::Unit).collect(),
            Owner::Cable => links.cables_without(datum).iter().map(Place::Cable).collect(),
            Owner::Sensor => self
                .plan
                .sensors()
                .filter(|(_, sensor)| !sensor.data().contains(datum))
                .map(|(id, _)| Place::Sensor(id))
                .collect(),
            Owner::Pack => self
                .plan
                .packs()
                .filter(|(_, pack)| !pack.data().contains(datum))
                .map(|(id, _)| Place::Pack(id))
                .collect(),
            Owner::Heard => self.heard_without(datum),
            Owner::Group => Vec::new(),
        }
    }
}

/// Whether a person can write the datum down.
fn is_declarable(datum: Datum) -> bool {
    datum.owner() != Owner::Heard
}

/// A datum in a sentence about what units tell: `role`, where it is `role heard` by itself.
pub(crate) fn told_noun(datum: Datum) -> &'static str {
    let noun = datum.noun();
    noun.strip_suffix(" heard").unwrap_or(noun)
}

/// The places in their order, none twice.
fn each_once(places: &[Place]) -> Vec<Place> {
    let mut once: Vec<Place> = Vec::with_capacity(places.len());
    for place in places {
        if !once.contains(place) {
            once.push(*place);
        }
    }
    once
}

#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "a new datum is told like most others until someone finds better words"
)]
/// `cable P2 has no length`, `the address of U3 is not declared`, `no cable list was given`.
fn lacking(datum: Datum, places: &[NamedPlace]) -> String {
    let noun = datum.noun();
    let phrases: Vec<_> = places.iter().map(NamedPlace::phrase).collect();
    let all = all_of(&phrases);
    let cables = if phrases.len() == 1 { "cable" } else { "cables" };
    let has = if phrases.len() == 1 { "has" } else { "have" };
    let goes = if phrases.len() == 1 { "goes" } else { "go" };
    match datum {
        Datum::LineEnds => "the link branches, so it has no two ends".to_owned(),
        Datum::CableList | Datum::UnitList => format!("no {noun} was given"),
        Datum::ControllerState => format!("the log does not tell the {noun}"),
        Datum::ListenedLong => {
            "too short a time was heard to call anybody silent: listen for longer".to_owned()
        }
        Datum::HeardPeriod if phrases.is_empty() => {
            "nothing that was heard comes often enough, with times, to tell its rhythm".to_owned()
        }
        Datum::HeardPeriod => format!("the rhythm of {all} is not known"),
        _ if datum.owner() == Owner::Heard && phrases.is_empty() => {
            format!("nothing that was heard tells the {}", told_noun(datum))
        }
        _ if datum.owner() == Owner::Heard => {
            let does = if phrases.len() == 1 { "does" } else { "do" };
            format!("{all} {does} not tell the {}", told_noun(datum))
        }
        _ if phrases.is_empty() => format!("not declared: {noun}"),
        Datum::CableEnds | Datum::BatteryLeadEnds | Datum::SensorLeadEnds => {
            format!("it is not known where {cables} {all} {goes}")
        }
        _ if datum.owner() == Owner::Cable => format!("{cables} {all} {has} no {noun}"),
        _ => format!("not declared: {noun} of {all}"),
    }
}

/// What must still be declared, where, and the word to write it with.
pub(crate) fn to_declare(datum: Datum, places: &[NamedPlace]) -> String {
    let phrases: Vec<_> = places.iter().map(NamedPlace::phrase).collect();
    let of = if phrases.is_empty() { String::new() } else { format!(" of {}", all_of(&phrases)) };
    // The earth conductor is one of the output terminals.
    let stated_by = if datum == Datum::Earth { Datum::AcTerminals } else { datum };
    let field = Field::ALL.iter().find(|field| field.datum() == Some(stated_by));
    // A length is a column of its own, and no further fact.
    let length = (datum == Datum::Length).then_some("length");
    let key = field.map(|field| field.key()).or(length);
    let how = match key {
        // A place alone declares nothing.
        Some(key) if datum == Datum::Bonds => {
            format!(
                " (write where it is and when it is joined, for example: {key} = main board (fixed))"
            )
        }
        Some(key) => {
            let chosen = field.filter(|field| matches!(field.form(), Form::Choice(_)));
            let value = chosen.and_then(|field| field.expected()).unwrap_or_else(|| "…".to_owned());
            format!(" (write: {key} = {value})")
        }
        None => String::new(),
    };
    format!("{}{of}{how}", datum.noun())
}

/// That nobody demands it, or that the demand is another one.
fn undemanded(demand: Demand, bits: Option<u32>) -> String {
    match bits {
        None => format!("nobody demands it: {}", demand.meaning()),
        Some(bits) => format!(
            "the demand is another one: {} = {}",
            demand.key(),
            crate::words::demand(demand.kind(), bits)
        ),
    }
}
