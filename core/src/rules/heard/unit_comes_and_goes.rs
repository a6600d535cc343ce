//! A unit that was heard stays.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-comes-and-goes",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[Datum::Address, Datum::HeardPeriod]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "A unit comes and goes",
        says: "Heard, and then not: {places}[; look first at {related}]",
        why: "A unit that drops out takes its share of the load with it, and the others may stop. A \
              plug that is not latched, a bad contact or a supply that fails does that; where all \
              units behind one point drop out together, the cable there is the likely cause.",
        act: "With the power off, take out, look at and latch again each plug of the cable that is \
              named and of the unit.",
        prove: "Listen for ten minutes while each plug is moved by hand, without touching any power \
                conductor: nobody drops out.",
        source: "common practice, no source",
        spoils: "a unit comes and goes",
        example: Example { site: examples::HEARD, edits: examples::THIRD_STOPS, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    let steady = compared.addressed.without(compared.silent).without(compared.restless);
    compared.tell_lost(compared.restless, steady, sink);
}
