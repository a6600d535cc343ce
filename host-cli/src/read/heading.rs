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
            "position",
            "ref",
            "reference",
            "wire",
            "wire no",
            "tag",
            "cable name",
            "cable nr",
            "lead no",
            "lead label",
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
            "from unit port",
            "from inverter",
            "from port unit",
            "source",
            "src",
            "side 1",
            "side a",
            "device 1",
            "inverter 1",
            "inverter a",
            "goes from",
            "end one",
            "this end",
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
            "port from",
            "socket from",
            "plug from",
            "plug 1",
            "plug a",
            "jack 1",
            "from port name",
            "source port",
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
            "to unit port",
            "to inverter",
            "to port unit",
            "destination",
            "dest",
            "dst",
            "target",
            "side 2",
            "side b",
            "device 2",
            "inverter 2",
            "inverter b",
            "goes to",
            "end two",
            "finish",
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
            "port to",
            "socket to",
            "plug to",
            "plug 2",
            "plug b",
            "jack 2",
            "to port name",
            "destination port",
        ],
    ),
    (Column::Port, &["port", "socket", "plug", "jack"]),
    (
        Column::Kind,
        &[
            "kind",
            "purpose",
            "what",
            "use",
            "what for",
            "function",
            "signal",
            "type",
            "used for",
            "usage",
            "cable kind",
            "category",
        ],
    ),
    (
        Column::Length,
        &["length", "how long", "len", "lgth", "cable length", "lead length", "metres", "meters"],
    ),
    (
        Column::Note,
        &[
            "note",
            "notes",
            "remark",
            "remarks",
            "comment",
            "comments",
            "rem",
            "info",
            "details",
            "observations",
        ],
    ),
    (Column::Unit, &["unit", "inverter", "unit name", "inverter no", "unit no"]),
];

/// Units of length that a heading can carry: `length (m)`.
const LENGTH_UNITS: &[&str] = &["m", "cm", "mm", "ft", "in", "metres", "meters", "feet", "inches"];

/// The units of length in a heading such as `length (m)` or `length (m or ft)`.
fn units_of_length(words: &Folded) -> Option<Vec<String>> {
    let is_unit = |token: &String| LENGTH_UNITS.contains(&token.as_str());
    let (_, rest) = words.cuts().find(|(head, _)| known(head) == Some(Column::Length))?;
    if !rest.tokens().iter().all(|token| is_unit(token) || token == "or") {
        return None;
    }
    let units: Vec<String> = rest.tokens().iter().filter(|token| is_unit(token)).cloned().collect();
    (!units.is_empty()).then_some(units)
}

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
            .filter(|(_, cell)| !cell.is_empty() && known(&Folded::of(&cell.text)).is_none())
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

/// The words for each column.
pub(super) fn synonyms() -> impl Iterator<Item = &'static [&'static str]> {
    WORDS.iter().map(|(_, words)| *words)
}

/// The column that a word names: for `column von = from`.
pub(super) fn known(words: &Folded) -> Option<Column> {
    WORDS
        .iter()
        .find(|(_, known)| known.iter().any(|word| words.is(word)))
        .map(|(column, _)| *column)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_word_heads_two_columns() {
        let mut seen = BTreeSet::new();
        for word in Heading::all_words() {
            assert!(seen.insert(Folded::of(word)), "{word}");
        }
    }

    #[test]
    fn a_heading_may_carry_one_unit_of_length_or_leave_it_to_the_cells() {
        for (text, wanted) in [
            ("Length (m)", Some(vec!["m"])),
            ("len. ft", Some(vec!["ft"])),
            ("length (m/ft)", Some(vec!["m", "ft"])),
            ("length, m or ft", Some(vec!["m", "ft"])),
            ("length", None),
            ("depth (m)", None),
        ] {
            let found = units_of_length(&Folded::of(text));
            let wanted = wanted.map(|units| units.into_iter().map(str::to_owned).collect());
            assert_eq!(found, wanted, "{text}");
        }
    }
}
