//! What was read in a photograph: rows of cells, each sure, doubtful or unread.

use super::columns::Column;
use crate::picture::Point;

pub use crate::picture::cell::Certainty;

/// Why a person must look at a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// Nothing was found where the cell should be.
    NothingRead,
    /// The signs make no word that can stand here.
    NoSuchWord,
    /// Two readings of the same place differ.
    ReadingsDiffer,
    /// Another word looks like this one, and the picture does not tell them apart.
    LooksLike,
    /// Some sign was seen too poorly.
    PoorlySeen,
    /// The row has a gap or something too much, so that it is open which column this stands in.
    RowUnclear,
    /// The lines of the list could not be kept apart here.
    LineUnclear,
    /// Another order of the columns fits nearly as well.
    ColumnsUnclear,
    /// A number of several digits without a decimal sign, which a picture loses easily.
    NoDecimalSign,
    /// There is ink beside the number that was not read.
    InkBeside,
    /// The label does not follow the one before it.
    OutOfSequence,
    /// The label stands in two rows.
    Repeated,
    /// Two photographs of one list say different things.
    PhotosDiffer,
}

impl Doubt {
    /// The reason in words.
    pub const fn says(self) -> &'static str {
        match self {
            Self::NothingRead => "nothing was read here",
            Self::NoSuchWord => "this is no word of the site",
            Self::ReadingsDiffer => "two readings of this cell differ",
            Self::LooksLike => "another word looks like this one",
            Self::PoorlySeen => "it is poorly seen",
            Self::RowUnclear => "something in this row was not read, so that the column is open",
            Self::LineUnclear => "the lines lie too close here to tell which one this belongs to",
            Self::ColumnsUnclear => "the columns fit another order nearly as well",
            Self::NoDecimalSign => "a decimal sign is easily lost: was there one?",
            Self::InkBeside => "there is something beside the number that was not read",
            Self::OutOfSequence => "the label does not follow those of its neighbours",
            Self::Repeated => "the label stands in two rows",
            Self::PhotosDiffer => "two photographs show different things",
        }
    }
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// What it says, in the words of the site; a length in metres with a point. Empty if unread.
    pub text: String,
    /// How far it can be relied on.
    pub state: Certainty,
    /// Confidence in the sign that was seen worst, 0 to 1.
    pub confidence: f32,
    /// Other readings, the likeliest first.
    pub alternatives: Vec<String>,
    /// Why it is not sure.
    pub doubt: Option<Doubt>,
    /// Corners of its place on the flat sheet, top left first.
    pub corners: [Point; 4],
    /// Left, top, width and height in pixels of the upright photograph.
    pub frame: [u32; 4],
    /// Position of the photograph that it was read in.
    pub photo: usize,
}

/// One cable.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Its cells, in the order of the list's columns.
    pub cells: Vec<Cell>,
}

/// A list as it was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct List {
    /// The columns that it has, in the order of [`Column::ALL`].
    pub columns: Vec<Column>,
    /// Its rows, from top to bottom.
    pub rows: Vec<Row>,
    /// Every other line of the sheet: title, headings, notes.
    pub notes: Vec<String>,
    /// Whether the sheet says in which unit lengths are; else metres are only assumed.
    pub length_unit_stated: bool,
}

impl List {
    /// How many cells there are, and how many of them a person must look at.
    pub fn counts(&self) -> (usize, usize) {
        let cells = || self.rows.iter().flat_map(|row| &row.cells);
        (cells().count(), cells().filter(|cell| cell.state != Certainty::Sure).count())
    }

    /// A cell of a row.
    pub fn cell(&self, row: usize, column: Column) -> Option<&Cell> {
        let at = self.columns.iter().position(|own| *own == column)?;
        self.rows.get(row)?.cells.get(at)
    }
}
