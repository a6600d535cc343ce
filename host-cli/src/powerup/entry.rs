//! A reading that is put behind the others, if it counts where the power-up stands.

use super::fits::answer;
use super::told::refusal;
use super::{Expected, PowerUp, progress};
use crate::readings::{Amount, Moment, Quantity, Reading, Readings, Written};
use crate::source::{Cell, Origin, SheetId};

/// Who reads what under which sheets.
#[derive(Clone, Copy, Debug)]
pub struct Entry<'e> {
    /// The power-up.
    pub power_up: &'e PowerUp<'e>,
    /// When.
    pub time: Moment,
    /// Initials of who reads.
    pub by: &'e str,
    /// With what.
    pub instrument: &'e str,
}

impl Entry<'_> {
    /// The line for a step's reading, or for the reason why there is none.
    ///
    /// # Errors
    /// What is wrong with it, and what was expected; then nothing is to be written.
    pub fn line(
        &self,
        step: usize,
        value: &str,
        is_reason: bool,
        before: &Readings,
    ) -> Result<String, (String, String)> {
        let Some(of) = self.power_up.steps.get(step) else {
            return Err(("there is no such step".to_owned(), "a step of the list".to_owned()));
        };
        let nothing =
            "a value; this reading is not written down, those in front of it in the same command are".to_owned();
        let value = value.trim();
        if value.is_empty() {
            return Err((format!("{}: nothing was read", of.id), nothing));
        }
        let quantity = if is_reason { Quantity::Reason } else { of.quantity };
        let amount = Amount::read(quantity, value, None)?;
        if let (Quantity::Seen, Err(says)) = (quantity, answer(value)) {
            return Err((format!("{}: {says}", of.id), "yes, or no and what instead".to_owned()));
        }
        if is_in_millions(&of.expected) && is_bare(value) {
            let says = format!("{}: ohms, thousands or millions? {value} says no unit", of.id);
            return Err((says, "the number with its unit: 550 Mohm".to_owned()));
        }
        if let Some(last) = before.list.last()
            && last.time.zone.is_some() == self.time.zone.is_some()
            && self.time.seconds_since(last.time) < 0.0
        {
            let says = format!("the clock shows {}, the last reading {}", self.time, last.time);
            return Err((
                says,
                "the time of day: set this clock, or say it with --at TIME".to_owned(),
            ));
        }
        let nowhere = Origin { sheet: SheetId(0), start: 0, end: 0 };
        let cell = |text: &str| Cell { text: text.to_owned(), origin: nowhere };
        let mut all = before.list.clone();
        all.push(Reading {
            time: self.time,
            by: self.by.to_owned(),
            instrument: self.instrument.to_owned(),
            place: cell(&of.place),
            quantity,
            value: amount,
            sheets: self.power_up.hash.clone(),
            pulled: None,
            note: None,
            step: Some(cell(&of.id)),
            basis: Some(of.basis.clone()),
            origin: nowhere,
        });
        let last = all.len() - 1;
        let after = progress(&self.power_up.steps, &all, self.power_up.today());
        if let Some((_, why)) = after.refused.iter().find(|(position, _)| *position == last) {
            return Err((format!("{}: {}", of.id, refusal(&self.power_up.steps, *why)), nothing));
        }
        let line = Written {
            time: self.time,
            by: self.by,
            instrument: if is_reason { "none" } else { self.instrument },
            place: &of.place,
            quantity,
            value,
            sheets: &self.power_up.hash,
            step: Some((&of.id, &of.basis)),
        };
        Ok(line.line())
    }
}

/// Whether what must be read is told in millions, so that a bare number leaves the unit open.
fn is_in_millions(expected: &Expected) -> bool {
    matches!(expected, Expected::Between { low: Some(low), .. } if *low >= 1e6)
}

/// A number without its unit.
fn is_bare(value: &str) -> bool {
    value.ends_with(|sign: char| sign.is_ascii_digit())
}
