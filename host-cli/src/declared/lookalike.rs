//! Signs that look like others: letters for digits, and letters of other scripts.

use coldcheck_core::rules::RuleId;
use std::collections::BTreeSet;

/// No name has more doubtful signs than this; beyond it nothing is tried.
const MOST_DOUBTFUL: usize = 8;

/// What stands in a text that was read wrongly, with the rule about that pair of signs.
fn read_for(written: char) -> &'static [(char, RuleId)] {
    match written {
        'O' | 'o' | 'D' => &[('0', RuleId::PhotoZeroLetterO)],
        '0' => &[('o', RuleId::PhotoZeroLetterO)],
        'l' | 'I' | 'i' | '|' => &[('1', RuleId::PhotoOneLetterL)],
        '1' => &[('l', RuleId::PhotoOneLetterL), ('i', RuleId::PhotoOneLetterL)],
        'B' => &[('8', RuleId::PhotoEightLetterB)],
        // A small one looks like a six as well.
        'b' => &[('8', RuleId::PhotoEightLetterB), ('6', RuleId::PhotoSimilarDigits)],
        '8' => &[('b', RuleId::PhotoEightLetterB)],
        'S' | 's' => &[('5', RuleId::PhotoFiveLetterS)],
        '5' => &[('s', RuleId::PhotoFiveLetterS)],
        _ => &[],
    }
}

/// Every other text that this one may be a misreading of, with the rule about the first sign that
/// differs. Empty if none, or if more signs are doubtful than anybody can sort out.
pub(super) fn variants(text: &str) -> Vec<(String, RuleId)> {
    if text.chars().filter(|c| !read_for(*c).is_empty()).count() > MOST_DOUBTFUL {
        return Vec::new();
    }
    let mut found: Vec<(String, Option<RuleId>)> = vec![(String::new(), None)];
    for written in text.chars() {
        let others = read_for(written);
        let mut longer = Vec::with_capacity(found.len() * (others.len() + 1));
        for (start, rule) in found {
            for (meant, about) in others {
                longer.push((format!("{start}{meant}"), rule.or(Some(*about))));
            }
            longer.push((format!("{start}{written}"), rule));
        }
        found = longer;
    }
    found.into_iter().filter_map(|(text, rule)| Some((text, rule?))).collect()
}

/// Digits of which one is easily taken for the other. Source: the project's own catalogue of
/// field faults.
const SIMILAR: &[(char, char)] = &[('1', '7'), ('3', '8'), ('6', '8'), ('5', '6'), ('0', '8')];

/// Whether one digit is easily taken for the other.
pub(super) fn are_similar(one: char, two: char) -> bool {
    SIMILAR.contains(&(one.min(two), one.max(two)))
}

/// The texts that this one may be if one digit of it was taken for a similar one.
pub(super) fn with_another_digit(text: &str) -> Vec<String> {
    let similar = |digit: char| ('0'..='9').filter(move |other| are_similar(digit, *other));
    text.char_indices()
        .flat_map(|(at, digit)| similar(digit).map(move |other| (at, digit, other)))
        .filter_map(|(at, digit, other)| {
            let behind = text.get(at + digit.len_utf8()..)?;
            Some(format!("{}{other}{behind}", text.get(..at)?))
        })
        .collect()
}

/// The number texts that this one may be a misreading of: every letter in front of the unit that
/// can stand for a digit does.
pub(super) fn as_numbers(text: &str) -> Vec<(String, RuleId)> {
    let mut seen = BTreeSet::new();
    variants(text)
        .into_iter()
        .filter(|(variant, _)| {
            // Digits are never read as letters here.
            let changed = variant.chars().zip(text.chars()).filter(|(now, then)| now != then);
            changed.into_iter().all(|(now, _)| now.is_ascii_digit())
        })
        .filter(|(variant, _)| seen.insert(variant.clone()))
        .collect()
}

