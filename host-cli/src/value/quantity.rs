//! Numbers with units, in exact decimal arithmetic: no length is off by a rounding.

use coldcheck_core::units::{BitsPerSecond, MilliRatio, Millimetres, Ohms};

/// A length. Without a unit of its own it takes the one of the column's heading.
pub fn length(text: &str, heading_unit: Option<&str>) -> Option<Millimetres> {
    let (number, unit) = split(text)?;
    let unit = if unit.is_empty() { heading_unit?.trim().to_lowercase() } else { unit };
    // `6'3"` and `6 ft 3 in`: feet and inches together.
    for feet in ["'", "ft", "feet", "foot", "′"] {
        if let Some(rest) = unit.strip_prefix(feet)
            && rest.trim().starts_with(|c: char| c.is_ascii_digit())
        {
            let whole = micrometres(number, 304_800)?;
            let (inches, inch_unit) = split(rest)?;
            let part =
                matches!(inch_unit.as_str(), "\"" | "in" | "inch" | "inches" | "″" | "''" | "")
                    .then(|| micrometres(inches, 25_400))??;
            return to_millimetres(whole.checked_add(part)?);
        }
    }
    let factor = match unit.as_str() {
        "m" | "metre" | "metres" | "meter" | "meters" | "mtr" => 1_000_000,
        "cm" | "centimetre" | "centimetres" | "centimeters" => 10_000,
        "mm" | "millimetre" | "millimetres" | "millimeters" => 1_000,
        "km" => 1_000_000_000,
        // International foot and inch: 0.3048 m and 25.4 mm exactly.
        "ft" | "foot" | "feet" | "'" | "′" => 304_800,
        "in" | "inch" | "inches" | "\"" | "″" | "''" => 25_400,
        "yd" | "yard" | "yards" => 914_400,
        _ => return None,
    };
    to_millimetres(micrometres(number, factor)?)
}

/// The two families of units of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSystem {
    /// Metres and their parts.
    Metric,
    /// Feet, inches, yards.
    Imperial,
}

/// The family of a unit of length.
pub fn unit_system(unit: &str) -> Option<UnitSystem> {
    let unit = unit.trim().trim_end_matches('.').to_lowercase();
    length(&format!("1 {unit}"), None)?;
    let imperial = ["ft", "foot", "feet", "'", "′", "in", "inch", "inches", "\"", "″", "''"];
    let yards = ["yd", "yard", "yards"];
    let imperial = imperial.iter().chain(&yards).any(|word| unit.starts_with(word));
    Some(if imperial { UnitSystem::Imperial } else { UnitSystem::Metric })
}

/// A resistance in whole ohms.
pub fn resistance(text: &str) -> Option<Ohms> {
    let ohms = scaled(text, &["ohm", "ohms", "ω", "r", ""], 1)
        .or_else(|| scaled(text, &["kohm", "k", "kω"], 1000))?;
    u16::try_from(ohms).ok().map(Ohms)
}

/// The slowest bit rate that a bare number can mean: `250` is more likely to lack its unit.
const SLOWEST: u32 = 1200;

/// A bit rate; a bare number is one in bits per second.
pub fn bit_rate(text: &str) -> Option<BitsPerSecond> {
    scaled(text, &["kbit/s", "kbps", "kbit", "kb/s", "kbaud", "k"], 1000)
        .or_else(|| scaled(text, &["mbit/s", "mbps", "mbit", "mb/s"], 1_000_000))
        .or_else(|| scaled(text, &["bit/s", "bps", "baud", "bd"], 1))
        .or_else(|| scaled(text, &[""], 1).filter(|bits| *bits >= SLOWEST))
        .map(BitsPerSecond)
}

/// A ratio: `2000:1`, `100/5`, `100 A / 50 mA` or a single number.
pub fn ratio(text: &str) -> Option<MilliRatio> {
    let (over, under) = text.split_once([':', '/']).unwrap_or((text, "1"));
    let (over, under) = (milliamperes(over)?, milliamperes(under)?);
    if over == 0 || under == 0 {
        return None;
    }
    u32::try_from(over.checked_mul(1000)? / under).ok().map(MilliRatio)
}

