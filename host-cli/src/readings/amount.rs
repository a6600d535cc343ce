//! What was read, and what was shown.

use crate::fold::Folded;
use crate::phrase::one_of;

/// Quantities: number, word, base unit, other words; units with their factors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Ohms between the two wires of the link.
    PairOhms,
    /// Volts between the two wires of the link.
    PairVolts,
    /// Ohms between two other places that the place names.
    Ohms,
    /// Volts.
    Volts,
    /// Amperes.
    Amperes,
    /// Hertz.
    Hertz,
    /// Seconds.
    Seconds,
    /// What an eye saw: any words.
    Seen,
    /// Why a step is left without a reading.
    Reason,
}

/// Its word, its unit, other words for it.
const WORDS: [(Quantity, &str, &str, &[&str]); 9] = [
    (Quantity::PairOhms, "pair ohms", "ohm", &["pair resistance", "ohms between h and l"]),
    (Quantity::PairVolts, "pair volts", "V", &["pair voltage", "volts between h and l"]),
    (Quantity::Ohms, "ohms", "ohm", &["resistance"]),
    (Quantity::Volts, "volts", "V", &["voltage"]),
    (Quantity::Amperes, "amperes", "A", &["current", "amps"]),
    (Quantity::Hertz, "hertz", "Hz", &["frequency"]),
    (Quantity::Seconds, "seconds", "s", &["time"]),
    (Quantity::Seen, "seen", "", &["observed"]),
    (Quantity::Reason, "reason", "", &["left without a reading"]),
];

/// Units with what each is in base units, written without regard to case but for the M of mega.
const UNITS: [(&str, &[&str], f64); 11] = [
    ("ohm", &["ohm", "ohms", "r", "Ω", "Ω", "ω"], 1.0),
    ("ohm", &["kohm", "kohms", "k", "kΩ", "kΩ", "kω"], 1e3),
    ("ohm", &["Mohm", "Mohms", "M", "MΩ", "MΩ"], 1e6),
    ("V", &["v", "volt", "volts"], 1.0),
    ("V", &["mv"], 1e-3),
    ("V", &["kv"], 1e3),
    ("A", &["a", "amp", "amps", "ampere", "amperes"], 1.0),
    ("A", &["ma"], 1e-3),
    ("Hz", &["hz", "hertz"], 1.0),
    ("s", &["s", "second", "seconds"], 1.0),
    ("s", &["ms"], 1e-3),
];

impl Quantity {
    /// The quantity that a word means.
    pub fn read(text: &str) -> Option<Self> {
        let folded = Folded::of(text);
        WORDS
            .iter()
            .find(|(_, word, _, others)| folded.is(word) || others.iter().any(|one| folded.is(one)))
            .map(|(quantity, ..)| *quantity)
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        self.row().0
    }

    /// Its base unit.
    pub fn unit(self) -> &'static str {
        self.row().1
    }

    fn row(self) -> (&'static str, &'static str) {
        let found = WORDS.iter().find(|(quantity, ..)| *quantity == self);
        found.map_or(("", ""), |(_, word, unit, _)| (*word, *unit))
    }

    /// The words, as a phrase.
    pub(super) fn phrase() -> String {
        one_of(&WORDS.map(|(_, word, ..)| word))
    }

    /// Whether a reading of this quantity takes no unit.
    pub(super) fn has_no_unit(cell: &crate::source::Cell) -> bool {
        matches!(Self::read(&cell.text), Some(Self::Seen | Self::Reason))
    }
}

/// What was shown, in the base unit of its quantity.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// A number.
    Number {
        /// The number.
        value: f64,
        /// What its last digit as written stands for.
        resolution: f64,
    },
    /// More than this.
    Above(f64),
    /// Over range, and nobody says which range.
    OverRange,
    /// Words of what was seen.
    Seen(String),
}

/// Signs by which instruments say that they are over range.
const OVER_RANGE: [&str; 6] = ["ol", "o.l", "o.l.", "0l", "0.l", "over range"];
/// No instrument shows more digits than this.
const MOST_DIGITS: usize = 12;

/// A number as written, and the unit behind it; empty if there is none.
pub(super) fn split(text: &str) -> (&str, &str) {
    let is_part = |sign: char| {
        sign.is_ascii_digit() || matches!(sign, '.' | ',' | '-' | '+' | '−' | '>' | ' ')
    };
    let (number, unit) = text.split_at(text.find(|sign| !is_part(sign)).unwrap_or(text.len()));
    if number.trim().is_empty() { (text, "") } else { (number.trim(), unit.trim()) }
}

