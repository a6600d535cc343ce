//! Tables with separators: finding the heading and the separator, and reading what stands below.
//!
//! One sheet may hold several tables, and settings above, between or below them.

mod align;
mod ditto;
mod rows;

use super::cable_list;
use super::heading::{Column, Heading, TableKind};
use super::{ReadError, settings};
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::source::{Cell, Origin, SheetId, Sheets};
use crate::statement::{Setting, Statements, Unread};
use align::Aligned;
use coldcheck_core::rules::RuleId;
use rows::Row;

/// Separators in the order of preference when two fit equally well.
const SEPARATORS: [u8; 4] = *b",;\t|";
/// Separators that nobody would expect: taken only where every heading is known with them.
const ODD_SEPARATORS: [u8; 10] = *b"~^:/*_&+!@";
/// A heading stands in one of the first lines; titles may stand above it.
const LINES_ABOVE_HEADING: usize = 12;
/// Further down only a heading in which every word is known is taken for one.
const LINES_SEARCHED: usize = 400;
/// No sheet of one site has more columns.
const MOST_COLUMNS: usize = 64;

/// What tells the cells of a row apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Separator {
    /// This sign.
    Sign(u8),
    /// Two spaces or more.
    Spaces,
}

/// A table that was recognised by its heading.
pub(super) struct Table {
    sheet: SheetId,
    separator: Separator,
    heading: Heading,
    kind: TableKind,
    /// First byte of the heading line.
    start: usize,
    /// First byte behind the heading line.
    body: usize,
}

/// A heading, of which nothing tells the cells of the rows apart.
pub(super) struct Unseparated {
    /// The heading line.
    line: Cell,
    /// The sheet's text behind it.
    body: usize,
}

/// What is found when a sheet is searched for a table.
pub(super) enum Found {
    /// A table.
    Table(Box<Table>),
    /// A heading whose table cannot be read.
    Unseparated(Unseparated),
}

