//! A breaker carries the current that is meant to flow.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "breaker-too-small",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "A breaker is too small for its current",
        says: "{value}[ at {places}] is too small; the least is {wanted}",
        why: "It trips at full load after a while, and the group loses a unit or all of them.",
        act: "Fit the breaker that the current needs, if the conductor allows it; else lower the \
               current.",
        prove: "At full load, by licensed people only, for an hour: the breaker holds.",
        source: "NFPA 70 (NEC) 2023, 215.3 and 705.28; IEC 60364-4-43, 433.1 (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 output breaker" = "45 A""#, r#""U3 output breaker" = "40 A""#)],
            with: &[],
        },
    },
};
