//! Rows that do not fit their heading: too many cells, half lines, other separators.
//!
//! Where exactly one way of putting the cells together makes sense, it is taken. Else nothing of
//! the row is read, and that is said.

use super::super::heading::{Column, Heading, TableKind};
use super::rows::Row;
use super::{SEPARATORS, Separator, stretch, unquoted};
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::source::Cell;
use crate::value::{length, parse};
use crate::vocabulary::CABLE_KIND;
use coldcheck_core::rules::RuleId;

/// What became of a row.
pub(super) enum Aligned {
    /// Its cells, one for each column, or fewer.
    Cells(Vec<Cell>),
    /// The cells of this row and the next, which is the rest of it.
    Joined(Vec<Cell>),
    /// It cannot be cut for sure, by this rule.
    Doubtful(RuleId, Vec<Cell>),
    /// The same of this row and the next.
    Broken(RuleId, Vec<Cell>),
}

/// Fits a row to its heading.
pub(super) fn align(
    heading: &Heading,
    separator: Separator,
    row: &Row,
    next: Option<&Row>,
    text: &str,
) -> Aligned {
    let columns = heading.columns.len();
    let mut cells = row.cells.clone();
    while cells.len() > columns && cells.last().is_some_and(Cell::is_empty) {
        cells.pop();
    }
    if cells.len() > columns {
        return surplus(heading, cells, text);
    }
    if cells.len() == columns {
        return Aligned::Cells(cells);
    }
    if let Separator::Sign(sign) = separator
        && let Some(aligned) = other_separator(heading, sign, &cells, text)
    {
        return aligned;
    }
    next.and_then(|next| broken(heading, &cells, next, text)).unwrap_or(Aligned::Cells(cells))
}

/// More cells than columns: neighbours that belong together are found by whether every kind and
/// every length is one then.
fn surplus(heading: &Heading, cells: Vec<Cell>, text: &str) -> Aligned {
    let extra = cells.len() - heading.columns.len();
    let fitting: Vec<(usize, Vec<Cell>)> = (0..heading.columns.len())
        .map(|at| (at, joined(&cells, at, extra, text)))
        .filter(|(_, row)| is_plausible(heading, row))
        .collect();
    let is_note = |at: &usize| matches!(heading.columns.get(*at), Some((Column::Note, _)));
    if let Some((_, row)) = fitting.iter().find(|(at, _)| is_note(at)) {
        return Aligned::Cells(row.clone());
    }
    if let [(_, row)] = fitting.as_slice() {
        return Aligned::Cells(row.clone());
    }
    // What stands behind all columns may be a remark without a heading, if nothing fits better.
    let last_is_note = heading.columns.last().is_some_and(|(column, _)| *column == Column::Note);
    if last_is_note || fitting.is_empty() && is_plausible(heading, &cells) {
        return Aligned::Cells(cells);
    }
    Aligned::Doubtful(RuleId::ListSeparatorInText, cells)
}

/// The row with so many cells behind one put together with it.
fn joined(cells: &[Cell], at: usize, extra: usize, text: &str) -> Vec<Cell> {
    let (head, rest) = cells.split_at(at);
    let (together, tail) = rest.split_at((extra + 1).min(rest.len()));
    let mut row = head.to_vec();
    row.extend(as_one(together, text));
    row.extend(tail.iter().cloned());
    row
}

/// Cells side by side as one, with what stands between them.
fn as_one(cells: &[Cell], text: &str) -> Option<Cell> {
    let origin = stretch(cells)?;
    let words = text.get(origin.range()).unwrap_or("").split_whitespace();
    Some(Cell { text: words.collect::<Vec<_>>().join(" "), origin })
}

