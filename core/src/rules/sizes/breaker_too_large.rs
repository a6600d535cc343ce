//! A breaker is no larger than its conductor allows.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "breaker-too-large",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "A breaker is too large for its conductor",
        says: "{value}[ at {places}] is too large: {wanted}",
        why: "The conductor burns before the breaker trips.",
        act: "Keep the power off. Fit the breaker that the conductor allows, or a conductor that \
               this breaker protects.",
        prove: "By eye, dead: the rating on the breaker and the size on the conductor, both as on \
               the sheet.",
        source: "NFPA 70 (NEC) 2023, 240.4(B) and (D); IEC 60364-4-43, 433.1 (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 output breaker" = "45 A""#, r#""U3 output breaker" = "60 A""#)],
            with: &[],
        },
    },
};
