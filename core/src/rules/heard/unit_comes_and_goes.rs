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
        act: "With the power off, take out, look at and latch again each plug of the unit, and of \
              the cable if one is named.",
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

#[cfg(test)]
mod tests {
    use crate::rules::RuleId;
    use crate::trial::{Trial, cable, unit};

    const RULE: RuleId = RuleId::UnitComesAndGoes;

    #[test]
    fn a_pause_and_an_end_are_told() {
        type When = fn(u32) -> bool;
        let times: [When; 2] = [|at| at < 5900, |at| !(3500..7900).contains(&at)];
        for heard in times {
            let answer =
                Trial::line(4).hear(|air| air.keep(|at, address| address != 2 || heard(at)));
            assert_eq!(answer.broken(), [RULE]);
            assert_eq!(
                (answer.places(RULE), answer.related(RULE)),
                (vec![vec![unit(1)]], vec![vec![]])
            );
        }
    }

    #[test]
    fn units_that_fall_silent_behind_one_cable_are_one_finding() {
        let answer = Trial::line(5).hear(|air| air.keep(|at, address| address < 4 || at < 5900));
        assert_eq!(answer.places(RULE), [[unit(3), unit(4)]]);
        assert_eq!(answer.related(RULE), [[cable(2)]]);
    }

    #[test]
    fn one_lost_beat_is_no_pause() {
        let answer =
            Trial::line(4).hear(|air| air.keep(|at, address| address != 2 || at / 1000 != 4));
        assert_eq!(answer.broken(), []);
    }
}
