//! What a photograph does to a list: letters for digits in numbers, lost lines, lost digits.

use super::lookalike::{are_similar, as_numbers};
use super::readings::Reading;
use super::{At, Declared, Subject, Topic};
use crate::field::{Field, Form};
use crate::fold::Folded;
use crate::phrase::one_of;
use crate::source::{Cell, Origin};
use crate::statement::{Doubtful, Setting};
use crate::value::{Address, Value};
use coldcheck_core::rules::RuleId;

/// Words for a list that was read from a picture.
const PICTURES: &[&str] = &["photograph", "photo", "picture", "scan", "camera", "image"];

/// Whether a setting says that the list was read from a picture.
pub(super) fn says_photograph(setting: &Setting) -> bool {
    let key = Folded::of(&setting.key.text);
    let value = Folded::of(&setting.value.text);
    Field::ListCameFrom.keys().iter().any(|word| key.is(word))
        && PICTURES.iter().any(|word| value.after(word).is_some())
}

/// What became of a text in which letters may stand for digits.
pub(super) enum Reread<T> {
    /// It is no number either way.
    NoNumber,
    /// Several numbers fit.
    Several,
    /// One fits.
    One(T),
}

/// Fewer units than this give no sequence.
const FEWEST_IN_SEQUENCE: usize = 3;

impl Declared {
    /// Cells that could be read in more than one way, or not at all.
    pub(super) fn ask_about_doubtful(&mut self, doubtful: &[Doubtful]) {
        for Doubtful { cell, readings } in doubtful {
            let quoted: Vec<String> =
                readings.iter().map(|reading| format!("\u{201c}{reading}\u{201d}")).collect();
            let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
            let says = match quoted.as_slice() {
                [] => "what stands here? It could not be read".to_owned(),
                [one] => format!("does this say {one}? It was not read with confidence"),
                [_, _, ..] => format!("does this say {}?", one_of(&quoted)),
            };
            self.ask(
                cell.origin,
                says,
                "look at the sheet, leave what stands there, drop the question mark",
            );
        }
    }

    /// A name that nobody knows is no finding where the sheet itself doubts what stands there: the
    /// question about the cell is the same one.
    pub(super) fn leave_names_in_doubt(&mut self, cells: &[Origin]) {
        let is_in_doubt = |origin: &Origin| {
            cells.iter().any(|cell| {
                cell.sheet == origin.sheet && cell.start <= origin.start && origin.end <= cell.end
            })
        };
        let before = self.readings.len();
        self.readings.retain(|reading| {
            reading.rule != RuleId::LabelUnknownUnit || !reading.origins.iter().all(is_in_doubt)
        });
        if self.readings.len() < before {
            self.unread.push((RuleId::LabelUnknownUnit, "a name was not read with confidence"));
        }
    }

    /// A number in a photographed list in which letters stand for digits: noted, and read if only
    /// one reading makes sense.
    pub(super) fn photographed_number<T>(
        &mut self,
        subject: Subject,
        cell: &Cell,
        read: impl Fn(&str) -> Option<T>,
    ) -> Reread<T> {
        if !self.photographed {
            return Reread::NoNumber;
        }
        let mut fits: Vec<_> = as_numbers(&cell.text)
            .into_iter()
            .filter_map(|(text, rule)| Some((read(&text)?, text, rule)))
            .collect();
        let Some((_, _, rule)) = fits.first() else { return Reread::NoNumber };
        let reading = Reading::new(*rule, vec![cell.origin]).at(At::Subject(subject));
        let reading = reading.value(&cell.text);
        match fits.pop() {
            Some((value, text, _)) if fits.is_empty() => {
                self.found(reading.wanted(Some(text)));
                Reread::One(value)
            }
            Some(_) | None => {
                self.found(reading);
                Reread::Several
            }
        }
    }

    /// Numbers of any form, in a photographed list.
    pub(super) fn photographed_value(
        &mut self,
        subject: Subject,
        field: Field,
        cell: &Cell,
    ) -> Reread<Value> {
        match field.form() {
            Form::Whole(..)
            | Form::Address
            | Form::Version
            | Form::Length
            | Form::Resistance
            | Form::BitRate
            | Form::Current
            | Form::Capacity
            | Form::Ratio
            | Form::Frequency
            | Form::Milliseconds
            | Form::Voltage
            | Form::Switches
            | Form::Pins => {}
            Form::Choice(_)
            | Form::Name
            | Form::Serial
            | Form::Conductors
            | Form::Bonds
            | Form::Arrays
            | Form::Measured(_)
            | Form::Section
            | Form::Supply
            | Form::Strings
            | Form::Text => return Reread::NoNumber,
        }
        let read = |text: &str| crate::value::parse(field.form(), text).ok();
        self.photographed_number(subject, cell, read)
    }

    /// Rules about photographs say nothing about a list that was typed.
    pub(super) fn leave_out_photographs(&mut self) {
        use RuleId::{
            PhotoDigitDropped, PhotoEightLetterB, PhotoFiveLetterS, PhotoOneLetterL,
            PhotoSimilarDigits, PhotoZeroLetterO,
        };
        if self.photographed {
            return;
        }
        for rule in [
            PhotoZeroLetterO,
            PhotoOneLetterL,
            PhotoEightLetterB,
            PhotoFiveLetterS,
            PhotoDigitDropped,
            PhotoSimilarDigits,
        ] {
            self.unread(rule, "no sheet says that the list came from a photograph");
        }
    }

