//! A line of a list must not have more cells than its heading.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "list-separator-in-text",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableList,
    text: Text {
        title: "A line of a list has more cells than its heading",
        says: "This line has more cells than the heading, and nobody can tell which belong \
               together: {value}",
        why: "A note or a name with the separator in it moves every cell behind it into the next \
              column. What stands there is not read.",
        act: "Put quotes around the cell with the separator in it, or give the list a last column \
              for notes.",
        prove: "Every line of the list has as many cells as its heading.",
        source: "common practice, no source",
        spoils: "one line of a list could not be read",
        example: Example {
            site: examples::SHEETS,
            edits: &[(
                "C2,Box 2 A,Box 3 B,link,2 m",
                "C2,Box 2 A,Box 3 B,link,by the door, low,2 m",
            )],
            with: &[],
        },
    },
};
