//! A site as text: the canonical site file in TOML, or a cable list and a settings list.
//!
//! What stands in it is decided by [`crate::tidy`] and [`crate::start`]; here is only its form.

use crate::fold::Folded;
use crate::visible::acts;
use crate::words::WIDTH;
use std::fmt::Write;

/// One line: a key with its value, or a blank that a person is to fill in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The key, as readers know it.
    pub key: String,
    /// The value; `None` is a blank.
    pub value: Option<String>,
    /// What belongs into a blank.
    pub hint: String,
}

impl Entry {
    /// A key with its value.
    pub fn new(key: &str, value: impl Into<String>) -> Self {
        Self { key: key.to_owned(), value: Some(value.into()), hint: String::new() }
    }

    /// A blank, with what belongs into it.
    pub fn blank(key: &str, hint: impl Into<String>) -> Self {
        Self { key: key.to_owned(), value: None, hint: hint.into() }
    }
}

/// A list of the site file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// Units.
    Unit,
    /// Packs.
    Pack,
    /// Sensors.
    Sensor,
    /// Other devices.
    Device,
    /// Cables.
    Cable,
    /// Waivers.
    Waiver,
    /// Acts that are to do.
    ToDo,
}

impl List {
    /// Every list, in the order of a site file.
    pub const ALL: [Self; 7] =
        [Self::Unit, Self::Pack, Self::Sensor, Self::Device, Self::Cable, Self::Waiver, Self::ToDo];

    /// Its key in a site file.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unit => "unit",
            Self::Pack => "pack",
            Self::Sensor => "sensor",
            Self::Device => "device",
            Self::Cable => "cable",
            Self::Waiver => "waiver",
            Self::ToDo => "to_do",
        }
    }
}

/// A thing with its lines; the first one names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// The list that it belongs to.
    pub list: List,
    /// Its lines.
    pub entries: Vec<Entry>,
}

impl Table {
    /// The value under a key; empty if it has none.
    pub fn value(&self, key: &str) -> &str {
        let entry = self.entries.iter().find(|entry| entry.key == key);
        entry.and_then(|entry| entry.value.as_deref()).unwrap_or("")
    }

    /// Keys that tell where a cable goes.
    pub const ENDS: [&str; 4] = ["from", "from_port", "to", "to_port"];

    /// Both ends of a cable as they are written, the same whichever way round.
    pub fn ends(&self) -> [String; 2] {
        let [from, from_port, to, to_port] = Self::ENDS.map(|key| self.value(key));
        let end = |thing: &str, port: &str| format!("{thing} {port}").trim().to_owned();
        let mut ends = [end(from, from_port), end(to, to_port)];
        ends.sort_by_cached_key(|end| Folded::of(end));
        ends
    }
}

/// A site as text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SiteFile {
    /// Comments at the top.
    pub head: Vec<String>,
    /// Lines about the group.
    pub group: Vec<Entry>,
    /// Demands that the site states.
    pub demands: Vec<Entry>,
    /// Whether the site lists its cables, even if there are none.
    pub lists_cables: bool,
    /// Units, packs, sensors, devices, cables, waivers, acts that are to do.
    pub tables: Vec<Table>,
    /// Comments at the end.
    pub remarks: Vec<String>,
}

/// What stands over the remarks at the end of a site file.
pub const REMARKS: &str = "Remarks, which no check reads:";
/// What stands before each of them, so that a second reading knows them.
pub const REMARK: &str = "#   ";

impl SiteFile {
    /// As TOML.
    pub fn toml(&self) -> String {
        let mut out = String::new();
        for line in &self.head {
            let _ = writeln!(out, "{}", comment(line));
        }
        self.group.iter().for_each(|entry| toml_line(&mut out, entry));
        let has_cables = self.tables.iter().any(|table| table.list == List::Cable);
        if self.lists_cables && !has_cables {
            out.push_str("cable = []\n");
        }
        if !self.demands.is_empty() {
            out.push_str("\n[demands]\n");
            self.demands.iter().for_each(|entry| toml_line(&mut out, entry));
        }
        for table in &self.tables {
            let _ = writeln!(out, "\n[[{}]]", table.list.word());
            table.entries.iter().for_each(|entry| toml_line(&mut out, entry));
        }
        if !self.remarks.is_empty() {
            let _ = writeln!(out, "\n{}", comment(REMARKS));
            for line in &self.remarks {
                let _ = writeln!(out, "{REMARK}{}", one_line(line));
            }
        }
        out
    }

    /// As JSON on one line. Comments have no place in it, and blanks are left out.
    pub fn json(&self) -> String {
        let object = |entries: &[Entry]| {
            let stated = entries
                .iter()
                .filter_map(|entry| Some((entry.key.clone(), json_value(entry.value.as_deref()?))));
            serde_json::Value::Object(stated.collect())
        };
        let mut file = object(&self.group);
        if !self.demands.is_empty() {
            file["demands"] = object(&self.demands);
        }
        for list in List::ALL {
            let tables = self.tables.iter().filter(|table| table.list == list);
            let tables: Vec<_> = tables.map(|table| object(&table.entries)).collect();
            if !tables.is_empty() || list == List::Cable && self.lists_cables {
                file[list.word()] = tables.into();
            }
        }
        file.to_string()
    }