    /// Whether as many rows were read as the list is said to have.
    pub(super) fn compare_rows(&mut self) {
        let stated = self.number(Subject::Group, Field::RowsListed);
        let origins = self.origins(Subject::Group, Field::RowsListed);
        let Some(stated) = stated.and_then(|stated| usize::try_from(stated).ok()) else {
            if self.photographed {
                let why =
                    "nobody says how many lines the photographed list has (write: rows = \u{2026})";
                self.unread(RuleId::PhotoDigitDropped, why);
            }
            return;
        };
        // Of one list or of all of them.
        let all = self.rows_read.values().sum::<usize>().saturating_sub(self.rows_again);
        if all == stated || self.rows_read.values().any(|rows| *rows == stated) {
            return;
        }
        // A line that was lost may be any cable.
        self.rows_lost = all < stated;
        let (read, expected) = (format!("{all} lines"), format!("{stated} lines"));
        if self.photographed {
            let reading = Reading::new(RuleId::PhotoDigitDropped, origins);
            self.found(reading.value(read).wanted(Some(expected)));
        } else if let Some(origin) = origins.first() {
            self.ask(
                *origin,
                format!("the cable list is said to have {expected}, and {read} were read"),
                "count the lines of the list, and correct the list or this number",
            );
        }
    }

    /// Addresses of a photographed list that follow the numbers of the units but for one, which
    /// another unit has too: a digit of it was lost, or taken for another.
    pub(super) fn compare_addresses(&mut self) {
        if !self.photographed {
            return;
        }
        let no_sequence = "there are no addresses that follow the numbers of three units or more";
        if self.units.len() < FEWEST_IN_SEQUENCE {
            self.unread(RuleId::PhotoSimilarDigits, no_sequence);
            return;
        }
        let addresses: Option<Vec<(i64, Address)>> = (0..self.units.len())
            .map(|unit| {
                let number = i64::from(self.units[unit].number?);
                let Value::Address(address) = self.agreed(Subject::Unit(unit), Field::Address)?
                else {
                    return None;
                };
                (address.base == 10).then_some((number, *address))
            })
            .collect();
        let Some(addresses) = addresses else {
            self.unread(RuleId::PhotoSimilarDigits, no_sequence);
            return;
        };
        let offset = |(number, address): &(i64, Address)| i64::from(address.number) - number;
        let mut odd = Vec::new();
        for (unit, own) in addresses.iter().enumerate() {
            let mut others = addresses.iter().enumerate().filter(|(other, _)| *other != unit);
            let Some((_, first)) = others.next() else { return };
            if others.all(|(_, other)| offset(other) == offset(first))
                && offset(first) != offset(own)
            {
                odd.push((unit, own.0 + offset(first)));
            }
        }
        let [(unit, expected)] = odd.as_slice() else { return };
        let (unit, read) = (*unit, addresses[*unit].1.number);
        let taken = addresses.iter().filter(|(_, address)| address.number == read).count() > 1;
        let Some(expected) = u16::try_from(*expected).ok().filter(|_| taken) else { return };
        let Some(rule) = slip(&read.to_string(), &expected.to_string()) else { return };
        let origins = self.origins(Subject::Unit(unit), Field::Address);
        let reading = Reading::new(rule, origins.clone()).at(At::Subject(Subject::Unit(unit)));
        self.found(reading.value(read.to_string()).wanted(Some(expected.to_string())));
        self.read_as(unit, expected, &origins);
    }

    /// Takes the expected address in place of the one that was read, until a person confirms it.
    fn read_as(&mut self, unit: usize, expected: u16, origins: &[Origin]) {
        let topic = Topic::Field(Field::Address);
        self.facts.remove(&(Subject::Unit(unit), topic));
        for origin in origins {
            let value = Value::Address(Address { number: expected, base: 10 });
            self.say(Subject::Unit(unit), topic, value, *origin);
        }
    }
}

/// The rule about a slip that makes one number of the other: a digit left out, a digit taken for a
/// similar one, or the last digit for the one before it.
fn slip(read: &str, meant: &str) -> Option<RuleId> {
    let (read, meant): (Vec<char>, Vec<char>) = (read.chars().collect(), meant.chars().collect());
    if read.len() + 1 == meant.len() {
        let dropped = (0..meant.len()).any(|lost| {
            let kept = meant.iter().enumerate().filter(|(at, _)| *at != lost);
            kept.map(|(_, digit)| *digit).eq(read.iter().copied())
        });
        return dropped.then_some(RuleId::PhotoDigitDropped);
    }
    if read.len() != meant.len() {
        return None;
    }
    let mut differing = (0..read.len()).filter(|at| read[*at] != meant[*at]);
    let (at, None) = (differing.next()?, differing.next()) else { return None };
    let repeated = at > 0 && at + 1 == read.len() && read[at] == read[at - 1];
    (are_similar(read[at], meant[at]) || repeated).then_some(RuleId::PhotoSimilarDigits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_digit_makes_a_slip_and_two_do_not() {
        assert_eq!(slip("2", "12"), Some(RuleId::PhotoDigitDropped));
        assert_eq!(slip("1", "7"), Some(RuleId::PhotoSimilarDigits));
        assert_eq!(slip("11", "12"), Some(RuleId::PhotoSimilarDigits));
        assert_eq!(slip("2", "3"), None);
        assert_eq!(slip("12", "21"), None);
        assert_eq!(slip("1", "123"), None);
    }
}
