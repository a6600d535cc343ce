//! Conductors of outputs and inputs at bars of another pole: lines, neutrals, earth.

use super::super::given::Given;
use super::super::work::{Lack, Worksheet};
use super::fault;
use crate::field::Field;
use crate::fold::Folded;
use crate::phrase::all_of;
use crate::value::{Conductor, Pole};
use coldcheck_core::rules::RuleId;
use std::collections::BTreeMap;

/// A conductor that is at a wrong bar: which, and what tells it.
type Wrong = (String, String);

/// Units whose line, and units whose neutral, goes to a bar.
type Ends = (Vec<usize>, Vec<usize>);

impl Given<'_> {
    /// Whether each pole keeps to bars of its own at the outputs and inputs of all units.
    pub(super) fn judge_neutrals(&self, sheet: &mut Worksheet) {
        let units = 0..self.declared.units.len();
        for field in [Field::AcOut, Field::AcIn, Field::GeneratorIn] {
            let is_stated = units.clone().any(|unit| self.conductors(unit, field).is_some());
            if !is_stated && field != Field::AcOut {
                continue;
            }
            let wrong = self.at_wrong_bars(field);
            let of_unit = |unit: usize| {
                self.conductors(unit, field).ok_or(Lack::Declared(field))?;
                Ok(wrong.get(&unit).cloned())
            };
            self.judge_units(sheet, RuleId::LineOnNeutralBar, &[field], of_unit, |wrong| {
                fault(wrong.0, wrong.1)
            });
        }
    }

    /// Whether all units that state this side have each line, and the neutral, on one bar.
    fn are_alike(&self, field: Field) -> bool {
        let mut bars: BTreeMap<Pole, &Folded> = BTreeMap::new();
        let all = (0..self.declared.units.len()).filter_map(|unit| self.conductors(unit, field));
        let mut all = all.flatten().filter(|one| one.pole != Pole::Earth);
        all.all(|one| *bars.entry(one.pole).or_insert(&one.to) == &one.to)
    }

    /// Units with a conductor at a bar that is not its own: by the bar's name, else because the fewer
    /// units have it so.
    fn at_wrong_bars(&self, field: Field) -> BTreeMap<usize, Wrong> {
        let mut wrong = BTreeMap::new();
        let are_alike = self.are_alike(field);
        for unit in 0..self.declared.units.len() {
            let own = self.conductors(unit, field).unwrap_or_default();
            // The rules about legs and neutrals tell of two conductors of an output on one bar, and who
            // is the odd one where outputs differ. None of them looks at lines on earth.
            let is_told = |one: &Conductor| {
                let on_bar =
                    own.iter().filter(|other| other.to == one.to && other.pole != Pole::Earth);
                field == Field::AcOut && !one.is_on_earth() && (!are_alike || on_bar.count() > 1)
            };
            let mut own = own.iter().filter(|one| !is_told(one));
            // At an output the rules about bonds and earth see it.
            let is_wrong = |one: &Conductor| {
                let bonded = one.is_bonded().filter(|_| field != Field::AcOut);
                one.is_misplaced().or(bonded)
            };
            if let Some((one, why)) = own.find_map(|one| Some((one, is_wrong(one)?))) {
                wrong.insert(unit, (goes_to(field, one), why.to_owned()));
            }
        }
        if field == Field::AcOut || !wrong.is_empty() {
            return wrong;
        }
        // Where the inputs differ, the rule about their order tells who is the odd one.
        let twice = if are_alike { self.two_lines_on_one_bar(field) } else { BTreeMap::new() };
        if !twice.is_empty() {
            return twice;
        }
        let mixed = self
            .bars(field)
            .into_iter()
            .find(|(_, (lines, neutrals))| !lines.is_empty() && !neutrals.is_empty());
        let Some((bar, (lines, neutrals))) = mixed else {
            return wrong;
        };
        let is_line = lines.len() <= neutrals.len();
        let (fewer, others, their) = if is_line {
            (&lines, &neutrals, "the neutral")
        } else {
            (&neutrals, &lines, "a line")
        };
        let names: Vec<&str> =
            others.iter().map(|unit| self.declared.units[*unit].name.as_str()).collect();
        for unit in fewer {
            let own = self.conductors(*unit, field).unwrap_or_default();
            let found = own.iter().find(|one| one.to == bar && is_line == one.is_line());
            if let Some(one) = found {
                let why = format!("{their} of {} goes there too", all_of(&names));
                wrong.insert(*unit, (goes_to(field, one), why));
            }
        }
        wrong
    }

    /// Units with two lines on one bar.
    fn two_lines_on_one_bar(&self, field: Field) -> BTreeMap<usize, Wrong> {
        let of_unit = |unit: usize| {
            let own = self.conductors(unit, field).unwrap_or_default();
            let joined: Vec<&Conductor> =
                own.iter().filter(|one| one.is_line() && one.to != Conductor::nowhere()).collect();
            let second = joined.iter().enumerate().find_map(|(at, one)| {
                let first = joined.get(..at)?.iter().find(|other| other.to == one.to)?;
                Some((one, first))
            });
            let (one, first) = second?;
            Some((unit, (goes_to(field, one), format!("{} goes there too", first.pole.word()))))
        };
        (0..self.declared.units.len()).filter_map(of_unit).collect()
    }

    fn bars(&self, field: Field) -> BTreeMap<Folded, Ends> {
        let mut bars: BTreeMap<Folded, Ends> = BTreeMap::new();
        for unit in 0..self.declared.units.len() {
            let list = self.conductors(unit, field).unwrap_or_default();
            let joined = |one: &&Conductor| !one.to.is_empty() && one.to != Conductor::nowhere();
            for one in list.iter().filter(joined) {
                let (lines, neutrals) = bars.entry(one.to.clone()).or_default();
                match one.pole {
                    Pole::L1 | Pole::L2 | Pole::L3 => lines.push(unit),
                    Pole::N => neutrals.push(unit),
                    Pole::Earth => {}
                }
            }
        }
        bars
    }
}

fn goes_to(field: Field, one: &Conductor) -> String {
    format!("{} of {} goes to {}", one.pole.word(), field.key(), one.to.spoken())
}
