//! Reading a profile file, with an error for every line that does not fit.

use super::{Demanded, Port, Profile, contradictions, demand_bits};
use crate::demand_words;
use crate::fold::{Folded, nearest};
use crate::phrase::one_of;
use crate::read::ReadError;
use crate::source::{Origin, Sheet, SheetId, Sheets};
use coldcheck_core::limits;
use coldcheck_core::plan::{DataSet, Datum, Demand, Owner, PortClass};
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::{Arc, OnceLock};
use toml_edit::{Item, Table, TableLike};

/// The profiles that are built in.
const BUILT_IN: &[(&str, &str)] = &[
    ("plain", include_str!("../../profiles/plain.toml")),
    ("two-port-line", include_str!("../../profiles/two-port-line.toml")),
    ("two-port-ring", include_str!("../../profiles/two-port-ring.toml")),
    ("in-out-line", include_str!("../../profiles/in-out-line.toml")),
    ("three-phase-sets", include_str!("../../profiles/three-phase-sets.toml")),
];

/// Names of the built-in profiles.
pub fn builtin_names() -> Vec<&'static str> {
    BUILT_IN.iter().map(|(name, _)| *name).collect()
}

/// The text of a built-in profile.
pub fn builtin(name: &str) -> Option<&'static str> {
    let folded = Folded::of(name);
    BUILT_IN.iter().find(|(known, _)| folded.is(known)).map(|(_, text)| *text)
}

/// A built-in profile, read at its first use.
pub fn kept(name: &str) -> Option<Arc<Profile>> {
    static READ: [OnceLock<Option<Arc<Profile>>>; BUILT_IN.len()] =
        [const { OnceLock::new() }; BUILT_IN.len()];
    let folded = Folded::of(name);
    let at = BUILT_IN.iter().position(|(known, _)| folded.is(known))?;
    let (known, text) = BUILT_IN.get(at)?;
    READ.get(at)?.get_or_init(|| parse(known, text).ok().map(Arc::new)).clone()
}

/// Reads a profile.
///
/// # Errors
/// Every line that does not fit, with what was expected; the sheet for showing them.
pub fn parse(file: &str, text: &str) -> Result<Profile, (Sheets, Vec<ReadError>)> {
    let sheets = Sheets(vec![Sheet { name: file.to_owned(), text: text.to_owned() }]);
    let document = match toml_edit::Document::parse(text) {
        Ok(document) => document,
        Err(error) => {
            let mut reader = Reader { sheets, errors: Vec::new() };
            reader.wrong(error.span(), error.message().trim(), "a profile in TOML");
            return Err((reader.sheets, reader.errors));
        }
    };
    let mut reader = Reader { sheets, errors: Vec::new() };
    let profile = reader.profile(document.as_table());
    reader.errors.sort_by_key(|error| error.origin);
    if reader.errors.is_empty() { Ok(profile) } else { Err((reader.sheets, reader.errors)) }
}

/// What a person can write down; nobody declares what is to be heard.
fn declarable() -> impl Iterator<Item = Datum> {
    Datum::ALL.iter().copied().filter(|datum| datum.owner() != Owner::Heard)
}

pub(super) struct Reader {
    sheets: Sheets,
    errors: Vec<ReadError>,
}

impl Reader {
    fn profile(&mut self, root: &Table) -> Profile {
        self.refuse_unknown(
            root,
            &["profile", "summary", "port", "frame", "must-declare", "demands"],
        );
        let mut profile = Profile {
            name: self.text(root, "profile", None),
            summary: self.text(root, "summary", None),
            ports: self.ports(root),
            demands: BTreeMap::new(),
            must_declare: DataSet::EMPTY,
            frames: self.frames(root),
        };
        self.must_declare(root, &mut profile);
        self.demands(root, &mut profile);
        for (demand, says, expected) in contradictions::contradictions(&profile) {
            // Frames that could not be read are told of by themselves.
            if demand == Demand::Dialect && profile.frames.is_empty() && root.contains_key("frame")
            {
                continue;
            }
            self.wrong(span_of(root, demand), &says, expected);
        }
        let bits = (0u32..).zip(&profile.ports).fold(0, |bits, (position, port)| {
            bits | (u32::from(port.class.code()) << (4 * position))
        });
        let text = profile.port_names().join(", ");
        profile
            .demands
            .insert(Demand::Ports, Demanded { bits, text, from: "this profile".to_owned() });
        profile
    }

    /// The text of a key; `at` is where to point if there is none.
    pub(super) fn text(
        &mut self,
        table: &dyn TableLike,
        key: &str,
        at: Option<Range<usize>>,
    ) -> String {
        match table.get(key) {
            Some(item) => match item.as_str() {
                Some(text) => return text.to_owned(),
                None => self.wrong(item.span(), "this is no text", "a text in quotes"),
            },
            None => self.wrong(at, &format!("`{key}` is missing"), &format!("{key} = \"…\"")),
        }
        String::new()
    }

