//! It is known whether a generator joins its own neutral to earth.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "generator-bond-unknown",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.also(&[Datum::Bonds]),
    after: &[],
    check: Check::Sized,
    shows: Datum::Bonds,
    text: Text {
        title: "Nobody knows whether the generator has a bond of its own",
        says: "Nobody says whether the generator joins its neutral to earth: {value}",
        why: "With a bond of its own it may make a second one, without it none: protection \
              trips, or cannot trip, only when it runs.",
        act: "Find it out and write it down: generator frame (fixed), or generator frame (open).",
        prove: "Generator stopped and parted from the board: continuity from its neutral to its \
                frame, or none.",
        source: "field reports",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(r"generator frame (fixed)", "generator frame")],
            with: &[],
        },
    },
};
