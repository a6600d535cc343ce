//! Findings: what the report holds, told in the person's own words.

use super::naming::{self, NamedPlace};
use super::{Diagnostic, Label};
use crate::engine::Site;
use crate::phrase::{all_of, fill, one_of};
use crate::source::Origin;
use crate::words;
use coldcheck_core::finding::{Finding, Quantity};
use coldcheck_core::heard::Heard;
use coldcheck_core::place::Place;
use coldcheck_core::plan::{Datum, Owner, Plan};
use coldcheck_core::report::Report;

/// Words that the core cannot hold, with their places in the sheets.
#[derive(Clone, Debug, Default)]
pub(super) struct Note {
    pub(super) text: String,
    pub(super) origins: Vec<Origin>,
    /// The socket of the finding's unit, in words that the profile does not know.
    pub(super) socket: Option<String>,
    /// Whether the words are the tool's own, and so not shown as a quotation.
    pub(super) is_plain: bool,
}

/// All such words, by their position in a [`Quantity::Word`].
#[derive(Debug, Default)]
pub(super) struct Words {
    notes: Vec<Note>,
    /// What rules about sizes lack.
    pub(super) size_lacks: Vec<super::sized::SizeLack>,
}

impl Words {
    pub(super) fn add(&mut self, note: Note) -> Quantity {
        self.notes.push(note);
        Quantity::Word(u16::try_from(self.notes.len() - 1).unwrap_or(u16::MAX))
    }

    fn get(&self, quantity: Option<Quantity>) -> Option<&Note> {
        let Quantity::Word(position) = quantity? else { return None };
        self.notes.get(usize::from(position))
    }
}

fn written(site: &Site, origin: Origin) -> String {
    site.declared
        .sheets
        .get(origin.sheet)
        .and_then(|sheet| sheet.text.get(origin.range()))
        .unwrap_or("")
        .to_owned()
}

/// Tells what a report holds.
pub(super) struct Teller<'t, 'm> {
    pub(super) site: &'t Site,
    pub(super) plan: &'t Plan<'t>,
    pub(super) report: &'t Report<'m>,
    pub(super) words: &'t Words,
    /// What was heard, if anything was listened to.
    pub(super) heard: Option<&'t Heard>,
}

impl Teller<'_, '_> {
    pub(super) fn names(&self, places: &[Place]) -> Vec<NamedPlace> {
        places.iter().map(|place| naming::name(self.site, *place)).collect()
    }

    pub(super) fn diagnostic(&self, position: usize, finding: &Finding) -> Diagnostic {
        let rule = finding.rule.rule();
        let places = self.report.places(finding.places);
        let related = self.names(self.report.related(finding.places));
        let mut names = self.names(places);
        if let Some(socket) = self.words.get(finding.value).and_then(|note| note.socket.as_ref()) {
            for name in &mut names {
                name.set_port(socket);
            }
        }
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
            at: places.to_vec(),
            related,
            says,
            position,
        }
    }

    fn quantity(&self, quantity: Option<Quantity>) -> Option<String> {
        match self.words.get(quantity) {
            Some(note) if note.text.is_empty() => None,
            Some(note) if note.is_plain => Some(note.text.clone()),
            Some(note) => Some(format!("\u{201c}{}\u{201d}", note.text)),
            None => words::quantity(quantity?).or_else(|| self.capacity(quantity?)),
        }
    }

    fn capacity(&self, quantity: Quantity) -> Option<String> {
        let Quantity::Capacity(capacity) = quantity else { return None };
        Some(self.site.declared.capacity_text(capacity.0))
    }

    /// Where the finding is shown: at the words themselves if a reader found it, else at the
    /// facts of its places and of those to look at, else where the group's facts stand.
    fn labels(&self, finding: &Finding, places: &[Place]) -> Vec<Label> {
        if let Some(note) = self.words.get(finding.value)
            && !note.origins.is_empty()
        {
            let here = |origin: &Origin| Label { origin: *origin, text: "here".to_owned() };
            return note.origins.iter().map(here).collect();
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
                let is_plain = *place == Place::Group || written(self.site, origin) == name;
                let text = if is_plain { "" } else { &name };
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
        let group = (shows.owner() == Owner::Group).then_some(Place::Group);
        group.into_iter().chain(units).chain(cables.map(|(id, _)| Place::Cable(id))).collect()
    }
}

fn phrases(places: &[NamedPlace], join: fn(&[String]) -> String) -> Option<String> {
    if places.is_empty() {
        return None;
    }
    let phrases: Vec<_> = places.iter().map(NamedPlace::phrase).collect();
    Some(join(&phrases))
}
