//! Quantities of the power side, the supply, and strings of solar modules, as people write them.

use crate::fold::Folded;
use std::fmt;

/// What is measured, and so in which units it may be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// A temperature: degrees Celsius, or Fahrenheit.
    Temperature,
    /// A resistance, down to millionths of an ohm.
    Resistance,
    /// A power: volt-amperes; watts count as volt-amperes.
    Power,
    /// A part of the whole, in percent.
    Percent,
    /// A temperature coefficient in percent per kelvin.
    PercentPerKelvin,
    /// A temperature coefficient in volts per kelvin.
    VoltsPerKelvin,
    /// A current up to that of a fault: amperes and kiloamperes.
    Current,
    /// How many times its rating.
    Times,
}

/// A number and what it measures, in millionths of the unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Measured {
    /// What it measures.
    pub measure: Measure,
    /// Millionths of the measure's unit.
    pub micro: i64,
}

const MICRO: f64 = 1e6;

impl Measured {
    /// The number in the measure's unit.
    #[allow(clippy::cast_precision_loss, reason = "below 2^53 by the check of what is written")]
    pub fn number(self) -> f64 {
        self.micro as f64 / MICRO
    }
}

impl Measure {
    /// The unit in words that read back.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Temperature => "C",
            Self::Resistance => "ohm",
            Self::Power => "VA",
            Self::Percent => "%",
            Self::PercentPerKelvin => "%/K",
            Self::VoltsPerKelvin => "V/K",
            Self::Current => "A",
            Self::Times => "x",
        }
    }

    /// Other words for the unit, each with how many of it they are. Small and capital letters are
    /// alike but for an `m` in front of a unit, which is a thousandth or a million.
    const fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Temperature => &[("c", 1.0), ("\u{b0}c", 1.0), ("deg c", 1.0), ("degc", 1.0)],
            Self::Resistance => &[
                ("ohm", 1.0),
                ("ohms", 1.0),
                ("\u{3c9}", 1.0),
                ("mohm", 1e-3),
                ("m\u{3c9}", 1e-3),
                ("milliohm", 1e-3),
                ("Milliohm", 1e-3),
                ("uohm", 1e-6),
                ("\u{b5}ohm", 1e-6),
                ("\u{3bc}\u{3c9}", 1e-6),
            ],
            Self::Power => &[
                ("va", 1.0),
                ("kva", 1e3),
                ("MVA", 1e6),
                ("mVA", 1e-3),
                ("w", 1.0),
                ("kw", 1e3),
                ("MW", 1e6),
                ("mW", 1e-3),
            ],
            Self::Percent => &[("%", 1.0), ("percent", 1.0)],
            Self::PercentPerKelvin => {
                &[("%/k", 1.0), ("%/c", 1.0), ("%/\u{b0}c", 1.0), ("percent/k", 1.0)]
            }
            Self::VoltsPerKelvin => {
                &[("v/k", 1.0), ("v/c", 1.0), ("v/\u{b0}c", 1.0), ("mv/k", 1e-3), ("mv/c", 1e-3)]
            }
            Self::Current => &[("a", 1.0), ("amps", 1.0), ("ka", 1e3)],
            Self::Times => &[("x", 1.0), ("times", 1.0), ("\u{d7}", 1.0), ("in", 1.0)],
        }
    }

    /// What is expected, for error messages.
    pub fn phrase(self) -> String {
        match self {
            Self::Temperature => "a temperature such as 40 C or -10 C",
            Self::Resistance => "a resistance such as 20 mohm or 0.5 ohm",
            Self::Power => "a power such as 9.6 kVA or 8000 W",
            Self::Percent => "a part such as 94 %",
            Self::PercentPerKelvin | Self::VoltsPerKelvin => {
                "a coefficient below zero such as -0.27 %/K or -116 mV/K"
            }
            Self::Current => "a current such as 250 A or 20 kA",
            Self::Times => "a multiple of the rating such as 10 x",
        }
        .to_owned()
    }

    /// The least and the most that makes sense, in the unit.
    const fn range(self) -> (f64, f64) {
        match self {
            Self::Temperature => (-90.0, 200.0),
            Self::Resistance | Self::Times => (0.0, 1e6),
            Self::Power | Self::Current => (0.0, 1e9),
            Self::Percent => (1.0, 100.0),
            // Every module gives less in the heat; a sign that is left out must not pass.
            Self::PercentPerKelvin | Self::VoltsPerKelvin => (-10.0, -1.0 / MICRO),
        }
    }
}

impl fmt::Display for Measured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.micro < 0 { "-" } else { "" };
        let whole = self.micro.unsigned_abs();
        let number = format!("{}.{:06}", whole / 1_000_000, whole % 1_000_000);
        let number = number.trim_end_matches('0').trim_end_matches('.');
        write!(f, "{sign}{number} {}", self.measure.unit())
    }
}

/// A quantity as it is written. A coefficient may be in either of its units.
pub(super) fn measured(text: &str, measure: Measure) -> Option<Measured> {
    let other = (measure == Measure::PercentPerKelvin).then_some(Measure::VoltsPerKelvin);
    in_unit_of(text, measure).or_else(|| in_unit_of(text, other?))
}

