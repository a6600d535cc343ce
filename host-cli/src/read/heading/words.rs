//! The words that people write over columns, and what each means.

use crate::fold::Folded;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
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

pub(super) const WORDS: &[(Column, &[&str])] = &[
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
pub(super) fn units_of_length(words: &Folded) -> Option<Vec<String>> {
    let is_unit = |run: &str| LENGTH_UNITS.contains(&run);
    let (_, rest) = words.cuts().find(|(head, _)| known(head) == Some(Column::Length))?;
    if !rest.runs().all(|run| is_unit(run) || run == "or") {
        return None;
    }
    let units = rest.runs().filter(|run| is_unit(run));
    let units: Vec<String> = units.map(ToOwned::to_owned).collect();
    (!units.is_empty()).then_some(units)
}

/// The words for each column.
pub(in crate::read) fn synonyms() -> impl Iterator<Item = &'static [&'static str]> {
    WORDS.iter().map(|(_, words)| *words)
}

/// The column that a word names: for `column von = from`.
pub(in crate::read) fn known(words: &Folded) -> Option<Column> {
    static INDEX: LazyLock<BTreeMap<Folded, Column>> = LazyLock::new(|| {
        let each = |(column, words): &(Column, &[&str])| {
            let column = *column;
            words.iter().map(move |word| (Folded::of(word), column)).collect::<Vec<_>>()
        };
        WORDS.iter().flat_map(each).collect()
    });
    INDEX.get(words).copied()
}

/// The words of a heading. The sign for a number alone heads the labels.
pub(super) fn words_of(text: &str) -> Folded {
    Folded::of(if matches!(text.trim(), "#" | "\u{2116}") { "no" } else { text })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_word_heads_two_columns() {
        let mut seen = BTreeSet::new();
        for word in WORDS.iter().flat_map(|(_, words)| words.iter().copied()) {
            assert!(seen.insert(Folded::of(word)), "{word}");
        }
    }

    #[test]
    fn the_sign_for_a_number_heads_the_labels() {
        for text in ["#", " # ", "\u{2116}"] {
            assert_eq!(known(&words_of(text)), Some(Column::Label), "{text}");
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
