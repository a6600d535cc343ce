//! Frequency and grid profile of the units are those of the supply.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "grid-profile-wrong",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.also(&[Datum::Settings]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Settings,
    text: Text {
        title: "Units are set for another supply than the one on site",
        says: "{places} are set to {value}, and the supply has {wanted}",
        why: "The unit refuses the supply, or holds its output down.",
        act: "Set frequency and grid profile to those of the supply on site, as the utility \
              demands them.",
        prove: "Read both back from each unit; the supply is accepted and stays accepted.",
        source: "field reports",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(r#""supply frequency" = "60 Hz""#, r#""supply frequency" = "50 Hz""#)],
            with: &[],
        },
    },
};
