//! Words that were seen before, with what they mean. The tables of the general reader are asked
//! once for a word; after that it is found by its bytes.

use super::scan::are_same;
use crate::fold::Folded;
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::collections::hash_map::RandomState;
use std::hash::{BuildHasher, Hasher};

/// Words that are kept; beyond it all are forgotten and learnt anew.
const MOST_WORDS: usize = 4 * 1024;
/// Places of the table: a power of two, so that the hash needs no division.
const PLACES: usize = 4 * MOST_WORDS;
/// Longer words are never kept.
const LONGEST: usize = 96;

/// A key of the table: what the word is used as, and its bytes.
#[derive(Clone, Debug)]
struct Entry<M> {
    hash: u64,
    tag: u8,
    text: Box<str>,
    meaning: M,
}

/// Words by their bytes and by what they are used as.
#[derive(Debug)]
pub(super) struct Memo<M> {
    places: Vec<u16>,
    entries: Vec<Entry<M>>,
    /// Drawn at the start, so that nobody can write words that all meet in one place.
    key: u64,
}

impl<M: Copy> Memo<M> {
    pub(super) fn new() -> Self {
        let key = RandomState::new().build_hasher().finish() | 1;
        Self { places: vec![0; PLACES], entries: Vec::new(), key }
    }

    /// Whether so many words are kept that it is time to forget them.
    pub(super) fn is_full(&self) -> bool {
        self.entries.len() >= MOST_WORDS
    }

    pub(super) fn forget(&mut self) {
        self.places.fill(0);
        self.entries.clear();
    }

    /// What the word means, asked for if it is new. Gives its number too: equal words, equal
    /// numbers; a word that is not kept has none.
    pub(super) fn meaning(
        &mut self,
        tag: u8,
        text: &str,
        ask: impl FnOnce(&str) -> M,
    ) -> (M, Option<u16>) {
        let hash = self.hash(tag, text.as_bytes());
        let mut place = Self::place(hash);
        while let Some(number) = self.places.get(place).copied().filter(|number| *number > 0) {
            if let Some(entry) = self.entries.get(usize::from(number) - 1)
                && entry.hash == hash
                && entry.tag == tag
                && are_same(entry.text.as_bytes(), text.as_bytes())
            {
                return (entry.meaning, Some(number));
            }
            place = (place + 1) % PLACES;
        }
        let meaning = ask(text);
        // A line has room for some more words than are kept at its start.
        if text.len() > LONGEST || self.entries.len() >= 2 * MOST_WORDS {
            return (meaning, None);
        }
        self.entries.push(Entry { hash, tag, text: text.into(), meaning });
        let number = u16::try_from(self.entries.len()).unwrap_or(0);
        if let Some(free) = self.places.get_mut(place) {
            *free = number;
        }
        (meaning, Some(number))
    }

    fn place(hash: u64) -> usize {
        usize::try_from(hash >> 40).unwrap_or(0) % PLACES
    }

    fn hash(&self, tag: u8, bytes: &[u8]) -> u64 {
        const FACTOR: u64 = 0x9E37_79B9_7F4A_7C15;
        let mix = |hash: u64, word: u64| (hash ^ word).wrapping_mul(FACTOR).rotate_left(29);
        let length = u64::try_from(bytes.len()).unwrap_or(0);
        let mut hash = mix(self.key, length << 8 | u64::from(tag));
        let mut rest = bytes;
        while let Some((eight, behind)) = rest.split_first_chunk::<8>() {
            hash = mix(hash, u64::from_le_bytes(*eight));
            rest = behind;
        }
        let four = |bytes: &[u8; 4]| u64::from(u32::from_le_bytes(*bytes));
        let last = match (rest.first_chunk::<4>(), rest.last_chunk::<4>()) {
            (Some(first), Some(last)) => four(first) | four(last) << 32,
            _ => rest.iter().fold(0, |word, byte| word << 8 | u64::from(*byte)),
        };
        mix(mix(hash, last), self.key)
    }
}

/// Number of a folded name: equal names, equal numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct NameId(pub(super) u32);

/// Folded names, each once, with the order in which people sort.
#[derive(Debug, Default)]
pub(super) struct Names {
    numbers: BTreeMap<Folded, NameId>,
    names: Vec<Known>,
}

#[derive(Debug)]
struct Known {
    folded: Folded,
    /// One word and one number, as most names are: compared without the texts.
    simple: Option<(u64, u64)>,
    natural: Vec<(u64, compact_str::CompactString)>,
}

impl Names {
    pub(super) fn add(&mut self, folded: &Folded) -> NameId {
        if let Some(known) = self.numbers.get(folded) {
            return *known;
        }
        let id = NameId(u32::try_from(self.names.len()).unwrap_or(u32::MAX));
        self.names.push(Known {
            folded: folded.clone(),
            simple: simple(folded),
            natural: crate::assemble::natural(folded),
        });
        self.numbers.insert(folded.clone(), id);
        id
    }

    pub(super) fn forget(&mut self) {
        self.numbers.clear();
        self.names.clear();
    }

    pub(super) fn len(&self) -> usize {
        self.names.len()
    }

    pub(super) fn folded(&self, name: NameId) -> Option<&Folded> {
        self.known(name).map(|known| &known.folded)
    }

    fn known(&self, name: NameId) -> Option<&Known> {
        self.names.get(usize::try_from(name.0).ok()?)
    }

    /// `C2` before `C10`.
    pub(super) fn by_nature(&self, one: NameId, other: NameId) -> Ordering {
        let (Some(one), Some(other)) = (self.known(one), self.known(other)) else {
            return Ordering::Equal;
        };
        match (one.simple, other.simple) {
            (Some(one), Some(other)) => one.cmp(&other),
            (_, _) => one.natural.cmp(&other.natural),
        }
    }

    /// The order of values, which only numbers them.
    pub(super) fn by_letters(&self, one: NameId, other: NameId) -> Ordering {
        self.folded(one).cmp(&self.folded(other))
    }
}

/// A short word and a number as numbers in the same order.
fn simple(name: &Folded) -> Option<(u64, u64)> {
    let (word, number) = name.pair()?;
    let mut letters = [0; 8];
    let is_word = word.len() <= letters.len() && word.parse::<u64>().is_err();
    letters.iter_mut().zip(word.bytes()).for_each(|(letter, byte)| *letter = byte);
    let number = number.parse::<u64>().ok().filter(|number| *number < u64::MAX)?;
    is_word.then_some((u64::from_be_bytes(letters), number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn simple_names_sort_as_all_names_do() {
        let texts = ["C2", "C10", "c 1", "CA1", "pack 3", "B12", "x", "C1a", "7", "link 4", "ü 2"];
        let mut names = Names::default();
        let ids: Vec<_> = texts.iter().map(|text| names.add(&Folded::of(text))).collect();
        for one in &ids {
            for other in &ids {
                let natural = |id: &NameId| names.folded(*id).map(crate::assemble::natural);
                assert_eq!(names.by_nature(*one, *other), natural(one).cmp(&natural(other)));
            }
        }
    }

    #[test]
    fn a_word_is_asked_for_once() {
        let mut memo = Memo::new();
        for round in 0..3 {
            for number in 0..2000usize {
                let text = "abcdefghijk".repeat(number % 3) + &number.to_string();
                let mut asked = false;
                let tag = u8::from(number % 2 == 0);
                let (found, _) = memo.meaning(tag, &text, |_| {
                    asked = true;
                    number
                });
                assert_eq!((found, asked), (number, round == 0), "{text}");
            }
        }
        assert_eq!(memo.meaning(0, "0", |_| 7).0, 7, "used as something else");
    }
}
