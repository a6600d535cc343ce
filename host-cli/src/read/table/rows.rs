//! From text to rows of cells, each with its place.

use super::super::ReadError;
use super::super::heading::Heading;
use super::{MOST_COLUMNS, Separator, unquoted};
use crate::source::{Cell, Origin, SheetId, Sheets};
use csv_core::{ReadFieldResult, ReaderBuilder};
use std::ops::Range;

/// A quote alone in its cell, which means: as above. It must not open a quoted cell.
const LONE_QUOTE: u8 = 0x1A;

/// One row.
pub(super) struct Row {
    /// Its cells.
    pub(super) cells: Vec<Cell>,
    /// The part of the sheet that it is.
    pub(super) part: Range<usize>,
}

/// The rows below a heading.
pub(super) fn rows(
    sheets: &Sheets,
    sheet: SheetId,
    separator: Separator,
    body: usize,
    heading: &Heading,
) -> Result<Vec<Row>, Vec<ReadError>> {
    let text = sheets.get(sheet).map_or("", |sheet| sheet.text.as_str());
    match separator {
        Separator::Sign(sign) => separated(sheets, sheet, text, sign, body),
        Separator::Spaces => Ok(aligned_by_eye(sheet, text, body, heading)),
    }
}

fn separated(
    sheets: &Sheets,
    sheet: SheetId,
    text: &str,
    separator: u8,
    body: usize,
) -> Result<Vec<Row>, Vec<ReadError>> {
    let mut reader = ReaderBuilder::new().delimiter(separator).build();
    let input = without_lone_quotes(text.as_bytes(), body, separator);
    let mut at = body;
    let mut start = at;
    let mut row_start = at;
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
                let mut cell = Cell::of(sheet, text, start..at);
                if at == input.len() && is_open_quote(&cell.text) {
                    return Err(vec![open_quote(sheets, &cell)]);
                }
                narrow(&mut cell, separator);
                value.replace(char::from(LONE_QUOTE), "\"").trim().clone_into(&mut cell.text);
                row.push(cell);
                (start, filled) = (at, 0);
                if row.len() > MOST_COLUMNS {
                    return Err(vec![too_wide(sheets, &row)]);
                }
                if record_end {
                    rows.push(Row { cells: std::mem::take(&mut row), part: row_start..at });
                    row_start = at;
                }
            }
            ReadFieldResult::End => {
                if !row.is_empty() {
                    rows.push(Row { cells: row, part: row_start..at });
                }
                return Ok(rows);
            }
        }
    }
}

fn too_wide(sheets: &Sheets, row: &[Cell]) -> ReadError {
    let origin = super::stretch(row.get(..1).unwrap_or(&[]));
    let says = format!("this line has more than {MOST_COLUMNS} columns");
    let expected = "a line of a cable list or a table of units";
    match origin {
        Some(origin) => ReadError::at(sheets, origin, says, expected),
        None => ReadError::file("", says, expected),
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

/// Whether a cell begins with a quote that never closes: an odd number of quotes.
fn is_open_quote(raw: &str) -> bool {
    raw.starts_with('"') && raw.len() > 1 && raw.matches('"').count() % 2 == 1
}

/// Takes separator and quotes off the ends of a cell's place.
fn narrow(cell: &mut Cell, separator: u8) {
    let trimmed = cell.text.trim_end_matches(char::from(separator)).trim_end();
    let bare = cell.part(0..trimmed.len());
    *cell = unquoted(&bare);
}

/// The bytes of a table with every quote that stands alone in its cell replaced by a sign of the
/// same length, so that all places stay what they are.
fn without_lone_quotes(bytes: &[u8], body: usize, separator: u8) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    let ends = |byte: Option<&u8>| {
        byte.is_none_or(|byte| *byte == separator || *byte == b'\n' || *byte == b'\r')
    };
    let mut at = body;
    while at < bytes.len() {
        // At the start of a cell.
        if bytes[at] == b'"' {
            if ends(bytes.get(at + 1)) {
                bytes[at] = LONE_QUOTE;
                at += 1;
            } else {
                at += 1;
                while let Some(byte) = bytes.get(at) {
                    at += 1;
                    if *byte == b'"' {
                        if bytes.get(at) != Some(&b'"') {
                            break;
                        }
                        at += 1;
                    }
                }
            }
        }
        while bytes.get(at).is_some_and(|byte| *byte != separator && *byte != b'\n') {
            at += 1;
        }
        at += 1;
    }
    bytes
}

/// The parts of a line between runs of two spaces or more.
pub(super) fn spaced(line: &Cell) -> Vec<Cell> {
    let mut cells = Vec::new();
    let mut rest = 0;
    while let Some(found) = line.text.get(rest..).and_then(|tail| tail.find("  ")) {
        cells.push(line.part(rest..rest + found));
        rest += found;
        let tail = line.text.get(rest..).unwrap_or("");
        rest += tail.len() - tail.trim_start().len();
    }
    cells.push(line.part(rest..line.text.len()));
    cells
}

/// Rows of a table that was aligned by eye: each part belongs to the heading above it, or to the
/// column of its number if there is a part for each.
fn aligned_by_eye(sheet: SheetId, text: &str, body: usize, heading: &Heading) -> Vec<Row> {
    let column_of = |cell: &Cell| {
        text.get(..cell.origin.start).map_or(0, |before| {
            let line = before.rfind('\n').map_or(0, |newline| newline + 1);
            before.get(line..).unwrap_or("").chars().count()
        })
    };
    let starts: Vec<usize> = heading.columns.iter().map(|(_, cell)| column_of(cell)).collect();
    let mut rows = Vec::new();
    let mut start = body;
    for line in text.get(body..).unwrap_or("").split_inclusive('\n') {
        let part = start..start + line.len();
        start += line.len();
        let whole = Cell::of(sheet, text, part.clone());
        if whole.is_empty() {
            continue;
        }
        let parts = spaced(&whole);
        let cells =
            if parts.len() >= starts.len() { parts } else { placed(&parts, &starts, column_of) };
        rows.push(Row { cells, part });
    }
    rows
}

/// Each part in the column that begins nearest to it; parts that would share one stay in order.
fn placed(parts: &[Cell], starts: &[usize], column_of: impl Fn(&Cell) -> usize) -> Vec<Cell> {
    let Some(first) = parts.first() else { return Vec::new() };
    let blank =
        Cell { text: String::new(), origin: Origin { end: first.origin.start, ..first.origin } };
    let mut cells = vec![blank; starts.len()];
    let mut next = 0;
    for part in parts {
        let column = column_of(part);
        let nearest = (next..starts.len()).min_by_key(|at| starts[*at].abs_diff(column));
        let Some(at) = nearest else { break };
        cells[at] = part.clone();
        next = at + 1;
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quote_alone_in_its_cell_opens_nothing() {
        let bare = |text: &str| {
            String::from_utf8(without_lone_quotes(text.as_bytes(), 0, b',')).expect("text")
        };
        assert_eq!(bare("a,\",b\n"), "a,\u{1A},b\n");
        assert_eq!(bare("\",a,\"\n\",\""), "\u{1A},a,\u{1A}\n\u{1A},\u{1A}");
        for kept in ["a,\"b,c\",d\n", "\"a \"\"b\"\",\",c\n", "6\",7\"\n", "\"two\nlines\",x\n"] {
            assert_eq!(bare(kept), kept);
        }
    }
}
