//! Nobody is heard whom nobody declares.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "stranger-heard",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[Datum::Address]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "Somebody is heard whom nobody declares",
        says: "Somebody answers to address {value}, which nothing on the sheets has",
        why: "It may be a unit that is on no list, one that is set to another address, or a device \
              that should not hang on this link. The count that the group is set to may be wrong.",
        act: "Find out what answers to this address, and enter it on the sheets or take it off the \
              link.",
        prove: "Power up the units one by one and listen which one brings this address.",
        source: "common practice, no source",
        spoils: "a stranger is heard",
        example: Example { site: examples::HEARD, edits: examples::FOURTH, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    let unaddressed = compared.links.units.without(compared.addressed);
    for stranger in compared.strangers() {
        if compared.unit_of(stranger).is_some() {
            continue;
        }
        if unaddressed.is_empty() {
            sink.add().value(Quantity::Address(stranger.address().unwrap_or(0)));
        } else {
            // It may be one of these.
            sink.open(Datum::Address).at_units(unaddressed);
        }
    }
}