    fn ports(&mut self, root: &Table) -> Vec<Port> {
        let Some(tables) = root.get("port").and_then(Item::as_array_of_tables) else {
            self.wrong(None, "no port is listed", "a table [[port]] for each socket");
            return Vec::new();
        };
        if tables.len() > limits::PORTS {
            self.wrong(
                tables.span(),
                &format!("there are {} ports", tables.len()),
                &format!("at most {}", limits::PORTS),
            );
        }
        let mut ports: Vec<Port> = Vec::new();
        for table in tables.iter().take(limits::PORTS) {
            let Some(port) = self.port(table) else { continue };
            self.refuse_shared_words(table, &port, &ports);
            ports.push(port);
        }
        if !ports.iter().any(|port| port.class == PortClass::Link) {
            self.wrong(tables.span(), "no port is a link socket", "a port of class = \"link\"");
        }
        ports
    }

    /// A word that means two sockets would mean the first one in silence.
    fn refuse_shared_words(&mut self, table: &Table, port: &Port, before: &[Port]) {
        for word in &port.words {
            if let Some(other) = before.iter().find(|other| other.words.contains(word)) {
                self.wrong(
                    table.get("name").and_then(Item::span),
                    &format!("\u{201c}{word}\u{201d} means port {} already", other.name),
                    "words that mean one port only",
                );
            }
        }
    }

    fn port(&mut self, table: &Table) -> Option<Port> {
        self.refuse_unknown(table, &["name", "class", "words"]);
        let name = self.text(table, "name", table.span());
        let class = self.text(table, "class", table.span());
        let words = table
            .get("words")
            .and_then(Item::as_array)
            .into_iter()
            .flatten()
            .filter_map(toml_edit::Value::as_str)
            .map(Folded::of)
            .chain([Folded::of(&name)])
            .collect();
        if class.is_empty() {
            return None;
        }
        let known = PortClass::WORDS.iter().find(|(word, _)| *word == class);
        let Some(class) = known.and_then(|(_, code)| PortClass::from_code(*code)) else {
            let expected: Vec<_> = PortClass::WORDS.iter().map(|(word, _)| *word).collect();
            self.wrong(
                table.get("class").and_then(Item::span),
                &format!("{class} is no class of port"),
                &one_of(&expected),
            );
            return None;
        };
        Some(Port { name, class, words })
    }

    fn must_declare(&mut self, root: &Table, profile: &mut Profile) {
        let Some(table) = root.get("must-declare").and_then(Item::as_table_like) else {
            self.wrong(None, "nothing is said about what must be declared", "[must-declare]");
            return;
        };
        self.refuse_unknown(table, &["communication", "power"]);
        let mut words = Vec::new();
        for (key, item) in table.iter() {
            let Some(list) = item.as_array() else {
                self.wrong(item.span(), &format!("{key} is no list"), "a list of words");
                continue;
            };
            for value in list {
                match value.as_str() {
                    Some(word) => words.push((word, value.span())),
                    None => self.wrong(value.span(), "this is no word", "a word in quotes"),
                }
            }
        }
        for (word, span) in words {
            if let Some(datum) = declarable().find(|datum| datum.noun() == word) {
                profile.must_declare.0 |= DataSet::of(&[datum]).0;
                continue;
            }
            let near = nearest(word, declarable().map(Datum::noun));
            self.wrong(
                span,
                &format!("{word} is nothing that can be declared"),
                near.unwrap_or("a fact such as role, address or cable ends"),
            );
        }
    }

    fn demands(&mut self, root: &Table, profile: &mut Profile) {
        let Some(table) = root.get("demands").and_then(Item::as_table_like) else {
            self.wrong(None, "nothing is demanded", "[demands]");
            return;
        };
        for (key, item) in table.iter() {
            let span = table.key(key).and_then(toml_edit::Key::span);
            let folded = Folded::of(key);
            let Some(demand) = demand_words::find(&folded) else {
                let near = nearest(key, demand_words::all_words());
                self.wrong(
                    span,
                    &format!("{key} is no demand"),
                    near.unwrap_or("a demand such as link shape"),
                );
                continue;
            };
            let Some(inner) = item.as_table_like() else {
                self.wrong(item.span(), "this is no table", "{ is = …, from = … }");
                continue;
            };
            self.refuse_unknown(inner, &["is", "from"]);
            let text = match inner.get("is") {
                Some(Item::Value(toml_edit::Value::Integer(number))) => number.value().to_string(),
                _ => self.text(inner, "is", span.clone()),
            };
            let from = self.text(inner, "from", span.clone());
            if from.trim().is_empty() && inner.get("from").is_some() {
                let span = inner.get("from").and_then(Item::span);
                let expected = "a standard, a manual, `common practice, no source` or `ours`";
                self.wrong(span, "it is not said where this comes from", expected);
            }
            if profile.demands.contains_key(&demand) {
                self.wrong(span, &format!("{key} is demanded twice"), "one line for it");
                continue;
            }
            match demand_bits(demand.kind(), &text) {
                Ok(bits) => {
                    profile.demands.insert(demand, Demanded { bits, text, from });
                }
                // What is missing was said already.
                Err(_) if inner.get("is").is_none() => {}
                Err(expected) => {
                    let span = inner.get("is").and_then(Item::span);
                    self.wrong(span, &format!("{text} is not understood"), &expected);
                }
            }
        }
    }

