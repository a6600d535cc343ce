//! The words over the columns of a table.

use crate::field::{About, Field};
use crate::fold::Folded;
use crate::source::Cell;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Column {
    /// Number or name on the cable.
    Label,
    /// Where a cable starts.
    From,
    /// The socket there.
    FromPort,
    /// Where a cable ends.
    To,
    /// The socket there.
    ToPort,
    /// What a cable is for.
    Kind,
    /// How long it is.
    Length,
    /// Remarks.
    Note,
    /// A socket, of the end that was named last.
    Port,
    /// Name of a unit.
    Unit,
    /// A further fact about a cable or a unit.
    Fact,
    /// Nobody knows.
    Unknown,
}

const WORDS: &[(Column, &[&str])] = &[
    (
        Column::Label,
        &[
            "cable",
            "no",
            "nr",
            "number",
            "label",
            "lead",
            "id",
            "cable id",
            "cable no",
            "cable number",
            "cable label",
            "name",
            "item",
            "line",
            "pos",
        ],
    ),
    (
        Column::From,
        &[
            "from",
            "from unit",
            "one end",
            "end 1",
            "end a",
            "a end",
            "start",
            "from device",
            "from end",
            "near end",
            "first end",
            "unit 1",
            "unit a",
        ],
    ),
    (
        Column::FromPort,
        &[
            "from port",
            "from socket",
            "from plug",
            "port 1",
            "socket 1",
            "port a",
            "socket a",
            "start port",
            "from jack",
        ],
    ),
    (
        Column::To,
        &[
            "to",
            "to unit",
            "other end",
            "end 2",
            "end b",
            "b end",
            "end",
            "to device",
            "to end",
            "far end",
            "second end",
            "unit 2",
            "unit b",
        ],
    ),
    (
        Column::ToPort,
        &[
            "to port",
            "to socket",
            "to plug",
            "port 2",
            "socket 2",
            "port b",
            "socket b",
            "end port",
            "to jack",
        ],
    ),
    (Column::Port, &["port", "socket", "plug", "jack"]),
    (Column::Kind, &["kind", "purpose", "what", "use", "what for", "function", "signal", "type"]),
    (Column::Length, &["length", "how long", "len", "cable length", "metres", "meters"]),
    (Column::Note, &["note", "notes", "remark", "remarks", "comment", "comments", "rem", "info"]),
    (Column::Unit, &["unit", "inverter", "unit name", "inverter no", "unit no"]),
];

/// Units of length that a heading can carry: `length (m)`.
const LENGTH_UNITS: &[&str] = &["m", "cm", "mm", "ft", "in", "metres", "meters", "feet", "inches"];

/// A heading line that was understood.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    /// The columns in their order, with their words.
    pub(super) columns: Vec<(Column, Cell)>,
    /// The unit of length that the heading gives.
    pub(super) length_unit: Option<String>,
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
        for cell in cells {
            let words = Folded::of(&cell.text);
            let explained =
                extra.iter().find(|(word, _)| *word == words).map(|(_, column)| *column);
            let column = explained.or_else(|| known(&words)).or_else(|| {
                let unit = words.tokens().last()?.clone();
                let rest = words.before(&unit)?;
                (LENGTH_UNITS.contains(&unit.as_str()) && known(&rest) == Some(Column::Length))
                    .then(|| {
                        length_unit = Some(unit);
                        Column::Length
                    })
            });
            if let (Some(Column::Length), "metres" | "meters") =
                (column, words.to_string().as_str())
            {
                length_unit = Some("m".to_owned());
            }
            columns.push((column.unwrap_or(Column::Unknown), cell.clone()));
        }
        let mut heading = Self { columns, length_unit };
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
            .filter(|(_, cell)| !cell.is_empty() && known(&Folded::of(&cell.text)).is_none())
            .map(|(_, cell)| cell.clone())
            .collect()
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

/// The column that a word names: for `column von = from`.
pub(super) fn known(words: &Folded) -> Option<Column> {
    WORDS
        .iter()
        .find(|(_, known)| known.iter().any(|word| words.is(word)))
        .map(|(column, _)| *column)
}
