//! Units that make one leg lie on one bar, and units that make different legs on different ones.
use super::{Legs, misplaced, only_leg};
use crate::nets::Nets;
use crate::plan::Terminal;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "leg-assignment-wrong",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::AcTerminals]).also(&[Datum::Phase]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::Phase,
    text: Text {
        title: "Legs that are set do not fit the bars that are fed",
        says: "The legs that {places} are set to do not fit the bars that they feed",
        why: "Two legs on one bar are a short between units: 240 V stands across the joint where a \
             leg has 120 V to neutral, 400 V where it has 230 V in three phases. One leg on two \
             bars leaves no volts between them, and the common neutral carries both loads.",
        act: "Keep the power off and every output open. Set the leg of the unit to that of its bar, \
              or move its conductor to the bar of its leg.",
        prove: "Dead first: continuity from the output of each unit to the bar of the leg that its \
                settings show, none to the others. Then, live and by licensed people only, the \
                output breaker open and both sides of it at nominal volts to neutral: volts across \
                the pole near zero and steady. Near zero with one side dead proves nothing.",
        source: "volts across a joint: 2 * V * sin(angle / 2), computed",
        spoils: "",
        example: Example {
            site: examples::LEGS,
            edits: &[(r#"name = "U4", phase = "L2""#, r#"name = "U4", phase = "L1""#)],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    // On one bar no leg need be told, unless somebody tells one.
    let told = nets.known.some.contains(Datum::Phase);
    let told_or_needed = told || !nets.is_common(Terminal::OutL1);
    if !told_or_needed || nets.plan.power.iter().all(|power| only_leg(power, 0).is_none()) {
        return;
    }
    for ((id, unit), power) in nets.plan.units().zip(nets.plan.power) {
        if unit.phase().is_none() && only_leg(power, 0).is_some() {
            sink.open(Datum::Phase).at(Place::Unit(id));
        }
    }
    sink.add_units(misplaced(nets, Legs::AsSet, true));
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::Leg::{self, L1, L2, L3};
    use crate::plan::{Datum, Terminal};
    use crate::rules::RuleId;
    use crate::trial::{Answer, Trial, unit};

    const RULE: RuleId = RuleId::LegAssignmentWrong;

    /// The leg that each unit is set to, and the net of its output.
    fn check(units: &[(Leg, u8)]) -> Answer {
        let mut trial = Trial::line(u8::try_from(units.len()).expect("few units"));
        for (index, (leg, net)) in (0u8..).zip(units) {
            trial = trial
                .unit(index.into(), |unit| {
                    unit.phase = leg.code();
                    unit.declared = (unit.declared.get() | 1 << Datum::Phase.bit()).into();
                })
                .net(index, Terminal::OutL1, *net);
        }
        trial.check()
    }

    #[test]
    fn legs_on_bars_of_their_own_are_right() {
        assert!(check(&[(L1, 7), (L1, 7), (L2, 8), (L2, 8)]).broken().is_empty());
        assert!(check(&[(L1, 7), (L2, 8), (L3, 9)]).broken().is_empty());
    }

    #[test]
    fn the_one_that_differs_is_named() {
        // Set to the other leg than its neighbour on the bar.
        let answer = check(&[(L1, 7), (L1, 7), (L2, 8), (L1, 8)]);
        assert_eq!(answer.places(RULE), [[unit(3)]]);
        // On the other bar than its leg.
        let answer = check(&[(L1, 7), (L1, 7), (L2, 8), (L2, 7)]);
        assert_eq!(answer.places(RULE), [[unit(3)]]);
        // Its leg is nobody else's.
        let answer = check(&[(L1, 7), (L1, 7), (L2, 7)]);
        assert_eq!(answer.places(RULE), [[unit(2)]]);
    }

    #[test]
    fn of_as_many_all_are_named() {
        let answer = check(&[(L1, 7), (L2, 7)]);
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
        let answer = check(&[(L1, 7), (L1, 7), (L1, 8), (L1, 8)]);
        assert_eq!(answer.places(RULE), [[unit(0), unit(1), unit(2), unit(3)]]);
        let answer = check(&[(L1, 7), (L2, 8), (L1, 8), (L2, 7)]);
        assert_eq!(answer.places(RULE), [[unit(0), unit(1), unit(2), unit(3)]]);
    }

    #[test]
    fn where_bars_differ_every_leg_must_be_known_and_on_one_bar_none() {
        let line = Trial::line(4).net(0, Terminal::OutL1, 7).net(1, Terminal::OutL1, 7);
        let one_bar = line.clone().net(2, Terminal::OutL1, 7).net(3, Terminal::OutL1, 7);
        assert_eq!(one_bar.check().outcome(RULE), Outcome::Met);
        let two_bars = line.net(2, Terminal::OutL1, 8).net(3, Terminal::OutL1, 8);
        assert_eq!(two_bars.check().outcome(RULE), Outcome::Missing(Datum::Phase));
    }

    #[test]
    fn a_unit_with_two_legs_makes_no_single_one() {
        let trial = Trial::line(2).net(0, Terminal::OutL1, 7).net(1, Terminal::OutL1, 7);
        let both = trial.net(0, Terminal::OutL2, 8).net(1, Terminal::OutL2, 8);
        let set = |trial: Trial, index: usize, leg: Leg| {
            trial.unit(index, |unit| {
                unit.phase = leg.code();
                unit.declared = (unit.declared.get() | 1 << Datum::Phase.bit()).into();
            })
        };
        assert!(set(set(both, 0, L1), 1, L2).check().broken().is_empty());
    }
}
