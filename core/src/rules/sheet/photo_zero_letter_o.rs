//! In a photographed list, the letter O or D may stand for a zero.
use super::{LOOK_ALIKE_ACT, LOOK_ALIKE_PROVE, LOOK_ALIKE_SAYS};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "photo-zero-letter-o",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A letter may stand for a zero in a photographed list",
        says: LOOK_ALIKE_SAYS,
        why: "A zero and the letter O or D look alike in a photograph. Taken for the other one, it \
              names another unit, another socket or another number.",
        act: LOOK_ALIKE_ACT,
        prove: LOOK_ALIKE_PROVE,
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::PHOTOGRAPH,
            edits: &[(r#"length = "10 m""#, r#"length = "1O m""#)],
            with: &[],
        },
    },
};
