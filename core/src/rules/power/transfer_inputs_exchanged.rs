//! Supply and generator come to the terminals of their name.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "transfer-inputs-exchanged",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::InputTerminals,
    text: Text {
        title: "Supply and generator are exchanged at the inputs",
        says: "At {places} {value}, and {wanted}",
        why: "The unit takes the generator for the supply: it starts and stops it in a cycle, \
              and feeds into it.",
        act: "Keep the power off. Exchange the conductors, so that each source comes to the \
              terminals of its name.",
        prove: "Dead: continuity from each input to the isolator of its own source. Later one \
                clean change without a restart of the generator.",
        source: "field reports",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(
                r#""U3 generator in" = "L1->generator L1; L2->generator L2; N->generator N""#,
                r#""U3 generator in" = "L1->supply L1; L2->supply L2; N->supply N""#,
            )],
            with: &[],
        },
    },
};
