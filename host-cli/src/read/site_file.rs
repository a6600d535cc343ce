//! The site file, TOML or JSON: lists of units, cables, packs, sensors and devices; demands; and
//! facts about the group.

use super::ReadError;
use super::heading::{self, Column};
use super::tree::Node;
use crate::fold::Folded;
use crate::source::{Cell, Sheets};
use crate::statement::{CableRow, Setting, Statements};

/// Understands the tree of a site file.
pub(super) fn read(sheets: &Sheets, tree: &Node) -> Result<Statements, Vec<ReadError>> {
    let mut reader = Reader { sheets, statements: Statements::default(), errors: Vec::new() };
    match tree {
        Node::Table(entries, _) => entries.iter().for_each(|(key, node)| reader.entry(key, node)),
        Node::Word(_) | Node::List(..) => reader.wrong(tree, "keys and values"),
    }
    if reader.errors.is_empty() { Ok(reader.statements) } else { Err(reader.errors) }
}

struct Reader<'s> {
    sheets: &'s Sheets,
    statements: Statements,
    errors: Vec<ReadError>,
}

impl Reader<'_> {
    fn entry(&mut self, key: &Cell, node: &Node) {
        match (Folded::of(&key.text).to_string().as_str(), node) {
            ("unit" | "units", _) => self.each(node, |reader, table| {
                reader.thing(table, &["name", "unit"], "");
            }),
            ("cable" | "cables", _) => {
                self.statements.lists_cables = true;
                self.each(node, Self::cable);
            }
            ("pack" | "packs", _) => self.each(node, |reader, table| {
                reader.thing(table, &["name", "number", "pack"], "pack ");
            }),
            ("sensor" | "sensors", Node::List(..)) => self.each(node, |reader, table| {
                reader.thing(table, &["name", "leg", "sensor"], "CT ");
            }),
            ("device" | "devices", _) => self.each(node, |reader, table| {
                reader.thing(table, &["name", "device"], "");
            }),
            ("demand" | "demands", Node::Table(entries, _)) => {
                for (key, node) in entries {
                    self.setting(None, key, node);
                }
            }
            _ => self.setting(None, key, node),
        }
    }

    /// Calls for each table of a list.
    fn each(&mut self, node: &Node, mut call: impl FnMut(&mut Self, &[(Cell, Node)])) {
        let Node::List(list, _) = node else {
            self.wrong(node, "a list of tables");
            return;
        };
        for element in list {
            match element {
                Node::Table(entries, _) => call(self, entries),
                Node::Word(_) | Node::List(..) => self.wrong(element, "a table"),
            }
        }
    }

    /// A thing with a name: every other key is a fact about it. A bare number or leg gets the
    /// thing's word in front.
    fn thing(&mut self, entries: &[(Cell, Node)], names: &[&str], word: &str) {
        let is_name =
            |key: &Cell| names.iter().any(|name| Folded::of(name) == Folded::of(&key.text));
        let name = entries.iter().find(|(key, _)| is_name(key));
        let Some((_, Node::Word(name))) = name else {
            if let Some((key, _)) = entries.first() {
                self.errors.push(ReadError::at(
                    self.sheets,
                    key.origin,
                    "this entry has no name",
                    format!("a key {}", crate::phrase::one_of(names)),
                ));
            }
            return;
        };
        let mut about = name.clone();
        let bare = Folded::of(&about.text);
        let needs_word =
            !word.is_empty() && (bare.tokens().len() == 1 || bare.to_string().starts_with("l "));
        if needs_word {
            about.text = format!("{word}{}", about.text);
        }
        let facts: Vec<_> = entries.iter().filter(|(key, _)| !is_name(key)).collect();
        if facts.is_empty() {
            // A name alone still says that the thing is there.
            self.statements.settings.push(Setting {
                key: Cell { text: String::new(), ..about.clone() },
                value: Cell { text: String::new(), ..about.clone() },
                about: Some(about),
            });
            return;
        }
        for (key, node) in facts {
            self.setting(Some(&about), key, node);
        }
    }

    fn setting(&mut self, about: Option<&Cell>, key: &Cell, node: &Node) {
        match node {
            Node::Word(value) => self.statements.settings.push(Setting {
                about: about.cloned(),
                key: key.clone(),
                value: value.clone(),
            }),
            Node::List(..) | Node::Table(..) => self.statements.not_understood.push(key.clone()),
        }
    }

    fn cable(&mut self, entries: &[(Cell, Node)]) {
        let mut row = CableRow::default();
        let mut texts = Vec::new();
        for (key, node) in entries {
            let Node::Word(cell) = node else {
                self.wrong(node, "a word");
                continue;
            };
            let cell = cell.clone();
            texts.push(cell.text.clone());
            match heading::known(&Folded::of(&key.text)) {
                Some(Column::Label) => row.label = Some(cell),
                Some(Column::From) => row.from = Some(cell),
                Some(Column::FromPort) => row.from_port = Some(cell),
                Some(Column::To) => row.to = Some(cell),
                Some(Column::ToPort) => row.to_port = Some(cell),
                Some(Column::Kind) => row.kind = Some(cell),
                Some(Column::Length) => row.length = Some(cell),
                Some(Column::Note) => row.note = Some(cell),
                Some(Column::Port | Column::Unit | Column::Fact | Column::Unknown) | None => {
                    row.facts.push((key.clone(), cell));
                }
            }
        }
        if let (Some((first, _)), Some((_, last))) = (entries.first(), entries.last()) {
            let mut origin = first.origin;
            origin.end = last.origin().end;
            row.row = Some(Cell { text: texts.join(", "), origin });
        }
        self.statements.cables.push(row);
    }

    fn wrong(&mut self, node: &Node, expected: &str) {
        let says = match node {
            Node::Word(cell) => format!("\u{201c}{}\u{201d} stands here", cell.text),
            Node::List(..) => "a list stands here".to_owned(),
            Node::Table(..) => "a table stands here".to_owned(),
        };
        self.errors.push(ReadError::at(self.sheets, node.origin(), says, expected));
    }
}
