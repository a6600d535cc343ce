//! A cable must not name a unit that the site does not have.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "label-unknown-unit",
    severity: Severity::Note,
    asks: true,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Reader,
    shows: Datum::CableEnds,
    text: Text {
        title: "A cable names a unit that the site does not have",
        says: "Cable {places} names {value}, which is no unit of this site[; the nearest known \
               name is {wanted}]",
        why: "Nobody can tell where this cable goes, so every check that follows it is open. \
              Either the name is a slip, or a unit is missing from the settings.",
        act: "Look at the label on the cable and on the unit, then correct the name, add the unit, \
              or say what the name means: `name LEFT BOX = unit 1`.",
        prove: "Every name in the cable list stands in the settings too.",
        source: "common practice, no source",
        spoils: "it is not known where one cable goes",
        example: Example {
            site: examples::LINE,
            edits: &[(r#"from = "U2 A", to = "U3 B""#, r#"from = "U2 A", to = "U7 B""#)],
            with: &[],
        },
    },
};
