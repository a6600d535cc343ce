//! A battery fuse is no larger than its leads allow.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "battery-fuse-too-large",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower, Demand::BatteryVoltsMin]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Bank,
    text: Text {
        title: "A battery fuse is too large for its leads",
        says: "{value}[ at {places}] is too large: {wanted}",
        why: "The leads burn before the fuse blows, with the whole battery behind them.",
        act: "Open the battery. Fit the fuse that the leads allow, or leads that this fuse \
               protects.",
        prove: "By eye, dead: the rating on the fuse and the size on the leads, both as on the \
               sheet.",
        source: "NFPA 70 (NEC) 2023, 240.4(B) (second-hand), 706.30 (from memory); IEC 60364-4-43 \
               (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 battery fuse" = "250 A""#, r#""U3 battery fuse" = "400 A""#)],
            with: &[],
        },
    },
};
