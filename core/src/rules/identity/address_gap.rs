//! Addresses follow each other, where that is demanded.
use crate::place::PackId;
use crate::plan::YesNo;
use crate::rule::prelude::*;
use crate::sets::PackSet;

pub(crate) const RULE: Rule = Rule {
    slug: "address-gap",
    severity: Severity::Note,
    asks: false,
    // An address that nobody wrote down may be the one that seems to be free.
    needs: Needs::value(Demand::AddressesContiguous, YesNo::Yes.code()).whole(&[Datum::Address]),
    after: &[RuleId::AddressMissing, RuleId::AddressDuplicate, RuleId::AddressOutOfRange],
    check: Check::Link(check),
    shows: Datum::Address,
    text: Text {
        title: "Addresses leave a gap",
        says: "Address {value} is not given to any unit; {places} may not be found behind it",
        why: "Some readers stop at the first address that nobody answers. The units behind it work \
             and are not shown.",
        act: "Renumber the units without a gap, or tell the reader how far to look.",
        prove: "Every unit is shown by the reader; each address read back on its unit.",
        source: "demand of the profile or the site; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                ("address = 3,", "address = 4,"),
                (r#""U3 switches" = "1100""#, r#""U3 switches" = "0010""#),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let units = links.plan.units;
    let Some(lowest) = units.iter().filter_map(|unit| unit.address()).min() else { return };
    // At most 32 addresses without a gap, so the first free one is among the 64.
    let mut given = PackSet::EMPTY;
    for address in units.iter().filter_map(|unit| unit.address()) {
        let above = u8::try_from(address.saturating_sub(lowest)).unwrap_or(u8::MAX);
        given.insert(PackId(above));
    }
    let gap = given.0.trailing_ones();
    let free = gap.wrapping_add(lowest.into());
    let behind = links.units_where(
        |unit, free| unit.address().is_some_and(|address| u32::from(address) > free),
        free,
    );
    if !behind.is_empty() {
        let free = u16::try_from(free).unwrap_or(u16::MAX);
        sink.add().at_units(behind).value(Quantity::Address(free));
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::{Datum, Demand, YesNo};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::AddressGap;

    fn line(addresses: &[u16]) -> Trial {
        let yes = YesNo::Yes.code().into();
        let count = u8::try_from(addresses.len()).expect("few units");
        let mut trial = Trial::line(count).demand(Demand::AddressesContiguous, yes);
        for (index, address) in addresses.iter().enumerate() {
            trial = trial.unit(index, |unit| unit.address = (*address).into());
        }
        trial
    }

    #[test]
    fn all_behind_the_first_gap_are_named() {
        let answer = line(&[7, 5, 8, 300]).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(2), unit(3)]]);
        assert_eq!(answer.values(RULE), [(Some(Quantity::Address(6)), None)]);
        assert!(line(&[7, 5, 6, 8]).check().broken().is_empty());
    }

    #[test]
    fn an_address_that_is_not_declared_may_fill_the_gap() {
        let answer = line(&[1, 0, 3]).undeclare(1, Datum::Address).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Address));
    }
}