fn in_unit_of(text: &str, measure: Measure) -> Option<Measured> {
    let (number, unit) = number(text)?;
    let lower = unit.to_lowercase();
    let number = if measure == Measure::Temperature && matches!(lower.as_str(), "f" | "\u{b0}f") {
        (number - 32.0) / 1.8
    } else {
        let prefix = |text: &str| text.chars().next().filter(|sign| matches!(sign, 'm' | 'M'));
        // `mw` could be either; `mohm` and `mv/k` are written so.
        let is_either = |word: &str| {
            prefix(word).is_some()
                && word.chars().skip(1).all(|letter| !letter.is_lowercase())
                && word != unit
        };
        let is = |word: &str| {
            word.to_lowercase() == lower && prefix(word) == prefix(&unit) && !is_either(word)
        };
        number * measure.units().iter().find(|(word, _)| is(word))?.1
    };
    let (least, most) = measure.range();
    if !(least..=most).contains(&number) {
        return None;
    }
    #[allow(clippy::cast_possible_truncation, reason = "within the range, so below 2^53")]
    let micro = (number * MICRO).round() as i64;
    Some(Measured { measure, micro })
}

/// A number with point or comma, perhaps below zero, and the unit behind it as it is written.
fn number(text: &str) -> Option<(f64, String)> {
    let text = text.trim().replace(['\u{2212}', '\u{2013}'], "-");
    let end = text
        .char_indices()
        .find(|(at, c)| !(c.is_ascii_digit() || matches!(c, '.' | ',') || *at == 0 && *c == '-'))
        .map_or(text.len(), |(at, _)| at);
    let (digits, unit) = text.split_at(end);
    let digits = digits.replace(',', ".");
    if digits.ends_with('.') || !digits.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    Some((digits.parse().ok()?, unit.trim().to_owned()))
}

/// How the supply is made up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum System {
    /// Two legs opposed to each other and a neutral between them.
    SplitPhase,
    /// One line and neutral.
    SinglePhase,
    /// Three lines.
    ThreePhase,
}

impl System {
    /// The words for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SplitPhase => "split-phase",
            Self::SinglePhase => "single-phase",
            Self::ThreePhase => "three-phase",
        }
    }
}

/// The supply: how it is made up, and its volts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Supply {
    /// How it is made up.
    pub system: System,
    /// From a line to neutral, in thousandths of a volt; 0 if only the other one is written.
    pub to_neutral: u32,
    /// From line to line, in thousandths of a volt; of a single line that to neutral again.
    pub between_lines: u32,
}

impl Supply {
    /// Volts from a line to neutral.
    pub fn volts_to_neutral(self) -> f64 {
        let between = f64::from(self.between_lines) / 1000.0;
        match (self.to_neutral, self.system) {
            (0, System::SplitPhase) => between / 2.0,
            (0, System::ThreePhase) => between / 3f64.sqrt(),
            (0, System::SinglePhase) => between,
            (volts, _) => f64::from(volts) / 1000.0,
        }
    }

    /// Volts from line to line.
    pub fn volts_between_lines(self) -> f64 {
        f64::from(self.between_lines) / 1000.0
    }
}

impl fmt::Display for Supply {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ", self.system.word())?;
        if self.to_neutral > 0 {
            write!(f, "{}/", crate::words::thousandths(self.to_neutral))?;
        }
        write!(f, "{} V", crate::words::thousandths(self.between_lines))
    }
}

/// `split-phase 120/240 V`, `single-phase 230 V`, `three-phase 400 V`.
pub(super) fn supply(text: &str) -> Result<Supply, String> {
    let expected = || {
        "what the supply is: split-phase 120/240 V, single-phase 230 V, or three-phase 230/400 V"
            .to_owned()
    };
    let at = text.find(|c: char| c.is_ascii_digit()).ok_or_else(expected)?;
    let (words, volts) = text.split_at(at);
    let words = Folded::of(words);
    let system = [
        (System::SplitPhase, &["split phase", "two legs"][..]),
        (System::SinglePhase, &["single phase", "one phase"][..]),
        (System::ThreePhase, &["three phase", "3 phase"][..]),
    ]
    .into_iter()
    .find(|(_, others)| others.iter().any(|other| words.is(other)))
    .map(|(system, _)| system)
    .ok_or_else(expected)?;
    let read = |text: &str| {
        let text = text.trim().trim_end_matches(['y', 'Y']);
        super::scaled(text, &["v", "volt", "volts", ""], 1000).filter(|volts| *volts > 0)
    };
    let (low, high) = match volts.split_once('/') {
        Some((one, other)) => {
            let (one, other) = (read(one).ok_or_else(expected)?, read(other).ok_or_else(expected)?);
            (one.min(other), one.max(other))
        }
        None => (0, read(volts).ok_or_else(expected)?),
    };
    if system == System::SinglePhase && low > 0 {
        return Err(expected());
    }
    Ok(Supply { system, to_neutral: low, between_lines: high })
}

