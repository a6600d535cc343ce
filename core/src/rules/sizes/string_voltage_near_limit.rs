//! No string comes within a hundredth of the limit of its input.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "string-voltage-near-limit",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING.also_demands(&[Demand::SolarVoltsMax]),
    after: &[],
    check: Check::Sized,
    shows: Datum::SolarInputs,
    text: Text {
        title: "A string comes within 1 % of the limit of its input",
        says: "{value} on the coldest day[ at {places}], within 1 % of the {wanted} that the input \
               stands",
        why: "The linear formula lies up to 0.8 % below a diode model of the module, so the limit \
               may be passed.",
        act: "Reckon with the model of the module, or take one module out.",
        prove: "In light, by licensed people only: the open voltage at the temperature of that \
               day, by the formula of the sizing list.",
        source: "ours, from six modules of a public table",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[
                (r#""module voc" = "49.5 V""#, r#""module voc" = "50.2 V""#),
                (r#""max solar voltage" = "600 V""#, r#""max solar voltage" = "550 V""#),
            ],
            with: &[],
        },
    },
};
