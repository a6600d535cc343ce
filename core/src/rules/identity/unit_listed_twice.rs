//! No unit stands in the list under two names.
use super::serial_number;
use crate::alike::Groups;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-listed-twice",
    severity: Severity::Note,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Serial]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Serial,
    text: Text {
        title: "One unit stands in the list under two names",
        says: "{places} bear one serial number, so they are one unit",
        why: "The list counts one unit too many, and two lines speak of one unit.",
        act: "Look at the plates, and merge the two lines or correct the serial number.",
        prove: "Each unit of the list has a plate with its own serial number.",
        source: "common practice, no source",
        spoils: "a unit stands in the list twice",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""U3 serial" = "7003""#, r#""U3 serial" = "7001""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if links.surely_differ(serial_number) {
        return;
    }
    let serials = links.values(serial_number);
    for (_, units) in Groups::of(&serials).iter() {
        if units.is_plural() {
            sink.add().at_units(units);
        }
    }
}
