//! Folding of words before they are compared: case, dashes, arrows, spaces, leading zeros.
//!
//! `unit#2`, `U-02` and `Unit – 2` differ on paper and mean the same to the person who wrote
//! them. Folding makes a word into runs of letters and runs of digits; everything else separates.

mod near;
mod signs;

pub use near::nearest;

use signs::{GAP, Kind, fold_plain, folded};
use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::ops::Range;
use std::sync::Arc;

/// A word as it is compared: runs of lower-case letters and runs of digits without leading zeros, one
/// space between two of them.
///
/// A part of a word is a range of the same text: a cell is cut in every way that its names may end,
/// so that no cut may copy.
#[derive(Clone, Default)]
pub struct Folded {
    text: Arc<str>,
    range: Range<usize>,
}

/// Words up to this length need no memory while they are folded.
const SHORT: usize = 64;

impl Folded {
    /// Folds a word or phrase.
    pub fn of(text: &str) -> Self {
        if !text.is_ascii() {
            return Self::whole(&folded(text));
        }
        let (mut short, mut length) = ([0; SHORT], 0);
        let fits = fold_plain(text, |sign| {
            let slot = short.get_mut(length).map(|slot| *slot = sign);
            length += 1;
            slot.is_some()
        });
        let own = short.get(..length).filter(|_| fits);
        if let Some(own) = own.and_then(|own| std::str::from_utf8(own).ok()) {
            return Self::whole(own);
        }
        let mut long = String::with_capacity(text.len());
        fold_plain(text, |sign| {
            long.push(sign.into());
            true
        });
        Self::whole(&long)
    }

    /// The runs of letters and of digits as they are, with the zeros in front.
    pub fn exactly(text: &str) -> Self {
        let mut exact = String::with_capacity(text.len());
        let mut kind = None;
        for sign in text.chars() {
            let next = Kind::of(sign);
            if next.is_some() {
                if next != kind && !exact.is_empty() {
                    exact.push(GAP.into());
                }
                exact.extend(sign.to_lowercase());
            }
            kind = next;
        }
        Self::whole(&exact)
    }

    /// These runs, which are folded.
    pub(crate) fn joined<'r>(runs: impl IntoIterator<Item = &'r str>) -> Self {
        let mut text = String::new();
        for run in runs {
            if !text.is_empty() {
                text.push(GAP.into());
            }
            text.push_str(run);
        }
        Self::whole(&text)
    }

    fn whole(text: &str) -> Self {
        Self { text: text.into(), range: 0..text.len() }
    }

    /// All runs, one space between two of them.
    pub fn as_str(&self) -> &str {
        self.text.get(self.range.clone()).unwrap_or("")
    }

    /// The runs.
    pub fn runs(&self) -> impl DoubleEndedIterator<Item = &str> + Clone {
        self.as_str().split_terminator(char::from(GAP))
    }

    /// How many runs it has.
    pub fn count(&self) -> usize {
        let gaps = self.as_str().bytes().filter(|sign| *sign == GAP).count();
        if self.is_empty() { 0 } else { gaps + 1 }
    }

    /// Its only run.
    pub fn only(&self) -> Option<&str> {
        let text = self.as_str();
        (!text.is_empty() && !text.as_bytes().contains(&GAP)).then_some(text)
    }

    /// Its two runs, if it has two.
    pub fn pair(&self) -> Option<(&str, &str)> {
        let (one, two) = self.as_str().split_once(char::from(GAP))?;
        (!two.as_bytes().contains(&GAP)).then_some((one, two))
    }

    /// This stretch of its text, counted from its own first sign.
    fn part(&self, range: Range<usize>) -> Self {
        let (start, end) = (self.range.start + range.start, self.range.start + range.end);
        Self { text: Arc::clone(&self.text), range: start..end.min(self.range.end) }
    }

    /// What is in front of a gap and what is behind it; all of it and nothing at its end.
    fn parts(&self, gap: usize) -> (Self, Self) {
        let end = self.range.len();
        (self.part(0..gap), self.part((gap + 1).min(end)..end))
    }

    /// Whether nothing was left.
    pub fn is_empty(&self) -> bool {
        self.range.is_empty()
    }

    /// The number that the word ends with.
    pub fn number(&self) -> Option<u16> {
        self.runs().next_back()?.parse().ok()
    }

    /// Whether a phrase folds to the same runs. Makes no copy of a plain one.
    pub fn is(&self, phrase: &str) -> bool {
        if !phrase.is_ascii() {
            return *self == Self::of(phrase);
        }
        let mut own = self.as_str().bytes();
        fold_plain(phrase, |sign| own.next() == Some(sign)) && own.next().is_none()
    }

    /// The words without small ones, in the singular and sorted: alike for two phrases that say
    /// the same in another order. `None` for a single word, which has no order.
    pub fn in_any_order(&self) -> Option<Self> {
        let words = self.runs().filter(|word| !SMALL_WORDS.contains(word));
        let mut words: Vec<&str> = words.map(singular).collect();
        words.sort_unstable();
        (words.len() >= 2).then(|| Self::joined(words))
    }

    /// What is left after a phrase that the word starts with.
    pub fn after(&self, phrase: &str) -> Option<Self> {
        if !phrase.is_ascii() {
            let phrase = Self::of(phrase);
            let rest = self.as_str().strip_prefix(phrase.as_str())?;
            return self.behind(self.range.len() - rest.len());
        }
        let (own, mut at) = (self.as_str().as_bytes(), 0);
        let starts = fold_plain(phrase, |sign| {
            at += 1;
            own.get(at - 1) == Some(&sign)
        });
        starts.then(|| self.behind(at)).flatten()
    }

    /// What is left behind so many signs, if a run ends there.
    fn behind(&self, at: usize) -> Option<Self> {
        match self.as_str().as_bytes().get(at) {
            _ if at == 0 => Some(self.clone()),
            None | Some(&GAP) => Some(self.parts(at).1),
            Some(_) => None,
        }
    }

    /// What is left before a phrase that the word ends with.
    pub fn before(&self, phrase: &str) -> Option<Self> {
        let phrase = Self::of(phrase);
        if phrase.is_empty() {
            return Some(self.clone());
        }
        let rest = self.as_str().strip_suffix(phrase.as_str())?;
        match rest.strip_suffix(char::from(GAP)) {
            Some(rest) => Some(self.part(0..rest.len())),
            None => rest.is_empty().then(|| self.part(0..0)),
        }
    }

    /// Every way to cut the word in two, the longest beginning first.
    pub fn cuts(&self) -> impl Iterator<Item = (Self, Self)> + '_ {
        let text = self.as_str();
        let whole = (!text.is_empty()).then_some(text.len());
        let gaps = text.bytes().enumerate().rev().filter(|(_, sign)| *sign == GAP);
        whole.into_iter().chain(gaps.map(|(at, _)| at)).map(|at| self.parts(at))
    }

    /// Cut in two behind so many runs.
    pub fn cut(&self, at: usize) -> (Self, Self) {
        let Some(gap) = at.checked_sub(1) else { return (self.part(0..0), self.clone()) };
        let gaps = self.as_str().bytes().enumerate().filter(|(_, sign)| *sign == GAP);
        let gap = gaps.map(|(at, _)| at).nth(gap);
        self.parts(gap.unwrap_or(self.range.len()))
    }

    /// The word as people write it: `bar L1` for `bar l 1`.
    pub fn spoken(&self) -> String {
        let mut text = String::new();
        let mut was_letter = false;
        for run in self.runs() {
            let is_number = run.chars().all(|sign| sign.is_ascii_digit());
            if !(text.is_empty() || was_letter && is_number) {
                text.push(' ');
            }
            was_letter = run.chars().count() == 1 && !is_number;
            if was_letter { text.push_str(&run.to_uppercase()) } else { text.push_str(run) }
        }
        text
    }

    /// Leaves out words that carry no meaning of their own.
    #[must_use]
    pub fn without(&self, fillers: &[&str]) -> Self {
        let is_filler = |run: &&str| fillers.contains(run);
        if !self.runs().any(|run| is_filler(&run)) {
            return self.clone();
        }
        Self::joined(self.runs().filter(|run| !is_filler(run)))
    }
}

