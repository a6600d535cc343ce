//! Cells that a person must confirm: each reading bears a question mark, the likeliest first.

use crate::source::Cell;
use crate::statement::{Doubtful, Statements};

/// Notes a cell with question marks, and gives its likeliest reading, which may be nothing.
pub(super) fn settled(cell: Cell, statements: &mut Statements) -> Cell {
    if !cell.text.ends_with('?') {
        return cell;
    }
    let readings = cell.split(|sign| sign == '?');
    let likeliest = readings.first().cloned().unwrap_or_else(|| cell.part(0..0));
    let readings = readings.into_iter().map(|reading| reading.text).collect();
    statements.doubtful.push(Doubtful { cell, readings });
    likeliest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SheetId;

    fn settle(text: &str) -> (String, Vec<Vec<String>>) {
        let mut statements = Statements::default();
        let cell = settled(Cell::of(SheetId(0), text, 0..text.len()), &mut statements);
        (cell.text, statements.doubtful.into_iter().map(|doubtful| doubtful.readings).collect())
    }

    #[test]
    fn every_reading_is_kept_and_the_first_is_taken_meanwhile() {
        assert_eq!(settle("U1"), ("U1".to_owned(), vec![]));
        assert_eq!(
            settle("U1? U7?"),
            ("U1".to_owned(), vec![vec!["U1".to_owned(), "U7".to_owned()]])
        );
        assert_eq!(settle("LINK A?"), ("LINK A".to_owned(), vec![vec!["LINK A".to_owned()]]));
        assert_eq!(settle("?"), (String::new(), vec![vec![]]));
    }
}
