//! A busbar carries its main breaker and all units together.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "busbar-overloaded",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "A busbar is too small for its main and all units",
        says: "{value} is too small in every way that the code allows: {wanted}",
        why: "Supply and units feed one bar, and no breaker sees the sum: the bar overheats.",
        act: "Keep the power off. Fit a larger bar or a smaller main breaker, or let fewer units \
               feed it. Other kinds of bars have rules of their own: ask the designer.",
        prove: "By eye, dead: the rating on the bar, and where main and units sit on it.",
        source: "NFPA 70 (NEC) 2023, 705.12(B)(1) to (3) (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""busbar" = "400 A""#, r#""busbar" = "150 A""#)],
            with: &[],
        },
    },
};
