//! Like legs of all units are joined; unlike ones, and a leg and neutral, are not.
use super::{bridged, crossed};
use crate::nets::Nets;
use crate::plan::Terminal;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ac-leg-crossed",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::AcTerminals]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::AcTerminals,
    text: Text {
        title: "Legs of units are crossed at the bars",
        says: "The output of {places} goes to bars on which the others have other legs, or two of \
               its conductors go to one bar",
        why: "At the moment of joining, the full voltage between two legs stands across the joint: \
             240 V where a leg has 120 V to neutral, 400 V where it has 230 V in three phases. \
             That is a short between units, with arc and fire.",
        act: "Keep the power off and every output open. Move the conductors at the bars so that \
              each leg meets its like, and neutral meets neutral alone.",
        prove: "Dead first: continuity from each leg of this unit to its own bar, none to the other \
                bars. Then, live and by licensed people only, the output breaker open and both \
                sides of it at nominal volts to neutral: volts across each pole near zero and \
                steady. Near zero with one side dead proves nothing.",
        source: "volts across a joint: 2 * V * sin(angle / 2), computed; all units crossed alike \
                 is no short but a matter of labels",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (
                    r#""U1 frequency""#,
                    "\"U3 ac out\" = \"L1->bar L2; L2->bar L1; N->bar N; PE->earth bar\"\n\"U1 frequency\"",
                ),
                (
                    r#"address = 3, count = 3, terminator = "on", bank = "A", "ac out" = "straight""#,
                    r#"address = 3, count = 3, terminator = "on", bank = "A""#,
                ),
            ],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    let legs = [Terminal::OutL1, Terminal::OutL2, Terminal::OutL3];
    sink.add_units(crossed(nets, legs).or(bridged(nets)));
}

#[cfg(test)]
mod tests {
    use crate::plan::Terminal::{OutL1, OutL2, OutL3, OutN};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::AcLegCrossed;

    /// The nets of L1, L2 and L3 of each unit.
    fn site(legs: &[[u8; 3]]) -> Trial {
        let mut trial = Trial::line(u8::try_from(legs.len()).expect("few units"));
        for (index, nets) in (0..).zip(legs) {
            for (terminal, net) in [OutL1, OutL2, OutL3].into_iter().zip(nets) {
                trial = trial.net(index, terminal, *net);
            }
        }
        trial
    }

    #[test]
    fn the_one_that_differs_is_named_and_of_two_both() {
        let answer = site(&[[10, 11, 0], [11, 10, 0], [10, 11, 0]]).check();
        assert_eq!(answer.places(RULE), [[unit(1)]]);
        let answer = site(&[[10, 11, 0], [11, 10, 0]]).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
    }

    #[test]
    fn all_crossed_alike_is_a_matter_of_labels() {
        assert!(site(&[[11, 10, 0], [11, 10, 0], [11, 10, 0]]).check().broken().is_empty());
    }

    #[test]
    fn units_of_different_phases_may_use_their_first_terminal_for_any_bar() {
        assert!(site(&[[10, 0, 0], [11, 0, 0], [12, 0, 0]]).check().broken().is_empty());
    }

    #[test]
    fn a_rotation_of_three_is_found() {
        let answer = site(&[[10, 11, 12], [10, 11, 12], [11, 12, 10]]).check();
        assert_eq!(answer.places(RULE), [[unit(2)]]);
    }

    #[test]
    fn two_poles_on_one_bar_are_a_short_also_where_all_units_are_alike() {
        let answer = site(&[[10, 10, 0], [10, 10, 0]]).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
        let with_neutral = |trial: Trial, net: u8| trial.net(0, OutN, net).net(1, OutN, net);
        let answer = with_neutral(site(&[[10, 11, 0], [10, 11, 0]]), 10).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
        assert!(with_neutral(site(&[[10, 11, 0], [10, 11, 0]]), 12).check().broken().is_empty());
        let answer = with_neutral(site(&[[10, 11, 12], [10, 11, 12]]), 12).check();
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
        // At one unit alone, and of conductors that meet nothing else.
        let answer = site(&[[10, 11, 0], [10, 11, 0]]).net(0, OutN, 11).net(1, OutN, 12).check();
        assert_eq!(answer.places(RULE), [[unit(0)]]);
        let answer = site(&[[10, 11, 0], [10, 11, 0]]).net(0, OutN, 12).net(1, OutN, 11).check();
        assert_eq!(answer.places(RULE), [[unit(1)]]);
        assert!(site(&[[255, 255, 0], [10, 11, 0]]).check().places(RULE).is_empty());
    }

    #[test]
    fn two_legs_on_one_bar_are_found() {
        let answer = site(&[[10, 11, 0], [10, 11, 0], [10, 10, 0]]).check();
        assert_eq!(answer.places(RULE), [[unit(2)]]);
    }
}