    /// The cables as a table with commas.
    pub fn cable_list(&self) -> String {
        let mut out = String::new();
        for line in &self.head {
            let _ = writeln!(out, "{}", comment(line));
        }
        let cables = || self.tables.iter().filter(|table| table.list == List::Cable);
        let mut columns: Vec<(&str, &str)> = CABLE_COLUMNS.to_vec();
        for entry in cables().flat_map(|cable| &cable.entries) {
            if columns.iter().all(|(key, _)| *key != entry.key) {
                columns.push((&entry.key, &entry.key));
            }
        }
        let heading: Vec<_> = columns.iter().map(|(_, words)| cell(words)).collect();
        let _ = writeln!(out, "{}", heading.join(","));
        for cable in cables() {
            let cells: Vec<_> = columns.iter().map(|(key, _)| cell(cable.value(key))).collect();
            let _ = writeln!(out, "{}", cells.join(","));
        }
        out
    }

    /// Everything but the cables as lines of settings.
    pub fn settings_list(&self) -> String {
        let mut out = String::new();
        for line in &self.head {
            let _ = writeln!(out, "{}", comment(line));
        }
        for entry in self.group.iter().chain(&self.demands) {
            settings_line(&mut out, entry);
        }
        for table in &self.tables {
            let [name, facts @ ..] = table.entries.as_slice() else { continue };
            if matches!(table.list, List::Cable | List::Waiver | List::ToDo)
                || facts.is_empty() && table.list != List::Unit
            {
                continue;
            }
            let _ = writeln!(out, "\n[{}]", name.value.as_deref().unwrap_or(""));
            for entry in facts {
                settings_line(&mut out, entry);
            }
        }
        out
    }
}

/// Columns that every cable list has: the key in a site file, and the heading.
const CABLE_COLUMNS: &[(&str, &str)] = &[
    ("label", "cable"),
    ("from", "from"),
    ("from_port", "from port"),
    ("to", "to"),
    ("to_port", "to port"),
    ("kind", "kind"),
    ("length", "length"),
];

fn comment(line: &str) -> String {
    if line.is_empty() { "#".to_owned() } else { format!("# {}", one_line(line)) }
}

/// Runs of spaces and ends of lines as one space; a comment ends with its line.
pub fn one_line(text: &str) -> String {
    let spaced: String = text.chars().map(|c| if acts(c) { ' ' } else { c }).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn toml_line(out: &mut String, entry: &Entry) {
    let key = toml_key(&entry.key);
    if let Some(value) = &entry.value {
        let _ = writeln!(out, "{key} = {}", toml_value(value));
    } else {
        hint(out, &entry.hint);
        let _ = writeln!(out, "# {key} = \"\"");
    }
}

fn settings_line(out: &mut String, entry: &Entry) {
    if let Some(value) = &entry.value {
        let _ = writeln!(out, "{} = {value}", entry.key);
    } else {
        hint(out, &entry.hint);
        let _ = writeln!(out, "# {} =", entry.key);
    }
}

/// What belongs into the blank below.
fn hint(out: &mut String, hint: &str) {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent("# fill in: ")
        .subsequent_indent("#   ")
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    let _ = writeln!(out, "{}", textwrap::fill(&one_line(hint), options));
}

pub(crate) fn toml_key(key: &str) -> String {
    let is_bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-');
    if !key.is_empty() && key.chars().all(is_bare) { key.to_owned() } else { toml_text(key) }
}

/// A whole number as a number, everything else as a text.
fn json_value(value: &str) -> serde_json::Value {
    match value.parse::<u32>() {
        Ok(number) if number.to_string() == value => number.into(),
        Ok(_) | Err(_) => value.into(),
    }
}

/// A whole number as a number, everything else as a text.
pub(crate) fn toml_value(value: &str) -> String {
    match value.parse::<u32>() {
        Ok(number) if number.to_string() == value => value.to_owned(),
        Ok(_) | Err(_) => toml_text(value),
    }
}

/// A text in quotes, with the escapes of TOML 1.0.
fn toml_text(text: &str) -> String {
    let mut out = String::from("\"");
    for character in text.chars() {
        match character {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            other if acts(other) => {
                let _ = write!(out, "\\u{:04X}", u32::from(other));
            }
            other => out.push(other),
        }
    }
    out.push('"');
    out
}

/// A cell of a table with commas.
pub(crate) fn cell(text: &str) -> String {
    let text = one_line(text);
    if text.contains([',', '"']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_come_back_from_toml_as_they_were() {
        for text in [
            "plain",
            "6'3\"",
            "a\\b",
            "two\nlines\t\u{7f}",
            "ä – ohm",
            "a\u{202e}b",
            "007",
            "0x0A",
            "12",
        ] {
            let line = format!("{} = {}", toml_key("a key"), toml_value(text));
            let document = toml_edit::Document::parse(line.as_str()).expect("TOML");
            let item = document.get("a key").expect("the key");
            let back = item.as_str().map(ToOwned::to_owned);
            let back = back.or_else(|| item.as_integer().map(|number| number.to_string()));
            assert_eq!(back.as_deref(), Some(text), "{line}");
        }
    }

    #[test]
    fn a_comment_never_runs_into_the_next_line() {
        assert_eq!(comment("one\ntwo\r\nthree"), "# one two three");
        assert_eq!(cell("a, \"b\"\nc"), "\"a, \"\"b\"\" c\"");
    }
}
