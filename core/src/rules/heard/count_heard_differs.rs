//! A unit tells the unit count that was declared for it.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "count-heard-differs",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect])
        .some(&[Datum::Address, Datum::Count, Datum::HeardCount])
        .doubted_by(&[RuleId::AddressHeardTwice]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Count,
    text: Text {
        title: "A unit says another unit count than declared",
        says: "{places} says {value} units; declared are {wanted}",
        why: "The unit was set otherwise, or did not keep its setting. It waits for units that do not \
              come, or shares the load as if there were fewer.",
        act: "Read the unit count on the unit itself and set it as declared, or mend the list.",
        prove: "After a cold start the unit says the declared count, on its own display and on the link.",
        source: "common practice, no source",
        spoils: "a unit says another unit count",
        example: Example { site: examples::HEARD_MAP, edits: examples::COUNTS_TWO, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    super::tell_differences(
        compared,
        Datum::HeardCount,
        |speaker, unit| (speaker.count().map(Quantity::Units), unit.count().map(Quantity::Units)),
        sink,
    );
}

#[cfg(test)]
mod tests {
    use crate::finding::Quantity;
    use crate::plan::Datum;
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::CountHeardDiffers;

    #[test]
    fn who_was_heard_and_does_not_tell_it_is_a_gap() {
        let line = Trial::line(3).undeclare(1, Datum::Count);
        let answer = line.hear(|air| {
            air.change(2, |said| said.count = 9);
            air.change(3, |said| said.count = 2);
        });
        assert_eq!((answer.places(RULE), answer.broken()), (vec![vec![unit(2)]], vec![RULE]));
        let units = |count| Some(Quantity::Units(count));
        assert_eq!(answer.values(RULE), [(units(2), units(3))]);
    }
}
