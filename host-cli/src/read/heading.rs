//! The words over the columns of a table.

mod words;

pub(crate) use words::Column;
pub(super) use words::{known, synonyms};

use crate::field::{About, Field};
use crate::fold::Folded;
use crate::source::Cell;
use words::{WORDS, units_of_length, words_of};

/// A heading line that was understood.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    /// The columns in their order, with their words.
    pub(super) columns: Vec<(Column, Cell)>,
    /// The unit of length that the heading gives.
    pub(super) length_unit: Option<String>,
    /// The first heading, if foreign signs stick to it, and the word that it was read as.
    pub(super) marked: Option<(Cell, String)>,
}

/// What kind of table a heading makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TableKind {
    /// Cables: both ends have a column.
    Cables,
    /// Units: a name and at least one fact.
    Units,
    /// Cables, it seems, but nobody knows which columns hold the ends.
    Unclear,
}

impl Heading {
    /// Understands a heading line as far as it goes. `extra` are words that the person explained.
    pub(super) fn of(cells: &[Cell], extra: &[(Folded, Column)]) -> Self {
        let mut columns = Vec::new();
        let mut length_unit = None;
        let mut marked = None;
        for (position, cell) in cells.iter().enumerate() {
            let words = words_of(&cell.text);
            let explained =
                extra.iter().find(|(word, _)| *word == words).map(|(_, column)| *column);
            let mut column = explained.or_else(|| known(&words));
            if column.is_none()
                && let Some(units) = units_of_length(&words)
            {
                column = Some(Column::Length);
                // `length (m or ft)` leaves it to every cell.
                length_unit = if let [unit] = units.as_slice() { Some(unit.clone()) } else { None };
            }
            if column.is_none() && position == 0 {
                // Signs of a byte-order mark, saved as letters.
                let bare = cell.text.trim_start_matches(|c: char| !c.is_ascii());
                column = known(&Folded::of(bare)).filter(|_| bare.len() < cell.text.len());
                marked = column.map(|_| (cell.clone(), bare.to_owned()));
            }
            if let (Some(Column::Length), "metres" | "meters") =
                (column, words.to_string().as_str())
            {
                length_unit = Some("m".to_owned());
            }
            columns.push((column.unwrap_or(Column::Unknown), cell.clone()));
        }
        let mut heading = Self { columns, length_unit, marked };
        heading.settle();
        heading
    }

    /// Gives `port` to the end before it, and decides what a word means that has two meanings.
    fn settle(&mut self) {
        let cables = self.has(Column::From) && self.has(Column::To);
        let mut end = Column::FromPort;
        for (column, cell) in &mut self.columns {
            match *column {
                Column::From => end = Column::FromPort,
                Column::To => end = Column::ToPort,
                Column::Port => *column = end,
                // In a table of units, `no`, `id` or `name` is the unit, `type` its type.
                Column::Label if !cables => *column = Column::Unit,
                Column::Kind | Column::Length if !cables => *column = Column::Unknown,
                Column::Unit if cables => *column = Column::Unknown,
                Column::Label
                | Column::FromPort
                | Column::ToPort
                | Column::Kind
                | Column::Length
                | Column::Note
                | Column::Unit
                | Column::Fact
                | Column::Unknown => {}
            }
            let about = if cables { About::Cable } else { About::Unit };
            if *column == Column::Unknown && Field::find(about, &Folded::of(&cell.text)).is_some() {
                *column = Column::Fact;
            }
        }
        self.refuse_repeated();
    }

    /// A second column of one meaning is not known: it must not take the first one's place.
    fn refuse_repeated(&mut self) {
        let mut seen = Vec::new();
        for (column, _) in &mut self.columns {
            if matches!(column, Column::Fact | Column::Unknown) {
                continue;
            }
            if seen.contains(column) {
                *column = Column::Unknown;
            } else {
                seen.push(*column);
            }
        }
    }

    pub(super) fn has(&self, wanted: Column) -> bool {
        self.columns.iter().any(|(column, _)| *column == wanted)
    }

    /// What kind of table this heads, if any.
    pub(super) fn kind(&self) -> Option<TableKind> {
        if self.has(Column::From) && self.has(Column::To) {
            Some(TableKind::Cables)
        } else if self.has(Column::Unit) && self.has(Column::Fact) {
            Some(TableKind::Units)
        } else if self.columns.len() >= 3 && self.known() >= 1 && self.unknown().len() >= 2 {
            Some(TableKind::Unclear)
        } else {
            None
        }
    }

    /// Headings that nobody knows.
    pub(super) fn unknown(&self) -> Vec<Cell> {
        self.columns
            .iter()
            .filter(|(column, cell)| *column == Column::Unknown && !cell.is_empty())
            .map(|(_, cell)| cell.clone())
            .collect()
    }

    /// Headings with words that no table has.
    pub(super) fn unheard_of(&self) -> Vec<Cell> {
        self.columns
            .iter()
            .filter(|(_, cell)| !cell.is_empty() && known(&words_of(&cell.text)).is_none())
            .map(|(_, cell)| cell.clone())
            .collect()
    }

    /// Whether every word is one of a heading, and none could be a unit's name: the heading of a
    /// further table below the first.
    pub(super) fn is_beyond_doubt(&self) -> bool {
        let filled = || self.columns.iter().filter(|(_, cell)| !cell.is_empty());
        filled().count() >= 2
            && filled().all(|(column, cell)| {
                *column != Column::Unknown && !cell.text.contains(|c: char| c.is_ascii_digit())
            })
            && matches!(self.kind(), Some(TableKind::Cables | TableKind::Units))
    }

    /// How many of the words are known.
    pub(super) fn known(&self) -> usize {
        self.columns.iter().filter(|(column, _)| *column != Column::Unknown).count()
    }

    /// The words for a column, for a proposal.
    pub(super) fn all_words() -> impl Iterator<Item = &'static str> {
        WORDS.iter().flat_map(|(_, words)| words.iter().copied())
    }
}
