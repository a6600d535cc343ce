//! Rows of a cable list.

use super::doubt;
use super::heading::{Column, Heading};
use crate::source::{Cell, Origin};
use crate::statement::{CableRow, Statements};

/// Adds one row, with a cell for each column or fewer.
pub(super) fn read_row(heading: &Heading, cells: &[Cell], statements: &mut Statements) {
    let mut row = CableRow {
        row: whole(cells),
        length_unit: heading.length_unit.clone(),
        ..CableRow::default()
    };
    for ((column, words), cell) in heading.columns.iter().zip(cells) {
        let cell = match column {
            Column::Fact | Column::Note | Column::Unknown | Column::Unit | Column::Port => {
                cell.clone()
            }
            Column::Label
            | Column::From
            | Column::FromPort
            | Column::To
            | Column::ToPort
            | Column::Kind
            | Column::Length => doubt::settled(cell.clone(), statements),
        };
        match column {
            Column::Label => row.label = Some(cell),
            Column::From => row.from = Some(cell),
            Column::FromPort => row.from_port = Some(cell),
            Column::To => row.to = Some(cell),
            Column::ToPort => row.to_port = Some(cell),
            Column::Kind => row.kind = Some(cell),
            Column::Length => row.length = Some(cell),
            Column::Fact if !cell.is_empty() => row.facts.push((words.clone(), cell)),
            Column::Note if !cell.is_empty() => row.notes.push(cell.text),
            // What nobody knows is asked about once, by its heading.
            Column::Unknown if !cell.is_empty() => {
                row.notes.push(format!("{}: {}", words.text, cell.text));
            }
            Column::Fact | Column::Port | Column::Unit | Column::Unknown | Column::Note => {}
        }
    }
    let surplus = cells.iter().skip(heading.columns.len()).filter(|cell| !cell.is_empty());
    if matches!(heading.columns.last(), Some((Column::Note, _))) {
        row.notes.extend(surplus.map(|cell| cell.text.clone()));
    }
    // A line with words in one cell only, such as a signature, is no cable.
    let filled = cells.iter().filter(|cell| !cell.is_empty()).count();
    let ends = [&row.from, &row.to];
    if filled < 2 || ends.iter().all(|end| end.as_ref().is_none_or(Cell::is_empty)) {
        statements.not_understood.extend(row.row);
    } else {
        statements.cables.push(row);
    }
}

/// A row that could not be cut into cells: its label is all that may be known of it.
pub(super) fn unread_row(heading: &Heading, cells: &[Cell]) -> CableRow {
    let has_label = matches!(heading.columns.first(), Some((Column::Label, _)));
    let label = cells.first().filter(|cell| has_label && !cell.text.contains([';', '|', '\t']));
    let label = label.cloned();
    CableRow { row: whole(cells), label, unread: true, ..CableRow::default() }
}

/// The row as one cell, from its first to its last word.
pub(super) fn whole(cells: &[Cell]) -> Option<Cell> {
    let filled = || cells.iter().filter(|cell| !cell.is_empty());
    let (first, last) = (filled().next()?, filled().next_back()?);
    let texts: Vec<&str> = cells.iter().map(|cell| cell.text.as_str()).collect();
    Some(Cell { text: texts.join(", "), origin: Origin { end: last.origin.end, ..first.origin } })
}
