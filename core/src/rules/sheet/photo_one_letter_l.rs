//! In a photographed list, the letter l or I may stand for a one.
use super::{LOOK_ALIKE_ACT, LOOK_ALIKE_PROVE, LOOK_ALIKE_SAYS};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "photo-one-letter-l",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A letter may stand for a one in a photographed list",
        says: LOOK_ALIKE_SAYS,
        why: "A one and the letter l or I look alike in a photograph. Taken for the other one, it \
              names another unit, another socket or another number.",
        act: LOOK_ALIKE_ACT,
        prove: LOOK_ALIKE_PROVE,
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::PHOTOGRAPH,
            edits: &[(r#"to = "U1 battery""#, r#"to = "Ul battery""#)],
            with: &[],
        },
    },
};
