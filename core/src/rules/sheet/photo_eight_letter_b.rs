//! In a photographed list, the letter B may stand for an eight.
use super::PHOTOGRAPH;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "photo-eight-letter-b",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A letter may stand for an eight in a photographed list",
        says: "The photographed list has {value}[ at {places}][; read as {wanted} until you \
               confirm it][; what fits: {related}]",
        why: "An eight and the letter B look alike in a photograph. Taken for the other one, it \
              names another unit, another socket or another number.",
        act: "Look at the paper or at the plant, and write what stands there.",
        prove: "What is written agrees with the paper, sign by sign, and with the label at the \
                plant.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: PHOTOGRAPH,
            edits: &[(r#"from = "U1 A", to = "U2 B""#, r#"from = "U1 A", to = "U2 8""#)],
            with: &[],
        },
    },
};
