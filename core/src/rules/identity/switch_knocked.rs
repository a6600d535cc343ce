//! Address switches give the address that is declared.
use crate::rule::prelude::*;
use crate::switches::{self, Reading};

pub(crate) const RULE: Rule = Rule {
    slug: "switch-knocked",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Switches, Datum::Address]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Switches,
    text: Text {
        title: "Address switches give another address than is declared",
        says: "The switches of {places} give {value} where {wanted} is declared",
        why: "A switch may have been bumped while somebody worked on the unit. It then has another \
             address than everybody believes.",
        act: "Look at the switches, set them by the table of the unit, and correct the sheet that \
             is wrong.",
        prove: "Read the address back on the unit after a restart.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 switches" = "1100""#, r#""U3 switches" = "1101""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    switches::report(links, sink, Reading::is_knocked);
}
