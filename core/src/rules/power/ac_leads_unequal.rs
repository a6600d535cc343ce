//! The output leads of all units are alike.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ac-leads-unequal",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.also(&[Datum::AcTerminals]),
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "Output leads of units are not alike",
        says: "The output leads of {places} are not like those of the others: {value}; \
               {wanted} is wanted",
        why: "Units that hold equal voltage share the load as their leads let them: the one with \
              the shortest leads takes most and reaches its limit first.",
        act: "Make the output leads of all units of one length and one section.",
        prove: "In operation at half load or more, by licensed people only: a clamp around the \
                output of each unit reads within a tenth of the mean.",
        source: "current shared as 1 / R, computed; the tenth is a limit of ours, no standard",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(r#""U3 output lead" = "6 m""#, r#""U3 output lead" = "12 m""#)],
            with: &[],
        },
    },
};
