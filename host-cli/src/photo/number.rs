//! Lengths and labels: what has no closed vocabulary, and is never corrected from one.

use super::similar::{TWIN, digit_of, fold, is_decimal};

/// A length as it was read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Length {
    /// Digits with a point, without zeros that say nothing.
    pub(super) number: String,
    /// Its unit as printed beside it: `M`, `CM`, `MM`, `FT`, `IN`; empty if there is none.
    pub(super) unit: &'static str,
    /// What had to be taken for something else.
    pub(super) cost: f32,
    /// How many digits it has.
    pub(super) digits: usize,
    /// Whether it shows a decimal sign.
    pub(super) is_decimal: bool,
}

const UNITS: [&str; 6] = ["", "M", "CM", "MM", "FT", "IN"];

/// The likeliest length that signs show; `None` if they show no digit.
pub(super) fn length(signs: &[char]) -> Option<Length> {
    let mut best: Option<Length> = None;
    for unit in UNITS {
        let tail: Vec<char> = unit.chars().collect();
        let Some(number) = signs.strip_suffix(tail.as_slice()) else { continue };
        let Some(found) = number_of(number, unit) else { continue };
        if best.as_ref().is_none_or(|best| found.cost < best.cost) {
            best = Some(found);
        }
    }
    best
}

fn number_of(signs: &[char], unit: &'static str) -> Option<Length> {
    let (mut whole, mut part, mut cost) = (String::new(), String::new(), 0.0);
    let mut is_behind = false;
    let mut digits = 0;
    for sign in signs {
        if is_decimal(*sign) {
            // A second one is a speck, but which of the two?
            cost += if is_behind { 1.0 } else { 0.0 };
            is_behind = true;
        } else if let Some(digit) = digit_of(*sign) {
            cost += if digit == *sign { 0.0 } else { TWIN };
            digits += 1;
            if is_behind { part.push(digit) } else { whole.push(digit) }
        } else {
            cost += 1.0;
        }
    }
    if whole.is_empty() && part.is_empty() {
        return None;
    }
    // A decimal sign needs digits on both sides.
    if is_behind && (whole.is_empty() || part.is_empty()) {
        cost += 1.0;
    }
    // A number that begins with a zero goes on with a decimal sign.
    if whole.len() > 1 && whole.starts_with('0') {
        cost += 1.0;
    }
    cost += digits.max(4) as f32 - 4.0;
    let kept = part.trim_end_matches('0');
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    let number = if kept.is_empty() { whole.to_owned() } else { format!("{whole}.{kept}") };
    Some(Length { number, unit, cost, digits, is_decimal: is_behind })
}

/// A length in metres, with a point; `None` for a unit that is none.
pub(super) fn metres(number: &str, unit: &str) -> Option<String> {
    let hundredths = |number: &str, places: usize| -> Option<String> {
        // Decimal places are moved in the text itself, so that nothing is rounded.
        let (whole, part) = number.split_once('.').unwrap_or((number, ""));
        let padded = format!("{whole:0>width$}", width = places + 1);
        let (front, back) = padded.split_at(padded.len() - places);
        let text = format!("{front}.{back}{part}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        let text = text.trim_start_matches('0');
        Some(if text.is_empty() || text.starts_with('.') {
            format!("0{text}")
        } else {
            text.to_owned()
        })
    };
    let of_inches = |inches: f64| {
        let metres = number.parse::<f64>().ok()? * inches * 0.0254;
        let text = format!("{metres:.3}");
        Some(text.trim_end_matches('0').trim_end_matches('.').to_owned())
    };
    match unit {
        "" | "M" => Some(number.to_owned()),
        "CM" => hundredths(number, 2),
        "MM" => hundredths(number, 3),
        "FT" => of_inches(12.0),
        "IN" => of_inches(1.0),
        _ => None,
    }
}

/// A label as it was read: what it begins with, and its number.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    /// Letters before the number, folded.
    pub(super) letters: String,
    /// The number with its zeros in front.
    pub(super) digits: String,
    /// What had to be taken for something else.
    pub(super) cost: f32,
}

/// The likeliest label that signs show: letters, then up to four digits.
pub(super) fn label(signs: &[char], prefix: Option<&str>) -> Option<Label> {
    let known: Option<Vec<char>> = prefix.map(fold);
    let least = known.as_ref().map_or(0, |known| known.len().saturating_sub(1));
    let most = known.as_ref().map_or(4, |known| known.len() + 1).min(signs.len());
    let mut best: Option<Label> = None;
    for at in least..=most {
        let (letters, number) = signs.split_at(at.min(signs.len()));
        if number.is_empty() || number.len() > 4 {
            continue;
        }
        let mut cost = match &known {
            Some(known) => super::similar::distance(letters, known),
            None => letters.iter().filter(|sign| !sign.is_alphabetic()).count() as f32,
        };
        let mut digits = String::new();
        for sign in number {
            match digit_of(*sign) {
                Some(digit) => {
                    cost += if digit == *sign { 0.0 } else { TWIN };
                    digits.push(digit);
                }
                None => cost += 1.0,
            }
        }
        let is_better = best.as_ref().is_none_or(|best| cost < best.cost);
        if !digits.is_empty() && is_better {
            let letters = known.as_ref().map_or(letters, Vec::as_slice).iter().collect();
            best = Some(Label { letters, digits, cost });
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Length {
        let signs: Vec<char> = text.chars().filter_map(super::super::similar::folded).collect();
        length(&signs).unwrap()
    }

    #[test]
    fn a_length_is_read_with_point_comma_and_unit() {
        for (text, number, unit) in [
            ("1.50 m", "1.5", "M"),
            ("0,75", "0.75", ""),
            ("12,5m", "12.5", "M"),
            ("80 cm", "80", "CM"),
            ("10.00 m", "10", "M"),
            ("6 ft", "6", "FT"),
        ] {
            let found = read(text);
            assert_eq!((found.number.as_str(), found.unit), (number, unit), "{text}");
            assert!(found.cost < 0.01, "{text}");
        }
    }

    #[test]
    fn what_is_no_plain_number_costs() {
        for (text, cost) in
            [("1.S", TWIN), ("075", 1.0), (".5", 1.0), ("1..5", 1.0), ("2K", 1.0), ("O.8m", TWIN)]
        {
            assert!((read(text).cost - cost).abs() < 1e-6, "{text}: {}", read(text).cost);
        }
        assert_eq!(length(&['K']), None);
    }

    #[test]
    fn lengths_are_told_in_metres_without_rounding() {
        for (number, unit, metres_of_it) in [
            ("80", "CM", "0.8"),
            ("250", "CM", "2.5"),
            ("5", "MM", "0.005"),
            ("1.5", "M", "1.5"),
            ("300", "CM", "3"),
            ("10", "FT", "3.048"),
        ] {
            assert_eq!(metres(number, unit).as_deref(), Some(metres_of_it), "{number} {unit}");
        }
    }

    #[test]
    fn a_label_is_letters_and_a_number() {
        let of = |text: &str, prefix| label(&fold(text), prefix).unwrap();
        assert_eq!(
            of("W07", Some("W")),
            Label { letters: "W".into(), digits: "07".into(), cost: 0.0 }
        );
        assert_eq!(of("C-12", Some("C-")).digits, "12");
        assert_eq!(of("XK3", None).letters, "XK");
        assert!((of("PI2", Some("P")).cost - TWIN).abs() < 1e-6);
        assert_eq!(of("PI2", Some("P")).digits, "12");
    }
}
