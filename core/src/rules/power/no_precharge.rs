//! The capacitors of the units are charged before the battery is joined.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "no-precharge",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::Bank,
    text: Text {
        title: "Nothing charges the units before the battery is joined",
        says: "Nothing charges the capacitors of the units before the battery is joined",
        why: "At the moment of closing a current of thousands of amperes rushes in: a spark in \
              the face, welded contacts, a blown fuse.",
        act: "Keep every battery switch open. Fit a pre-charge path with a resistor and a switch \
              of its own, or units that charge themselves first.",
        prove: "Live, and only by who may: before the main switch is closed, plus to minus on either \
                side of it, both near the battery's volts; then volts across it, near zero and \
                steady. Across alone, near zero proves nothing.",
        source: "field reports; energy of a capacitor: C * V^2 / 2",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(r#""pre-charge" = "yes""#, r#""pre-charge" = "no""#)],
            with: &[],
        },
    },
};
