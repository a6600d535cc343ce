//! TOML and JSON as one tree of cells with their places.

use super::ReadError;
use crate::source::{Cell, Origin, SheetId, Sheets};
use jsonc_parser::ast as json_ast;
use std::collections::BTreeSet;
use std::ops::Range;
use toml_edit::{Item, TableLike};

/// A value of a site file.
#[derive(Clone, Debug)]
pub(super) enum Node {
    /// A word, a number or a yes or no.
    Word(Cell),
    /// Several values.
    List(Vec<Self>, Origin),
    /// Keys and their values.
    Table(Vec<(Cell, Self)>, Origin),
}

impl Node {
    /// Where it stands.
    pub(super) const fn origin(&self) -> Origin {
        match self {
            Self::Word(cell) => cell.origin,
            Self::List(_, origin) | Self::Table(_, origin) => *origin,
        }
    }
}

/// Whether a text is meant as a TOML site file: settings lists have no lists of tables.
pub(super) fn looks_like_toml(text: &str) -> bool {
    text.lines().map(str::trim_start).any(|line| {
        line.starts_with("[[")
            || ["unit", "cable"].iter().any(|key| {
                line.strip_prefix(key)
                    .and_then(|rest| rest.trim_start().strip_prefix('='))
                    .is_some_and(|rest| rest.trim_start().starts_with('['))
            })
    })
}

/// Reads TOML.
pub(super) fn toml(sheets: &Sheets, id: SheetId) -> Result<Node, Vec<ReadError>> {
    let text = sheets.get(id).map_or("", |sheet| sheet.text.as_str());
    let document = toml_edit::Document::parse(text).map_err(|error| {
        let range = error.span().unwrap_or(0..0);
        vec![syntax(sheets, id, range, error.message().trim(), "TOML")]
    })?;
    let reader = Toml { id, text };
    Ok(reader.table(document.as_table(), 0..text.len()))
}

struct Toml<'t> {
    id: SheetId,
    text: &'t str,
}

impl Toml<'_> {
    fn table(&self, table: &dyn TableLike, span: Range<usize>) -> Node {
        let entries = table
            .iter()
            .filter_map(|(name, item)| {
                let span = table.key(name).and_then(toml_edit::Key::span).unwrap_or(0..0);
                let key = Cell { text: name.to_owned(), origin: self.origin(span) };
                self.item(item).map(|node| (key, node))
            })
            .collect();
        Node::Table(entries, self.origin(span))
    }

    fn item(&self, item: &Item) -> Option<Node> {
        let span = item.span().unwrap_or(0..0);
        match item {
            Item::None => None,
            Item::Table(table) => Some(self.table(table, span)),
            Item::ArrayOfTables(tables) => {
                let list = tables
                    .iter()
                    .map(|table| self.table(table, table.span().unwrap_or(0..0)))
                    .collect();
                Some(Node::List(list, self.origin(span)))
            }
            Item::Value(value) => Some(self.value(value)),
        }
    }

    fn value(&self, value: &toml_edit::Value) -> Node {
        let span = value.span().unwrap_or(0..0);
        match value {
            toml_edit::Value::Array(array) => Node::List(
                array.iter().map(|element| self.value(element)).collect(),
                self.origin(span),
            ),
            toml_edit::Value::InlineTable(table) => self.table(table, span),
            toml_edit::Value::String(string) => Node::Word(Cell {
                text: string.value().trim().to_owned(),
                origin: self.origin(inside_quotes(self.text, span)),
            }),
            toml_edit::Value::Integer(_)
            | toml_edit::Value::Float(_)
            | toml_edit::Value::Boolean(_)
            | toml_edit::Value::Datetime(_) => Node::Word(Cell::of(self.id, self.text, span)),
        }
    }

    const fn origin(&self, span: Range<usize>) -> Origin {
        Origin { sheet: self.id, start: span.start, end: span.end }
    }
}

