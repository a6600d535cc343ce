//! The cells of a list must be told apart by one sign.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "list-separator-changed",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableList,
    text: Text {
        title: "Nothing tells for sure where the cells of a list end",
        says: "The cells of this line cannot be told apart for sure: {value}",
        why: "The line was saved with other separators than its heading, or with several, so \
              nobody can tell which word is in which column. It is not read.",
        act: "Save the list again from the spreadsheet, or put the same sign between all cells: \
              commas, semicolons, tabs or upright bars.",
        prove: "Every line of the list has as many cells as its heading.",
        source: "common practice, no source",
        spoils: "one line of a list could not be read",
        example: Example {
            site: examples::SHEETS,
            edits: &[("C2,Box 2 A,Box 3 B,link,2 m", "C2;Box 2 A,Box 3 B;link;2 m")],
            with: &[],
        },
    },
};
