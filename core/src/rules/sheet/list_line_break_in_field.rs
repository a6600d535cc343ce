//! A line of a list must not end inside a cell.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "list-line-break-in-field",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableList,
    text: Text {
        title: "A line of a list is broken in two",
        says: "This line seems to be the rest of the line above it: {value}",
        why: "A line break inside a cell makes one cable into two half lines. Neither is read, \
              because nobody can tell which words belong together.",
        act: "Put quotes around the cell with the line break in it, or take the break out.",
        prove: "The list has one line for each cable.",
        source: "common practice, no source",
        spoils: "one line of a list could not be read",
        example: Example {
            site: examples::SHEETS,
            edits: &[("C2,Box 2 A,Box 3 B,link,2 m", "C2,Box 2 A,Box 3 B\nlow,link,2 m")],
            with: &[],
        },
    },
};