/// Latin letters, each with the Cyrillic and Greek ones that look like it.
const LOOKS: &[(char, &str)] = &[
    ('a', "\u{430}\u{410}\u{391}\u{3B1}"),
    ('b', "\u{412}\u{392}"),
    ('c', "\u{441}\u{421}"),
    ('e', "\u{435}\u{415}\u{395}"),
    ('h', "\u{41D}\u{397}"),
    ('i', "\u{456}\u{406}\u{399}"),
    ('j', "\u{458}\u{408}"),
    ('k', "\u{43A}\u{41A}\u{39A}"),
    ('m', "\u{41C}\u{39C}"),
    ('n', "\u{39D}"),
    ('o', "\u{43E}\u{41E}\u{39F}\u{3BF}"),
    ('p', "\u{440}\u{420}\u{3A1}"),
    ('s', "\u{455}\u{405}"),
    ('t', "\u{422}\u{3A4}"),
    ('x', "\u{445}\u{425}\u{3A7}"),
    ('y', "\u{443}\u{423}\u{3A5}"),
    ('z', "\u{396}"),
];

/// The Latin letter that a letter of another script looks like, in lower case.
fn latin(letter: char) -> Option<char> {
    LOOKS.iter().find(|(_, others)| others.contains(letter)).map(|(plain, _)| *plain)
}

/// The text with letters of other scripts as the Latin ones that they look like; nothing if there
/// are none.
pub(super) fn in_latin(text: &str) -> Option<String> {
    let plain: String = text.chars().map(|letter| latin(letter).unwrap_or(letter)).collect();
    (plain != text).then_some(plain)
}

/// Whether a text that lost some letters may be the other one. A run of marks stands for at most
/// as many letters as it has marks, because one letter leaves one mark or several.
pub(super) fn may_be(damaged: &str, whole: &str) -> bool {
    fn fits(damaged: &[char], whole: &[char]) -> bool {
        match damaged {
            [] => whole.is_empty(),
            ['\u{FFFD}', ..] => {
                let run = damaged.iter().take_while(|c| **c == '\u{FFFD}').count();
                let rest = damaged.get(run..).unwrap_or(&[]);
                (1..=run).any(|lost| whole.get(lost..).is_some_and(|tail| fits(rest, tail)))
            }
            [letter, rest @ ..] => {
                whole.split_first().is_some_and(|(first, tail)| first == letter && fits(rest, tail))
            }
        }
    }
    // Names with more lost letters than that are anybody's.
    let marks = damaged.matches('\u{FFFD}').count();
    (1..=MOST_DOUBTFUL).contains(&marks) && fits(&plain(damaged), &plain(whole))
}

fn plain(text: &str) -> Vec<char> {
    text.chars()
        .filter(|c| c.is_alphanumeric() || *c == '\u{FFFD}')
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(found: Vec<(String, RuleId)>) -> Vec<String> {
        found.into_iter().map(|(text, _)| text).collect()
    }

    #[test]
    fn a_letter_may_stand_for_a_digit_and_the_other_way_round() {
        assert_eq!(texts(variants("U l")), ["U 1"]);
        assert!(texts(variants("b0x")).contains(&"box".to_owned()));
        assert!(texts(variants("UO2")).contains(&"U02".to_owned()));
        assert!(variants("U 2").is_empty());
        assert!(variants("bill's lost bloodlibs").is_empty());
    }

    #[test]
    fn only_letters_are_tried_in_numbers() {
        assert_eq!(texts(as_numbers("2.S m")), ["2.5 m"]);
        assert_eq!(texts(as_numbers("1O m")), ["10 m"]);
        assert_eq!(texts(as_numbers("b")), ["8", "6"]);
        assert!(as_numbers("18").is_empty());
    }

    #[test]
    fn one_digit_may_be_a_similar_one() {
        assert_eq!(with_another_digit("U 17"), ["U 77", "U 11"]);
        assert_eq!(with_another_digit("U 2"), [""; 0]);
    }

    #[test]
    fn letters_of_other_scripts_have_a_latin_look() {
        assert_eq!(in_latin("\u{412}\u{43E}\u{445} 2").as_deref(), Some("box 2"));
        assert_eq!(in_latin("Box 2"), None);
    }

    #[test]
    fn a_lost_letter_may_be_any() {
        assert!(may_be("K\u{FFFD}che", "Küche"));
        assert!(may_be("K\u{FFFD}\u{FFFD}che", "Küche"));
        assert!(may_be("caf\u{FFFD}", "Café"));
        assert!(!may_be("K\u{FFFD}che", "Kche"));
        assert!(!may_be("K\u{FFFD}che", "Keller"));
        assert!(!may_be("Kuche", "Küche"));
    }
}
