//! What the sheets give away when they are laid side by side: labels that stand twice, and facts
//! of which they give two values, by the fault that explains them best.

use super::cables::common;
use super::readings::Reading;
use super::{At, Declared, End, Fact, Subject, Topic};
use crate::field::Field;
use crate::phrase::all_of;
use crate::source::Origin;
use crate::value::Value;
use coldcheck_core::plan::CableKind;
use coldcheck_core::rules::RuleId;
use std::collections::BTreeSet;

impl Declared {
    /// One label on two different cables of one sheet. The same cable written from either end is
    /// one cable.
    pub(super) fn compare_labels(&mut self) {
        let mut seen: BTreeSet<usize> = BTreeSet::new();
        for first in 0..self.cables.len() {
            if self.cables[first].key.is_empty() || !seen.insert(first) {
                continue;
            }
            let group: Vec<usize> = (first..self.cables.len())
                .filter(|other| self.cables[*other].key == self.cables[first].key)
                .collect();
            seen.extend(&group);
            // Each that cannot be the same cable as another; the order of rows plays no part.
            let differs = |one: &&usize| {
                group.iter().any(|other| other != *one && !self.may_be_one_cable(**one, *other))
            };
            let alike: Vec<usize> = group.iter().filter(differs).copied().collect();
            if alike.len() > 1 {
                let origins = alike.iter().flat_map(|one| self.cables[*one].label_origins.clone());
                let mut reading = Reading::new(RuleId::CableIdRepeated, origins.collect());
                reading.value = Some(self.cables[alike[0]].label.clone());
                reading.near =
                    alike.iter().skip(1).map(|one| At::Subject(Subject::Cable(*one))).collect();
                self.found(reading.at_cable(alike[0]));
            }
        }
    }

    fn may_be_one_cable(&self, one: usize, other: usize) -> bool {
        let (one, other) = (&self.cables[one], &self.cables[other]);
        // A row that was not read may be anything.
        one.ends.contains(&End::Unknown)
            || other.ends.contains(&End::Unknown)
            || common(one.ends, other.ends).is_some()
    }

    /// Facts with two values: first those that one fault explains together, then one by one.
    pub(super) fn compare_sheets(&mut self) {
        let mirrored = self.compare_serials();
        let redrawn = self.compare_drawings();
        self.compare_bases();
        let explained: Vec<(Subject, Topic)> = self
            .readings
            .iter()
            .filter(|reading| reading.rule == RuleId::AddressHexDecimal)
            .flat_map(|reading| &reading.at)
            .filter_map(|place| match place {
                At::Subject(subject) => Some((*subject, Topic::Field(Field::Address))),
                At::Socket(..) => None,
            })
            .chain(mirrored)
            .collect();
        let mut found = Vec::new();
        for (subject, topic, facts) in self.disagreements() {
            if explained.contains(&(subject, topic)) {
                continue;
            }
            let origins = facts.iter().flat_map(|fact| fact.origins.clone()).collect();
            let texts: Vec<_> = facts
                .iter()
                .filter_map(|fact| fact.origins.first())
                .map(|origin| self.written(*origin).to_owned())
                .collect();
            let reading = Reading::new(RuleId::SheetsDisagree, origins);
            let words = format!("{} {}", topic.key(), all_of(&texts));
            found.push(reading.at(At::Subject(subject)).value(words));
        }
        for (cable, says, origins) in self.cable_disagreements() {
            let where_it_goes = says == super::cables::WHERE_IT_GOES;
            if !(where_it_goes && redrawn.contains(&cable)) {
                found.push(
                    Reading::new(RuleId::SheetsDisagree, origins).at_cable(cable).value(says),
                );
            }
        }
        for reading in found {
            self.found(reading);
        }
    }

    fn written(&self, origin: Origin) -> &str {
        let sheet = self.sheets.get(origin.sheet);
        sheet.and_then(|sheet| sheet.text.get(origin.range())).unwrap_or("")
    }

    /// The units in the order of their numbers, if every one has a number of its own.
    fn in_order(&self) -> Option<Vec<usize>> {
        let mut order: Vec<usize> = (0..self.units.len()).collect();
        order.sort_by_key(|unit| self.units[*unit].number);
        let numbers: BTreeSet<_> = self.units.iter().filter_map(|unit| unit.number).collect();
        (numbers.len() == order.len()).then_some(order)
    }

