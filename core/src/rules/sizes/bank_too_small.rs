//! The packs together give what all units take at full power.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bank-too-small",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::RatedPower, Demand::BatteryVoltsMin]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Bank,
    text: Text {
        title: "The battery is too small for the units",
        says: "{value}, and its units take {wanted} at the lowest voltage",
        why: "At full load the battery protects itself and opens, and the group goes dark.",
        act: "Add packs, or set a lower limit on the units.",
        prove: "At full load near the lowest voltage, by licensed people only: the battery stays \
               joined and reports no limit reached.",
        source: "field reports; energy balance",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(
                r#"name = "pack 2", "discharge limit" = "400 A""#,
                r#"name = "pack 2", "discharge limit" = "100 A""#,
            )],
            with: &[],
        },
    },
};
