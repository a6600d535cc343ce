//! In a photographed list, the letter S may stand for a five.
use super::PHOTOGRAPH;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "photo-five-letter-s",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A letter may stand for a five in a photographed list",
        says: "The photographed list has {value}[ at {places}][; read as {wanted} until you \
               confirm it][; what fits: {related}]",
        why: "A five and the letter S look alike in a photograph. Taken for the other one, it \
              names another unit, another socket or another number.",
        act: "Look at the paper or at the plant, and write what stands there.",
        prove: "What is written agrees with the paper, sign by sign, and with the label at the \
                plant.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: PHOTOGRAPH,
            edits: &[(r#"length = "2.5 m""#, r#"length = "2.S m""#)],
            with: &[],
        },
    },
};
