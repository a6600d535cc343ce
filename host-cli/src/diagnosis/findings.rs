//! Findings: what readers found goes into the report, and what the report holds is told.

use super::naming::{self, NamedPlace};
use super::{Diagnostic, Label};
use crate::assemble::position_of;
use crate::declared::Subject;
use crate::engine::Site;
use crate::phrase::{all_of, fill, one_of};
use crate::source::Origin;
use crate::words;
use coldcheck_core::finding::{Finding, Quantity};
use coldcheck_core::place::{DeviceId, PackId, Place, SensorId, UnitId};
use coldcheck_core::plan::{Datum, Plan};
use coldcheck_core::report::Report;
use coldcheck_core::rules::{RuleId, report_reading};

/// Words that the core cannot hold, by their position in a [`Quantity::Word`], each with its
/// places in the sheets.
#[derive(Debug, Default)]
pub(super) struct Words(Vec<(String, Vec<Origin>)>);

impl Words {
    fn add(&mut self, word: String, origins: Vec<Origin>) -> Quantity {
        self.0.push((word, origins));
        Quantity::Word(u16::try_from(self.0.len() - 1).unwrap_or(u16::MAX))
    }

    fn get(&self, quantity: Option<Quantity>) -> Option<&(String, Vec<Origin>)> {
        let Quantity::Word(position) = quantity? else { return None };
        self.0.get(usize::from(position))
    }
}

/// Writes what the readers found, before the checks run.
pub(super) fn report_readings(site: &Site, report: &mut Report<'_>) -> Words {
    let mut words = Words::default();
    let declared = &site.declared;
    report_reading(RuleId::LabelUnknownUnit, report, |sink| {
        for unknown in &declared.unknown_units {
            let Some(cable) = site.assembled.map.cable_id(unknown.cable) else { continue };
            let name = words.add(unknown.name.clone(), vec![unknown.origin]);
            let finding = sink.add().at(Place::Cable(cable)).value(name);
            if let Some(nearest) = &unknown.nearest {
                finding.wanted(words.add(nearest.clone(), Vec::new()));
            }
        }
        if !declared.lists_units {
            sink.open(Datum::UnitList);
        }
    });
    report_reading(RuleId::SheetsDisagree, report, |sink| {
        for (subject, topic, facts) in declared.disagreements() {
            let origins: Vec<_> = facts.iter().flat_map(|fact| fact.origins.clone()).collect();
            let texts: Vec<_> = facts
                .iter()
                .filter_map(|fact| fact.origins.first())
                .map(|origin| written(site, *origin))
                .collect();
            let word = words.add(format!("{} {}", topic.key(), all_of(&texts)), origins);
            sink.add().at(place(site, subject)).value(word);
        }
        for (cable, says, origins) in declared.cable_disagreements() {
            let word = words.add(says, origins);
            sink.add().at(place(site, Subject::Cable(cable))).value(word);
        }
    });
    words
}

fn written(site: &Site, origin: Origin) -> String {
    site.declared
        .sheets
        .get(origin.sheet)
        .and_then(|sheet| sheet.text.get(origin.range()))
        .unwrap_or("")
        .to_owned()
}

/// The plan's place of a declared thing.
fn place(site: &Site, subject: Subject) -> Place {
    let map = &site.assembled.map;
    let found = match subject {
        Subject::Group => None,
        Subject::Unit(unit) => position_of(&map.units, unit).map(|id| Place::Unit(UnitId(id))),
        Subject::Cable(cable) => map.cable_id(cable).map(Place::Cable),
        Subject::Pack(pack) => position_of(&map.packs, pack).map(|id| Place::Pack(PackId(id))),
        Subject::Sensor(sensor) => {
            position_of(&map.sensors, sensor).map(|id| Place::Sensor(SensorId(id)))
        }
        Subject::Device(device) => {
            position_of(&map.devices, device).map(|id| Place::Device(DeviceId(id)))
        }
    };
    found.unwrap_or(Place::Group)
}

/// Tells what a report holds.
pub(super) struct Teller<'t, 'm> {
    pub(super) site: &'t Site,
    pub(super) plan: &'t Plan<'t>,
    pub(super) report: &'t Report<'m>,
    pub(super) words: &'t Words,
}

impl Teller<'_, '_> {
    pub(super) fn names(&self, places: &[Place]) -> Vec<NamedPlace> {
        places.iter().map(|place| naming::name(self.site, *place)).collect()
    }

    pub(super) fn diagnostic(&self, finding: &Finding) -> Diagnostic {
        let rule = finding.rule.rule();
        let places = self.report.places(finding.places);
        let (names, related) =
            (self.names(places), self.names(self.report.related(finding.places)));
        let says = fill(rule.text.says, |slot| match slot {
            "places" => phrases(&names, all_of),
            "either" => phrases(&names, one_of),
            "related" => phrases(&related, all_of),
            "value" => self.quantity(finding.value),
            "wanted" => self.quantity(finding.wanted),
            _ => None,
        });
        Diagnostic {
            rule: finding.rule,
            severity: rule.severity,
            labels: self.labels(finding, places),
            places: names,
            related,
            says,
        }
    }

    fn quantity(&self, quantity: Option<Quantity>) -> Option<String> {
        match self.words.get(quantity) {
            Some((word, _)) => Some(format!("\u{201c}{word}\u{201d}")),
            None => words::quantity(quantity?),
        }
    }

    /// Where the finding is shown: at the words themselves if a reader found it, else at the
    /// facts of its places and of those to look at, else where the group's facts stand.
    fn labels(&self, finding: &Finding, places: &[Place]) -> Vec<Label> {
        if let Some((_, origins)) = self.words.get(finding.value)
            && !origins.is_empty()
        {
            let here = |origin: &Origin| Label { origin: *origin, text: "here".to_owned() };
            return origins.iter().map(here).collect();
        }
        let shows = finding.rule.rule().shows;
        let all: Vec<_> =
            places.iter().chain(self.report.related(finding.places)).copied().collect();
        let labels = self.labels_at(&all, shows);
        if labels.is_empty() { self.labels_at(&self.everywhere(shows), shows) } else { labels }
    }

    fn labels_at(&self, places: &[Place], shows: Datum) -> Vec<Label> {
        let mut labels: Vec<Label> = Vec::new();
        for place in places {
            let name = naming::name(self.site, *place).phrase();
            for origin in naming::origins(self.site, *place, shows) {
                // What is underlined need not be said again.
                let text = if written(self.site, origin) == name { "" } else { &name };
                if labels.iter().all(|label| label.origin != origin) {
                    labels.push(Label { origin, text: text.to_owned() });
                }
            }
        }
        labels
    }

    /// For a finding about the whole group: every unit or cable that states the datum.
    fn everywhere(&self, shows: Datum) -> Vec<Place> {
        let units = self.plan.units().filter(|(_, unit)| unit.declares(shows));
        let cables = self.plan.cables().filter(|(_, cable)| cable.declares(shows));
        let units = units.map(|(unit, _)| Place::Unit(unit));
        units.chain(cables.map(|(cable, _)| Place::Cable(cable))).collect()
    }
}

fn phrases(places: &[NamedPlace], join: fn(&[String]) -> String) -> Option<String> {
    if places.is_empty() {
        return None;
    }
    let phrases: Vec<_> = places.iter().map(NamedPlace::phrase).collect();
    Some(join(&phrases))
}
