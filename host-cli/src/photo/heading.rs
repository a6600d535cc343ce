//! What the words over the columns say.

use crate::fold::Folded;
use crate::read::{Column as Heading, column};

/// What a line of headings tells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Told {
    /// How many of its boxes are words that stand over columns.
    pub(super) known: usize,
    /// Whether the far end stands before the near one.
    pub(super) to_before_from: bool,
    /// The unit that lengths are in, as [`super::number::metres`] takes it.
    pub(super) unit: Option<&'static str>,
}

/// What these boxes say, from left to right.
pub(super) fn told(boxes: &[String]) -> Told {
    let known: Vec<Option<Heading>> = boxes.iter().map(|text| column(&Folded::of(text))).collect();
    let place = |wanted: &[Heading]| {
        known.iter().position(|own| own.is_some_and(|own| wanted.contains(&own)))
    };
    let from = place(&[Heading::From, Heading::FromPort]);
    let to = place(&[Heading::To, Heading::ToPort]);
    let unit = boxes.iter().zip(&known).find_map(|(text, known)| {
        let words: Vec<String> = Folded::of(text).runs().map(ToOwned::to_owned).collect();
        let about_length = *known == Some(Heading::Length)
            || words.first().is_some_and(|word| word.starts_with("len") || word == "l");
        let alone = words.len() == 1;
        words.iter().find_map(|word| unit_of(word)).filter(|_| about_length || alone)
    });
    Told {
        known: known.iter().flatten().count() + usize::from(unit.is_some()),
        to_before_from: matches!((from, to), (Some(from), Some(to)) if to < from),
        unit,
    }
}

/// The unit that a note gives to all lengths: `All lengths in metres.`
pub(super) fn unit_in_note(text: &str) -> Option<&'static str> {
    let words = Folded::of(text);
    let words: Vec<&str> = words.runs().collect();
    let about = words.iter().position(|word| word.starts_with("length"))?;
    words[about..].iter().find_map(|word| unit_of(word).filter(|_| word.len() > 1 || *word == "m"))
}

fn unit_of(word: &str) -> Option<&'static str> {
    match word {
        "m" | "metre" | "metres" | "meter" | "meters" => Some("M"),
        "cm" | "centimetres" | "centimeters" => Some("CM"),
        "mm" | "millimetres" | "millimeters" => Some("MM"),
        "ft" | "feet" | "foot" => Some("FT"),
        "inch" | "inches" => Some("IN"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(words: &[&str]) -> Told {
        told(&words.iter().map(ToString::to_string).collect::<Vec<_>>())
    }

    #[test]
    fn headings_tell_direction_and_unit() {
        let usual = of(&["Cable", "From", "To", "Length (m)"]);
        assert_eq!((usual.known, usual.to_before_from, usual.unit), (4, false, Some("M")));
        assert!(of(&["Cable", "To", "From"]).to_before_from);
        assert_eq!(of(&["Cable", "From", "To", "m"]).unit, Some("M"));
        assert_eq!(of(&["Cable", "From", "To", "Length in feet"]).unit, Some("FT"));
        assert_eq!(of(&["P1", "U1", "U2"]).known, 0);
    }

    #[test]
    fn a_note_gives_the_unit_of_all_lengths() {
        assert_eq!(unit_in_note("All lengths in metres."), Some("M"));
        assert_eq!(unit_in_note("Lengths: cm"), Some("CM"));
        assert_eq!(unit_in_note("Keep this sheet in the cabinet door, 2 m high."), None);
    }
}
