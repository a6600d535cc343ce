//! Folding of words before they are compared: case, dashes, arrows, spaces, leading zeros.
//!
//! `unit#2`, `U-02` and `Unit – 2` differ on paper and mean the same to the person who wrote
//! them. Folding makes a word into runs of letters and runs of digits; everything else separates.

mod near;

pub use near::nearest;

use compact_str::CompactString;
use std::cmp::Ordering;
use std::hash::{Hash, Hasher};
use std::ops::Range;
use std::sync::Arc;
use std::{fmt, iter};

/// A word as it is compared: runs of lower-case letters and runs of digits without leading zeros.
///
/// A part of a word is a range of the same runs: a cell is cut in every way that its names may end,
/// so that no cut may copy.
#[derive(Clone, Default)]
pub struct Folded {
    runs: Arc<[Run]>,
    range: Range<usize>,
}

/// A run of letters or of digits: short ones need no memory of their own.
pub type Run = CompactString;

impl Folded {
    /// Folds a word or phrase.
    pub fn of(text: &str) -> Self {
        if text.is_ascii() {
            let plain = |run: &str| {
                let mut run = Run::from(without_zeros(run));
                run.make_ascii_lowercase();
                run
            };
            return runs(text).map(plain).collect();
        }
        let mut tokens: Vec<Run> = Vec::new();
        let mut kind = None;
        for character in text.chars().filter_map(meant) {
            let next = Kind::of(character);
            if next.is_some() {
                if next != kind {
                    tokens.push(Run::default());
                }
                if let Some(token) = tokens.last_mut() {
                    token.extend(character.to_lowercase());
                }
            }
            kind = next;
        }
        tokens.iter().map(|token| Run::from(without_zeros(token))).collect()
    }

    /// The runs of letters and of digits as they are, with the zeros in front.
    pub fn exactly(text: &str) -> Self {
        runs(text).map(Run::from_str_to_lowercase).collect()
    }

    /// The runs.
    pub fn tokens(&self) -> &[Run] {
        self.runs.get(self.range.clone()).unwrap_or(&[])
    }

    /// These of its runs, counted from its own first; none where there are fewer.
    fn part(&self, range: Range<usize>) -> Self {
        let (start, end) = (self.range.start + range.start, self.range.start + range.end);
        Self { runs: Arc::clone(&self.runs), range: start..end.min(self.range.end) }
    }

    /// Whether nothing was left.
    pub fn is_empty(&self) -> bool {
        self.range.is_empty()
    }

    /// The number that the word ends with.
    pub fn number(&self) -> Option<u16> {
        self.tokens().last()?.parse().ok()
    }

    /// Whether a phrase folds to the same runs. Makes no copy of a plain one.
    pub fn is(&self, phrase: &str) -> bool {
        if self.differs_at_once(phrase) {
            return false;
        }
        if !phrase.is_ascii() {
            return *self == Self::of(phrase);
        }
        let mut runs = runs(phrase);
        self.tokens().iter().all(|token| runs.next().is_some_and(|run| folds_to(run, token)))
            && runs.next().is_none()
    }

    /// Whether the first letters differ: most phrases of a table are told apart by that.
    fn differs_at_once(&self, phrase: &str) -> bool {
        let own = self.tokens().first().and_then(|token| token.bytes().next());
        match (own, phrase.bytes().next()) {
            (Some(own), Some(first)) if own.is_ascii() && first.is_ascii_alphabetic() => {
                !own.eq_ignore_ascii_case(&first)
            }
            (_, _) => false,
        }
    }

    /// The words without small ones, in the singular and sorted: alike for two phrases that say
    /// the same in another order. `None` for a single word, which has no order.
    pub fn in_any_order(&self) -> Option<Self> {
        let words = self.tokens().iter().filter(|word| !SMALL_WORDS.contains(&word.as_str()));
        let mut words: Vec<Run> = words.map(|word| Run::from(singular(word))).collect();
        words.sort_unstable();
        (words.len() >= 2).then(|| Self::from(words))
    }

    /// What is left after a phrase that the word starts with.
    pub fn after(&self, phrase: &str) -> Option<Self> {
        if self.differs_at_once(phrase) {
            return None;
        }
        let tokens = self.tokens();
        let mut count = 0;
        for run in runs(phrase) {
            folds_to(run, tokens.get(count)?).then_some(())?;
            count += 1;
        }
        Some(self.part(count..tokens.len()))
    }

    /// What is left before a phrase that the word ends with.
    pub fn before(&self, phrase: &str) -> Option<Self> {
        let at = self.tokens().len().checked_sub(runs(phrase).count())?;
        let mut tail = self.tokens().iter().skip(at).zip(runs(phrase));
        tail.all(|(token, run)| folds_to(run, token)).then(|| self.part(0..at))
    }

