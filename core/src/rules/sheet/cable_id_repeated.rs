//! Two cables on one list must not carry one number.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "cable-id-repeated",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING.doubted_by(&[RuleId::SheetsDisagree]),
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "Two cables carry one number",
        says: "Two or more cables are called {value}",
        why: "A finding, a note or a label that names this number points at two cables. Whoever \
              follows it may pull the wrong one.",
        act: "Look at both cables, give each a number of its own, on the label and on the list.",
        prove: "Every number stands on one cable and once on the list.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[(r#"{ label = "C2", from"#, r#"{ label = "C1", from"#)],
            with: &[],
        },
    },
};
