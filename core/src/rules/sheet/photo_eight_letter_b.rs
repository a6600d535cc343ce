//! In a photographed list, the letter B may stand for an eight.
use super::{LOOK_ALIKE_ACT, LOOK_ALIKE_PROVE, LOOK_ALIKE_SAYS};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "photo-eight-letter-b",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING.doubted_by(&[RuleId::LabelUnknownUnit]),
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A letter may stand for an eight in a photographed list",
        says: LOOK_ALIKE_SAYS,
        why: "An eight and the letter B look alike in a photograph. Taken for the other one, it \
              names another unit, another socket or another number.",
        act: LOOK_ALIKE_ACT,
        prove: LOOK_ALIKE_PROVE,
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::PHOTOGRAPH,
            edits: &[(r#"from = "U1 A", to = "U2 B""#, r#"from = "U1 A", to = "U2 8""#)],
            with: &[],
        },
    },
};
