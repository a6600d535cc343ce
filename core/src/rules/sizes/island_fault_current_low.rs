//! Without the supply, a fault still trips the load breakers, or a residual-current device does.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "island-fault-current-low",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::ShortTimeCurrent]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "Without the supply, a fault does not trip a load breaker",
        says: "{value}, and {wanted}",
        why: "Units give little more than their rated current: a breaker that relies on a high \
               fault current does not trip at once, and what is faulty stays live.",
        act: "Have a licensed person choose a protection that trips in time without the supply: a \
               residual-current device, a breaker with a lower pick-up, or a smaller breaker. Where \
               residual-current devices protect the loads, write it: residual-current protection = \
               yes.",
        prove: "By licensed people only, in island mode, with an instrument made for it: the trip \
               time that local code asks for.",
        source: "IEC 60364-4-41, automatic disconnection; IEC 60898-1, trip ranges (from memory)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""largest load breaker" = "63 A""#, r#""largest load breaker" = "200 A""#)],
            with: &[],
        },
    },
};
