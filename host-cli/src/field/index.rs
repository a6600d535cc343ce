//! Which field words name.

use super::{About, Field};
use crate::fold::Folded;
use std::collections::BTreeMap;
use std::sync::LazyLock;

impl Field {
    /// The field of a thing that these words name: its words as they are, else in another order.
    pub fn find(about: About, words: &Folded) -> Option<Self> {
        let index = Index::get();
        let as_they_are = index.exact.get(&about)?.get(words);
        let found =
            as_they_are.or_else(|| index.any_order.get(&about)?.get(&words.in_any_order()?));
        found.copied()
    }

    /// The field of a thing that a phrase starts with, and the name behind it: `address` and
    /// `unit 1` in `address of unit 1`. The longest field wins.
    pub fn find_at_start(about: About, words: &Folded) -> Option<(Folded, Self)> {
        let exact = Index::get().exact.get(&about)?;
        let (rest, field) =
            words.cuts().find_map(|(head, rest)| Some((rest, *exact.get(&head)?)))?;
        let name = ["of", "on", "at", "for", "in"].iter().find_map(|word| rest.after(word));
        Some((name.unwrap_or(rest), field))
    }

    /// Fields of a kind of thing.
    pub fn of(about: About) -> impl Iterator<Item = Self> {
        Self::ALL.iter().copied().filter(move |field| field.about() == about)
    }

    /// The field of a thing that a phrase ends with, and what stands before it: `unit 1` and
    /// `address` in `unit 1 address`. The longest field wins.
    pub fn find_at_end(about: About, words: &Folded) -> Option<(Folded, Self)> {
        let exact = Index::get().exact.get(&about)?;
        // From the shortest name to the longest.
        (0..words.count()).find_map(|at| {
            let (name, tail) = words.cut(at);
            Some((name, *exact.get(&tail)?))
        })
    }
}

/// All words for all fields, looked up for every line of every sheet.
struct Index {
    exact: BTreeMap<About, BTreeMap<Folded, Field>>,
    any_order: BTreeMap<About, BTreeMap<Folded, Field>>,
}

impl Index {
    fn get() -> &'static Self {
        static INDEX: LazyLock<Index> = LazyLock::new(Index::new);
        &INDEX
    }

    fn new() -> Self {
        let mut index = Self { exact: BTreeMap::new(), any_order: BTreeMap::new() };
        for field in Field::ALL {
            for key in field.keys().iter().map(|key| Folded::of(key)) {
                if let Some(words) = key.in_any_order() {
                    index.any_order.entry(field.about()).or_default().insert(words, *field);
                }
                index.exact.entry(field.about()).or_default().insert(key, *field);
            }
        }
        index
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_names_two_fields_of_one_thing() {
        for about in
            [About::Group, About::Unit, About::Cable, About::Pack, About::Sensor, About::Device]
        {
            let mut seen = BTreeMap::new();
            for field in Field::of(about) {
                for key in field.keys() {
                    let key = Folded::of(key);
                    let words = key.in_any_order().unwrap_or(key);
                    let former = seen.insert(words.clone(), field).filter(|one| *one != field);
                    assert!(former.is_none(), "{words}: {former:?} and {field:?}");
                }
            }
        }
    }

    #[test]
    fn the_longest_field_at_the_end_wins() {
        let (name, field) = Field::find_at_end(About::Unit, &Folded::of("can 1 unit count"))
            .expect("a field stands there");
        assert_eq!((name.to_string().as_str(), field), ("can 1", Field::Count));
    }
}
