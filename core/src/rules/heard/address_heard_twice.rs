//! One address is answered by one unit.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "address-heard-twice",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[Datum::Address]),
    after: &[RuleId::LoneNodeNoAck, RuleId::NothingHeard, RuleId::AddressDuplicate],
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "Two answer under one address",
        says: "Two answer under address {value}, which only {places} should have",
        why: "Two units with one address destroy each other's frames as soon as they differ, and the \
              group takes them for one. One of the other units is likely to be the second, or a \
              device that is on no list.",
        act: "With the power off, read the address of every unit on the link and give each one of its \
              own.",
        prove: "Unplug this unit from the link: nobody answers under its address any more. With all \
                plugged in, its sign of life comes once in each period, with one serial number.",
        source: "CiA 301, node id used once; SAE J1939-81, one NAME to an address (read second-hand)",
        spoils: "two answer under one address",
        example: Example { site: examples::HEARD, edits: examples::SECOND_SERIAL, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    for unit in compared.doubled {
        let address = compared.heard.unit(unit).and_then(|speaker| speaker.address());
        sink.add().at(Place::Unit(unit)).value(Quantity::Address(address.unwrap_or(0)));
    }
    // Without rhythm and without identity, two cannot be told from one.
    let heard = compared.addressed.without(compared.silent);
    let unclear = heard.and(compared.unclear).without(compared.doubled);
    if unclear == heard && !heard.is_empty() {
        sink.open(Datum::HeardPeriod).at_units(unclear);
    } else if !unclear.is_empty() {
        sink.gap(Datum::HeardPeriod).at_units(unclear);
    }
}
