//! The site file, TOML or JSON: lists of units, cables, packs, sensors and devices; demands; and
//! facts about the group.

use super::ReadError;
use super::heading::{self, Column};
use super::tree::Node;
use crate::field::About;
use crate::fold::Folded;
use crate::source::{Cell, Origin, Sheets};
use crate::statement::{CableRow, Setting, Statements, ToDoRow, WaiverRow};

/// Understands the tree of a site file.
pub(super) fn read(sheets: &Sheets, tree: &Node) -> Result<Statements, Vec<ReadError>> {
    let mut reader = Reader { sheets, statements: Statements::default(), errors: Vec::new() };
    match tree {
        Node::Table(entries, _) => entries.iter().for_each(|(key, node)| reader.entry(key, node)),
        Node::Word(_) | Node::List(..) => reader.wrong(tree, "keys and values"),
    }
    if reader.errors.is_empty() { Ok(reader.statements) } else { Err(reader.errors) }
}

/// The keys under which a thing has its name.
pub(super) const fn names_of(kind: About) -> &'static [&'static str] {
    match kind {
        About::Unit => &["name", "unit"],
        About::Pack => &["name", "number", "pack"],
        About::Sensor => &["name", "leg", "sensor"],
        About::Device => &["name", "device"],
        About::Group | About::Cable => &[],
    }
}

struct Reader<'s> {
    sheets: &'s Sheets,
    statements: Statements,
    errors: Vec<ReadError>,
}

impl Reader<'_> {
    fn entry(&mut self, key: &Cell, node: &Node) {
        match (Folded::of(&key.text).to_string().as_str(), node) {
            ("unit" | "units", _) => self.things(node, About::Unit),
            ("cable" | "cables", _) => {
                self.statements.lists_cables = true;
                self.each(node, Self::cable);
            }
            ("pack" | "packs", _) => self.things(node, About::Pack),
            ("sensor" | "sensors", Node::List(..)) => self.things(node, About::Sensor),
            ("device" | "devices", _) => self.things(node, About::Device),
            ("waiver" | "waivers", _) => self.waivers(node),
            ("to do", _) => self.all_to_do(node),
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

    /// Things of one kind, each with a name: every other key is a fact about it.
    fn things(&mut self, node: &Node, kind: About) {
        let names = names_of(kind);
        self.each(node, |reader, entries| reader.thing(entries, kind, names));
    }

    fn thing(&mut self, entries: &[(Cell, Node)], kind: About, names: &[&str]) {
        let is_name = |key: &Cell| names.iter().any(|name| Folded::of(&key.text).is(name));
        let Some((_, Node::Word(name))) = entries.iter().find(|(key, _)| is_name(key)) else {
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
        // The name alone says that the thing is there, even if nothing else is said of it.
        self.statements.settings.push(Setting {
            about: Some(name.clone()),
            kind: Some(kind),
            key: name.part(0..0),
            value: name.part(0..0),
        });
        for (key, node) in entries.iter().filter(|(key, _)| !is_name(key)) {
            self.setting(Some((name, kind)), key, node);
        }
    }

    fn setting(&mut self, about: Option<(&Cell, About)>, key: &Cell, node: &Node) {
        match node {
            Node::Word(value) => self.statements.settings.push(Setting {
                about: about.map(|(name, _)| name.clone()),
                kind: about.map(|(_, kind)| kind),
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
            if Folded::of(&key.text).is("unlabelled") {
                row.called = Some(cell);
                continue;
            }
            match heading::known(&Folded::of(&key.text)) {
                Some(Column::Label) => row.label = Some(cell),
                Some(Column::From) => row.from = Some(cell),
                Some(Column::FromPort) => row.from_port = Some(cell),
                Some(Column::To) => row.to = Some(cell),
                Some(Column::ToPort) => row.to_port = Some(cell),
                Some(Column::Kind) => row.kind = Some(cell),
                Some(Column::Length) => row.length = Some(cell),
                Some(Column::Note) if !cell.is_empty() => row.notes.push(cell.text),
                Some(Column::Note) => {}
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

    fn waivers(&mut self, node: &Node) {
        self.each_at(node, Self::waiver);
    }

    /// Calls for each table of a list, with its place.
    fn each_at(&mut self, node: &Node, mut call: impl FnMut(&mut Self, &[(Cell, Node)], Origin)) {
        let Node::List(list, _) = node else {
            self.wrong(node, "a list of tables");
            return;
        };
        for element in list {
            match element {
                Node::Table(entries, at) => call(self, entries, *at),
                Node::Word(_) | Node::List(..) => self.wrong(element, "a table"),
            }
        }
    }

    fn all_to_do(&mut self, node: &Node) {
        self.each_at(node, |reader, entries, at| {
            let mut row = ToDoRow {
                at,
                act: None,
                mends: None,
                seen: None,
                by: None,
                time: None,
                unknown: Vec::new(),
            };
            for (key, node) in entries {
                let word = match Folded::of(&key.text).to_string().as_str() {
                    "act" => &mut row.act,
                    "mends" => &mut row.mends,
                    "seen" => &mut row.seen,
                    "by" => &mut row.by,
                    "time" => &mut row.time,
                    _ => {
                        row.unknown.push(key.clone());
                        continue;
                    }
                };
                match node {
                    Node::Word(cell) => *word = Some(cell.clone()),
                    Node::List(..) | Node::Table(..) => reader.wrong(node, "a word"),
                }
            }
            reader.statements.to_do.push(row);
        });
    }

    fn waiver(&mut self, entries: &[(Cell, Node)], at: Origin) {
        let mut row = WaiverRow {
            at,
            rule: None,
            places: Vec::new(),
            reason: None,
            by: None,
            until: None,
            unknown: Vec::new(),
        };
        for (key, node) in entries {
            let word = match Folded::of(&key.text).to_string().as_str() {
                "rule" => &mut row.rule,
                "reason" => &mut row.reason,
                "by" => &mut row.by,
                "until" => &mut row.until,
                "place" | "places" => {
                    self.places(node, &mut row.places);
                    continue;
                }
                _ => {
                    row.unknown.push(key.clone());
                    continue;
                }
            };
            match node {
                Node::Word(cell) => *word = Some(cell.clone()),
                Node::List(..) | Node::Table(..) => self.wrong(node, "a word"),
            }
        }
        self.statements.waivers.push(row);
    }

    /// Places as a list, or behind commas.
    fn places(&mut self, node: &Node, places: &mut Vec<Cell>) {
        match node {
            // Nothing is no place: what was meant is asked by the error that follows.
            Node::Word(cell) if cell.is_empty() => places.push(cell.clone()),
            Node::Word(cell) => places.extend(cell.split(|c| matches!(c, ',' | ';'))),
            Node::List(list, _) => {
                for element in list {
                    match element {
                        Node::Word(cell) => places.push(cell.clone()),
                        Node::List(..) | Node::Table(..) => self.wrong(element, "a word"),
                    }
                }
            }
            Node::Table(..) => self.wrong(node, "a word, or a list of words"),
        }
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
