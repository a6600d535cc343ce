//! Values as people write them, and what the tool makes of them.

mod bonds;
mod conductors;
mod exceptions;
mod measured;
pub(crate) mod quantity;
mod section;

pub use bonds::Bond;
pub use conductors::{Conductor, Pole, is_straight};
pub use exceptions::{Exception, Exceptions, exceptions};
pub use measured::{Measure, Measured, Strings, Supply, System};
pub use quantity::{UnitSystem, bit_rate, length, ratio, resistance, scaled, unit_system};
pub use section::{Metal, Section, Size};

use crate::field::Form;
use crate::fold::Folded;
use crate::vocabulary::TERMINATOR;
use coldcheck_core::plan::Terminator;
use coldcheck_core::units::Ohms;
use std::cmp::Ordering;

/// What a fact says, in a form that can be compared.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Value {
    /// A number in the unit of the form: millimetres, ohms, milliamperes, watt hours, thousandths
    /// of a ratio, the number of a word in its vocabulary, or just a number.
    Number(u32),
    /// A charge, in thousandths of an ampere hour. Without the volts it is no energy.
    AmpereHours(u32),
    /// An address.
    Address(Address),
    /// Nothing, and said so: a unit that was given no address.
    Nothing,
    /// A name, folded.
    Name(Folded),
    /// Up to four parts of a version, or a version of another form as a name.
    Version(Result<[u8; 4], Folded>),
    /// Text as it stands.
    Text(String),
    /// Terminals and where they go, in order of the terminals.
    Conductors(Vec<Conductor>),
    /// Places where neutral and earth are joined.
    Bonds(Vec<Bond>),
    /// Arrays, and the unit that each one feeds, in the sheet's words.
    Arrays(Vec<(Folded, String)>),
    /// A quantity of the power side.
    Measured(Measured),
    /// A conductor's size, and how many of them run beside each other.
    Section(Section),
    /// What the supply is.
    Supply(Supply),
    /// Strings of solar modules.
    Strings(Vec<Strings>),
}

impl Value {
    /// The number, if it is one.
    pub const fn number(&self) -> Option<u32> {
        match self {
            Self::Number(number) => Some(*number),
            Self::AmpereHours(_)
            | Self::Address(_)
            | Self::Nothing
            | Self::Name(_)
            | Self::Version(_)
            | Self::Text(_)
            | Self::Conductors(_)
            | Self::Bonds(_)
            | Self::Arrays(_)
            | Self::Measured(_)
            | Self::Section(_)
            | Self::Supply(_)
            | Self::Strings(_) => None,
        }
    }
}

/// A number with the base it was written in. The base plays no part in whether two are equal.
#[derive(Clone, Copy, Debug, Eq)]
pub struct Address {
    /// The number.
    pub number: u16,
    /// 10 or 16.
    pub base: u8,
}

impl Address {
    /// Its digits in the base that it was written in.
    pub fn digits(&self) -> String {
        if self.base == 16 { format!("{:x}", self.number) } else { self.number.to_string() }
    }
}

impl std::fmt::Display for Address {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let prefix = if self.base == 16 { "0x" } else { "" };
        write!(f, "{prefix}{}", self.digits())
    }
}

