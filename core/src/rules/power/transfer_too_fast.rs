//! A changeover leaves a gap between two sources.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "transfer-too-fast",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::demands(&[Demand::ChangeoverGap]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Changeover,
    text: Text {
        title: "The changeover moves too fast from one source to another",
        says: "The changeover leaves {value} between two sources, and {wanted} is demanded",
        why: "Motors still turn and make a voltage of their own when the next source comes in, out \
              of step with them: a surge of current that trips or breaks units.",
        act: "Keep the power off. Set a longer time, or fit a changeover that stops in an open \
              middle position.",
        prove: "Unloaded, by licensed people only: a record of both sources through a change \
                shows a gap that is not shorter than demanded.",
        source: "field reports; the gap is the profile's or the site's demand",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(r#""changeover gap" = "500 ms""#, r#""changeover gap" = "20 ms""#)],
            with: &[],
        },
    },
};