fn milliamperes(text: &str) -> Option<u64> {
    let (number, unit) = split(text)?;
    match unit.as_str() {
        "" | "a" => number.times(1000),
        "ma" => number.times(1),
        _ => None,
    }
}

/// A number with one of the units, times a factor, rounded to the nearest whole.
pub fn scaled(text: &str, units: &[&str], factor: u64) -> Option<u32> {
    let (number, unit) = split(text)?;
    if !units.contains(&unit.as_str()) {
        return None;
    }
    u32::try_from(number.times(factor)?).ok()
}

/// A decimal number: digits and how many of them stand behind the sign.
#[derive(Clone, Copy)]
struct Decimal {
    digits: u64,
    places: u32,
}

impl Decimal {
    /// The number times a factor, rounded half up.
    fn times(self, factor: u64) -> Option<u64> {
        let divisor = 10u64.checked_pow(self.places)?;
        let product = self.digits.checked_mul(factor)?;
        Some(product.checked_add(divisor / 2)? / divisor)
    }
}

fn micrometres(number: Decimal, factor: u64) -> Option<u64> {
    number.times(factor)
}

fn to_millimetres(micrometres: u64) -> Option<Millimetres> {
    u32::try_from(micrometres.checked_add(500)? / 1000).ok().map(Millimetres)
}

/// A number with point or comma, and the unit behind it in lower case.
fn split(text: &str) -> Option<(Decimal, String)> {
    let text = text.trim();
    let end =
        text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let (whole, fraction) = number.split_once(['.', ',']).unwrap_or((number, ""));
    if whole.is_empty() || fraction.contains(['.', ',']) {
        return None;
    }
    // `1.` or `1,` is a number that was cut off.
    if number.ends_with(['.', ',']) {
        return None;
    }
    let digits = format!("{whole}{fraction}").parse().ok()?;
    let places = u32::try_from(fraction.len()).ok()?;
    Some((Decimal { digits, places }, unit.trim().trim_end_matches('.').to_lowercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_as_people_write_them() {
        // Foot and inch by the international definition: 0.3048 m and 25.4 mm exactly
        // (common practice, no source at hand).
        for (text, millimetres) in [
            ("1.5 m", 1500),
            ("1,5m", 1500),
            ("80 cm", 800),
            ("1500 mm", 1500),
            ("6 ft", 1829),
            ("6'", 1829),
            ("6'3\"", 1905),
            ("6 ft 3 in", 1905),
            ("12 ft", 3658),
            ("100 ft", 30480),
            ("10 inches", 254),
            ("2 M", 2000),
        ] {
            assert_eq!(length(text, None), Some(Millimetres(millimetres)), "{text}");
        }
        for text in ["", "m", "2", "2 x", "1.2.3 m", "-2 m", "2 m 3 m", "99999999 km", "1. m"] {
            assert_eq!(length(text, None), None, "{text}");
        }
    }

    #[test]
    fn a_length_without_unit_takes_that_of_the_heading() {
        assert_eq!(length("2,5", Some("m")), Some(Millimetres(2500)));
        assert_eq!(length("2 ft", Some("m")), Some(Millimetres(610)));
    }

    #[test]
    fn ratios_compare_whatever_their_form() {
        assert_eq!(ratio("3000 : 1"), ratio("3000:1"));
        assert_eq!(ratio("100/5"), Some(MilliRatio(20_000)));
        assert_eq!(ratio("100 A / 50 mA"), Some(MilliRatio(2_000_000)));
        assert_eq!(ratio("100:0"), None);
    }

    #[test]
    fn rates_and_resistances() {
        assert_eq!(bit_rate("500 kbit/s"), Some(BitsPerSecond(500_000)));
        assert_eq!(bit_rate("1 Mbit/s"), Some(BitsPerSecond(1_000_000)));
        assert_eq!(bit_rate("9600"), Some(BitsPerSecond(9600)));
        assert_eq!((bit_rate("250"), bit_rate("300 baud")), (None, Some(BitsPerSecond(300))));
        assert_eq!(resistance("120 ohm"), Some(Ohms(120)));
        assert_eq!(resistance("120Ω"), Some(Ohms(120)));
        assert_eq!(resistance("1.2 kohm"), Some(Ohms(1200)));
    }
}