    /// Serial numbers of two sheets that run in opposite directions. Gives every fact that this
    /// explains.
    fn compare_serials(&mut self) -> Vec<(Subject, Topic)> {
        let rule = RuleId::LabelOrderReversed;
        let serials = |unit: usize| self.facts_of(Subject::Unit(unit), Field::Serial);
        let twice = (0..self.units.len())
            .filter(|unit| serials(*unit).iter().map(|fact| fact.origins.len()).sum::<usize>() > 1);
        if twice.count() < 2 {
            self.unread(rule, "no two sheets give the serial numbers of the units");
            return Vec::new();
        }
        let Some(order) = self.in_order() else {
            self.unread(rule, "not every unit has a number of its own to be put in order by");
            return Vec::new();
        };
        // The value that stands first on the sheets, and the one that stands last.
        let ends_of = |unit: &usize| {
            let mut facts: Vec<_> = serials(*unit).iter().collect();
            facts.sort_by_key(|fact| fact.origins.iter().min());
            match facts.as_slice() {
                [one] => Some((one.value.clone(), one.value.clone())),
                [one, two] => Some((one.value.clone(), two.value.clone())),
                _ => None,
            }
        };
        let Some(pairs) = order.iter().map(ends_of).collect::<Option<Vec<_>>>() else {
            return Vec::new();
        };
        let (first, second): (Vec<_>, Vec<_>) = pairs.into_iter().unzip();
        if first == second || !first.iter().rev().eq(second.iter()) {
            return Vec::new();
        }
        let mut explained = Vec::new();
        let mut origins = Vec::new();
        let mut moved = Vec::new();
        for (position, unit) in order.iter().enumerate() {
            let opposite = order[order.len() - 1 - position];
            if opposite == *unit {
                // The one in the middle keeps its number either way.
                continue;
            }
            let subject = Subject::Unit(*unit);
            for field in Field::of(crate::field::About::Unit) {
                let facts = self.facts_of(subject, field);
                let others = self.facts_of(Subject::Unit(opposite), field);
                let alike = |one: &Fact| others.iter().any(|other| other.value == one.value);
                if facts.len() > 1 && facts.iter().all(alike) {
                    explained.push((subject, Topic::Field(field)));
                }
            }
            if self.facts_of(subject, Field::Serial).len() > 1 {
                origins.extend(self.origins(subject, Field::Serial));
                moved.push(*unit);
            }
        }
        let mut reading = Reading::new(rule, origins);
        reading.at = moved.into_iter().map(|unit| At::Subject(Subject::Unit(unit))).collect();
        self.found(reading);
        explained
    }

    fn facts_of(&self, subject: Subject, field: Field) -> &[Fact] {
        self.facts.get(&(subject, Topic::Field(field))).map_or(&[], Vec::as_slice)
    }

    /// Two lists of the same cables in which all link sockets are exchanged alike. Gives the
    /// cables; that they join these units is not in doubt.
    fn compare_drawings(&mut self) -> Vec<usize> {
        let rule = RuleId::DrawingWrong;
        let sockets_twice = |listed: &[(_, [End; 2])]| match listed {
            [(one, first), (two, second)] if one != two => Some((*first, *second)),
            _ => None,
        };
        let mut both: Vec<(usize, [End; 2], [End; 2])> = Vec::new();
        for (position, cable) in self.cables.iter().enumerate() {
            let is_link = matches!(cable.kind, Some(CableKind::Link));
            if let Some((first, second)) = sockets_twice(&cable.listed).filter(|_| is_link) {
                both.push((position, first, second));
            }
        }
        if both.len() < 2 {
            self.unread(rule, "no two sheets have two link cables or more in common");
            return Vec::new();
        }
        let exchanged: Option<Vec<_>> = both.iter().map(|(_, a, b)| exchange(*a, *b)).collect();
        let Some(pairs) = exchanged else { return Vec::new() };
        if pairs.iter().any(|pair| *pair != pairs[0]) {
            return Vec::new();
        }
        let cables: Vec<usize> = both.iter().map(|(cable, _, _)| *cable).collect();
        let mut origins = Vec::new();
        for (cable, ends, _) in both {
            let cable = &mut self.cables[cable];
            cable.ends = ends.map(|end| match end {
                End::Unit(unit, _) => End::Unit(unit, None),
                End::Pack(_) | End::Sensor(_) | End::Device(_) | End::Open | End::Unknown => end,
            });
            origins.extend(cable.origins.iter().copied());
        }
        let mut reading = Reading::new(rule, origins);
        reading.at = cables.iter().map(|cable| At::Subject(Subject::Cable(*cable))).collect();
        self.found(reading);
        cables
    }

    /// One address with the same digits in two bases.
    fn compare_bases(&mut self) {
        let mut found = Vec::new();
        for (subject, topic, facts) in self.disagreements() {
            if topic != Topic::Field(Field::Address) {
                continue;
            }
            let [one, two] = facts else { continue };
            let (Value::Address(a), Value::Address(b)) = (&one.value, &two.value) else { continue };
            if a.base != b.base && a.digits() == b.digits() {
                let origins = one.origins.iter().chain(&two.origins).copied().collect();
                let words = [a, b].map(|address| address.to_string());
                let reading = Reading::new(RuleId::AddressHexDecimal, origins);
                found.push(reading.at(At::Subject(subject)).value(all_of(&words)));
            }
        }
        for reading in found {
            self.found(reading);
        }
    }
}

/// The two sockets that two rows for one cable exchange at both of its ends.
fn exchange(first: [End; 2], second: [End; 2]) -> Option<[coldcheck_core::place::PortId; 2]> {
    let port = |end: End| {
        if let End::Unit(unit, Some(port)) = end { Some((unit, port)) } else { None }
    };
    let turned = [second[1], second[0]];
    [second, turned].into_iter().find_map(|second| {
        let mut pair = None;
        for (one, two) in first.into_iter().zip(second) {
            let ((unit, from), (other, to)) = (port(one)?, port(two)?);
            if unit != other || from == to {
                return None;
            }
            let sockets = [from.min(to), from.max(to)];
            if pair.is_some_and(|pair| pair != sockets) {
                return None;
            }
            pair = Some(sockets);
        }
        pair
    })
}
