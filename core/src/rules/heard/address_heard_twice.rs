//! One address is answered by one unit.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "address-heard-twice",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect]).some(&[Datum::Address]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "Two answer under one address",
        says: "Two answer under address {value}, which only {places} should have",
        why: "Told by two serial numbers, by two rhythms, or by a sign of life twice as often as that \
              of the others. Two units with one address destroy each other's frames as soon as they \
              differ, and the group takes them for one. One of the other units is likely to be the second, or a \
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

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Datum, Demand};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::AddressHeardTwice;

    #[test]
    fn two_rhythms_under_one_address_are_told() {
        // Half a period apart: twice as often as the others. A third: two that take turns.
        for later in [500, 300] {
            let answer = Trial::line(4).hear(|air| air.copy(2, later, |_| ()));
            assert_eq!(answer.broken(), [RULE], "{later}");
            assert_eq!(answer.places(RULE), [[unit(1)]]);
        }
    }

    #[test]
    fn who_was_heard_for_less_than_three_periods_may_still_be_two() {
        let heard_until = |end: u32| {
            Trial::line(3).with_serials().hear(|air| {
                air.until = end;
                air.keep(|at, _| at < end);
            })
        };
        assert_eq!(heard_until(900).outcome(RULE), Outcome::Missing(Datum::HeardPeriod));
        assert_eq!(heard_until(3000).outcome(RULE), Outcome::Met);
    }

    /// What one of two says says nothing of the other.
    #[test]
    fn while_two_answer_nothing_that_they_say_is_met() {
        let line = Trial::line(4).with_serials();
        let answer = line.hear(|air| air.copy(2, 3, |said| said.serial = 5));
        assert_eq!(answer.broken(), [RULE]);
        for rule in
            [RuleId::RoleHeardDiffers, RuleId::CountHeardDiffers, RuleId::UnitIdentitySwapped]
        {
            assert_eq!(answer.outcome(rule), Outcome::Blocked(RULE), "{rule:?}");
        }
    }

    #[test]
    fn two_serial_numbers_under_one_address_are_told() {
        let line = Trial::line(4).with_serials();
        let answer = line.hear(|air| {
            air.copy(2, 3, |said| said.serial = 5);
            air.keep(|at, address| address != 2 || at < 3000 || at % 1000 == 20);
        });
        assert_eq!(answer.broken(), [RULE]);
        assert_eq!(answer.places(RULE), [[unit(1)]]);
    }

    #[test]
    fn of_two_units_neither_is_the_usual_one_unless_the_period_is_demanded() {
        let doubled = |line: Trial| line.hear(|air| air.copy(2, 500, |_| ()));
        let answer = doubled(Trial::line(2));
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::HeardPeriod));
        assert_eq!(answer.lacking(RULE, Datum::HeardPeriod), [unit(0), unit(1)]);
        let answer = doubled(Trial::line(2).demand(Demand::HeartbeatPeriod, 1000));
        assert_eq!(answer.places(RULE), [[unit(1)]]);
        // Two that take turns are told in any case.
        let answer = Trial::line(2).hear(|air| air.copy(2, 300, |_| ()));
        assert_eq!(answer.places(RULE), [[unit(1)]]);
    }

    #[test]
    fn the_one_silent_unit_is_likely_to_be_the_second() {
        let line = || Trial::line(4).with_serials();
        let answer = line().hear(|air| air.change(3, |said| said.address = 2));
        assert_eq!(answer.broken(), [RULE]);
        assert_eq!(answer.places(RULE), [[unit(1)]]);
        assert_eq!(answer.outcome(RuleId::UnitSilent), Outcome::Blocked(RULE));
        // Of two, one is silent for another reason.
        let answer = line().hear(|air| {
            air.change(3, |said| said.address = 2);
            air.keep(|_, address| address != 4);
        });
        assert_eq!(answer.broken(), [RULE, RuleId::UnitSilent]);
    }

    #[test]
    fn one_rhythm_that_is_too_short_to_tell_is_a_gap() {
        let answer = Trial::line(4).hear(|air| air.keep(|at, address| address != 2 || at > 6000));
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        assert_eq!(answer.lacking(RULE, Datum::HeardPeriod), [unit(1)]);
    }

    #[test]
    fn an_address_that_two_have_on_the_sheets_is_told_there() {
        let line = || Trial::line(4).unit(3, |unit| unit.address = 2.into());
        assert_eq!(line().hear(|_| ()).broken(), [RuleId::AddressDuplicate]);
        // And that of another unit is looked at all the same.
        let answer = line().hear(|air| air.copy(3, 300, |_| ()));
        assert_eq!(answer.places(RULE), [[unit(2)]]);
        assert_eq!(answer.broken(), [RuleId::AddressDuplicate, RULE]);
    }
}
