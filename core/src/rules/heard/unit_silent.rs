//! Every declared unit is heard.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-silent",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[Datum::Address]).also(&[Datum::CableEnds]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "A declared unit is silent",
        says: "Not heard: {places}[; look first at {related}]",
        why: "A group that lacks a unit does not start, or starts with less than it should carry. \
              Where all units behind one point are silent, the cable there is the likely cause; a \
              single silent unit may also be off, or be set to another address or bit rate.",
        act: "With the power off, look at the plugs of the cable that is named, then whether the unit \
              has its supply, then at its address.",
        prove: "Power off, the cable pulled at the unit before it: about 120 ohm into its loose plug. \
                Power on: the unit is heard under its own address.",
        source: "common practice, no source",
        spoils: "a unit is silent",
        example: Example { site: examples::HEARD, edits: examples::WITHOUT_THIRD, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    let lost = compared.lost();
    compared.tell_lost(lost, compared.addressed.without(lost), sink);
}
