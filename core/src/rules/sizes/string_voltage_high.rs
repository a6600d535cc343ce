//! No string is above the voltage of its input on the coldest day.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "string-voltage-high",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::SolarVoltsMax]),
    after: &[],
    check: Check::Sized,
    shows: Datum::SolarInputs,
    text: Text {
        title: "A string is above the voltage of its input on a cold day",
        says: "{value} on the coldest day[ at {places}], and the input stands {wanted}",
        why: "On the first cold clear morning the input is destroyed, and may burn.",
        act: "Open the string at its switch, never under load. Take modules out of it.",
        prove: "Dark or covered, by licensed people only: count the modules. In light: the open \
               voltage at the temperature of that day, by the formula of the sizing list.",
        source: "NFPA 70 (NEC) 2023, 690.7(A) and Table 690.7(A) (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""strings" = "10 x 2""#, r#""strings" = "12 x 2""#)],
            with: &[],
        },
    },
};
