//! The strings at an input give no more than it stands.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "string-current-high",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::SolarAmperesMax]),
    after: &[],
    check: Check::Sized,
    shows: Datum::SolarInputs,
    text: Text {
        title: "The strings at one input give more current than it stands",
        says: "{value}[ at {places}], and the input stands {wanted}",
        why: "In a fault, or with reversed polarity, the input burns.",
        act: "Open the strings at their switch, never under load. Put fewer strings at the input.",
        prove: "Dark or covered, by licensed people only: count the strings at each input.",
        source: "NFPA 70 (NEC) 2023, 690.8 (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[
                (r#""strings" = "10 x 2""#, r#""strings" = "10 x 3""#),
                (r#""string fuses" = "no""#, r#""string fuses" = "yes""#),
            ],
            with: &[],
        },
    },
};
