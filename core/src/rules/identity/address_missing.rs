//! Every unit was given an address.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "address-missing",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Address]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Address,
    text: Text {
        title: "A unit was given no address",
        says: "No address is set on {places}",
        why: "A unit without an address of its own is not found on the link, or answers in place \
             of another.",
        act: "Set an address that no other unit on this link has; on some units it stands on a \
             page that is not shown at first.",
        prove: "Read the address back on the unit after a restart.",
        source: "common practice, no source",
        spoils: "a unit has no address yet",
        example: Example {
            site: examples::LINE,
            edits: &[("address = 3", r#"address = "not set""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    sink.add_units(links.unaddressed);
}