/// Strings that stand beside each other at one solar input.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Strings {
    /// The array; empty for every array that is not named.
    pub array: Folded,
    /// Modules in a row.
    pub modules: u16,
    /// Strings beside each other.
    pub parallel: u16,
}

/// `10`, `10 x 2`, `roof south 10 x 2; roof west 9`.
pub(super) fn strings(text: &str) -> Result<Vec<Strings>, String> {
    const EXPECTED: &str = "modules in a string, and how many strings stand beside each other at \
                            an input: 10; 10 x 2; roof south 10 x 2; roof west 9";
    let mut all: Vec<Strings> = Vec::new();
    for part in text.split([';', ',']).map(str::trim).filter(|part| !part.is_empty()) {
        let part = part.replace('\u{d7}', "x");
        let (head, parallel) = match part.rsplit_once(" x ") {
            Some((head, parallel)) => (head, parallel.trim().parse().map_err(|_| EXPECTED)?),
            None => (part.as_str(), 1),
        };
        let (array, modules) = head.rsplit_once(' ').unwrap_or(("", head));
        let modules = modules.parse().map_err(|_| EXPECTED)?;
        let array = Folded::of(array);
        let again = all.iter().any(|other| other.array == array);
        if modules == 0 || parallel == 0 || modules > 100 || parallel > 100 || again {
            return Err(EXPECTED.to_owned());
        }
        all.push(Strings { array, modules, parallel });
    }
    all.sort();
    if all.is_empty() { Err(EXPECTED.to_owned()) } else { Ok(all) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_as_people_write_them() {
        for (text, measure, micro) in [
            ("40 C", Measure::Temperature, 40_000_000),
            ("-10 \u{b0}C", Measure::Temperature, -10_000_000),
            ("\u{2212}10 C", Measure::Temperature, -10_000_000),
            ("14 F", Measure::Temperature, -10_000_000),
            ("20 mohm", Measure::Resistance, 20_000),
            ("0,5 ohm", Measure::Resistance, 500_000),
            ("9.6 kW", Measure::Power, 9_600_000_000),
            ("94 %", Measure::Percent, 94_000_000),
            ("-0.27 %/K", Measure::PercentPerKelvin, -270_000),
            ("-116 mV/K", Measure::VoltsPerKelvin, -116_000),
            ("20 kA", Measure::Current, 20_000_000_000),
            ("10x", Measure::Times, 10_000_000),
            ("500 mW", Measure::Power, 500_000),
            ("500 mVA", Measure::Power, 500_000),
            ("1 MVA", Measure::Power, 1_000_000_000_000),
            ("8 KVA", Measure::Power, 8_000_000_000),
        ] {
            let found = measured(text, measure).expect(text);
            assert_eq!(found.micro, micro, "{text}");
            assert_eq!(measured(&found.to_string(), measure), Some(found), "{text}");
        }
        for (text, measure) in [
            ("40", Measure::Temperature),
            ("400 C", Measure::Temperature),
            ("-1 ohm", Measure::Resistance),
            ("0 %", Measure::Percent),
            ("1. A", Measure::Current),
            ("- A", Measure::Current),
            // Thousandths or millions: nobody can tell.
            ("500 mw", Measure::Power),
            ("20 Mohm", Measure::Resistance),
            ("20 MOHM", Measure::Resistance),
            ("-116 MV/K", Measure::PercentPerKelvin),
            // Without its sign a coefficient says that cold lowers the voltage.
            ("0.27 %/K", Measure::PercentPerKelvin),
            ("0 %/K", Measure::PercentPerKelvin),
            ("116 mV/K", Measure::PercentPerKelvin),
        ] {
            assert_eq!(measured(text, measure), None, "{text}");
        }
    }

    #[test]
    fn a_supply_reads_back_from_its_words() {
        for text in ["split-phase 120/240 V", "single-phase 230 V", "three-phase 120/208 V"] {
            assert_eq!(supply(text).map(|supply| supply.to_string()), Ok(text.to_owned()));
        }
        let wye = supply("three-phase 208Y/120").expect("a supply");
        assert!((wye.volts_to_neutral() - 120.0).abs() < 1e-9);
        let plain = supply("three phase 400 V").expect("a supply");
        assert!((plain.volts_to_neutral() - 230.940_107_7).abs() < 1e-6);
        for text in ["240 V", "split-phase", "single-phase 120/240 V", "two-phase 240 V"] {
            assert!(supply(text).is_err(), "{text}");
        }
    }

    #[test]
    fn strings_are_of_all_arrays_or_of_named_ones() {
        let one = |array: &str, modules, parallel| Strings {
            array: Folded::of(array),
            modules,
            parallel,
        };
        assert_eq!(strings("10"), Ok(vec![one("", 10, 1)]));
        assert_eq!(strings("10 x 2"), Ok(vec![one("", 10, 2)]));
        let named = vec![one("roof south", 10, 2), one("roof west", 9, 1)];
        assert_eq!(strings("roof west 9; roof south 10 x 2"), Ok(named));
        for text in ["", "ten", "0", "10 x 0", "10; 9", "roof 10; roof 9"] {
            assert!(strings(text).is_err(), "{text}");
        }
    }
}
