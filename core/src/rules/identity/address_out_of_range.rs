//! Every unit's address lies in the range that the profile or the site demands.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "address-out-of-range",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::AddressRange])
        .some(&[Datum::Address])
        .doubted_by(&[RuleId::AddressMissing]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Address,
    text: Text {
        title: "A unit's address is outside the demanded range",
        says: "Address {value} of {places} is outside the demanded range, {wanted}",
        why: "The link is searched within the range only. A unit outside it is never asked, so it \
              counts as missing and the group does not start.",
        act: "Give this unit an address of the range that no other unit on this link has.",
        prove: "Read the address back on the unit: it lies in the range, and no other unit on this \
                link has it.",
        source: "range of the profile or the site; what a wrong one does: common practice, no \
                 source",
        spoils: "an address is outside the demanded range",
        example: Example {
            site: examples::LINE,
            edits: &[
                ("\"neutral-earth bond\"", "\"address range\" = \"1-16\"\n\"neutral-earth bond\""),
                ("address = 3", "address = 17"),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(range) = links.plan.demands.address_range() else { return };
    for (id, unit) in links.plan.units() {
        let Some(address) = unit.address() else { continue };
        if address < range.low || address > range.high {
            sink.add()
                .at(Place::Unit(id))
                .value(Quantity::Address(address))
                .wanted(Quantity::Addresses(range));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{AddressRange, Demand};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::AddressOutOfRange;

    #[test]
    fn both_ends_of_the_range_are_in_it() {
        let range = AddressRange { low: 2, high: 3 }.to_bits();
        let answer = Trial::line(4).demand(Demand::AddressRange, range).check();
        assert_eq!(answer.places(RULE), [[unit(0)], [unit(3)]]);
    }

    #[test]
    fn without_a_range_nobody_demands_it() {
        let demand = Demand::AddressRange;
        assert_eq!(Trial::line(2).check().outcome(RULE), Outcome::Undemanded(demand));
    }
}