/// A short row whose cells are told apart by another separator.
fn other_separator(heading: &Heading, own: u8, cells: &[Cell], text: &str) -> Option<Aligned> {
    if is_whole(heading, cells) {
        return None;
    }
    let line = as_one(cells, text)?;
    let columns = heading.columns.len();
    let others = || SEPARATORS.into_iter().filter(|sign| *sign != own).map(char::from);
    let split = |is_separator: &dyn Fn(char) -> bool| {
        let mut parts = Vec::new();
        let (mut start, mut in_quotes) = (0, false);
        for (at, sign) in line.text.char_indices() {
            in_quotes ^= sign == '"';
            if !in_quotes && is_separator(sign) {
                parts.push(unquoted(&line.part(start..at)));
                start = at + sign.len_utf8();
            }
        }
        parts.push(unquoted(&line.part(start..line.text.len())));
        parts
    };
    // One cell, because the whole line was saved with another separator.
    if cells.len() == 1 {
        let fitting = others()
            .map(|sign| split(&|c| c == sign))
            .find(|parts| (3..=columns).contains(&parts.len()) && is_whole(heading, parts));
        if let Some(parts) = fitting {
            return Some(Aligned::Cells(parts));
        }
    }
    let mixed = split(&|c| c == char::from(own) || others().any(|other| other == c));
    let doubtful = mixed.len() > cells.len().max(2)
        && is_whole(heading, mixed.get(..columns).unwrap_or(&mixed));
    doubtful.then(|| Aligned::Doubtful(RuleId::ListSeparatorChanged, cells.to_vec()))
}

/// A short row and a short row below it that are one together, where the lower one makes no sense
/// by itself.
fn broken(heading: &Heading, cells: &[Cell], next: &Row, text: &str) -> Option<Aligned> {
    let columns = heading.columns.len();
    let half = |cells: &[Cell]| cells.len() < columns && cells.iter().any(|cell| !cell.is_empty());
    if !half(cells) || !half(&next.cells) || cells.len() + next.cells.len() != columns + 1 {
        return None;
    }
    let at = cells.len() - 1;
    let both: Vec<Cell> = cells.iter().chain(&next.cells).cloned().collect();
    let row = joined(&both, at, 1, text);
    let stated = |(column, cell): (Column, &Cell)| {
        matches!(column, Column::Kind | Column::Length) && !cell.is_empty()
    };
    let columns_of = |row| heading.columns.iter().map(|(column, _)| *column).zip(row);
    let sound = is_plausible(heading, &row) && columns_of(row.iter()).any(stated);
    let misplaced = columns_of(next.cells.iter()).any(|(column, cell)| {
        matches!(column, Column::From | Column::To)
            && (CABLE_KIND.code(&Folded::of(&cell.text)).is_some()
                || length(&cell.text, None).is_some())
    });
    if !sound || !misplaced {
        return None;
    }
    if matches!(heading.columns.get(at), Some((Column::Note, _))) {
        return Some(Aligned::Joined(row));
    }
    Some(Aligned::Broken(RuleId::ListLineBreakInField, both))
}

/// Whether both ends are filled and everything else is what its heading says.
fn is_whole(heading: &Heading, cells: &[Cell]) -> bool {
    let ends = heading.columns.iter().zip(cells).filter(|((column, _), cell)| {
        matches!(column, Column::From | Column::To | Column::Unit) && !cell.is_empty()
    });
    let wanted = if heading.kind() == Some(TableKind::Cables) { 2 } else { 1 };
    ends.count() == wanted && is_plausible(heading, cells)
}

/// Whether every cell is what its heading says, as far as that can be told: kinds are kinds,
/// lengths are lengths, numbers are numbers.
fn is_plausible(heading: &Heading, cells: &[Cell]) -> bool {
    let about = if heading.kind() == Some(TableKind::Cables) { About::Cable } else { About::Unit };
    heading.columns.iter().zip(cells).all(|((column, words), cell)| {
        let text = cell.text.as_str();
        match column {
            _ if cell.is_empty() || matches!(text, "-" | "?" | "\"") => true,
            Column::Kind => CABLE_KIND.code(&Folded::of(text)).is_some(),
            Column::Length => length(text, Some("m")).is_some(),
            Column::Fact => Field::find(about, &Folded::of(&words.text))
                .is_none_or(|field| parse(field.form(), text).is_ok()),
            Column::Label
            | Column::From
            | Column::FromPort
            | Column::To
            | Column::ToPort
            | Column::Note
            | Column::Port
            | Column::Unit
            | Column::Unknown => true,
        }
    })
}
