//! A sensor is loaded with no more than it is made for.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "sensor-burden-high",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::SensorRating,
    text: Text {
        title: "A sensor is loaded with more than it is made for",
        says: "Lead and meter load {places} with {value}, and it is made for {wanted}",
        why: "It shows less than what flows, most of all at high current, and the units regulate \
               wrongly.",
        act: "Shorten the lead, fit a larger one, or a sensor with a lower secondary current. \
               Short its secondary before you open it: an open one makes a deadly voltage.",
        prove: "Against a clamp on the same conductor at more than a fifth of the rated current: \
               both show the same.",
        source: "Ohm's law; IEC 61869-2:2012 (second-hand)",
        spoils: "",
        example: Example {
            site: examples::SIZES,
            edits: &[(r#""rated burden" = "10 VA""#, r#""rated burden" = "5 VA""#)],
            with: &[],
        },
    },
};
