//! The battery leads of all units are alike.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "dc-leads-unequal",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.also(&[Datum::Bank]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Bank,
    text: Text {
        title: "Battery leads of units are not alike",
        says: "The battery leads of {places} are not like those of the others: {value}; \
               {wanted} is wanted",
        why: "Where battery and units hold equal voltage, current goes by resistance: the unit \
              with the shortest leads works hardest, gets warm and reaches its limits first.",
        act: "Make the leads of all units of one length and one section, to one busbar.",
        prove: "In operation near full load, by licensed people only: a clamp around the lead of \
                each unit reads within a tenth of the mean.",
        source: "current shared as 1 / R, computed; the tenth is a limit of ours, no standard",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(r#""U3 battery lead" = "2 m""#, r#""U3 battery lead" = "5 m""#)],
            with: &[],
        },
    },
};
