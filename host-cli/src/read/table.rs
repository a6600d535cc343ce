//! Tables with separators: finding the heading, the separator and the cells with their places.

use super::cable_list;
use super::heading::{Column, Heading, TableKind};
use super::{ReadError, settings};
use crate::field::About;
use crate::fold::Folded;
use crate::source::{Cell, SheetId, Sheets};
use crate::statement::{Setting, Statements};
use csv_core::{ReadFieldResult, ReaderBuilder};

/// Separators in the order of preference when two fit equally well.
const SEPARATORS: [u8; 4] = *b",;\t|";
/// A heading stands in one of the first lines; titles may stand above it.
const LINES_ABOVE_HEADING: usize = 12;
/// No sheet of one site has more columns.
const MOST_COLUMNS: usize = 64;

/// A table that was recognised by its heading.
pub(super) struct Table {
    sheet: SheetId,
    separator: u8,
    heading: Heading,
    kind: TableKind,
    /// Text above the heading.
    above: Vec<Cell>,
    /// First byte behind the heading line.
    body: usize,
}

/// Finds the heading line and the separator that make the most sense together. A table of which
/// nobody knows what it lists is taken only if there is no better one.
pub(super) fn find(sheet: SheetId, text: &str, explained: &[(Folded, Column)]) -> Option<Table> {
    let mut above = Vec::new();
    let mut unclear = None;
    let mut start = 0;
    for line in text.split_inclusive('\n').take(LINES_ABOVE_HEADING) {
        let cell = Cell::of(sheet, text, start..start + line.len());
        start += line.len();
        if cell.is_empty() || settings::is_comment(&cell.text) {
            continue;
        }
        let below = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or("");
        let mut best: Option<Table> = None;
        for separator in SEPARATORS {
            let cells = split_line(&cell, separator);
            if cells.len() < 2 || cells.len() > MOST_COLUMNS {
                continue;
            }
            let heading = Heading::of(&cells, explained);
            let Some(kind) = heading.kind() else { continue };
            let table =
                Table { sheet, separator, heading, kind, above: above.clone(), body: start };
            if kind == TableKind::Unclear {
                let columns = below.matches(char::from(separator)).count() + 1;
                if columns == cells.len() && !cell.text.contains('=') {
                    unclear.get_or_insert(table);
                }
            } else if best
                .as_ref()
                .is_none_or(|other| table.heading.known() > other.heading.known())
            {
                best = Some(table);
            }
        }
        if best.is_some() {
            return best;
        }
        above.push(cell);
    }
    unclear
}

/// Cells of a heading line. Headings carry no quotes that matter.
fn split_line(line: &Cell, separator: u8) -> Vec<Cell> {
    let mut cells = Vec::new();
    let mut start = 0;
    for (index, byte) in line.text.bytes().enumerate() {
        if byte == separator {
            cells.push(unquoted(&line.part(start..index)));
            start = index + 1;
        }
    }
    cells.push(unquoted(&line.part(start..line.text.len())));
    cells
}

fn unquoted(cell: &Cell) -> Cell {
    match cell.text.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')) {
        Some(inside) => cell.part(1..1 + inside.len()),
        None => cell.clone(),
    }
}

impl Table {
    /// Reads the rows.
    pub(super) fn read(&self, sheets: &Sheets) -> Result<Statements, Vec<ReadError>> {
        if self.kind == TableKind::Unclear {
            return Ok(Statements {
                unclear_table: self.heading.unheard_of(),
                not_understood: self.above.clone(),
                ..Statements::default()
            });
        }
        let rows = self.rows(sheets)?;
        let mut statements = Statements {
            lists_cables: self.kind == TableKind::Cables,
            unknown_columns: self.heading.unknown(),
            not_understood: self.above.clone(),
            ..Statements::default()
        };
        for row in &rows {
            match self.kind {
                TableKind::Cables => cable_list::read_row(&self.heading, row, &mut statements),
                TableKind::Units => self.read_unit(row, &mut statements),
                TableKind::Unclear => {}
            }
        }
        Ok(statements)
    }

