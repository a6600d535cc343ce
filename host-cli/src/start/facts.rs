//! What a plan says of units, sensors and the group: what the profile demands, and a blank for
//! what must be declared and only the plant can tell.

use super::{LEGS, Plan, Unit, value};
use crate::demand_words;
use crate::field::{About, Field, Form};
use crate::site_file::{Entry, List, Table};
use crate::value::parse;
use crate::words;
use coldcheck_core::plan::{
    BatteryBanks, CountSetting, Datum, Demand, Leg, Role, SensorOwner, Terminator, TerminatorPlace,
};

impl Plan<'_> {
    pub(super) fn facts_of_unit(&self, unit: Unit) -> Vec<Entry> {
        let facts = Field::of(About::Unit).filter_map(|field| {
            self.line(field, self.chosen(field, unit).or_else(|| self.demanded(field)))
        });
        facts.collect()
    }

    pub(super) fn facts_of_group(&self) -> Vec<Entry> {
        Field::of(About::Group).filter_map(|field| self.line(field, None)).collect()
    }

    pub(super) fn facts_of_cable(&self) -> Vec<Entry> {
        let facts = Field::of(About::Cable);
        facts.filter_map(|field| self.line(field, self.demanded(field))).collect()
    }

    /// The sensors, each with what is demanded of it. How many there are is demanded too, else it
    /// is one for each phase that has units of its own, else one: a person adds the others.
    pub(super) fn sensors(&self) -> Vec<Leg> {
        if !self.profile.demands.contains_key(&Demand::SensorOwner) {
            return Vec::new();
        }
        let of_phase =
            value(self.profile, Demand::SensorOwner) == Some(SensorOwner::CoordinatorOfPhase);
        let count: u32 =
            value(self.profile, Demand::Sensors).unwrap_or(if of_phase { 3 } else { 2 });
        LEGS.into_iter().take(usize::try_from(count).unwrap_or(LEGS.len())).collect()
    }

    pub(super) fn sensor_tables(&self) -> Vec<Table> {
        let tables = self.sensors().into_iter().map(|leg| {
            let mut entries = vec![Entry::new("name", format!("CT {}", leg.word()))];
            let facts = Field::of(About::Sensor);
            entries.extend(facts.filter_map(|field| self.line(field, self.demanded(field))));
            Table { list: List::Sensor, entries }
        });
        // A sensor of which nothing is said but its name is named by its lead.
        tables.filter(|table| table.entries.len() > 1).collect()
    }

    fn must(&self, datum: Datum) -> bool {
        self.profile.must_declare.contains(datum)
    }

    /// A line for a fact that is known; a blank for one that must be declared; else nothing.
    fn line(&self, field: Field, known: Option<String>) -> Option<Entry> {
        if let Some(value) = known {
            return Some(Entry::new(field.key(), value));
        }
        let must = field.datum().is_some_and(|datum| self.must(datum));
        // A count that only coordinators carry is no blank for the others.
        (must && field != Field::Count && field != Field::Terminator)
            .then(|| Entry::blank(field.key(), hint(field.form())))
    }

    /// What the plan chooses.
    #[allow(
        clippy::wildcard_enum_match_arm,
        reason = "all other facts are demanded by their own words, or left to the plant"
    )]
    fn chosen(&self, field: Field, unit: Unit) -> Option<String> {
        let profile = self.profile;
        Some(match field {
            Field::Role => unit.role.word().to_owned(),
            Field::Address => unit.address.to_string(),
            Field::Count => {
                let carries = match value(profile, Demand::CountSetting) {
                    Some(CountSetting::All) => true,
                    Some(CountSetting::Coordinator) => unit.role == Role::Coordinator,
                    None => self.must(Datum::Count),
                };
                carries.then(|| self.units.len().to_string())?
            }
            Field::Terminator => {
                let place = value(profile, Demand::TerminatorsAt);
                let on = place == Some(TerminatorPlace::BothEnds) && unit.is_end;
                let word = if on { Terminator::On } else { Terminator::Off }.word();
                (place.is_some() || self.must(Datum::Terminator)).then(|| word.to_owned())?
            }
            Field::Bank => match value(profile, Demand::BatteryBanks) {
                Some(BatteryBanks::One) => "A".to_owned(),
                Some(BatteryBanks::OneEachUnit) => unit.number.to_string(),
                None => return None,
            },
            Field::Phase => unit.phase?.word().to_owned(),
            Field::AcOut if self.must(Datum::AcTerminals) || self.must(Datum::Earth) => {
                match unit.phase {
                    None => "straight".to_owned(),
                    Some(leg) => format!("L->bar {}; N->bar N; PE->earth bar", leg.word()),
                }
            }
            _ => return None,
        })
    }

    /// What the profile demands under the fact's own words, or under others for the same thing.
    fn demanded(&self, field: Field) -> Option<String> {
        let demand = demand_words::of_field(field)?;
        // What a terminator measures is seen on the part, not dialled in.
        if field == Field::TerminatorOhms && !self.must(Datum::TerminatorOhms) {
            return None;
        }
        let demanded = self.profile.demands.get(&demand)?;
        let text = words::demand(demand.kind(), demanded.bits);
        parse(field.form(), &text).is_ok().then_some(text)
    }
}

/// What belongs into a blank.
pub(super) fn hint(form: Form) -> String {
    parse(form, "").err().unwrap_or_else(|| "as it stands on the part".to_owned())
}
