//! Folding of words before they are compared: case, dashes, arrows, spaces, leading zeros.
//!
//! `unit#2`, `U-02` and `Unit – 2` differ on paper and mean the same to the person who wrote
//! them. Folding makes a word into runs of letters and runs of digits; everything else separates.

use std::fmt;

/// A word as it is compared: runs of lower-case letters and runs of digits without leading zeros.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Folded(Vec<String>);

impl Folded {
    /// Folds a word or phrase.
    pub fn of(text: &str) -> Self {
        let mut tokens: Vec<String> = Vec::new();
        let mut kind = None;
        for character in text.chars() {
            let next = Kind::of(character);
            if next.is_some() && next == kind {
                if let Some(token) = tokens.last_mut() {
                    token.extend(character.to_lowercase());
                }
            } else if next.is_some() {
                tokens.push(character.to_lowercase().collect());
            }
            kind = next;
        }
        for token in &mut tokens {
            if token.starts_with(|c: char| c.is_ascii_digit()) {
                let kept = token.trim_start_matches('0');
                *token = if kept.is_empty() { "0".to_owned() } else { kept.to_owned() };
            }
        }
        Self(tokens)
    }

    /// The runs.
    pub fn tokens(&self) -> &[String] {
        &self.0
    }

    /// Whether nothing was left.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The number that the word ends with.
    pub fn number(&self) -> Option<u16> {
        self.0.last()?.parse().ok()
    }

    /// What is left after a phrase that the word starts with.
    pub fn after(&self, phrase: &Self) -> Option<Self> {
        self.0.strip_prefix(phrase.0.as_slice()).map(|rest| Self(rest.to_vec()))
    }

    /// What is left before a phrase that the word ends with.
    pub fn before(&self, phrase: &Self) -> Option<Self> {
        self.0.strip_suffix(phrase.0.as_slice()).map(|rest| Self(rest.to_vec()))
    }

    /// Every way to cut the word in two, the longest beginning first.
    pub fn cuts(&self) -> impl Iterator<Item = (Self, Self)> + '_ {
        (1..=self.0.len()).rev().map(|at| {
            let (head, tail) = self.0.split_at(at);
            (Self(head.to_vec()), Self(tail.to_vec()))
        })
    }

    /// Leaves out words that carry no meaning of their own.
    #[must_use]
    pub fn without(&self, fillers: &[&str]) -> Self {
        Self(self.0.iter().filter(|token| !fillers.contains(&token.as_str())).cloned().collect())
    }
}

impl fmt::Display for Folded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.join(" "))
    }
}

#[derive(PartialEq, Eq)]
enum Kind {
    Letter,
    Digit,
}

impl Kind {
    fn of(character: char) -> Option<Self> {
        if character.is_ascii_digit() {
            Some(Self::Digit)
        } else if character.is_alphabetic() {
            Some(Self::Letter)
        } else {
            None
        }
    }
}

/// The candidate that a person most likely meant by a misspelt word, if one is near.
pub fn nearest<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let folded = Folded::of(word).to_string();
    candidates
        .map(|candidate| {
            let distance = strsim::damerau_levenshtein(&folded, &Folded::of(candidate).to_string());
            (distance, candidate)
        })
        .min()
        // A third of the letters may be wrong, and two at most.
        .filter(|(distance, _)| *distance <= 2 && distance * 3 <= folded.chars().count())
        // Another number is another thing, not a slip.
        .filter(|(_, candidate)| letters(&folded) != letters(&Folded::of(candidate).to_string()))
        .map(|(_, candidate)| candidate)
}

fn letters(text: &str) -> String {
    text.chars().filter(|c| !c.is_ascii_digit() && !c.is_whitespace()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_one_name_fold_to_the_same_runs() {
        for spelling in ["unit 2", "Unit#2", "UNIT-02", "unit\u{a0}–\u{a0}2", "unit2", " unit_002 "]
        {
            assert_eq!(Folded::of(spelling).to_string(), "unit 2", "{spelling}");
        }
    }

    #[test]
    fn zero_stays_zero() {
        assert_eq!(Folded::of("U00").to_string(), "u 0");
    }

    #[test]
    fn a_near_word_is_proposed_and_a_far_one_is_not() {
        let known = ["address", "terminator", "role"];
        assert_eq!(nearest("adress", known.into_iter()), Some("address"));
        assert_eq!(nearest("Terminater", known.into_iter()), Some("terminator"));
        assert_eq!(nearest("colour", known.into_iter()), None);
        assert_eq!(nearest("rl", known.into_iter()), None);
        assert_eq!(nearest("unit 5", ["unit 1"].into_iter()), None);
        assert_eq!(nearest("unti 1", ["unit 1"].into_iter()), Some("unit 1"));
    }
}
