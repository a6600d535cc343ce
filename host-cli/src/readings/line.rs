//! One reading as an object in JSON on one line.

use crate::source::{Cell, Origin};
use serde::de::{DeserializeSeed, Error, MapAccess, Visitor};
use serde_json::Value;
use std::fmt;

/// What is wrong where, and what was expected.
pub(super) type Wrong = (Origin, String, String);

/// The fields of a line, each with its name, in order.
pub(super) fn fields(line: &Cell) -> Result<Vec<(Cell, Cell)>, Wrong> {
    let wrong = |origin, says: String| {
        (origin, says, "an object in JSON on one line: {\"time\":\"…\",\"by\":\"…\",…}".to_owned())
    };
    let mut reader = serde_json::Deserializer::from_str(&line.text);
    let pairs = Pairs.deserialize(&mut reader).and_then(|pairs| reader.end().map(|()| pairs));
    let pairs = pairs.map_err(|error| {
        let at = line.origin.start + error.column().saturating_sub(1).min(line.text.len());
        let origin = Origin { start: at.min(line.origin.end), end: line.origin.end, ..line.origin };
        // The place is told by the frame; serde's own numbers count from the line alone.
        let text = error.to_string();
        let says = text.split(" at line ").next().unwrap_or("").to_owned();
        wrong(whole_characters(line, origin), format!("this is not JSON: {says}"))
    })?;
    let mut from = 0;
    let mut fields = Vec::new();
    for (name, value) in pairs {
        let (start, end) = place(line, &name, from);
        from = end;
        let name = Cell { text: name, origin: Origin { start, end, ..line.origin } };
        let text = match value {
            Value::Null => String::new(),
            Value::String(text) => text.trim().to_owned(),
            Value::Number(number) => number.to_string(),
            Value::Bool(_) | Value::Array(_) | Value::Object(_) => {
                let says = format!("the field `{}` is not a text or a number", name.text);
                return Err((name.origin, says, "a text or a number".to_owned()));
            }
        };
        let (start, end) = value_place(line, end);
        fields.push((name, Cell { text, origin: Origin { start, end, ..line.origin } }));
    }
    Ok(fields)
}

/// Where a name stands, from an offset of the file on: its text between quotes, or the whole line
/// where it is written with escapes.
fn place(line: &Cell, name: &str, from: usize) -> (usize, usize) {
    let skipped = from.saturating_sub(line.origin.start);
    let quoted = format!("\"{name}\"");
    let found = line.text.get(skipped..).and_then(|rest| rest.find(&quoted));
    match found {
        Some(at) => {
            let start = line.origin.start + skipped + at + 1;
            (start, start + name.len())
        }
        None => (line.origin.start, line.origin.start),
    }
}

/// The value behind a name: up to the next comma outside of quotes.
fn value_place(line: &Cell, name_end: usize) -> (usize, usize) {
    let skipped = name_end.saturating_sub(line.origin.start) + 1;
    let rest = line.text.get(skipped..).unwrap_or("");
    let (mut is_quoted, mut is_escaped, mut length) = (false, false, rest.len());
    for (at, sign) in rest.char_indices() {
        match sign {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '"' => is_quoted = !is_quoted,
            ',' | '}' if !is_quoted => {
                length = at;
                break;
            }
            _ => {}
        }
    }
    let text = rest.get(..length).unwrap_or("");
    let bare = text.trim_start_matches([':', ' ', '"']);
    let start = line.origin.start + skipped.min(line.text.len()) + (text.len() - bare.len());
    (start, start + bare.trim_end_matches([' ', '"']).len())
}

/// An origin that does not begin within a character.
fn whole_characters(line: &Cell, origin: Origin) -> Origin {
    let mut at = origin.start - line.origin.start;
    while !line.text.is_char_boundary(at) {
        at -= 1;
    }
    Origin { start: line.origin.start + at, ..origin }
}

/// An object with its fields in order, one that stands there twice included.
struct Pairs;

impl<'de> DeserializeSeed<'de> for Pairs {
    type Value = Vec<(String, Value)>;

    fn deserialize<D: serde::Deserializer<'de>>(self, reader: D) -> Result<Self::Value, D::Error> {
        reader.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Pairs {
    type Value = Vec<(String, Value)>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = map.next_entry()? {
            pairs.push(pair);
            if pairs.len() > MOST_FIELDS {
                return Err(A::Error::custom("too many fields"));
            }
        }
        Ok(pairs)
    }
}

/// More fields than this are no reading.
const MOST_FIELDS: usize = 64;
