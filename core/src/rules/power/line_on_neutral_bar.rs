//! Lines, neutrals and earth keep apart at the outputs and inputs of all units.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "line-on-neutral-bar",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Sized,
    shows: Datum::AcTerminals,
    text: Text {
        title: "A conductor is at the bar of another pole",
        says: "At {places} {value}, and {wanted}",
        why: "A line at the bar of the neutrals makes the neutral of every load live, and with it, \
              behind the bond, the cases; where it meets a neutral or another line it is a short. A \
              neutral at earth is a bond that nobody wrote down.",
        act: "Keep the power off. Follow the conductors dead, and put each on the bar of its own \
              pole; or correct the sheet.",
        prove: "Dead, bonds of neutral and earth opened: continuity from each terminal to the bar of \
                its name, and none from a line to the neutral bar.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::EQUIPMENT,
            edits: &[(
                r#""U3 generator in" = "L1->generator L1; L2->generator L2; N->generator N""#,
                r#""U3 generator in" = "L1->generator N; L2->generator L2; N->generator L1""#,
            )],
            with: &[],
        },
    },
};