// As its text does, wherever it is a part of another.
impl PartialEq for Folded {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

impl Eq for Folded {}

impl PartialOrd for Folded {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Folded {
    fn cmp(&self, other: &Self) -> Ordering {
        self.as_str().cmp(other.as_str())
    }
}

impl Hash for Folded {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.as_str().hash(state);
    }
}

impl fmt::Debug for Folded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Folded").field(&self.as_str()).finish()
    }
}

impl fmt::Display for Folded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Words that join others and change nothing about what a key means.
const SMALL_WORDS: &[&str] = &["the", "of", "a", "an"];

/// `address` for `addresses`, `sensor` for `sensors`; `bus` and `address` stay as they are.
fn singular(word: &str) -> &str {
    if let Some(bare) = word.strip_suffix("sses") {
        return word.get(..bare.len() + 2).unwrap_or(word);
    }
    match word.strip_suffix('s') {
        Some(bare) if bare.len() > 2 && !bare.ends_with('s') => bare,
        Some(_) | None => word,
    }
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
    fn a_phrase_compares_as_it_would_fold() {
        let word = Folded::of("Unit#02 – AC out");
        assert!(word.is("unit 2 ac OUT") && !word.is("unit 2 ac") && !word.is("unit 20 ac out"));
        assert_eq!(word.before("Ac-Out"), Some(Folded::of("unit 2")));
        assert_eq!(word.after("unit"), Some(Folded::of("2 ac out")));
        assert_eq!(word.after("unit 3"), None);
        assert!(Folded::of("-").is("") && Folded::of("00").is("0"));
    }

    #[test]
    fn a_part_of_a_part_is_as_one_folded_by_itself() {
        let hash = |word: &Folded| {
            let mut state = std::hash::DefaultHasher::new();
            word.hash(&mut state);
            state.finish()
        };
        let whole = Folded::of("the Unit 02 AC out");
        let part = whole.cut(1).1.cut(3).0;
        let alone = Folded::of("unit 2 ac");
        assert_eq!(
            (&part, hash(&part), part.to_string()),
            (&alone, hash(&alone), alone.to_string())
        );
        assert_eq!(part.cmp(&Folded::of("unit 2 b")), Ordering::Less);
        assert_eq!(part.after("unit").map(|rest| rest.to_string()).as_deref(), Some("2 ac"));
        assert_eq!(part.cut(9), (alone.clone(), Folded::default()));
        assert_eq!(part.cuts().count(), 3);
    }

    #[test]
    fn wide_letters_digits_of_other_scripts_and_invisible_signs_fold_away() {
        for spelling in [
            "\u{FF35}\u{FF12}",
            "unit\u{A0}2",
            "U \u{662}",
            "u\u{AD}\u{200B}2",
            "u \u{E52}",
            "U\u{2013}0\u{FF12}",
        ] {
            assert!(["u 2", "unit 2"].contains(&&*Folded::of(spelling).to_string()), "{spelling}");
        }
        assert_eq!(Folded::of("Ku\u{308}che").count(), 1);
    }

    #[test]
    fn zero_stays_zero() {
        assert_eq!(Folded::of("U00").to_string(), "u 0");
    }
}
