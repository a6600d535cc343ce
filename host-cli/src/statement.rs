//! What readers make of a sheet: statements in the person's own words, not yet understood.
//!
//! Readers know the form of a sheet and nothing of its meaning; [`crate::declared`] knows the
//! meaning and nothing of the form. Between them stand these few types.

use crate::field::About;
use crate::source::{Cell, Origin};
use coldcheck_core::rules::RuleId;

/// What one sheet states, in its order.
#[derive(Clone, Debug, Default)]
pub struct Statements {
    /// Rows of a cable list.
    pub cables: Vec<CableRow>,
    /// Settings: of the group, of a unit, or a demand.
    pub settings: Vec<Setting>,
    /// Whether the sheet sets out to list cables, even if it lists none.
    pub lists_cables: bool,
    /// Column headings that nobody knows.
    pub unknown_columns: Vec<Cell>,
    /// Headings of a table of which nobody knows which columns hold the two ends.
    pub unclear_table: Vec<Cell>,
    /// Text that no reader could make anything of.
    pub not_understood: Vec<Cell>,
    /// Text of which the form is in doubt, by the rule about that.
    pub unread: Vec<Unread>,
    /// Waivers.
    pub waivers: Vec<WaiverRow>,
    /// Acts that are to do.
    pub to_do: Vec<ToDoRow>,
    /// Remarks that no rule reads.
    pub remarks: Vec<Cell>,
    /// Cells that a person must confirm.
    pub doubtful: Vec<Doubtful>,
}

/// A cell that a person must confirm, as it was read from a photograph.
#[derive(Clone, Debug)]
pub struct Doubtful {
    /// The whole cell, with its marks.
    pub cell: Cell,
    /// What it may say, the likeliest first; nothing if it could not be read.
    pub readings: Vec<String>,
}

/// An act that is to do, as it is written.
#[derive(Clone, Debug)]
pub struct ToDoRow {
    /// Where it begins.
    pub at: Origin,
    /// What is to do.
    pub act: Option<Cell>,
    /// The rules that it mends.
    pub mends: Option<Cell>,
    /// What was seen afterwards.
    pub seen: Option<Cell>,
    /// Initials of who saw it.
    pub by: Option<Cell>,
    /// When.
    pub time: Option<Cell>,
    /// Keys that no act has.
    pub unknown: Vec<Cell>,
}

/// A waiver as it is written.
#[derive(Clone, Debug)]
pub struct WaiverRow {
    /// Where it begins.
    pub at: Origin,
    /// The rule.
    pub rule: Option<Cell>,
    /// The places.
    pub places: Vec<Cell>,
    /// Why the finding may stand.
    pub reason: Option<Cell>,
    /// Who lets it stand.
    pub by: Option<Cell>,
    /// Its last day.
    pub until: Option<Cell>,
    /// Keys that no waiver has.
    pub unknown: Vec<Cell>,
}

/// Text of which the form is in doubt.
#[derive(Clone, Debug)]
pub struct Unread {
    /// The rule about that kind of doubt.
    pub rule: RuleId,
    /// The text.
    pub cell: Cell,
    /// What was made of it, if anything.
    pub wanted: Option<String>,
}

/// One row of a cable list. A cell that the list does not have is `None`; one that is there and
/// empty is an empty cell.
#[derive(Clone, Debug, Default)]
pub struct CableRow {
    /// The whole row, for pointing at it.
    pub row: Option<Cell>,
    /// Number or name on the cable.
    pub label: Option<Cell>,
    /// Where it starts, perhaps with the socket.
    pub from: Option<Cell>,
    /// The socket there.
    pub from_port: Option<Cell>,
    /// Where it ends, perhaps with the socket.
    pub to: Option<Cell>,
    /// The socket there.
    pub to_port: Option<Cell>,
    /// What it is for.
    pub kind: Option<Cell>,
    /// How long it is.
    pub length: Option<Cell>,
    /// The unit of length that the heading gives.
    pub length_unit: Option<String>,
    /// Whether the row could not be cut into cells: that it is there is all that is known.
    pub unread: bool,
    /// What it is called where it has no label: for a site file that was made from another sheet.
    pub called: Option<Cell>,
    /// Remarks, and cells of columns that nobody knows.
    pub notes: Vec<String>,
    /// Further facts, by heading.
    pub facts: Vec<(Cell, Cell)>,
}

/// One setting.
#[derive(Clone, Debug)]
pub struct Setting {
    /// What it is about, where the sheet says so apart from the key: a section or a table's row.
    pub about: Option<Cell>,
    /// What kind of thing that is, where the form of the sheet tells; a section may be anything.
    pub kind: Option<About>,
    /// Left of the sign.
    pub key: Cell,
    /// Right of the sign.
    pub value: Cell,
}
