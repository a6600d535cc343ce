//! `unit 3 ac out = straight`: every line to the bar of its own name. Which lines a unit has is known
//! when everything is read.

use super::{Declared, Subject, Topic};
use crate::field::{Field, Form};
use crate::source::Cell;
use crate::value::{Conductor, Pole, System, Value, is_straight};
use coldcheck_core::plan::Leg;

impl Declared {
    /// Keeps the word for later; false if the value is another one.
    pub(super) fn keep_straight(&mut self, subject: Subject, field: Field, cell: &Cell) -> bool {
        let (Subject::Unit(unit), Form::Conductors) = (subject, field.form()) else { return false };
        let is_straight = is_straight(&cell.text);
        if is_straight {
            self.waiting.straight.push((unit, field, cell.clone()));
            if cell.text.ends_with(')') {
                self.remarks.push(cell.clone());
            }
        }
        is_straight
    }

    /// States what the units have that are wired straight.
    pub(super) fn expand_straight(&mut self) {
        for (unit, field, cell) in std::mem::take(&mut self.waiting.straight) {
            let list = Value::Conductors(self.straight(unit));
            self.say(Subject::Unit(unit), Topic::Field(field), list, cell.origin);
        }
    }

    /// The conductors of a unit that is wired straight: one line if its phase is stated or the supply
    /// has no other, else two legs. On three phases the word does not tell one line from three.
    pub(super) fn straight(&self, unit: usize) -> Vec<Conductor> {
        const TWO: [(Pole, Leg); 2] = [(Pole::L1, Leg::L1), (Pole::L2, Leg::L2)];
        let phase = self.number(Subject::Unit(unit), Field::Phase);
        if let Some(leg) = phase.and_then(|code| Leg::from_code(u8::try_from(code).ok()?)) {
            return Conductor::straight(&[(Pole::L1, leg)]);
        }
        let system = match self.agreed(Subject::Group, Field::Supply) {
            Some(Value::Supply(supply)) => Some(supply.system),
            _ => None,
        };
        match system {
            Some(System::SinglePhase) => Conductor::straight(&TWO[..1]),
            Some(System::ThreePhase) => Conductor::straight(&[]),
            Some(System::SplitPhase) | None => Conductor::straight(&TWO),
        }
    }
}
