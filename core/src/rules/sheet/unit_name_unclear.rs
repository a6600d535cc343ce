//! A name must lead to one unit.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-name-unclear",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A name does not say for sure which unit is meant",
        says: "The name {value} does not say for sure which unit is meant[: cable {places}][; read \
               as {wanted} until you confirm it][; what fits: {related}]",
        why: "If the name is understood wrongly, the wrong unit is checked, and later the wrong \
              plug is pulled.",
        act: "Look where the cable goes, then write the name of the unit as the settings have it, \
              or say once what the name means: `name LEFT BOX = unit 1`.",
        prove: "Every name in the cable list stands in the settings too, letter by letter.",
        source: "common practice, no source",
        spoils: "it is not known which unit a name means",
        example: Example {
            site: examples::LINE,
            edits: &[(r#"to = "U1 battery""#, r#"to = "coordinator battery""#)],
            with: &[],
        },
    },
};
