//! Several photographs of one list as one list: rows that stand in two of them are one row.

use super::cells::settle_labels;
use super::columns::Column;
use super::list::{Cell, Certainty, Doubt, List, Row};
use crate::picture::Point;

/// Joins lists in the order in which the photographs were given.
pub fn join(lists: Vec<List>) -> List {
    let columns: Vec<Column> = Column::ALL
        .into_iter()
        .filter(|column| lists.iter().any(|list| list.columns.contains(column)))
        .collect();
    let mut joined = List { columns, ..List::default() };
    joined.length_unit_stated = lists.iter().any(|list| list.length_unit_stated);
    for (photo, list) in lists.into_iter().enumerate() {
        let rows: Vec<Row> =
            (0..list.rows.len()).map(|at| spread(&list, at, &joined.columns, photo)).collect();
        let partners = partners(&joined, &rows);
        for (row, partner) in rows.into_iter().zip(partners) {
            match partner.and_then(|at| joined.rows.get_mut(at)) {
                Some(own) => merge(own, row),
                None => joined.rows.push(row),
            }
        }
        for note in list.notes {
            if !joined.notes.contains(&note) {
                joined.notes.push(note);
            }
        }
    }
    settle_labels(&mut joined);
    joined
}

/// A row with a cell for every column of the joined list.
fn spread(list: &List, at: usize, columns: &[Column], photo: usize) -> Row {
    let cell = |column: &Column| match list.cell(at, *column) {
        Some(cell) => Cell { photo, ..cell.clone() },
        None => Cell {
            text: String::new(),
            state: Certainty::Unread,
            confidence: 0.0,
            alternatives: Vec::new(),
            doubt: Some(Doubt::NothingRead),
            corners: [Point::default(); 4],
            frame: [0; 4],
            photo,
        },
    };
    Row { cells: columns.iter().map(cell).collect() }
}

/// For each new row the row that it is, if the list has it already: by its label, and in a list
/// without labels by all that it says, where the end of the one is the beginning of the other.
fn partners(joined: &List, rows: &[Row]) -> Vec<Option<usize>> {
    if let Some(column) = joined.columns.iter().position(|column| *column == Column::Label) {
        let label = |row: &Row| row.cells.get(column).map(|cell| cell.text.clone());
        return rows
            .iter()
            .map(|row| {
                let own = label(row).filter(|own| !own.is_empty())?;
                joined.rows.iter().position(|other| label(other).as_ref() == Some(&own))
            })
            .collect();
    }
    let most = joined.rows.len().min(rows.len());
    let overlap = (1..=most).rev().find(|count| {
        let end = &joined.rows[joined.rows.len() - count..];
        end.iter().zip(rows).all(|(one, other)| may_be_one(one, other))
    });
    let overlap = overlap.unwrap_or(0);
    let first = joined.rows.len() - overlap;
    (0..rows.len()).map(|at| (at < overlap).then_some(first + at)).collect()
}

/// Whether every reading of one row is one of the other.
fn may_be_one(one: &Row, other: &Row) -> bool {
    one.cells.iter().zip(&other.cells).all(|(one, other)| fits(one, other) || fits(other, one))
}

fn fits(cell: &Cell, other: &Cell) -> bool {
    other.state == Certainty::Unread
        || other.text == cell.text
        || other.alternatives.contains(&cell.text)
}

/// One row from two photographs of it.
fn merge(own: &mut Row, other: Row) {
    for (cell, other) in own.cells.iter_mut().zip(other.cells) {
        let (sure, as_sure) = (cell.state == Certainty::Sure, other.state == Certainty::Sure);
        let only_other = cell.state == Certainty::Unread && other.state != Certainty::Unread;
        if only_other || (as_sure && !sure && fits(&other, cell)) {
            *cell = other;
        } else if cell.text != other.text
            && other.state != Certainty::Unread
            && !(sure && fits(cell, &other))
        {
            // Neither is more right than the other.
            (cell.state, cell.doubt) = (Certainty::Doubtful, Some(Doubt::PhotosDiffer));
            for reading in std::iter::once(other.text).chain(other.alternatives) {
                if reading != cell.text && !cell.alternatives.contains(&reading) {
                    cell.alternatives.push(reading);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(text: &str) -> Cell {
        let (text, doubtful) = text.strip_suffix('?').map_or((text, false), |text| (text, true));
        let mut readings = text.split('/').map(str::to_owned);
        Cell {
            text: readings.next().unwrap_or_default(),
            state: if doubtful { Certainty::Doubtful } else { Certainty::Sure },
            confidence: 0.9,
            alternatives: readings.collect(),
            doubt: doubtful.then_some(Doubt::LooksLike),
            corners: [Point::default(); 4],
            frame: [0; 4],
            photo: 0,
        }
    }

    fn list(columns: &[Column], rows: &[&str]) -> List {
        let row = |row: &&str| Row { cells: row.split(' ').map(cell).collect() };
        List { columns: columns.to_vec(), rows: rows.iter().map(row).collect(), ..List::default() }
    }

    fn told(list: &List) -> Vec<String> {
        let cell = |cell: &Cell| {
            let mark = if cell.state == Certainty::Sure { "" } else { "?" };
            format!(
                "{}{mark}",
                std::iter::once(&cell.text)
                    .chain(&cell.alternatives)
                    .cloned()
                    .collect::<Vec<_>>()
                    .join("/")
            )
        };
        list.rows
            .iter()
            .map(|row| row.cells.iter().map(cell).collect::<Vec<_>>().join(" "))
            .collect()
    }

    const LABELLED: [Column; 3] = [Column::Label, Column::FromUnit, Column::ToUnit];

    #[test]
    fn rows_with_one_label_are_one_row_and_the_better_reading_stands() {
        let first = list(&LABELLED, &["P1 U1 U2", "P2 U2/U7? U3"]);
        let second = list(&LABELLED, &["P2 U2 U3", "P3 U3 U4"]);
        assert_eq!(told(&join(vec![first, second])), ["P1 U1 U2", "P2 U2 U3", "P3 U3 U4"]);
    }

    #[test]
    fn what_two_photographs_show_otherwise_is_asked() {
        let first = list(&LABELLED, &["P1 U1 U2", "P2 U2 U3"]);
        let second = list(&LABELLED, &["P2 U2 U4", "P3 U3 U4"]);
        let joined = join(vec![first, second]);
        assert_eq!(told(&joined)[1], "P2 U2 U3/U4?");
        assert_eq!(joined.rows[1].cells[2].doubt, Some(Doubt::PhotosDiffer));
    }

    #[test]
    fn without_labels_the_end_of_one_is_the_beginning_of_the_next() {
        let columns = [Column::FromUnit, Column::ToUnit];
        let first = list(&columns, &["U1 U2", "U2 U3", "U3 U4"]);
        let second = list(&columns, &["U2 U3", "U3 U4", "U4 U1"]);
        assert_eq!(told(&join(vec![first, second])), ["U1 U2", "U2 U3", "U3 U4", "U4 U1"]);
        let apart = list(&columns, &["U5 U6"]);
        let first = list(&columns, &["U1 U2"]);
        assert_eq!(join(vec![first, apart]).rows.len(), 2);
    }
}
