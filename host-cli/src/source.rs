//! The sheets as text, and where in them a word stands.

use std::ops::Range;

/// One file that a person gave, decoded to text.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The name that the person used for it.
    pub name: String,
    /// Its text, without a byte-order mark.
    pub text: String,
}

/// Position of a sheet among those given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SheetId(pub usize);

/// A stretch of one sheet's text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Origin {
    /// The sheet.
    pub sheet: SheetId,
    /// First byte.
    pub start: usize,
    /// First byte behind it.
    pub end: usize,
}

impl Origin {
    /// The stretch as a range of bytes.
    pub const fn range(self) -> Range<usize> {
        self.start..self.end
    }
}

/// A word or phrase with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// What it says, trimmed.
    pub text: String,
    /// Where it says so.
    pub origin: Origin,
}

impl Cell {
    /// The trimmed part of a sheet's text.
    pub fn of(sheet: SheetId, text: &str, range: Range<usize>) -> Self {
        let raw = text.get(range.clone()).unwrap_or("");
        let trimmed = raw.trim();
        let start = range.start + (raw.len() - raw.trim_start().len());
        let end = start + trimmed.len();
        Self { text: trimmed.to_owned(), origin: Origin { sheet, start, end } }
    }

    /// A part of this cell, by byte offsets into its text, trimmed.
    #[must_use]
    pub fn part(&self, range: Range<usize>) -> Self {
        let raw = self.text.get(range.clone()).unwrap_or("");
        let trimmed = raw.trim();
        let start = self.origin.start + range.start + (raw.len() - raw.trim_start().len());
        let is_as_written = self.origin.range().len() == self.text.len();
        let origin = if is_as_written {
            Origin { start, end: start + trimmed.len(), ..self.origin }
        } else {
            self.origin
        };
        Self { text: trimmed.to_owned(), origin }
    }

    /// The parts between separators, trimmed; empty parts are left out.
    pub fn split(&self, is_separator: impl Fn(char) -> bool) -> Vec<Self> {
        let mut parts = Vec::new();
        let mut start = 0;
        for (index, character) in self.text.char_indices() {
            if is_separator(character) {
                parts.push(self.part(start..index));
                start = index + character.len_utf8();
            }
        }
        parts.push(self.part(start..self.text.len()));
        parts.retain(|part| !part.text.is_empty());
        parts
    }

    /// Whether nothing is written in it.
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }
}

/// A place in a sheet as people count: lines and columns from 1, columns in characters.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Name of the file.
    pub file: String,
    /// Line.
    pub line: usize,
    /// First column.
    pub column: usize,
    /// First column behind it.
    pub end_column: usize,
}

/// All sheets of one site.
#[derive(Clone, Debug, Default)]
pub struct Sheets(pub Vec<Sheet>);

impl Sheets {
    /// The sheet with this position.
    pub fn get(&self, id: SheetId) -> Option<&Sheet> {
        self.0.get(id.0)
    }

    /// Line and columns of an origin. An origin of several lines ends with its first line.
    pub fn position(&self, origin: Origin) -> Position {
        let Some(sheet) = self.get(origin.sheet) else {
            return Position { file: String::new(), line: 0, column: 0, end_column: 0 };
        };
        let before = sheet.text.get(..origin.start).unwrap_or(&sheet.text);
        let line = before.matches('\n').count() + 1;
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let column = before.get(line_start..).unwrap_or("").chars().count() + 1;
        let inside = sheet.text.get(origin.range()).unwrap_or("");
        let first_line = inside.split('\n').next().unwrap_or("").trim_end_matches('\r');
        Position {
            file: sheet.name.clone(),
            line,
            column,
            end_column: column + first_line.chars().count(),
        }
    }

    /// The line of text that an origin starts in.
    pub fn line(&self, origin: Origin) -> &str {
        let Some(sheet) = self.get(origin.sheet) else { return "" };
        let before = sheet.text.get(..origin.start).unwrap_or(&sheet.text);
        let start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let rest = sheet.text.get(start..).unwrap_or("");
        rest.split('\n').next().unwrap_or("").trim_end_matches('\r')
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_counted_in_characters_from_one() {
        let text = "first\nÜ–1, A\n";
        let sheets = Sheets(vec![Sheet { name: "s".into(), text: text.into() }]);
        let start = text.find('A').expect("is there");
        let position = sheets.position(Origin { sheet: SheetId(0), start, end: start + 1 });
        assert_eq!((position.line, position.column, position.end_column), (2, 6, 7));
        assert_eq!(sheets.line(Origin { sheet: SheetId(0), start, end: start }), "Ü–1, A");
    }

    #[test]
    fn a_part_of_what_stands_elsewhere_has_the_place_of_the_whole() {
        // An empty cell that repeats the one above it.
        let origin = Origin { sheet: SheetId(0), start: 9, end: 9 };
        let cell = Cell { text: "unit 2 A".to_owned(), origin };
        let part = cell.part(0..6);
        assert_eq!((part.text.as_str(), part.origin), ("unit 2", origin));
    }

    #[test]
    fn parts_of_a_cell_keep_their_place() {
        let text = "key =  one ; two ;; ";
        let cell = Cell::of(SheetId(0), text, 5..text.len());
        let parts = cell.split(|c| c == ';');
        let at: Vec<_> = parts.iter().map(|part| (&*part.text, part.origin.start)).collect();
        assert_eq!(at, [("one", 7), ("two", 13)]);
    }
}
