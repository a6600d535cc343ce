//! A list that was read, as a cable list: cells that a person must look at bear a question mark.

use super::columns::Column;
use super::list::{Cell, List};
use crate::phrase::counted;
use crate::picture::cell::{self, MARKS, one_line, quoted};
use std::fmt::Write;

/// The list as a sheet. A doubtful cell holds every reading, each with a question mark; a person
/// leaves the right one and drops the mark.
pub fn text(photos: &[String], list: &List) -> String {
    let mut text = lines_before(photos, list, "# rows = ");
    for row in &list.rows {
        let cells: Vec<String> = row.cells.iter().map(|cell| quoted(&marked(cell))).collect();
        text += &cells.join(",");
        text.push('\n');
    }
    text + &lines_after(list)
}

/// What stands above the rows; `rows` is the line that says how many the sheet has.
pub(super) fn lines_before(photos: &[String], list: &List, rows: &str) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "# Read from a photograph: {}", one_line(&photos.join(", ")));
    if list.counts().1 > 0 {
        text += MARKS;
    }
    let read = counted(list.rows.len(), "row");
    let _ = writeln!(
        text,
        "# {read} read. Count those of the sheet itself, and write the number here:"
    );
    let _ = writeln!(text, "{rows}\nlist came from = photograph\n");
    let headings: Vec<&str> = list.columns.iter().map(|column| heading(list, *column)).collect();
    text + &headings.join(",") + "\n"
}

/// What stands below the rows: all other writing of the sheet.
pub(super) fn lines_after(list: &List) -> String {
    let notes = list.notes.iter().map(|note| format!("# {}\n", one_line(note)));
    if list.notes.is_empty() {
        String::new()
    } else {
        std::iter::once("\n".to_owned()).chain(notes).collect()
    }
}

/// The heading of a column. Lengths are told in metres, which the list says only if the sheet does.
pub fn heading(list: &List, column: Column) -> &'static str {
    if column == Column::Length && list.length_unit_stated {
        "length (m)"
    } else {
        column.heading()
    }
}

/// A cell as it stands in the list.
pub(super) fn marked(cell: &Cell) -> String {
    cell::marked(cell.state, &cell.text, &cell.alternatives)
}

#[cfg(test)]
mod tests {
    use super::super::list::Certainty;
    use super::*;
    use crate::picture::Point;
    use crate::read::{RawSheet, read};

    fn cell(text: &str, alternatives: &[&str], state: Certainty) -> Cell {
        Cell {
            text: text.to_owned(),
            state,
            confidence: 0.5,
            alternatives: alternatives.iter().map(ToString::to_string).collect(),
            doubt: None,
            corners: [Point::default(); 4],
            frame: [0; 4],
            photo: 0,
        }
    }

    #[test]
    fn the_sheet_is_read_back_with_its_doubts_and_its_notes() {
        let list = List {
            columns: vec![Column::Label, Column::FromUnit, Column::ToUnit, Column::Length],
            rows: vec![super::super::list::Row {
                cells: vec![
                    cell("P1", &[], Certainty::Sure),
                    cell("U1", &["U7"], Certainty::Doubtful),
                    cell("", &[], Certainty::Unread),
                    cell("1.5", &[], Certainty::Sure),
                ],
            }],
            notes: vec!["Cable list, 2 \u{b3}\nof March".to_owned()],
            length_unit_stated: true,
        };
        let text = text(&["list.jpg".to_owned()], &list);
        assert!(text.contains("cable,from,to,length (m)\nP1,U1? U7?,?,1.5\n"), "{text}");
        let file = RawSheet { name: "read.csv".to_owned(), bytes: text.into_bytes() };
        let (_, statements) = read(&[file]).unwrap();
        assert_eq!(statements[0].cables.len(), 1);
        assert_eq!(statements[0].doubtful.len(), 2);
        assert_eq!(statements[0].cables[0].from.as_ref().unwrap().text, "U1");
        assert!(statements[0].remarks.iter().any(|remark| remark.text.contains("of March")));
    }
}
