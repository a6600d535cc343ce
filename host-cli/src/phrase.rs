//! Small building blocks of sentences.

/// `a`, `a or b`, `a, b or c`.
pub fn one_of<T: AsRef<str>>(words: &[T]) -> String {
    joined(words, "or")
}

/// `a`, `a and b`, `a, b and c`.
pub fn all_of<T: AsRef<str>>(words: &[T]) -> String {
    joined(words, "and")
}

fn joined<T: AsRef<str>>(words: &[T], last: &str) -> String {
    match words {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [head @ .., tail] => {
            let head: Vec<&str> = head.iter().map(AsRef::as_ref).collect();
            format!("{} {last} {}", head.join(", "), tail.as_ref())
        }
    }
}

/// `1 cable`, `2 cables`; for words that take an s.
pub fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("{count} {word}") } else { format!("{count} {word}s") }
}

/// Words as a sentence of their own.
pub fn sentence(words: &str) -> String {
    let mut signs = words.chars();
    let first: String = signs.next().into_iter().flat_map(char::to_uppercase).collect();
    let stop = if words.ends_with(['.', '?', '!', ':']) { "" } else { "." };
    format!("{first}{}{stop}", signs.as_str())
}

/// A title in the middle of a sentence: without its capital, unless that begins an abbreviation.
pub fn in_sentence(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            first.to_lowercase().chain([second]).chain(letters).collect()
        }
        _ => title.to_owned(),
    }
}

/// Fills a rule's sentence. `{slot}` is replaced; a part in square brackets is left out if one of
/// its slots has nothing to say.
pub fn fill(template: &str, slot: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::new();
    let mut rest = template;
    while let Some(open) = rest.find('[') {
        let Some(close) = rest.get(open..).and_then(|tail| tail.find(']')) else { break };
        let (before, inside, after) =
            (&rest[..open], &rest[open + 1..open + close], &rest[open + close + 1..]);
        out.push_str(&fill_plain(before, &slot).0);
        let (text, complete) = fill_plain(inside, &slot);
        if complete {
            out.push_str(&text);
        }
        rest = after;
    }
    out.push_str(&fill_plain(rest, &slot).0);
    out
}

/// Replaces slots and says whether all had something to say.
fn fill_plain(template: &str, slot: &impl Fn(&str) -> Option<String>) -> (String, bool) {
    let mut out = String::new();
    let mut complete = true;
    let mut rest = template;
    while let Some((before, tail)) = rest.split_once('{') {
        let Some((name, after)) = tail.split_once('}') else { break };
        out.push_str(before);
        match slot(name) {
            Some(text) => out.push_str(&text),
            None => complete = false,
        }
        rest = after;
    }
    out.push_str(rest);
    (out, complete)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_loses_its_capital_and_an_abbreviation_does_not() {
        assert_eq!(in_sentence("Two units have one address"), "two units have one address");
        assert_eq!(in_sentence("CT leads are swapped"), "CT leads are swapped");
        assert_eq!(in_sentence(""), "");
    }

    #[test]
    fn lists_read_as_people_write_them() {
        assert_eq!(one_of(&["a"]), "a");
        assert_eq!(one_of(&["a", "b"]), "a or b");
        assert_eq!(all_of(&["a", "b", "c"]), "a, b and c");
    }

    #[test]
    fn a_part_without_its_slot_is_left_out() {
        let slot = |name: &str| (name == "places").then(|| "U3".to_owned());
        assert_eq!(fill("{places} differs[: {value}][ near {places}]", slot), "U3 differs near U3");
    }
}
