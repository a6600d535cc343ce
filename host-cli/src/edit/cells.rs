//! Cells and rows of a cable list.

use super::Of;
use super::patch::{Patch, lines_around};
use super::small::Texts;
use super::wanted::cable_at;
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::read::{Column, columns_of_cables};
use crate::site_file::{SiteFile, Table, cell};
use std::ops::Range;

impl Texts<'_> {
    /// One cell of a cable's row with what it is to say; all others stay as they were written.
    pub(super) fn changed_cell(&self, of: &Of, key: &str, wanted: &SiteFile) -> Option<Patch> {
        let Of::Cable(position) = of else { return None };
        let table = &wanted.tables[cable_at(wanted, *position).ok()?];
        let cable = *self.site.assembled.map.cables.get(*position)?;
        let [place] = self.declared.cables[cable].origins.as_slice() else { return None };
        let text = self.text(place.sheet.0);
        let (sign, columns) = columns_of_cables(place.sheet, text)?;
        let is_it = |(column, heading): &(Column, crate::source::Cell)| match column {
            Column::Label => key == "label",
            Column::Kind => key == "kind",
            Column::Length => key == "length",
            Column::Note => key == "note",
            Column::Fact => {
                let field = Field::find(About::Cable, &Folded::of(&heading.text));
                field.is_some_and(|field| field.key() == key)
            }
            Column::From
            | Column::FromPort
            | Column::To
            | Column::ToPort
            | Column::Port
            | Column::Unit
            | Column::Unknown => false,
        };
        let column = columns.iter().position(is_it)?;
        let line = lines_around(text, place.range());
        let all = stretches(text.get(line.clone())?.trim_end_matches(['\r', '\n']), sign);
        let new = quoted(table.value(key), sign);
        let at = |range: &Range<usize>| line.start + range.start..line.start + range.end;
        Some(match (all.get(column), all.last()) {
            (Some(own), _) => Patch::stretch(place.sheet.0, at(own), new),
            // A row may end before the columns do.
            (None, last) => {
                let end = line.start + last.map_or(0, |last| last.end);
                let signs = char::from(sign).to_string().repeat(column + 1 - all.len());
                Patch::stretch(place.sheet.0, end..end, signs + &new)
            }
        })
    }
}

/// Where each cell of a row stands, with its quotes and without the spaces around it.
fn stretches(line: &str, sign: u8) -> Vec<Range<usize>> {
    let mut cells = Vec::new();
    let (mut start, mut is_quoted) = (0, false);
    let mut end = |start: usize, end: usize| {
        let raw = line.get(start..end).unwrap_or("");
        let before = raw.len() - raw.trim_start().len();
        cells.push(start + before..start + before + raw.trim().len());
    };
    for (at, byte) in line.bytes().enumerate() {
        is_quoted ^= byte == b'"';
        if byte == sign && !is_quoted {
            end(start, at);
            start = at + 1;
        }
    }
    end(start, line.len());
    cells
}

/// A cell of a list with this sign between its cells.
fn quoted(text: &str, sign: u8) -> String {
    let text = cell(text);
    let needs_quotes = text.contains(char::from(sign)) && !text.starts_with('"');
    if needs_quotes { format!("\"{text}\"") } else { text }
}

/// A cable as a row under these columns.
pub(super) fn row(cable: &Table, sign: u8, columns: &[(Column, crate::source::Cell)]) -> String {
    let has = |wanted: Column| columns.iter().any(|(column, _)| *column == wanted);
    let end = |key: &str, port_key: &str, port: Column| {
        let (name, socket) = (cable.value(key), cable.value(port_key));
        if socket.is_empty() || has(port) { name.to_owned() } else { format!("{name} {socket}") }
    };
    let cells = columns.iter().map(|(column, heading)| match column {
        Column::Label => cable.value("label").to_owned(),
        Column::From => end("from", "from_port", Column::FromPort),
        Column::FromPort => cable.value("from_port").to_owned(),
        Column::To => end("to", "to_port", Column::ToPort),
        Column::ToPort => cable.value("to_port").to_owned(),
        Column::Kind => cable.value("kind").to_owned(),
        Column::Length => cable.value("length").to_owned(),
        Column::Note => cable.value("note").to_owned(),
        Column::Fact => Field::find(About::Cable, &Folded::of(&heading.text))
            .map_or_else(String::new, |field| cable.value(field.key()).to_owned()),
        Column::Port | Column::Unit | Column::Unknown => String::new(),
    });
    let cells: Vec<_> = cells.map(|text| quoted(&text, sign)).collect();
    cells.join(&char::from(sign).to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_within_quotes_ends_no_cell() {
        let line = r#"C1, "a, ""b""" ,,x"#;
        let cells: Vec<_> = stretches(line, b',').into_iter().map(|at| &line[at]).collect();
        assert_eq!(cells, ["C1", r#""a, ""b""""#, "", "x"]);
    }
}
