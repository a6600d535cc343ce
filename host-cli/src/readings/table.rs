//! Readings as lines of a table under a heading.

use super::line::Wrong;
use crate::source::{Cell, Origin};

/// The heading: which sign separates the cells, and the names of the columns.
pub(super) struct Head {
    separator: char,
    pub(super) columns: Vec<Cell>,
    pub(super) origin: Origin,
}

impl Head {
    /// Reads the heading. The sign that separates is the one of comma, semicolon, tab and bar that
    /// makes the most columns.
    pub(super) fn of(line: &Cell) -> Result<Self, Wrong> {
        let count = |separator: &char| line.text.matches(*separator).count();
        let separator = [',', ';', '\t', '|'].into_iter().max_by_key(count).unwrap_or(',');
        let columns = cells(line, separator)?;
        Ok(Self { separator, columns, origin: line.origin })
    }

    /// The fields of a line under this heading.
    pub(super) fn fields(&self, line: &Cell) -> Result<Vec<(Cell, Cell)>, Wrong> {
        let cells = cells(line, self.separator)?;
        let surplus = cells.get(self.columns.len()).filter(|cell| !cell.is_empty());
        if let Some(surplus) = surplus {
            let says = format!("the line has {} cells", cells.len());
            let expected = format!("{} as in the heading", self.columns.len());
            return Err((surplus.origin, says, expected));
        }
        Ok(self.columns.iter().cloned().zip(cells).collect())
    }
}

/// The cells of a line; a quoted one may hold the separator, and `""` for a quote.
fn cells(line: &Cell, separator: char) -> Result<Vec<Cell>, Wrong> {
    let mut cells = Vec::new();
    let (mut start, mut is_quoted) = (0, false);
    for (at, sign) in line.text.char_indices() {
        if sign == '"' {
            is_quoted = !is_quoted;
        } else if sign == separator && !is_quoted {
            cells.push(cell(line, start, at));
            start = at + sign.len_utf8();
        }
    }
    if is_quoted {
        let says = "a quote is opened and not closed on this line".to_owned();
        return Err((line.origin, says, "both quotes on one line".to_owned()));
    }
    cells.push(cell(line, start, line.text.len()));
    Ok(cells)
}

fn cell(line: &Cell, start: usize, end: usize) -> Cell {
    let mut cell = line.part(start..end);
    let inside = cell.text.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
    if let Some(inside) = inside {
        inside.replace("\"\"", "\"").trim().clone_into(&mut cell.text);
    }
    cell
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SheetId;

    #[test]
    fn a_quoted_cell_may_hold_separator_and_quote() {
        let text = "a;\"b; \"\"c\"\"\"; d";
        let line = Cell::of(SheetId(0), text, 0..text.len());
        let found = cells(&line, ';').unwrap();
        let texts: Vec<_> = found.iter().map(|cell| cell.text.as_str()).collect();
        assert_eq!(texts, ["a", "b; \"c\"", "d"]);
        assert_eq!(&text[found[2].origin.range()], "d");
        let open = Cell::of(SheetId(0), "a,\"b", 0..4);
        assert!(cells(&open, ',').is_err());
    }
}