    pub(super) fn refuse_unknown(&mut self, table: &dyn TableLike, known: &[&str]) {
        for (key, _) in table.iter().filter(|(key, _)| !known.contains(key)) {
            let span = table.key(key).and_then(toml_edit::Key::span);
            self.wrong(span, &format!("{key} is not known here"), &one_of(known));
        }
    }

    pub(super) fn wrong(&mut self, span: Option<Range<usize>>, says: &str, expected: &str) {
        let span = span.unwrap_or(0..0);
        let origin = Origin { sheet: SheetId(0), start: span.start, end: span.end };
        self.errors.push(ReadError::at(&self.sheets, origin, says, expected));
    }
}

/// Where a demand is stated.
fn span_of(root: &Table, demand: Demand) -> Option<Range<usize>> {
    let table = root.get("demands").and_then(Item::as_table_like)?;
    let (key, _) =
        table.iter().find(|(key, _)| demand_words::find(&Folded::of(key)) == Some(demand))?;
    table.key(key).and_then(toml_edit::Key::span)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_profile_is_sound_and_bears_its_name() {
        for (name, text) in BUILT_IN {
            let profile = parse(name, text).expect("sound");
            assert_eq!(profile.name, *name);
        }
    }

    #[test]
    fn a_wrong_line_is_refused_with_its_place() {
        let text = builtin("plain").expect("built in").replace("\"line\"", "\"star\"");
        let (sheets, errors) = parse("mine.toml", &text).expect_err("star is no shape");
        let [error] = errors.as_slice() else { panic!("one error, not {errors:?}") };
        assert_eq!(error.expected.as_deref(), Some("line or ring"));
        let position = sheets.position(error.origin.expect("has a place"));
        assert!(sheets.0[0].text.lines().nth(position.line - 1).expect("a line").contains("star"));
    }

    #[test]
    fn a_wrong_frame_is_not_told_as_a_missing_one_too() {
        let text =
            builtin("two-port-line").expect("built in").replacen("\"0x300\"", "\"0x3Z0\"", 1);
        let (_, errors) = parse("mine.toml", &text).expect_err("0x3Z0 is no number");
        assert!(
            !errors.iter().any(|error| error.says.contains("no frame is listed")),
            "{errors:?}"
        );
    }

    #[test]
    fn all_errors_are_told_at_once_each_with_its_line() {
        let text = r#"profile = "mine"
summary = "wrong in many places"
colour = "blue"
[[port]]
name = "A"
class = "link"
words = ["one"]
[[port]]
name = "B"
class = "link"
words = ["ONE"]
[must-declare]
communication = ["role", 3, "adress"]
power = "bank"
[demands]
"link shape" = { is = "line", from = "" }
"Link-Shape" = { is = "ring", from = "ours" }
"max cable" = { is = "30", from = "ours" }
"bit rate" = { from = "ours" }
"#;
        let (sheets, errors) = parse("mine.toml", text).expect_err("wrong");
        let found: Vec<_> = errors
            .iter()
            .map(|error| (sheets.position(error.origin.expect("a place")).line, error.says.clone()))
            .collect();
        let says = |text: &str| text.to_owned();
        assert_eq!(
            found,
            [
                (3, says("colour is not known here")),
                (9, says("\u{201c}one\u{201d} means port A already")),
                (13, says("this is no word")),
                (13, says("adress is nothing that can be declared")),
                (14, says("power is no list")),
                (16, says("it is not said where this comes from")),
                (17, says("Link-Shape is demanded twice")),
                (18, says("30 is not understood")),
                (19, says("`is` is missing")),
            ]
        );
    }

    #[test]
    fn an_unknown_demand_is_told_the_nearest() {
        let text = builtin("plain").expect("built in").replace("\"link shape\"", "\"link shap\"");
        let (_, errors) = parse("mine.toml", &text).expect_err("no such demand");
        assert_eq!(errors[0].expected.as_deref(), Some("link shape"));
    }
}