/// Reads JSON.
pub(super) fn json(sheets: &Sheets, id: SheetId) -> Result<Node, Vec<ReadError>> {
    let text = sheets.get(id).map_or("", |sheet| sheet.text.as_str());
    let options = jsonc_parser::ParseOptions {
        allow_comments: false,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    };
    let parsed =
        jsonc_parser::parse_to_ast(text, &jsonc_parser::CollectOptions::default(), &options)
            .map_err(|error| {
                let range = error.range();
                vec![syntax(sheets, id, range.start..range.end, &error.kind().to_string(), "JSON")]
            })?;
    match parsed.value {
        Some(value) => {
            let mut twice = Vec::new();
            let node = json_value(id, text, &value, &mut twice);
            let errors: Vec<_> = twice
                .into_iter()
                .map(|key| syntax(sheets, id, key.range(), "duplicate key", "JSON"))
                .collect();
            if errors.is_empty() { Ok(node) } else { Err(errors) }
        }
        None => Err(vec![syntax(sheets, id, 0..0, "there is no value", "JSON")]),
    }
}

/// Makes the tree; a key that stands twice in one object is noted.
fn json_value(
    id: SheetId,
    text: &str,
    value: &json_ast::Value<'_>,
    twice: &mut Vec<Origin>,
) -> Node {
    let origin = |range: jsonc_parser::common::Range| Origin {
        sheet: id,
        start: range.start,
        end: range.end,
    };
    match value {
        json_ast::Value::Object(object) => {
            let mut seen = BTreeSet::new();
            let entries = object
                .properties
                .iter()
                .map(|property| {
                    let range = match &property.name {
                        json_ast::ObjectPropName::String(name) => name.range,
                        json_ast::ObjectPropName::Word(name) => name.range,
                    };
                    let span = inside_quotes(text, range.start..range.end);
                    let key = Cell {
                        text: property.name.as_str().to_owned(),
                        origin: Origin { sheet: id, start: span.start, end: span.end },
                    };
                    if !seen.insert(key.text.clone()) {
                        twice.push(key.origin);
                    }
                    (key, json_value(id, text, &property.value, twice))
                })
                .collect();
            Node::Table(entries, origin(object.range))
        }
        json_ast::Value::Array(array) => Node::List(
            array.elements.iter().map(|element| json_value(id, text, element, twice)).collect(),
            origin(array.range),
        ),
        json_ast::Value::StringLit(string) => {
            let span = inside_quotes(text, string.range.start..string.range.end);
            Node::Word(Cell {
                text: string.value.trim().to_owned(),
                origin: Origin { sheet: id, start: span.start, end: span.end },
            })
        }
        json_ast::Value::NumberLit(number) => {
            Node::Word(Cell::of(id, text, number.range.start..number.range.end))
        }
        json_ast::Value::BooleanLit(boolean) => {
            Node::Word(Cell::of(id, text, boolean.range.start..boolean.range.end))
        }
        json_ast::Value::NullKeyword(null) => {
            Node::Word(Cell { text: String::new(), origin: origin(null.range) })
        }
    }
}

fn syntax(
    sheets: &Sheets,
    id: SheetId,
    range: Range<usize>,
    message: &str,
    language: &str,
) -> ReadError {
    let origin = Origin { sheet: id, start: range.start, end: range.end };
    let says = message.lines().collect::<Vec<_>>().join(": ");
    ReadError::at(sheets, origin, says, format!("a site file in {language}"))
}

/// The span of a string without its quotes. Escapes are not counted: no name needs one.
fn inside_quotes(text: &str, span: Range<usize>) -> Range<usize> {
    let raw = text.get(span.clone()).unwrap_or("");
    for quotes in ["\"\"\"", "'''", "\"", "'"] {
        if raw.len() >= 2 * quotes.len() && raw.starts_with(quotes) && raw.ends_with(quotes) {
            return span.start + quotes.len()..span.end - quotes.len();
        }
    }
    span
}
