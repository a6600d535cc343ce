//! A photographed list must not have lost a line or a digit.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "photo-digit-dropped",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableList,
    text: Text {
        title: "The photographed list may have lost a line or a digit",
        says: "The photographed list has {value}[ at {places}] where the rest of the sheets lets \
               expect {wanted}",
        why: "A line or a digit at the edge of the picture is easily lost. A lost line is a cable \
              that nobody checks, a lost digit is another number.",
        act: "Count the lines on the paper, look at the number on it, and write what stands there.",
        prove: "The number of lines read is the number of lines on the paper, and the numbers \
                agree.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::PHOTOGRAPH,
            edits: &[("rows = 5\n", "rows = 6\n")],
            with: &[],
        },
    },
};
