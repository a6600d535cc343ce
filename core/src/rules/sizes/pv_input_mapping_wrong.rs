//! Every unit has an input for each of its arrays, and strings are of arrays that are listed.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "pv-input-mapping-wrong",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::SolarInputs,
    text: Text {
        title: "Arrays or strings do not match the inputs",
        says: "{value}[ at {places}]; wanted is {wanted}",
        why: "An array without an input of its own gives nothing; two arrays on one input feed back \
               into each other, and the unit gives an alarm or stops.",
        act: "Give each array an input of its own, as the list says.",
        prove: "Pull the strings of one array, never under load: only the input of the list loses \
               its voltage.",
        source: "field reports",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U2 solar inputs" = 1"#, r#""U2 solar inputs" = 0"#)],
            with: &[],
        },
    },
};