/// Finds the heading line and the separator that make the most sense together. A table of which
/// nobody knows what it lists is taken only if there is no better one.
pub(super) fn find(sheet: SheetId, text: &str, explained: &[(Folded, Column)]) -> Option<Found> {
    let mut unclear = None;
    let mut unseparated = None;
    let mut start = 0;
    for (number, line) in text.split_inclusive('\n').take(LINES_SEARCHED).enumerate() {
        let here = start;
        let cell = Cell::of(sheet, text, start..start + line.len());
        start += line.len();
        if cell.is_empty() || settings::is_comment(&cell.text) {
            continue;
        }
        let table = |separator, heading: Heading| {
            let kind = heading.kind()?;
            Some(Table { sheet, separator, heading, kind, start: here, body: start })
        };
        let wordy = may_be_heading(std::slice::from_ref(&cell));
        if number >= LINES_ABOVE_HEADING && !wordy {
            continue;
        }
        let mut best: Option<Table> = None;
        for sign in SEPARATORS {
            let cells = split_line(&cell, sign);
            if cells.len() < 2 || cells.len() > MOST_COLUMNS {
                continue;
            }
            let heading = Heading::of(&cells, explained);
            let beyond_doubt = heading.is_beyond_doubt();
            let Some(table) = table(Separator::Sign(sign), heading) else { continue };
            if number >= LINES_ABOVE_HEADING && !beyond_doubt {
                continue;
            }
            if table.kind == TableKind::Unclear {
                let below = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or("");
                let columns = below.matches(char::from(sign)).count() + 1;
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
        let best = best.or_else(|| {
            if !wordy {
                return None;
            }
            let odd = ODD_SEPARATORS
                .into_iter()
                .map(|sign| (Separator::Sign(sign), split_line(&cell, sign)));
            let spaces = (Separator::Spaces, rows::spaced(&cell));
            odd.chain([spaces]).find_map(|(separator, cells)| {
                let heading = Heading::of(&cells, explained);
                let known = heading.is_beyond_doubt() && cells.len() >= 3;
                if known { table(separator, heading) } else { None }
            })
        });
        if let Some(best) = best {
            return Some(Found::Table(Box::new(best)));
        }
        if wordy && unseparated.is_none() && is_unseparated(&cell, explained) {
            unseparated = Some(Unseparated { line: cell, body: start });
        }
    }
    unclear.map(|table| Found::Table(Box::new(table))).or(unseparated.map(Found::Unseparated))
}

/// The columns of a cable list, and the sign between its cells.
pub(super) fn columns_of_cables(sheet: SheetId, text: &str) -> Option<(u8, Vec<(Column, Cell)>)> {
    let Some(Found::Table(table)) = find(sheet, text, &[]) else { return None };
    let Separator::Sign(sign) = table.separator else { return None };
    (table.kind == TableKind::Cables).then_some((sign, table.heading.columns))
}

/// Whether cells can be a further heading at all: rows have numbers in them.
fn may_be_heading(cells: &[Cell]) -> bool {
    cells.iter().all(|cell| !cell.text.contains(|c: char| c.is_ascii_digit() || c == '='))
}

/// Whether a line is the heading of a cable list with nothing but single spaces in it.
fn is_unseparated(line: &Cell, explained: &[(Folded, Column)]) -> bool {
    let words = line.split(char::is_whitespace);
    let heading = Heading::of(&words, explained);
    words.len() >= 3 && heading.is_beyond_doubt() && heading.kind() == Some(TableKind::Cables)
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

impl Unseparated {
    /// What can be said of it: that it is there.
    pub(super) fn read(&self, sheets: &Sheets) -> Statements {
        let sheet = self.line.origin.sheet;
        let text = sheets.get(sheet).map_or("", |sheet| sheet.text.as_str());
        let mut statements = settings_in(sheet, text, 0..self.line.origin.start);
        let below = settings_in(sheet, text, self.body..text.len());
        statements.settings.extend(below.settings);
        statements.not_understood.extend(below.not_understood);
        let rule = RuleId::ListSeparatorChanged;
        statements.unread.push(Unread { rule, cell: self.line.clone(), wanted: None });
        statements
    }
}

/// Settings in the lines around a table. A line with a colon is one only if its key is known, so
/// that titles stay titles.
fn settings_in(sheet: SheetId, text: &str, part: std::ops::Range<usize>) -> Statements {
    let mut statements = settings::read_lines(sheet, text, part);
    let (settings, titles): (Vec<_>, Vec<_>) =
        std::mem::take(&mut statements.settings).into_iter().partition(|setting| {
            let between = text.get(setting.key.origin.end..setting.value.origin.start);
            let has_sign = between.is_some_and(|between| between.contains('='));
            let key = Folded::of(&setting.key.text);
            key.is_empty() && setting.about.is_some()
                || has_sign
                || setting.about.is_some()
                || Field::find(About::Group, &key).is_some()
        });
    statements.settings = settings;
    for title in titles {
        let mut cell = title.key.clone();
        cell.origin.end = title.value.origin.end.max(cell.origin.end);
        text.get(cell.origin.range()).unwrap_or("").clone_into(&mut cell.text);
        statements.not_understood.push(cell);
    }
    statements
}

impl Table {
    /// Reads what stands around the tables, and the rows.
    pub(super) fn read(self, sheets: &Sheets) -> Result<Statements, Vec<ReadError>> {
        let text = sheets.get(self.sheet).map_or("", |sheet| sheet.text.as_str());
        let mut statements = settings_in(self.sheet, text, 0..self.start);
        if self.kind == TableKind::Unclear {
            statements.unclear_table = self.heading.unheard_of();
            return Ok(statements);
        }
        let rows = rows::rows(sheets, self.sheet, self.separator, self.body, &self.heading)?;
        let mut section = Section::new(self.heading, self.kind, &mut statements);
        let mut rows = rows.into_iter().peekable();
        while let Some(row) = rows.next() {
            if row.cells.iter().all(Cell::is_empty) || settings::is_comment(&row.cells[0].text) {
                continue;
            }
            if row.cells[0].text.contains('=') {
                let found = settings_in(self.sheet, text, row.part.clone());
                statements.settings.extend(found.settings);
                statements.not_understood.extend(found.not_understood);
                continue;
            }
            let heading = may_be_heading(&row.cells).then(|| Heading::of(&row.cells, &[]));
            if let Some(heading) = heading.filter(Heading::is_beyond_doubt) {
                // The same heading again, as on a second page, or that of a further table.
                if let Some(kind) = heading.kind().filter(|_| !section.is_headed_by(&row)) {
                    section = Section::new(heading, kind, &mut statements);
                }
                continue;
            }
            if section.is_headed_by(&row) {
                continue;
            }
            let next = rows.peek();
            let aligned = align::align(&section.heading, self.separator, &row, next, text);
            if matches!(aligned, Aligned::Joined(_) | Aligned::Broken(..)) {
                rows.next();
            }
            section.read(aligned, text, &mut statements);
        }
        Ok(statements)
    }
}

/// One table with the rows below its heading.
struct Section {
    heading: Heading,
    kind: TableKind,
    above: Vec<Cell>,
}

impl Section {
    fn new(heading: Heading, kind: TableKind, statements: &mut Statements) -> Self {
        statements.lists_cables |= kind == TableKind::Cables;
        statements.unknown_columns.extend(heading.unknown());
        if let Some((cell, word)) = &heading.marked {
            let rule = RuleId::ListByteOrderMark;
            let wanted = Some(word.clone());
            statements.unread.push(Unread { rule, cell: cell.clone(), wanted });
        }
        Self { heading, kind, above: Vec::new() }
    }

    /// Whether a row repeats the heading.
    fn is_headed_by(&self, row: &Row) -> bool {
        let columns = &self.heading.columns;
        row.cells.len() == columns.len()
            && columns
                .iter()
                .zip(&row.cells)
                .all(|((_, words), cell)| Folded::of(&words.text).is(&cell.text))
    }

    /// Reads a row as far as it could be cut into cells.
    fn read(&mut self, aligned: Aligned, text: &str, statements: &mut Statements) {
        let (rule, mut cells) = match aligned {
            Aligned::Cells(cells) | Aligned::Joined(cells) => (None, cells),
            Aligned::Doubtful(rule, cells) | Aligned::Broken(rule, cells) => (Some(rule), cells),
        };
        if let Some(rule) = rule {
            let Some(mut whole) = cable_list::whole(&cells) else { return };
            text.get(whole.origin.range()).unwrap_or("").clone_into(&mut whole.text);
            statements.unread.push(Unread { rule, cell: whole, wanted: None });
            if self.kind == TableKind::Cables {
                statements.cables.push(cable_list::unread_row(&self.heading, &cells));
            }
            return;
        }
        let surplus = cells.iter().skip(self.heading.columns.len());
        if !matches!(self.heading.columns.last(), Some((Column::Note, _))) {
            statements.not_understood.extend(surplus.filter(|cell| !cell.is_empty()).cloned());
        }
        ditto::fill_in(&self.heading, &mut cells, &self.above);
        match self.kind {
            TableKind::Cables => cable_list::read_row(&self.heading, &cells, statements),
            TableKind::Units => self.read_unit(&cells, statements),
            TableKind::Unclear => {}
        }
        self.above = cells;
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
        let filled = row.iter().filter(|cell| !cell.is_empty()).count();
        let Some(about) = about.filter(|_| filled > 1 || row.len() > 1) else {
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
    }
}

/// A stretch from the first of some cells to the last.
fn stretch(cells: &[Cell]) -> Option<Origin> {
    let (first, last) = (cells.first()?, cells.last()?);
    Some(Origin { end: last.origin.end.max(first.origin.end), ..first.origin })
}
