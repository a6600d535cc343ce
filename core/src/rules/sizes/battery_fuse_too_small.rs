//! A battery fuse carries the current at the lowest voltage.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "battery-fuse-too-small",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower, Demand::BatteryVoltsMin]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Bank,
    text: Text {
        title: "A battery fuse is too small for its unit",
        says: "{value}[ at {places}] is too small; the least is {wanted}",
        why: "At full load and low battery the current is highest: the fuse blows and the unit \
               drops out.",
        act: "Fit the fuse that the current needs, if the leads allow it.",
        prove: "At full load and near the lowest voltage, by licensed people only, for an hour: \
               the fuse holds and stays cool.",
        source: "energy balance; 1.25 by NFPA 70 (NEC), 690.8 and 706.30 (from memory)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""U3 battery fuse" = "250 A""#, r#""U3 battery fuse" = "200 A""#)],
            with: &[],
        },
    },
};
