//! `unit 3 ac out = except L1<->L2`: what one unit has otherwise than all others.

use super::{Declared, Subject, Topic};
use crate::field::{Field, Form};
use crate::read::ReadError;
use crate::source::Cell;
use crate::value::{self, Conductor, Exceptions, Value, is_straight};
use std::collections::BTreeMap;

/// Exceptions that wait until it is known what all units have.
#[derive(Clone, Debug, Default)]
pub(super) struct Waiting {
    exceptions: Vec<(usize, Field, Cell, Exceptions)>,
    /// What all units have; nothing if that is `straight`.
    all: BTreeMap<Field, Option<Vec<Conductor>>>,
    /// Sides of units that are wired straight.
    pub(super) straight: Vec<(usize, Field, Cell)>,
}

impl Declared {
    /// Keeps a value with the word `except` for later; false if it has none.
    pub(super) fn keep_exceptions(
        &mut self,
        subject: Subject,
        field: Field,
        cell: &Cell,
        errors: &mut Vec<ReadError>,
    ) -> bool {
        let (Subject::Unit(unit), Form::Conductors) = (subject, field.form()) else { return false };
        match value::exceptions(&cell.text) {
            None => return false,
            Some(Ok(found)) => {
                self.waiting.exceptions.push((unit, field, cell.clone(), found));
            }
            Some(Err(expected)) => errors.push(self.wrong_value(cell, &expected)),
        }
        true
    }

    /// Notes what all units have; gives the units that have it without exception.
    pub(super) fn without_exceptions(&mut self, field: Field, cell: &Cell) -> Vec<usize> {
        if let Form::Conductors = field.form()
            && let Ok(Value::Conductors(all)) = value::parse(field.form(), &cell.text)
        {
            let all = (!is_straight(&cell.text)).then_some(all);
            self.waiting.all.entry(field).or_insert(all);
        }
        let excepted = |unit: &usize| {
            let mut exceptions = self.waiting.exceptions.iter();
            exceptions.any(|(other, own, ..)| (other, *own) == (unit, field))
        };
        (0..self.units.len()).filter(|unit| !excepted(unit)).collect()
    }

    /// States what the units with exceptions have, when everything is read.
    pub(super) fn apply_exceptions(&mut self, errors: &mut Vec<ReadError>) {
        let Waiting { exceptions, all, .. } = std::mem::take(&mut self.waiting);
        for (unit, field, cell, mut exceptions) in exceptions {
            let straight = self.straight(unit);
            if exceptions.is_straight {
                exceptions.from = Some(straight.clone());
            }
            let of_all = all.get(&field).and_then(Option::as_ref).unwrap_or(&straight);
            match exceptions.applied_to(of_all) {
                Ok(list) => {
                    let (subject, topic) = (Subject::Unit(unit), Topic::Field(field));
                    self.say(subject, topic, Value::Conductors(list), cell.origin);
                }
                Err(expected) => errors.push(self.wrong_value(&cell, &expected)),
            }
        }
    }
}
