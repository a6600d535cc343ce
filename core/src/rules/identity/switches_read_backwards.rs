//! Address switches are set from the right end and the right way up.
use crate::rule::prelude::*;
use crate::switches::{self, Reading};

pub(crate) const RULE: Rule = Rule {
    slug: "switches-read-backwards",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING
        .some(&[Datum::Switches, Datum::Address])
        .doubted_by(&[RuleId::AddressMissing]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Switches,
    text: Text {
        title: "Address switches are set from the wrong end",
        says: "The switches of {places} give {value} where {wanted} is declared: they are read from \
              the wrong end or upside down",
        why: "The unit has another address than everybody believes. It is not found, or answers in \
             place of another.",
        act: "Set the switches by the table of the unit, count from the end that the table counts \
             from, and photograph them.",
        prove: "Read the address back on the unit after a restart.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 switches" = "1100""#, r#""U3 switches" = "0011""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    switches::report(links, sink, Reading::is_turned);
}
