//! Waivers: findings that a named person lets stand, with a reason and an end.

use super::names::{Meaning, device_key, pack_key, sensor};
use super::{Declared, Subject};
use crate::date::Date;
use crate::fold::{Folded, nearest};
use crate::phrase::{all_of, one_of};
use crate::profile::Profile;
use crate::read::ReadError;
use crate::source::{Cell, Origin};
use crate::statement::WaiverRow;
use crate::vocabulary::PORT_FILLERS;
use coldcheck_core::place::PortId;
use coldcheck_core::rules::{RULES, RuleId};

/// A waiver.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiver {
    /// The rule whose finding is to stand.
    pub rule: RuleId,
    /// The places that it covers; none is a finding about the whole group.
    pub covers: Vec<Covered>,
    /// The places in the person's words.
    pub places: Vec<String>,
    /// Why it may stand.
    pub reason: String,
    /// Who says so.
    pub by: String,
    /// The last day on which it holds.
    pub until: Date,
    /// Where it is written.
    pub origin: Origin,
}

/// One place that a waiver covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Covered {
    /// A thing with all its parts.
    Thing(Subject),
    /// A socket of a unit.
    Port(usize, PortId),
    /// The terminator of a unit.
    Terminator(usize),
}

impl Declared {
    /// Understands the waivers; called when every thing of the site is known.
    pub(super) fn interpret_waivers(
        &mut self,
        rows: &[WaiverRow],
        profile: &Profile,
        errors: &mut Vec<ReadError>,
    ) {
        for row in rows {
            let known = errors.len();
            for key in &row.unknown {
                let says = format!("\u{201c}{}\u{201d} is nothing that a waiver has", key.text);
                let expected = "rule, place, reason, by or until";
                errors.push(ReadError::at(&self.sheets, key.origin, says, expected));
            }
            let rule = self.waived_rule(row, errors);
            let covers: Vec<_> =
                row.places.iter().flat_map(|cell| self.covered(cell, profile, errors)).collect();
            let [reason, by, until] = [
                (&row.reason, "reason", "why the finding may stand"),
                (&row.by, "by", "the name of the person who lets it stand"),
                (&row.until, "until", "the last day on which it holds, such as 2027-03-31"),
            ]
            .map(|(cell, key, expected)| self.filled(row, cell.as_ref(), key, expected, errors));
            let until = until.and_then(|cell| {
                let date = Date::read(&cell.text);
                if date.is_none() {
                    let says = format!("\u{201c}{}\u{201d} is no day of the calendar", cell.text);
                    errors.push(ReadError::at(
                        &self.sheets,
                        cell.origin,
                        says,
                        "until: year, month and day, such as 2027-03-31",
                    ));
                }
                date
            });
            if let (Some(rule), Some(reason), Some(by), Some(until)) = (rule, reason, by, until)
                && errors.len() == known
            {
                self.waivers.push(Waiver {
                    rule,
                    covers,
                    places: row.places.iter().map(|cell| cell.text.clone()).collect(),
                    reason: reason.text.clone(),
                    by: by.text.clone(),
                    until,
                    origin: row.rule.as_ref().map_or(row.at, |cell| cell.origin),
                });
            }
        }
    }

