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

/// Units with what each is in base units, written without regard to case but for the M of mega and
/// the m of milli: nobody means megavolts, and whoever writes them is asked.
const UNITS: [(&str, &[&str], f64); 13] = [
    ("ohm", &["ohm", "ohms", "r", "Ω", "Ω", "ω"], 1.0),
    ("ohm", &["kohm", "kohms", "k", "kΩ", "kΩ", "kω"], 1e3),
    ("ohm", &["Mohm", "Mohms", "M", "MΩ", "MΩ"], 1e6),
    ("ohm", &["Gohm", "Gohms", "G", "GΩ", "GΩ"], 1e9),
    ("ohm", &["mohm", "mohms", "mΩ", "mΩ", "milliohm"], 1e-3),
    // AC or DC is said by the step; a person writes it down all the same.
    ("V", &["v", "volt", "volts", "vac", "vdc", "v ac", "v dc", "v~"], 1.0),
    ("V", &["mV", "mv"], 1e-3),
    ("V", &["kv"], 1e3),
    ("A", &["a", "amp", "amps", "ampere", "amperes", "aac", "adc"], 1.0),
    ("A", &["mA", "ma"], 1e-3),
    ("Hz", &["hz", "hertz"], 1.0),
    ("s", &["s", "second", "seconds"], 1.0),
    ("s", &["ms", "msec"], 1e-3),
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

    /// A reading of it, as somebody would write it down.
    const fn example(self) -> &'static str {
        match self {
            Self::PairOhms => "60.4, OL or >2000, with or without its unit",
            Self::PairVolts => "0.02 V or 20 mV",
            Self::Ohms => "0.3, OL or >200 Mohm, with or without its unit",
            Self::Volts => "119.8 V or 20 mV, a sign in front where it is below zero",
            Self::Amperes => "12.4 A or 350 mA",
            Self::Hertz => "59.98 Hz",
            Self::Seconds => "12 s or 350 ms",
            Self::Seen | Self::Reason => "words",
        }
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

/// Ohms that may be taken off for the leads of an instrument.
const LEADS: f64 = 0.5;

/// What stands behind a sign of over range; `None` if the text begins with none.
fn over_range(text: &str) -> Option<&str> {
    let lower = text.to_ascii_lowercase();
    // The longest sign first: `o.l.` begins with `o.l`.
    let mut signs = OVER_RANGE;
    signs.sort_by_key(|sign| std::cmp::Reverse(sign.len()));
    let sign = signs.iter().find(|sign| lower.starts_with(**sign))?;
    let rest = text.get(sign.len()..)?;
    let is_end = rest.is_empty() || rest.starts_with(' ');
    is_end.then(|| rest.trim())
}

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
        let example = || quantity.example().to_owned();
        let text = text.trim().replace(['\u{a0}', '\u{202f}'], " ").replace('−', "-");
        if let Some(rest) = over_range(&text) {
            return match rest {
                "" => Ok(Self::OverRange),
                unit if factor(quantity, unit).is_some() => Ok(Self::OverRange),
                unit => Err((format!("`{unit}` is no unit of {}", quantity.word()), example())),
            };
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
            return Err((says, example()));
        };
        let places = digits.split_once('.').map_or(0, |(_, behind)| behind.len());
        let number = digits.parse::<f64>().ok().filter(|_| digits.len() <= MOST_DIGITS);
        let Some(number) = number.filter(|number| number.is_finite()) else {
            return Err((format!("`{text}` is no reading"), example()));
        };
        let is_resistance = matches!(quantity, Quantity::PairOhms | Quantity::Ohms);
        // Leads taken off the reading leave a little below zero; the pair is not read that way.
        let floor = if quantity == Quantity::Ohms { -LEADS } else { 0.0 };
        if number * factor < floor && is_resistance {
            return Err((
                format!("`{text}` is below zero: there may be volts where it was read"),
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

/// What a unit is in base units. Mega and milli are told apart by their case alone.
fn factor(quantity: Quantity, unit: &str) -> Option<f64> {
    let unit = unit.split_whitespace().collect::<Vec<_>>().join(" ");
    let is_first = |word: &str, sign: char| word.starts_with(sign);
    let is = |known: &&str| {
        if is_first(known, 'M') || is_first(&unit, 'M') || *known == "mohm" || *known == "mohms" {
            **known == unit
        } else {
            known.to_lowercase() == unit.to_lowercase()
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
    fn units_are_read_as_people_write_them() {
        let read = |quantity, text| Amount::read(quantity, text, None);
        for (quantity, text, value) in [
            (Quantity::Ohms, "12 mohm", 0.012),
            (Quantity::Ohms, "2 G", 2e9),
            (Quantity::Ohms, "550 Mohm", 5.5e8),
            (Quantity::Ohms, "-0.02", -0.02),
            (Quantity::Volts, "119,8 V AC", 119.8),
            (Quantity::Volts, "52.1 Vdc", 52.1),
            (Quantity::Volts, "20\u{a0}mV", 0.02),
            (Quantity::Amperes, "350 mA", 0.35),
        ] {
            let Ok(Amount::Number { value: told, .. }) = read(quantity, text) else {
                panic!("{text}: {:?}", read(quantity, text))
            };
            assert!((told - value).abs() < 1e-9 * value.abs().max(1.0), "{text}: {told}");
        }
        assert_eq!(read(Quantity::Ohms, "OL Mohm"), Ok(Amount::OverRange));
        assert_eq!(read(Quantity::PairOhms, "O.L. ohm"), Ok(Amount::OverRange));
        for (quantity, text) in [
            (Quantity::Volts, "2 MV"),
            (Quantity::Volts, "OL ohm"),
            (Quantity::Ohms, "-3"),
            (Quantity::PairOhms, "-0.2"),
            (Quantity::Ohms, "5 MOHM"),
            (Quantity::Hertz, "60 V"),
        ] {
            assert!(read(quantity, text).is_err(), "{text}");
        }
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
