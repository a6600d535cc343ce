//! Three or more strings beside each other have a fuse each.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "string-fuse-missing",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::SolarInputs,
    text: Text {
        title: "Strings beside each other have no fuses",
        says: "{value}[ at {places}] have no fuses; wanted is {wanted}",
        why: "The others feed a string that has a fault, with more than its modules and wires \
               stand: a fire.",
        act: "Open the strings at their switch, never under load. Fit a fuse in each string.",
        prove: "Dark or covered, by licensed people only: a fuse in each string, with the rating \
               of the modules.",
        source: "NFPA 70 (NEC), 690.9(A) (from memory)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[
                (r#""strings" = "10 x 2""#, r#""strings" = "10 x 3""#),
                (r#""max solar current" = "30 A""#, r#""max solar current" = "50 A""#),
            ],
            with: &[],
        },
    },
};
