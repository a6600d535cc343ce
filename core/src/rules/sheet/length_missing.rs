//! Where the length of the link is limited, every link cable needs a length.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "length-missing",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING.doubted_by(&[RuleId::LinkSelfLoop, RuleId::LinkDoubledPair]),
    after: &[],
    check: Check::Reader,
    shows: Datum::Length,
    text: Text {
        title: "A link cable has no length, and the length is limited",
        says: "No length is given for {places}, and the length of the link is limited",
        why: "Without this length nobody can tell whether the link is within its limit. A link \
              that is a little too long works on the bench and fails on site.",
        act: "Measure the cable, or read the figures printed on its jacket at both ends, and write \
              the length down.",
        prove: "Every link cable on the list has a length with its unit.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LONG_LINE,
            edits: &[(r#"to = "U3 B", length = "2 m""#, r#"to = "U3 B""#)],
            with: &[],
        },
    },
};
