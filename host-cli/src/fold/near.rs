//! The word that a misspelt one most likely stands for.

use super::Folded;

/// No longer word is taken for a misspelt one.
const LONGEST_WORD: usize = 120;

/// The candidate that a person most likely meant by a misspelt word, if one is near.
pub fn nearest<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let folded = Folded::of(word).to_string();
    let length = folded.chars().count();
    // The time goes with the product of both lengths, and nobody names a thing in so many letters.
    if length > LONGEST_WORD {
        return None;
    }
    candidates
        .map(|candidate| (Folded::of(candidate).to_string(), candidate))
        .filter(|(other, _)| other.chars().count().abs_diff(length) <= 2)
        .map(|(other, candidate)| (strsim::damerau_levenshtein(&folded, &other), candidate))
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
    fn words_without_end_are_compared_at_once() {
        let long = "x".repeat(200_000);
        let start = std::time::Instant::now();
        assert_eq!(nearest(&long, [long.as_str(), "unit 1"].into_iter()), None);
        assert_eq!(nearest("unt", [long.as_str(), "unit"].into_iter()), Some("unit"));
        assert!(start.elapsed().as_secs() < 5, "{:?}", start.elapsed());
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
