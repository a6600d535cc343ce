//! What can stand in a list: units, sockets, kinds of cables, labels.

use super::similar::fold;
use crate::read::ReadError;
use serde_json::Value;

/// A word of the vocabulary: its name in the output, and the ways in which it is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// The name.
    pub name: String,
    /// Ways of printing it, folded: see [`fold`].
    pub(super) printed: Vec<Vec<char>>,
}

impl Word {
    /// A word that is printed as its name or in other ways.
    pub fn new<'w>(name: &str, others: impl IntoIterator<Item = &'w str>) -> Self {
        let mut printed = vec![fold(name)];
        for other in others {
            let other = fold(other);
            if !printed.contains(&other) {
                printed.push(other);
            }
        }
        printed.retain(|one| !one.is_empty());
        Self { name: name.to_owned(), printed }
    }
}

/// The closed vocabulary of a site.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// Units and whatever else a cable can end at.
    pub units: Vec<Word>,
    /// Sockets.
    pub ports: Vec<Word>,
    /// Kinds of cables.
    pub kinds: Vec<Word>,
    /// What all labels of cables begin with, if it is known.
    pub prefix: Option<String>,
}

impl Words {
    /// From a file: a JSON object with `units`, `ports` (names with their short forms), `kinds` and
    /// `label_prefix`.
    ///
    /// # Errors
    /// If it is no such object.
    pub fn of_json(name: &str, bytes: &[u8]) -> Result<Self, ReadError> {
        const EXPECTED: &str = "a JSON object with \"units\": [\u{2026}], \"ports\": {\"LINK A\": \
                                [\"A\"]}, \"kinds\": [\u{2026}]";
        let refuse = |says: String| ReadError::file(name, says, EXPECTED);
        let text = crate::read::text_of(&crate::read::RawSheet {
            name: name.to_owned(),
            bytes: bytes.to_vec(),
        })?;
        let file: Value =
            serde_json::from_str(&text).map_err(|error| refuse(format!("no JSON: {error}")))?;
        let list = |key: &str| -> Result<Vec<Word>, ReadError> {
            let Some(value) = file.get(key) else { return Ok(Vec::new()) };
            let words = match value {
                Value::Array(words) => {
                    words.iter().map(|word| word.as_str().map(|word| Word::new(word, []))).collect()
                }
                Value::Object(words) => {
                    words.iter().map(|(word, printed)| with_printed(word, printed)).collect()
                }
                Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => None,
            };
            let words: Option<Vec<Word>> = words;
            words.ok_or_else(|| refuse(format!("\"{key}\" is no list of words")))
        };
        let words = Self {
            units: list("units")?,
            ports: list("ports")?,
            kinds: list("kinds")?,
            prefix: file.get("label_prefix").and_then(Value::as_str).map(str::to_owned),
        };
        if words.units.is_empty() {
            return Err(refuse("it names no units".to_owned()));
        }
        Ok(words)
    }
}

fn with_printed(name: &str, printed: &Value) -> Option<Word> {
    let printed: Option<Vec<&str>> = printed.as_array()?.iter().map(Value::as_str).collect();
    Some(Word::new(name, printed?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_short_forms_are_read() {
        let file =
            br#"{"units": ["U1"], "ports": {"LINK A": ["A"]}, "kinds": [], "label_prefix": "C-"}"#;
        let words = Words::of_json("words.json", file).unwrap();
        assert_eq!(words.units, [Word::new("U1", [])]);
        assert_eq!(words.ports[0].printed, [vec!['L', 'I', 'N', 'K', 'A'], vec!['A']]);
        assert_eq!(words.prefix.as_deref(), Some("C-"));
    }

    #[test]
    fn a_file_without_units_is_refused() {
        for file in ["{}", "[1", r#"{"units": 3}"#, r#"{"units": ["U1"], "ports": {"A": "B"}}"#] {
            assert!(Words::of_json("words.json", file.as_bytes()).is_err(), "{file}");
        }
    }
}
