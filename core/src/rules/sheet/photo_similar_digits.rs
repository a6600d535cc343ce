//! In a photographed list one digit may stand for another that looks like it.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "photo-similar-digits",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::Address,
    text: Text {
        title: "A digit in a photographed list may be another one",
        says: "The photographed list has {value} at {places}, and another unit has this address; \
               read as {wanted} until you confirm it",
        why: "One and seven, three and eight, or a digit read twice give a number that looks right \
              and belongs to another unit.",
        act: "Look at the paper, then read the address back from the unit, and write what stands \
              there.",
        prove: "Each unit shows the address on its own display that the list gives it.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::PHOTOGRAPH,
            edits: &[(r#"role = "follower", address = 12"#, r#"role = "follower", address = 11"#)],
            with: &[],
        },
    },
};