impl PartialEq for Address {
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

impl PartialOrd for Address {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Address {
    fn cmp(&self, other: &Self) -> Ordering {
        self.number.cmp(&other.number)
    }
}

/// Reads a value of this form, or says what was expected.
pub fn parse(form: Form, text: &str) -> Result<Value, String> {
    match form {
        Form::Choice(vocabulary) => vocabulary
            .code(&Folded::of(text))
            .map(|code| Value::Number(code.into()))
            .ok_or_else(|| vocabulary.phrase()),
        Form::Whole(least, most) => text
            .parse::<u32>()
            .ok()
            .filter(|number| (least..=most).contains(number))
            .map(Value::Number)
            .ok_or_else(|| format!("a whole number from {least} to {most}")),
        Form::Address if is_nothing(text) => Ok(Value::Nothing),
        Form::Address => address(text)
            .map(Value::Address)
            .ok_or_else(|| "a number from 0 to 65535, decimal or with 0x in front".to_owned()),
        Form::Name => {
            // A remark in brackets is no part of a name.
            let name = Folded::of(text.split('(').next().unwrap_or(text));
            if name.is_empty() {
                Err("a name of letters or numbers".to_owned())
            } else {
                Ok(Value::Name(name))
            }
        }
        Form::Serial => Ok(Value::Name(Folded::of(text))),
        Form::Version => {
            version(text).map(Value::Version).ok_or_else(|| "a version such as 2.14".to_owned())
        }
        Form::Length => length(text, None)
            .map(|length| Value::Number(length.0))
            .ok_or_else(|| "a length with its unit, such as 1.5 m, 80 cm or 6 ft".to_owned()),
        Form::Resistance => resistance(text)
            .map(|ohms| Value::Number(ohms.0.into()))
            .ok_or_else(|| "a resistance such as 120 ohm".to_owned()),
        Form::BitRate => bit_rate(text)
            .map(|rate| Value::Number(rate.0))
            .ok_or_else(|| "a bit rate such as 500 kbit/s".to_owned()),
        Form::Current => scaled(text, &["a", "amp", "amps", "ampere", "amperes"], 1000)
            .map(Value::Number)
            .ok_or_else(|| "a current such as 80 A".to_owned()),
        Form::Capacity => scaled(text, &["kwh"], 1000)
            .or_else(|| scaled(text, &["wh"], 1))
            .map(Value::Number)
            .or_else(|| scaled(text, &["ah"], 1000).map(Value::AmpereHours))
            .ok_or_else(|| "a capacity such as 5.1 kWh or 100 Ah".to_owned()),
        Form::Ratio => ratio(text)
            .map(|ratio| Value::Number(ratio.0))
            .ok_or_else(|| "a ratio such as 2000:1 or 100/5".to_owned()),
        Form::Milliseconds => scaled(text, &["ms", ""], 1)
            .or_else(|| scaled(text, &["s"], 1000))
            .map(Value::Number)
            .ok_or_else(|| "a time such as 300 ms".to_owned()),
        Form::Frequency => scaled(text, &["hz", ""], 1000)
            .map(Value::Number)
            .ok_or_else(|| "a frequency such as 50 Hz".to_owned()),
        Form::Voltage => scaled(text, &["v", "volt", "volts", ""], 1000)
            .map(Value::Number)
            .ok_or_else(|| "a voltage such as 54.4 V".to_owned()),
        Form::Switches => switches(text)
            .map(Value::Number)
            .ok_or_else(|| "switches, the first one first: on off off on, or 1001".to_owned()),
        Form::Pins => pins(text)
            .map(|pins| Value::Number(pins.into()))
            .ok_or_else(|| "pins from 1 to 8 such as 1, 2, 3; or all".to_owned()),
        Form::Conductors => conductors::conductors(text).map(Value::Conductors),
        Form::Bonds => bonds::bonds(text).map(Value::Bonds),
        Form::Arrays => conductors::arrays(text).map(Value::Arrays),
        Form::Measured(measure) => {
            measured::measured(text, measure).map(Value::Measured).ok_or_else(|| measure.phrase())
        }
        Form::Section => section::section(text).map(Value::Section).ok_or_else(section::phrase),
        Form::Supply => measured::supply(text).map(Value::Supply),
        Form::Strings => measured::strings(text).map(Value::Strings),
        Form::Text => Ok(Value::Text(text.to_owned())),
    }
}

/// What people write where something was not set.
fn is_nothing(text: &str) -> bool {
    const WORDS: &[&str] = &["none", "not set", "unset", "no", "nothing", "missing", "", "blank"];
    let folded = Folded::of(text);
    WORDS.iter().any(|word| folded.is(word))
}

/// Positions of up to 16 switches: the first in the lowest bit, their number in the high half.
fn switches(text: &str) -> Option<u32> {
    let words = text.to_lowercase();
    let digits = words.chars().all(|c| c.is_ascii_digit() || c.is_whitespace());
    let positions: Option<Vec<bool>> = if digits {
        words.chars().filter(|c| !c.is_whitespace()).map(position_of_digit).collect()
    } else {
        words
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(|word| match word {
                "on" | "up" | "1" => Some(true),
                "off" | "down" | "0" => Some(false),
                _ => None,
            })
            .collect()
    };
    let positions = positions.filter(|list| (1..=16).contains(&list.len()))?;
    let bits = positions.iter().rev().fold(0u32, |bits, on| bits << 1 | u32::from(*on));
    Some(u32::try_from(positions.len()).ok()? << 16 | bits)
}

const fn position_of_digit(digit: char) -> Option<bool> {
    match digit {
        '0' => Some(false),
        '1' => Some(true),
        _ => None,
    }
}

/// Pins of an eight-pin plug as bits, pin 1 in the lowest.
pub fn pins(text: &str) -> Option<u8> {
    if ["all", "all eight", "1-8", "8", "1 to 8"].iter().any(|word| text.trim() == *word) {
        return Some(u8::MAX);
    }
    let mut bits = 0u8;
    for part in text.split([',', ';', '+', '/', '&', ' ']).filter(|part| !part.is_empty()) {
        let pin: u32 = part.parse().ok().filter(|pin| (1..=8).contains(pin))?;
        bits |= 1 << (pin - 1);
    }
    (bits != 0).then_some(bits)
}

/// A whole number, decimal or hexadecimal with `0x`.
fn address(text: &str) -> Option<Address> {
    let lower = text.trim().to_ascii_lowercase();
    let (digits, base) = match lower.strip_prefix("0x") {
        Some(digits) => (digits, 16),
        None => (lower.as_str(), 10),
    };
    // `from_str_radix` takes a sign, a person's address has none.
    if digits.starts_with(['+', '-']) {
        return None;
    }
    let number = u16::from_str_radix(digits, u32::from(base)).ok()?;
    Some(Address { number, base })
}

/// A version: up to four numbers below 256 as they are, anything else with a digit by its name.
///
/// A zero in front of a later number makes another version: only numbers of fixed width have one,
/// and there 3.02 comes before 3.2. Where the first number is padded too, all of them are.
fn version(text: &str) -> Option<Result<[u8; 4], Folded>> {
    let bare = text.trim().trim_start_matches(['v', 'V']).trim();
    let parts: Vec<&str> = bare.split('.').collect();
    let padded = |part: &&str| part.len() > 1 && part.starts_with('0');
    let by_width = !parts.first().is_some_and(padded) && parts.iter().any(padded);
    match version_numbers(parts.iter().copied()) {
        Some(_) if by_width => Some(Err(Folded::exactly(bare.trim_end_matches(".0")))),
        Some(numbers) => Some(Ok(numbers)),
        None => {
            // A sign may stand before the letter.
            let mut name = Folded::of(bare);
            while let Some(rest) = name.after("v").filter(|rest| !rest.is_empty()) {
                name = rest;
            }
            // A point or another sign before or behind one number says nothing.
            if let (Some(_), Some(numbers)) = (name.only(), plain_version(&name)) {
                return Some(Ok(numbers));
            }
            name.to_string().contains(|c: char| c.is_ascii_digit()).then_some(Err(name))
        }
    }
}

fn version_numbers<'p>(mut parts: impl Iterator<Item = &'p str>) -> Option<[u8; 4]> {
    let mut version = [0; 4];
    let (first, others) = version.split_first_mut()?;
    *first = parts.next()?.parse().ok()?;
    for slot in others {
        let Some(part) = parts.next() else { break };
        *slot = part.parse().ok()?;
    }
    parts.next().is_none().then_some(version)
}

/// The numbers of a version that stands apart from others only by the zeros in front of them.
pub fn plain_version(name: &Folded) -> Option<[u8; 4]> {
    version_numbers(name.runs())
}

/// What a unit does to terminate the link and the value of its terminator, written together:
/// `plug 120 ohm`, `on (120 ohm)`, `240 ohm`.
pub fn terminator(text: &str) -> Option<(u8, Ohms)> {
    let start = text.find(|c: char| c.is_ascii_digit())?;
    let tail = text.get(start..)?;
    let digits = tail.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
    let (number, rest) = tail.split_at(digits.unwrap_or(tail.len()));
    let rest = rest.trim_start();
    let unit = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
    let (unit, behind) = rest.split_at(unit);
    let with_unit = resistance(&format!("{number} {unit}")).filter(|_| !unit.is_empty());
    // A bare number that is no switch position is its ohms.
    let bare = || resistance(number).filter(|ohms| ohms.0 >= LEAST_OHMS).map(|ohms| (ohms, rest));
    let (ohms, behind) = with_unit.map(|ohms| (ohms, behind)).or_else(bare)?;
    let words = Folded::of(&format!("{} {behind}", text.get(..start)?));
    let words = words.without(&["terminator", "resistor", "with", "of", "a", "value", "end"]);
    let code = if words.is_empty() { Some(Terminator::On.code()) } else { TERMINATOR.code(&words) };
    Some((code?, ohms))
}

/// Below this, a bare number beside the word terminator may be a switch position.
const LEAST_OHMS: u16 = 20;

#[cfg(test)]
mod tests;
