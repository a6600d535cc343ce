//! Values as words that read back to the same value.

use crate::declared::{Declared, Fact};
use crate::field::{Field, Form};
use crate::read::ReadError;
use crate::site_file::Entry;
use crate::value::{self, Bond, Pole, Strings, Value};
use crate::words;
use coldcheck_core::plan::{BondPlace, OperatingState};
use coldcheck_core::units::{MilliRatio, Millimetres};

/// A fact in words.
pub(crate) fn words_of(declared: &Declared, field: Field, fact: &Fact) -> Option<String> {
    let written = fact.origins.first().and_then(|origin| declared.quotable(*origin));
    text(field.form(), &fact.value, written)
}

/// The line that states a fact.
pub(super) fn entry(declared: &Declared, field: Field, fact: &Fact) -> Result<Entry, ReadError> {
    words_of(declared, field, fact).map(|text| Entry::new(field.key(), text)).ok_or_else(|| {
        ReadError::file(
            "the site file",
            format!("there are no words for the {} that the sheets state", field.key()),
            "a value that can be written on one line",
        )
    })
}

/// What a fact says, for people: as it would be written down again, else as the sheet has it.
pub(crate) fn said(declared: &Declared, field: Field, fact: &Fact) -> String {
    let written = || fact.origins.first().and_then(|origin| declared.quotable(*origin));
    words_of(declared, field, fact)
        .or_else(|| written().map(ToOwned::to_owned))
        .unwrap_or_else(|| "not readable".to_owned())
}

/// The first spelling that reads back to the value: one and the same for closed words and
/// quantities, the person's own for names.
pub(crate) fn text(form: Form, value: &Value, written: Option<&str>) -> Option<String> {
    let canonical = canonical(form, value);
    let written = written.map(ToOwned::to_owned);
    let spellings = if is_one_spelling(value) {
        [canonical, written, None]
    } else if let Value::Version(Err(name)) = value {
        // One that is told apart by the zeros in front of its numbers.
        [written, canonical, Some(name.as_str().replace(' ', "."))]
    } else {
        [written, canonical, None]
    };
    spellings.into_iter().flatten().find(|text| {
        let back = value::parse(form, text);
        // An address is equal in every base, and the base is a fact of its own.
        let base = |value: &Value| {
            if let Value::Address(address) = value { Some(address.base) } else { None }
        };
        back.as_ref() == Ok(value) && back.ok().as_ref().and_then(base) == base(value)
    })
}

/// Whether it is written the same whatever the sheet has.
const fn is_one_spelling(value: &Value) -> bool {
    matches!(
        value,
        Value::Number(_)
            | Value::Address(_)
            | Value::Text(_)
            | Value::Measured(_)
            | Value::Section(_)
            | Value::Supply(_)
    )
}

#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "a new kind of value is written as the sheet has it until someone gives it words"
)]
fn canonical(form: Form, value: &Value) -> Option<String> {
    Some(match value {
        Value::Number(number) => number_text(form, *number)?,
        Value::Address(address) if address.base == 16 => format!("0x{:X}", address.number),
        Value::Address(address) => address.number.to_string(),
        Value::Name(name) | Value::Version(Err(name)) => name.to_string(),
        Value::AmpereHours(charge) => format!("{} Ah", words::thousandths(*charge)),
        Value::Nothing => "none".to_owned(),
        Value::Version(Ok(parts)) => parts.map(|part| part.to_string()).join("."),
        Value::Text(text) => text.clone(),
        Value::Measured(measured) => measured.to_string(),
        Value::Section(section) => section.to_string(),
        Value::Supply(supply) => supply.to_string(),
        other => list(other)?,
    })
}

/// Values of several parts, the parts behind semicolons.
fn list(value: &Value) -> Option<String> {
    let parts: Vec<String> = if let Value::Conductors(conductors) = value {
        conductors.iter().map(|one| format!("{}->{}", pole(one.pole), one.to)).collect()
    } else if let Value::Bonds(bonds) = value {
        if bonds.is_empty() {
            return Some("none".to_owned());
        }
        bonds.iter().map(bond).collect()
    } else if let Value::Arrays(arrays) = value {
        if arrays.is_empty() {
            return Some("none".to_owned());
        }
        arrays.iter().map(|(array, unit)| format!("{array} -> {unit}")).collect()
    } else if let Value::Strings(strings) = value {
        strings.iter().map(string_words).collect()
    } else {
        return None;
    };
    Some(parts.join("; "))
}

