//! Limits that are set at units are within what supply and generator give.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "source-limit-too-high",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "A source limit is set above what the source gives",
        says: "{value} is set, and the source gives {wanted}",
        why: "The supply breaker trips, or the generator stalls, as soon as the units charge at \
               full power.",
        act: "Lower the limit at each unit, so that all together stay below what the source gives.",
        prove: "With all units charging, by licensed people only: a clamp at the supply, and at \
               the generator, shows less than it gives.",
        source: "NFPA 70 (NEC) 2023, 210.20(A) (second-hand); field reports",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(
                r#""all units supply limit" = "15 A""#,
                r#""all units supply limit" = "60 A""#,
            )],
            with: &[],
        },
    },
};
