//! In a photographed list, the letter O or D may stand for a zero.
use super::PHOTOGRAPH;
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
        says: "The photographed list has {value}[ at {places}][; read as {wanted} until you \
               confirm it][; what fits: {related}]",
        why: "A zero and the letter O or D look alike in a photograph. Taken for the other one, it \
              names another unit, another socket or another number.",
        act: "Look at the paper or at the plant, and write what stands there.",
        prove: "What is written agrees with the paper, sign by sign, and with the label at the \
                plant.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: PHOTOGRAPH,
            edits: &[(r#"length = "10 m""#, r#"length = "1O m""#)],
            with: &[],
        },
    },
};