    /// A row of a table of units: one setting for each filled cell.
    fn read_unit(&self, row: &[Cell], statements: &mut Statements) {
        let is_unit = |column: &Column| *column == Column::Unit;
        let about = self
            .heading
            .columns
            .iter()
            .zip(row)
            .find(|((column, _), _)| is_unit(column))
            .map(|(_, cell)| cell.clone())
            .filter(|cell| !cell.is_empty());
        let Some(about) = about else {
            statements.not_understood.extend(row.iter().find(|cell| !cell.is_empty()).cloned());
            return;
        };
        // The name alone says that the unit is there, even if its cells are empty.
        statements.settings.push(Setting {
            key: about.part(0..0),
            value: about.part(0..0),
            kind: Some(About::Unit),
            about: Some(about.clone()),
        });
        for ((column, words), cell) in self.heading.columns.iter().zip(row) {
            if matches!(column, Column::Note | Column::Unknown) && !cell.is_empty() {
                let heading = if *column == Column::Note { "" } else { &words.text };
                let text = [&about.text, heading, &cell.text].map(str::trim);
                let text = text.into_iter().filter(|part| !part.is_empty());
                let text = text.collect::<Vec<_>>().join(": ");
                statements.remarks.push(Cell { text, origin: cell.origin });
            }
            if *column == Column::Fact && !cell.is_empty() {
                statements.settings.push(Setting {
                    about: Some(about.clone()),
                    kind: Some(About::Unit),
                    key: words.clone(),
                    value: cell.clone(),
                });
            }
        }
        let surplus = row.iter().skip(self.heading.columns.len()).filter(|cell| !cell.is_empty());
        statements.not_understood.extend(surplus.cloned());
    }

    /// The cells of each row that is neither empty, a comment nor the heading again.
    fn rows(&self, sheets: &Sheets) -> Result<Vec<Vec<Cell>>, Vec<ReadError>> {
        let text = sheets.get(self.sheet).map_or("", |sheet| sheet.text.as_str());
        let mut reader = ReaderBuilder::new().delimiter(self.separator).build();
        let input = text.as_bytes();
        let mut at = self.body;
        let mut start = at;
        let mut field = vec![0; 1024];
        let mut filled = 0;
        let mut row: Vec<Cell> = Vec::new();
        let mut rows = Vec::new();
        loop {
            let rest = input.get(at..).unwrap_or(&[]);
            let (result, taken, written) =
                reader.read_field(rest, field.get_mut(filled..).unwrap_or(&mut []));
            at += taken;
            filled += written;
            match result {
                ReadFieldResult::OutputFull => field.resize(field.len() * 2, 0),
                ReadFieldResult::InputEmpty => {}
                ReadFieldResult::Field { record_end } => {
                    let value = String::from_utf8_lossy(field.get(..filled).unwrap_or(&[]));
                    let mut cell = Cell::of(self.sheet, text, start..at);
                    if at == input.len() && is_open_quote(&cell.text) {
                        return Err(vec![Self::open_quote(sheets, &cell)]);
                    }
                    narrow(&mut cell, self.separator);
                    value.trim().clone_into(&mut cell.text);
                    row.push(cell);
                    (start, filled) = (at, 0);
                    if row.len() > MOST_COLUMNS {
                        let origin = row.first().map_or(
                            crate::source::Origin { sheet: self.sheet, start, end: start },
                            |cell| cell.origin,
                        );
                        return Err(vec![ReadError::at(
                            sheets,
                            origin,
                            format!("this line has more than {MOST_COLUMNS} columns"),
                            "a line of a cable list or a table of units",
                        )]);
                    }
                    if record_end {
                        self.keep(std::mem::take(&mut row), &mut rows);
                    }
                }
                ReadFieldResult::End => {
                    self.keep(row, &mut rows);
                    return Ok(rows);
                }
            }
        }
    }

    fn open_quote(sheets: &Sheets, cell: &Cell) -> ReadError {
        ReadError::at(
            sheets,
            cell.part(0..1).origin,
            "the quote that opens here never closes, so the rest of the file is one cell",
            "a closing quote, or none at all",
        )
    }

    fn keep(&self, row: Vec<Cell>, rows: &mut Vec<Vec<Cell>>) {
        let empty = row.iter().all(Cell::is_empty);
        let comment = row.first().is_some_and(|cell| settings::is_comment(&cell.text));
        let heading_again = row.len() == self.heading.columns.len()
            && self
                .heading
                .columns
                .iter()
                .zip(&row)
                .all(|((_, words), cell)| Folded::of(&words.text).is(&cell.text));
        if !empty && !comment && !heading_again {
            rows.push(row);
        }
    }
}

/// Whether a cell begins with a quote that never closes: an odd number of quotes.
fn is_open_quote(raw: &str) -> bool {
    raw.starts_with('"') && raw.matches('"').count() % 2 == 1
}

/// Takes separator and quotes off the ends of a cell's place.
fn narrow(cell: &mut Cell, separator: u8) {
    let trimmed = cell.text.trim_end_matches(char::from(separator)).trim_end();
    let bare = cell.part(0..trimmed.len());
    *cell = unquoted(&bare);
}