impl Amount {
    /// Reads what was shown. A unit may stand behind the number instead of by itself.
    pub(crate) fn read(
        quantity: Quantity,
        text: &str,
        unit: Option<&str>,
    ) -> Result<Self, (String, String)> {
        if matches!(quantity, Quantity::Seen | Quantity::Reason) {
            return Ok(Self::Seen(text.to_owned()));
        }
        let example = || ("60.4, OL or >2000, with its unit").to_owned();
        let text = text.trim().replace('−', "-");
        if OVER_RANGE.contains(&text.to_lowercase().as_str()) {
            return Ok(Self::OverRange);
        }
        let (is_above, rest) = match text.strip_prefix('>') {
            Some(rest) => (true, rest.trim()),
            None => (false, text.as_str()),
        };
        let is_part = |sign: char| sign.is_ascii_digit() || matches!(sign, '.' | ',' | '-' | '+');
        let end = rest.find(|sign| !is_part(sign)).unwrap_or(rest.len());
        let (digits, own_unit) = rest.split_at(end);
        if digits.is_empty() {
            return Err((format!("`{text}` is no reading"), example()));
        }
        let digits = digits.replace(',', ".");
        let own_unit = own_unit.trim();
        let unit = match (own_unit, unit.map(str::trim).unwrap_or_default()) {
            ("", unit) => unit,
            (own, "") => own,
            (own, unit) if factor(quantity, own) == factor(quantity, unit) => own,
            (own, unit) => {
                return Err((
                    format!("the value has the unit `{own}` and the reading `{unit}`"),
                    example(),
                ));
            }
        };
        let factor = if unit.is_empty() { Some(1.0) } else { factor(quantity, unit) };
        let Some(factor) = factor else {
            let says = format!("`{unit}` is no unit of {}", quantity.word());
            return Err((says, format!("a unit such as {}", quantity.unit())));
        };
        let places = digits.split_once('.').map_or(0, |(_, behind)| behind.len());
        let number = digits.parse::<f64>().ok().filter(|_| digits.len() <= MOST_DIGITS);
        let Some(number) = number.filter(|number| number.is_finite()) else {
            return Err((format!("`{text}` is no reading"), example()));
        };
        let is_resistance = matches!(quantity, Quantity::PairOhms | Quantity::Ohms);
        if number < 0.0 && is_resistance {
            return Err((
                format!("`{text}` is below zero: there may be volts on the pair"),
                "volts near zero first, then ohms".to_owned(),
            ));
        }
        let value = number * factor;
        let last = 10_f64.powi(-i32::try_from(places).unwrap_or(0));
        Ok(if is_above {
            Self::Above(value)
        } else {
            Self::Number { value, resolution: last * factor }
        })
    }
}

fn factor(quantity: Quantity, unit: &str) -> Option<f64> {
    let is = |known: &&str| {
        if known.starts_with('M') || unit.starts_with('M') && !unit.eq_ignore_ascii_case("mv") {
            **known == *unit
        } else {
            known.eq_ignore_ascii_case(unit)
        }
    };
    let mut of_quantity = UNITS.iter().filter(|(base, ..)| *base == quantity.unit());
    of_quantity.find(|(_, words, _)| words.iter().any(is)).map(|(.., factor)| *factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ohms(text: &str) -> Amount {
        Amount::read(Quantity::PairOhms, text, Some("ohm")).unwrap()
    }

    #[test]
    fn the_last_digit_as_written_is_the_resolution() {
        for (text, value, resolution) in
            [("60.4", 60.4, 0.1), ("60,40", 60.4, 0.01), ("60", 60.0, 1.0)]
        {
            let Amount::Number { value: told, resolution: last } = ohms(text) else { panic!() };
            assert!((told - value).abs() < 1e-9 && (last - resolution).abs() < 1e-9, "{text}");
        }
        let Amount::Number { value, resolution } =
            Amount::read(Quantity::PairOhms, "1.20 k", None).unwrap()
        else {
            panic!()
        };
        assert!((value - 1200.0).abs() < 1e-9 && (resolution - 10.0).abs() < 1e-9);
    }

    #[test]
    fn over_range_says_no_more_than_it_says() {
        for text in ["OL", "ol", "0.L", "O.L."] {
            assert_eq!(ohms(text), Amount::OverRange, "{text}");
        }
        assert_eq!(ohms("> 2000"), Amount::Above(2000.0));
        assert_eq!(Amount::read(Quantity::PairOhms, ">2M", None), Ok(Amount::Above(2e6)));
    }

    #[test]
    fn mega_and_milli_are_not_mixed_up() {
        assert_eq!(factor(Quantity::PairOhms, "M"), Some(1e6));
        assert_eq!(factor(Quantity::PairOhms, "m"), None);
        assert_eq!(factor(Quantity::PairVolts, "mV"), Some(1e-3));
        assert_eq!(factor(Quantity::PairVolts, "ohm"), None);
        assert!(Amount::read(Quantity::PairOhms, "1k", Some("ohm")).is_err());
    }
}