    fn filled<'c>(
        &self,
        row: &WaiverRow,
        cell: Option<&'c Cell>,
        key: &str,
        expected: &str,
        errors: &mut Vec<ReadError>,
    ) -> Option<&'c Cell> {
        let filled = cell.filter(|cell| !cell.is_empty());
        if filled.is_none() {
            let origin = cell.map_or(row.at, |cell| cell.origin);
            let says = format!("this waiver has no `{key}`");
            errors.push(ReadError::at(&self.sheets, origin, says, format!("{key}: {expected}")));
        }
        filled
    }

    fn waived_rule(&self, row: &WaiverRow, errors: &mut Vec<ReadError>) -> Option<RuleId> {
        let expected = "the name of a rule, as it stands in brackets behind a finding";
        let cell = self.filled(row, row.rule.as_ref(), "rule", expected, errors)?;
        let known = RULES.iter().find(|(_, rule)| rule.slug == cell.text).map(|(id, _)| *id);
        if known.is_none() {
            let near = nearest(&cell.text, RULES.iter().map(|(_, rule)| rule.slug));
            let expected = match near {
                Some(near) => format!("{near}, perhaps; `coldcheck explain --all` lists all rules"),
                None => "a rule's name; `coldcheck explain --all` lists all rules".to_owned(),
            };
            let says = format!("no rule is called \u{201c}{}\u{201d}", cell.text);
            errors.push(ReadError::at(&self.sheets, cell.origin, says, expected));
        }
        known
    }

    /// What one place of a waiver covers; several only where cables share a label.
    fn covered(&self, cell: &Cell, profile: &Profile, errors: &mut Vec<ReadError>) -> Vec<Covered> {
        let name = Folded::of(&cell.text);
        if name.is("group") || name.is("the group") {
            return Vec::new();
        }
        let unit = self.covered_of_unit(&name, profile);
        let cables = self.covered_cables(&cell.text, &name);
        let other = self.covered_other(&name);
        let kinds = [unit.is_some(), !cables.is_empty(), other.is_some()];
        let kinds = kinds.into_iter().filter(|found| *found).count();
        if kinds == 1 {
            return unit.into_iter().chain(cables).chain(other).collect();
        }
        let (says, expected) = if kinds == 0 {
            let names = self.units.iter().map(|unit| unit.name.as_str());
            let near = nearest(&cell.text, names.chain(self.cables.iter().map(|c| &*c.label)));
            let near = near.map(|near| format!("; {near}, perhaps")).unwrap_or_default();
            (
                format!("nothing of this site is called \u{201c}{}\u{201d}", cell.text),
                format!(
                    "a unit, one of its sockets, a cable, a sensor, a pack or a device, several \
                     behind commas; no place at all for a finding about the whole group{near}"
                ),
            )
        } else {
            let meant = self.names_of(&[unit, cables.first().copied(), other]);
            (
                format!("\u{201c}{}\u{201d} could be {}", cell.text, one_of(&meant)),
                format!("one of {}", all_of(&meant)),
            )
        };
        errors.push(ReadError::at(&self.sheets, cell.origin, says, expected));
        Vec::new()
    }

    /// The unit that the words begin with, and its socket or terminator if they name one.
    fn covered_of_unit(&self, name: &Folded, profile: &Profile) -> Option<Covered> {
        name.cuts().find_map(|(head, rest)| {
            let unit = self.find_unit(&head)?;
            if rest.is_empty() {
                return Some(Covered::Thing(Subject::Unit(unit)));
            }
            if rest.is("terminator") {
                return Some(Covered::Terminator(unit));
            }
            let port = profile.port(&rest).or_else(|| profile.port(&rest.without(PORT_FILLERS)))?;
            Some(Covered::Port(unit, port))
        })
    }

    fn covered_cables(&self, text: &str, name: &Folded) -> Vec<Covered> {
        let bare = name.after("cable");
        let called = |label: &Folded| label == name || Some(label) == bare.as_ref();
        (0..self.cables.len())
            .filter(|cable| {
                let cable = &self.cables[*cable];
                !cable.key.is_empty() && called(&cable.key) || cable.label == text
            })
            .map(|cable| Covered::Thing(Subject::Cable(cable)))
            .collect()
    }

    fn covered_other(&self, name: &Folded) -> Option<Covered> {
        let pack = pack_key(name).unwrap_or_else(|| name.clone());
        if let Some(pack) = self.packs.iter().position(|thing| thing.key == pack) {
            return Some(Covered::Thing(Subject::Pack(pack)));
        }
        if let Some(Meaning::Sensor(leg)) = sensor(name) {
            let sensor = self.sensors.iter().position(|(_, other)| *other == leg)?;
            return Some(Covered::Thing(Subject::Sensor(sensor)));
        }
        let device = device_key(name).map_or_else(|| name.clone(), |(_, key)| key);
        let device = self.devices.iter().position(|(thing, _)| thing.key == device)?;
        Some(Covered::Thing(Subject::Device(device)))
    }

    fn names_of(&self, found: &[Option<Covered>]) -> Vec<String> {
        found
            .iter()
            .flatten()
            .map(|covered| match covered {
                Covered::Thing(Subject::Unit(unit))
                | Covered::Port(unit, _)
                | Covered::Terminator(unit) => self.units[*unit].name.clone(),
                Covered::Thing(Subject::Cable(cable)) => {
                    format!("cable {}", self.cables[*cable].label)
                }
                Covered::Thing(Subject::Pack(pack)) => self.packs[*pack].name.clone(),
                Covered::Thing(Subject::Sensor(sensor)) => self.sensors[*sensor].0.name.clone(),
                Covered::Thing(Subject::Device(device)) => self.devices[*device].0.name.clone(),
                Covered::Thing(Subject::Group) => "the group".to_owned(),
            })
            .collect()
    }
}
