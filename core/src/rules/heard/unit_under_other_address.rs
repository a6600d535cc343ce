//! A unit answers to the address that was declared for it.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-under-other-address",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[Datum::Address]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "A unit answers to another address",
        says: "{places} should answer to {wanted}; it is silent there, and somebody answers to {value}",
        why: "The unit is most likely set to another address than the list says. The coordinator \
              counts it as missing, and the next unit that is set may get the same address.",
        act: "With the power off, read the address on the unit itself and set it as declared, or mend \
              the list.",
        prove: "Power up this unit alone and listen: it answers to the declared address, and nobody \
                to the other one.",
        source: "common practice, no source",
        spoils: "a unit answers to another address",
        example: Example { site: examples::HEARD, edits: examples::THIRD_AT_NINE, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    for stranger in compared.strangers() {
        let Some(unit) = compared.unit_of(stranger) else { continue };
        let declared = compared.links.plan.unit(unit).and_then(|unit| unit.address());
        if let (Some(heard), Some(declared)) = (stranger.address(), declared) {
            let entry = sink.add().at(Place::Unit(unit)).value(Quantity::Address(heard));
            entry.wanted(Quantity::Address(declared));
        }
    }
}
