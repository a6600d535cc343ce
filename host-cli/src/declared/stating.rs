//! Stating a fact: its value is read by the form of the field, or refused with what was expected.

use super::photograph::Reread;
use super::{Declared, Subject, Topic};
use crate::field::{Field, Form};
use crate::fold::nearest;
use crate::read::ReadError;
use crate::source::Cell;
use crate::value::{self, Value};

impl Declared {
    /// States a fact, or says why its value cannot be read.
    pub(super) fn state(
        &mut self,
        subject: Subject,
        field: Field,
        cell: &Cell,
        errors: &mut Vec<ReadError>,
    ) {
        if self.keep_exceptions(subject, field, cell, errors)
            || self.keep_straight(subject, field, cell)
        {
            return;
        }
        match value::parse(field.form(), &cell.text) {
            Ok(value) => self.say(subject, Topic::Field(field), value, cell.origin),
            Err(expected) => {
                if self.terminator_with_ohms(subject, field, cell) {
                    return;
                }
                let read = |text: &str| value::parse(field.form(), text);
                // What stands in brackets behind a bond says when it is closed.
                let may_have_remark = !matches!(field.form(), Form::Bonds);
                if may_have_remark && let Some(value) = self.without_remark(cell, read) {
                    self.say(subject, Topic::Field(field), value, cell.origin);
                    return;
                }
                match self.photographed_value(subject, field, cell) {
                    Reread::One(value) => {
                        self.say(subject, Topic::Field(field), value, cell.origin);
                        return;
                    }
                    Reread::Several => return,
                    Reread::NoNumber => {}
                }
                let near = if let Form::Choice(words) = field.form() {
                    nearest(&cell.text, words.all_words())
                } else {
                    None
                };
                let near = near.map(|near| format!("; {near}, perhaps")).unwrap_or_default();
                let error = self.wrong_value(cell, &format!("{}: {expected}{near}", field.key()));
                if !errors.contains(&error) {
                    errors.push(error);
                }
            }
        }
    }

    /// `plug 120 ohm`: what the terminator is, and how much.
    fn terminator_with_ohms(&mut self, subject: Subject, field: Field, cell: &Cell) -> bool {
        if !matches!(field, Field::Terminator | Field::DeviceTerminator) {
            return false;
        }
        let Some((code, ohms)) = value::terminator(&cell.text) else { return false };
        self.say(subject, Topic::Field(field), Value::Number(code.into()), cell.origin);
        let of_unit = field == Field::Terminator;
        let field = if of_unit { Field::TerminatorOhms } else { Field::DeviceTerminatorOhms };
        self.say(subject, Topic::Field(field), Value::Number(ohms.0.into()), cell.origin);
        true
    }

    pub(super) fn wrong_value(&self, cell: &Cell, expected: &str) -> ReadError {
        let says = if cell.is_empty() {
            "nothing stands here".to_owned()
        } else {
            format!("\u{201c}{}\u{201d} is not understood", cell.text)
        };
        ReadError::at(&self.sheets, cell.origin, says, expected)
    }

    /// What a cell says without the remark in brackets behind it, which is kept as a remark:
    /// `flat (as found)`. What stands there may not be another value: `12 (0x12)` is two numbers.
    pub(super) fn without_remark<V: PartialEq, E>(
        &mut self,
        cell: &Cell,
        read: impl Fn(&str) -> Result<V, E>,
    ) -> Option<V> {
        let (bare, remark) = cell.text.strip_suffix(')')?.split_once('(')?;
        let value = read(bare.trim()).ok()?;
        if read(remark.trim()).is_ok_and(|other| other != value) {
            return None;
        }
        self.remarks.push(cell.clone());
        Some(value)
    }
}
