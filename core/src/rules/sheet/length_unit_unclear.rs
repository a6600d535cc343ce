//! A length needs its unit.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "length-unit-unclear",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::Length,
    text: Text {
        title: "A length has no unit",
        says: "It is not clear in which unit the length is given: {places}",
        why: "Taken for metres, a length in feet is wrong by a factor of three, and the sum of the \
              link with it.",
        act: "Ask who wrote the list, or measure one cable; then write the unit behind each number \
              or in the heading: length (m).",
        prove: "Every length on the list has its unit, and one measured cable agrees with it.",
        source: "foot: 0.3048 m exactly (from memory)",
        spoils: "it is not clear in which unit a length is given",
        example: Example {
            site: examples::LINE,
            edits: &[(r#"to = "U3 B", length = "2 m""#, r#"to = "U3 B", length = "2""#)],
            with: &[],
        },
    },
};