    /// Every way to cut the word in two, the longest beginning first.
    pub fn cuts(&self) -> impl Iterator<Item = (Self, Self)> + '_ {
        let count = self.tokens().len();
        (1..=count).rev().map(move |at| self.cut(at))
    }

    /// Cut in two behind so many runs.
    pub fn cut(&self, at: usize) -> (Self, Self) {
        (self.part(0..at), self.part(at..self.tokens().len()))
    }

    /// The word as people write it: `bar L1` for `bar l 1`.
    pub fn spoken(&self) -> String {
        let mut text = String::new();
        let mut was_letter = false;
        for token in self.tokens() {
            let is_number = token.chars().all(|sign| sign.is_ascii_digit());
            if !(text.is_empty() || was_letter && is_number) {
                text.push(' ');
            }
            was_letter = token.chars().count() == 1 && !is_number;
            if was_letter { text.push_str(&token.to_uppercase()) } else { text.push_str(token) }
        }
        text
    }

    /// Leaves out words that carry no meaning of their own.
    #[must_use]
    pub fn without(&self, fillers: &[&str]) -> Self {
        let is_filler = |token: &Run| fillers.contains(&token.as_str());
        if !self.tokens().iter().any(is_filler) {
            return self.clone();
        }
        self.tokens().iter().filter(|token| !is_filler(token)).cloned().collect()
    }
}

impl From<Vec<Run>> for Folded {
    fn from(runs: Vec<Run>) -> Self {
        Self { range: 0..runs.len(), runs: runs.into() }
    }
}

impl FromIterator<Run> for Folded {
    fn from_iter<I: IntoIterator<Item = Run>>(runs: I) -> Self {
        Self::from(runs.into_iter().collect::<Vec<_>>())
    }
}

// As its runs do, wherever they are a part of others.
impl PartialEq for Folded {
    fn eq(&self, other: &Self) -> bool {
        self.tokens() == other.tokens()
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
        self.tokens().cmp(other.tokens())
    }
}

impl Hash for Folded {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.tokens().hash(state);
    }
}

impl fmt::Debug for Folded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Folded").field(&self.tokens()).finish()
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

impl fmt::Display for Folded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.tokens().join(" "))
    }
}

/// The sign that a person meant by one: wide letters are letters, digits of every script are
/// digits, and what nobody sees is nothing.
fn meant(character: char) -> Option<char> {
    let code = character as u32;
    let digit = |zero: u32| char::from_u32(code - zero + '0' as u32);
    match code {
        0x00AD | 0x200B..=0x200F | 0x202A..=0x202E | 0x2060 | 0xFE0F | 0xFEFF => None,
        0xFF01..=0xFF5E => char::from_u32(code - 0xFEE0),
        // Arabic, Persian, Devanagari, Bengali and Thai digits.
        0x0660..=0x0669 => digit(0x0660),
        0x06F0..=0x06F9 => digit(0x06F0),
        0x0966..=0x096F => digit(0x0966),
        0x09E6..=0x09EF => digit(0x09E6),
        0x0E50..=0x0E59 => digit(0x0E50),
        _ => Some(character),
    }
}

/// The runs of letters and of digits in a text, as they are written.
fn runs(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    iter::from_fn(move || {
        rest = rest.get(end_of(None, rest)..)?;
        let kind = Kind::of(rest.chars().next()?);
        let (run, tail) = rest.split_at_checked(end_of(kind, rest))?;
        rest = tail;
        Some(run)
    })
}

/// Where the first sign of another kind stands, else the end.
fn end_of(kind: Option<Kind>, text: &str) -> usize {
    let other = |(_, sign): &(usize, char)| Kind::of(*sign) != kind;
    // Most text is plain, and a byte of it is a sign.
    let plain = text.bytes().take_while(|byte| byte.is_ascii() && Kind::of((*byte).into()) == kind);
    let start = plain.count();
    let behind = text.get(start..).unwrap_or("");
    behind.char_indices().find(other).map_or(text.len(), |(at, _)| start + at)
}

/// Zeros in front say nothing but that one is there.
fn without_zeros(run: &str) -> &str {
    let bare = run.trim_start_matches('0');
    if bare.is_empty() && !run.is_empty() { "0" } else { bare }
}

/// Whether a run of a phrase folds to a token.
fn folds_to(run: &str, token: &str) -> bool {
    let run = without_zeros(run);
    if run.is_ascii() {
        return run.eq_ignore_ascii_case(token);
    }
    token.chars().eq(run.chars().flat_map(char::to_lowercase))
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Letter,
    Digit,
}

impl Kind {
    fn of(character: char) -> Option<Self> {
        match character {
            '0'..='9' => Some(Self::Digit),
            'a'..='z' | 'A'..='Z' => Some(Self::Letter),
            // Most signs are plain ones, and their answer is at hand.
            _ if character.is_ascii() => None,
            // An accent that stands apart belongs to its letter.
            '\u{300}'..='\u{36F}' => Some(Self::Letter),
            _ => character.is_alphabetic().then_some(Self::Letter),
        }
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
        assert_eq!(Folded::of("Ku\u{308}che").tokens().len(), 1);
    }

    #[test]
    fn zero_stays_zero() {
        assert_eq!(Folded::of("U00").to_string(), "u 0");
    }
}
