//! A breaker is sized for what flows through it: one unit or all of them.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "breaker-shared-wrong",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "A breaker is sized for one unit where all feed, or reverse",
        says: "{value}[ at {places}] does not suit its place: {wanted}",
        why: "Sized for all, it leaves one unit and its conductor without protection: a fire. \
               Sized for one, it trips as soon as all feed.",
        act: "Keep the power off. Fit the breaker that the current of this place needs.",
        prove: "By eye, dead: the rating on the breaker is the one of the sizing list.",
        source: "NFPA 70 (NEC) 2023, 215.3 and 240.4 (second-hand); field reports",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""feeder breaker" = "125 A""#, r#""feeder breaker" = "45 A""#)],
            with: &[RuleId::BreakerTooSmall],
        },
    },
};
