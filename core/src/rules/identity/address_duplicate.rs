//! Two units on one link must not answer to the same address.
use crate::alike::Groups;
use crate::plan::UnitRecord;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "address-duplicate",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::Address]).doubted_by(&[RuleId::AddressMissing]),
    after: &[RuleId::UnitListedTwice],
    check: Check::Link(check),
    shows: Datum::Address,
    text: Text {
        title: "Units share one address",
        says: "Address {value} is used by more than one unit: {places}",
        why: "Both units answer at once. Readings jump between the two, frames are destroyed, and \
              one of the units looks as if it were missing.",
        act: "Give each of these units an address that no other unit on this link has.",
        prove: "Read the address back on every unit: no two alike. On the running link each address is \
                answered by one serial number only.",
        source: "common practice, no source",
        spoils: "two units answer to one address",
        example: Example {
            site: examples::LINE,
            edits: &[("address = 3", "address = 2")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let address: fn(&UnitRecord) -> Option<u32> = |unit| unit.address().map(u32::from);
    if links.surely_differ(address) {
        return;
    }
    let addresses = links.values(address);
    for (address, units) in Groups::of(&addresses).iter() {
        if units.is_plural() {
            let address = u16::try_from(address).unwrap_or(u16::MAX);
            sink.add().at_units(units).value(Quantity::Address(address));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::Datum;
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::AddressDuplicate;

    #[test]
    fn every_shared_address_is_a_finding_with_all_its_units() {
        let answer = Trial::line(5)
            .unit(3, |unit| unit.address = 1.into())
            .unit(4, |unit| unit.address = 1.into())
            .unit(2, |unit| unit.address = 2.into())
            .check();
        assert_eq!(answer.places(RULE), [vec![unit(0), unit(3), unit(4)], vec![unit(1), unit(2)]]);
    }

    #[test]
    fn zero_is_an_address_and_none_is_not() {
        let line = Trial::line(3)
            .unit(0, |unit| unit.address = 0.into())
            .unit(1, |unit| unit.address = 0.into());
        assert_eq!(line.check().places(RULE), [[unit(0), unit(1)]]);
        let answer = line.undeclare(1, Datum::Address).check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        assert_eq!(answer.lacking(RULE, Datum::Address), []);
    }
}
