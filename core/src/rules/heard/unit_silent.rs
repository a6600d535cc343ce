//! Every declared unit is heard.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "unit-silent",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect])
        .some(&[Datum::Address, Datum::ListenedLong])
        .also(&[Datum::CableEnds])
        .doubted_by(&[RuleId::UnitUnderOtherAddress, RuleId::AddressHeardTwice]),
    after: super::BUS_WORKS,
    check: Check::Heard(check),
    shows: Datum::Address,
    text: Text {
        title: "A declared unit is silent",
        says: "Not heard: {places}[; look first at {related}]",
        why: "A group that lacks a unit does not start, or starts with less than it should carry. \
              Where all units behind one point are silent, the cable there is the likely cause; a \
              single silent unit may also be off, or be set to another address or bit rate. Where \
              frames come and no unit at all is heard, the units may speak another dialect than the \
              one that is demanded.",
        act: "With the power off, look at the plugs of the cable, if one is named, then whether the \
              unit has its supply, then at its address; if no unit is heard, first at the dialect.",
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

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::place::Place;
    use crate::plan::{CableKind, Datum, Demand, DeviceKind, Shape};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, at_device, cable, unit};

    const RULE: RuleId = RuleId::UnitSilent;

    #[test]
    fn units_behind_one_cable_are_one_finding_with_that_cable() {
        // Cables 0 to 4 join units 0 to 5.
        for first_lost in 1..6 {
            let answer = Trial::line(6).hear(|air| air.keep(|_, address| address <= first_lost));
            let lost: Vec<_> = (first_lost..6).map(unit).collect();
            assert_eq!(answer.places(RULE), [lost]);
            assert_eq!(answer.related(RULE), [[cable(first_lost - 1)]]);
            assert_eq!(answer.broken(), [RULE]);
            let answer = Trial::line(6).hear(|air| air.keep(|_, address| address > first_lost));
            let lost: Vec<_> = (0..first_lost).map(unit).collect();
            assert_eq!(
                (answer.places(RULE), answer.related(RULE)),
                (vec![lost], vec![vec![cable(first_lost - 1)]])
            );
        }
    }

    #[test]
    fn units_in_the_middle_are_each_a_finding_without_cable() {
        let answer = Trial::line(6).hear(|air| air.keep(|_, address| !(3..=4).contains(&address)));
        assert_eq!(answer.places(RULE), [[unit(2)], [unit(3)]]);
        assert_eq!(answer.related(RULE), [[], []]);
    }

    #[test]
    fn both_ends_silent_are_two_findings() {
        let answer = Trial::line(5).hear(|air| air.keep(|_, address| (2..=4).contains(&address)));
        assert_eq!(answer.places(RULE), [[unit(0)], [unit(4)]]);
        assert_eq!(answer.related(RULE), [[cable(0)], [cable(3)]]);
    }

    #[test]
    fn who_says_nothing_for_less_than_three_periods_is_not_yet_silent() {
        let unit_3_until = |end: u32, line: Trial| {
            line.hear(|air| {
                air.until = end;
                air.keep(|at, address| at < end && address != 3);
            })
        };
        let heard = unit_3_until(900, Trial::line(3));
        assert_eq!(heard.outcome(RULE), Outcome::Missing(Datum::ListenedLong));
        assert_eq!(unit_3_until(2999, Trial::line(3)).places(RULE), Vec::<Vec<Place>>::new());
        assert_eq!(unit_3_until(3000, Trial::line(3)).places(RULE), [[unit(2)]]);
        let slow = || Trial::line(3).demand(Demand::HeartbeatPeriod, 2000);
        assert_eq!(unit_3_until(5999, slow()).places(RULE), Vec::<Vec<Place>>::new());
        assert_eq!(unit_3_until(6000, slow()).places(RULE), [[unit(2)]]);
        // Everybody was heard: nothing is left open.
        let all = Trial::line(3).hear(|air| {
            air.until = 900;
            air.keep(|at, _| at < 900);
        });
        assert_eq!(all.outcome(RULE), Outcome::Met);
    }

    #[test]
    fn a_ring_has_no_behind() {
        let ring = Trial::line(4).demand(Demand::LinkShape, Shape::Ring.code().into()).link(
            (3, A),
            (0, B),
            2000,
        );
        let answer = ring.hear(|air| air.keep(|_, address| address < 3));
        assert_eq!(answer.places(RULE), [[unit(2)], [unit(3)]]);
        assert_eq!(answer.related(RULE), [[], []]);
    }

    #[test]
    fn seen_from_a_gateway_on_the_line_all_units_may_lie_behind_its_cable() {
        let line = Trial::line(3).device(DeviceKind::Gateway, None);
        let line = line.cable(CableKind::Link, [at(2, A), at_device(0)]);
        // Somebody must be heard, else nothing at all is.
        let answer = line.hear(|air| air.change(1, |said| said.address = 77));
        assert_eq!(answer.broken(), [RuleId::UnitUnderOtherAddress]);
        let line = Trial::line(3).device(DeviceKind::Gateway, None);
        let line = line.cable(CableKind::Link, [at(2, A), at_device(0)]).with_serials();
        let answer = line.hear(|air| {
            air.keep(|_, address| address == 1);
            air.change(1, |said| (said.address, said.serial) = (77, 5));
        });
        assert_eq!(answer.places(RULE), [[unit(0), unit(1), unit(2)]]);
        assert_eq!(answer.related(RULE), [[cable(5)]]);
    }

    #[test]
    fn a_unit_without_address_is_neither_heard_nor_silent() {
        let answer = Trial::line(4).undeclare(3, Datum::Address).hear(|_| ());
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        let answer = Trial::line(4)
            .undeclare(3, Datum::Address)
            .hear(|air| air.keep(|_, address| address < 3));
        assert_eq!(
            (answer.places(RULE), answer.related(RULE)),
            (vec![vec![unit(2)]], vec![vec![cable(1)]])
        );
    }
}