#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "a new form is written as the sheet has it until someone gives it one spelling"
)]
fn number_text(form: Form, number: u32) -> Option<String> {
    Some(match form {
        Form::Choice(vocabulary) => vocabulary.word(number)?.to_owned(),
        Form::Whole(..) => number.to_string(),
        Form::Milliseconds => format!("{number} ms"),
        Form::Length => words::length(Millimetres(number)),
        Form::Resistance => format!("{number} ohm"),
        Form::BitRate => words::bit_rate(number),
        Form::Current => format!("{} A", words::thousandths(number)),
        Form::Capacity => format!("{number} Wh"),
        Form::Ratio => words::ratio(MilliRatio(number)),
        Form::Frequency => format!("{} Hz", words::thousandths(number)),
        Form::Voltage => format!("{} V", words::thousandths(number)),
        Form::Switches => {
            (0..number >> 16).map(|bit| if number >> bit & 1 == 0 { '0' } else { '1' }).collect()
        }
        Form::Pins => words::numbered(number, 1),
        _ => return None,
    })
}

fn string_words(strings: &Strings) -> String {
    let Strings { array, modules, parallel } = strings;
    let own = format!("{modules} x {parallel}");
    if array.is_empty() { own } else { format!("{array} {own}") }
}

/// A pole in words.
pub(crate) const fn pole(pole: Pole) -> &'static str {
    match pole {
        Pole::L1 => "L1",
        Pole::L2 => "L2",
        Pole::L3 => "L3",
        Pole::N => "N",
        Pole::Earth => "PE",
    }
}

/// A place where neutral and earth are joined, and when.
pub(crate) fn bond(bond: &Bond) -> String {
    let all = OperatingState::WORDS.iter().fold(0, |all, (_, code)| all | code);
    let is_fixed = bond.stated == all && bond.closed == all;
    let mut states: Vec<_> = OperatingState::WORDS
        .iter()
        .filter(|(_, code)| bond.stated & code != 0)
        .map(|(word, code)| {
            let verb = if bond.closed & code == 0 { "open" } else { "closed" };
            format!("{verb} on {word}")
        })
        .collect();
    if is_fixed {
        states = vec!["fixed".to_owned()];
    }
    let side = matches!(bond.kind, BondPlace::BeforeChangeover | BondPlace::BehindChangeover);
    states.extend(side.then(|| bond.kind.word().to_owned()));
    let place = &bond.place;
    if states.is_empty() { place.to_string() } else { format!("{place} ({})", states.join(", ")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_has_words_for_a_value_of_its_form() {
        // What people write, for each form; a form without an example here is caught below.
        let samples = [
            "2",
            "0x0A",
            "rack B",
            "V1.9.0",
            "2024-03-B",
            "1.5 m",
            "6 ft",
            "120 ohm",
            "19200",
            "500 kbit/s",
            "80 A",
            "0.5 A",
            "5.1 kWh",
            "2000:1",
            "100/5",
            "straight",
            "L->bar L2; N->bar N",
            "main board (fixed); unit 1 relay (closed on island, open on supply)",
            "none",
            "roof south -> unit 1; roof west -> unit 2",
            "50 Hz",
            "54.4 V",
            "on off off on",
            "1, 2, 3",
            "40 C",
            "20 mohm",
            "94 %",
            "-0.27 %/K",
            "8000 VA",
            "20 kA",
            "10 x",
            "2 x 1/0 AWG",
            "split-phase 120/240 V",
            "roof south 10 x 2; roof west 9",
            "any words at all",
        ];
        for field in Field::ALL {
            let words: Vec<&str> = if let Form::Choice(vocabulary) = field.form() {
                vocabulary.words().collect()
            } else {
                samples.to_vec()
            };
            let mut seen = 0;
            for word in words {
                let Ok(value) = value::parse(field.form(), word) else { continue };
                seen += 1;
                let with = text(field.form(), &value, Some(word));
                assert!(with.is_some(), "{field:?}: no words for {value:?}");
                let again = value::parse(field.form(), &with.expect("words"));
                assert_eq!(again.as_ref(), Ok(&value), "{field:?}");
            }
            assert!(seen > 0, "{field:?} takes none of the samples; add one");
        }
    }

    #[test]
    fn a_version_has_words_without_the_sheet() {
        for words in ["1.010", "2024-03-B", "2-14", "2.", "v3.07.2"] {
            let value = value::parse(Form::Version, words).expect("a version");
            let text = text(Form::Version, &value, None).expect("words");
            assert_eq!(value::parse(Form::Version, &text), Ok(value), "{words}: {text}");
        }
    }

    #[test]
    fn the_base_of_an_address_is_kept() {
        let value = value::parse(Form::Address, "0x0a").expect("an address");
        assert_eq!(text(Form::Address, &value, None).as_deref(), Some("0xA"));
    }

    #[test]
    fn a_bond_can_be_written_without_the_sheet() {
        for words in [
            "main board (fixed)",
            "main board (fixed, before the changeover)",
            "meter box (load side)",
            "sub board",
            "unit 1 relay (closed on island, open on supply)",
        ] {
            let value = value::parse(Form::Bonds, words).expect("bonds");
            let again = text(Form::Bonds, &value, None).expect("a spelling");
            assert_eq!(value::parse(Form::Bonds, &again), Ok(value), "{words}: {again}");
        }
    }
}
