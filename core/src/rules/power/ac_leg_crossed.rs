//! Like legs of all units are joined, and unlike ones are not.
use crate::nets::Nets;
use crate::plan::{Net, PowerRecord, Terminal};
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
        says: "The legs of {places} go to bars on which the others have other legs",
        why: "At the moment of joining, the full voltage between two legs stands across the joint: \
             a short between units, with arc and fire.",
        act: "Keep the power off and every output open. Exchange the conductors at the bars so \
             that each leg meets its like.",
        prove: "Dead first: continuity from each leg of this unit to its own bar, none to the other \
                bars. Then, live and by licensed people only, the output breaker open and both \
                sides of it at nominal volts to neutral: volts across each pole near zero and \
                steady. Near zero with one side dead proves nothing.",
        source: "common practice, no source; all units crossed alike is no short but a matter of \
                labels",
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
    if LEGS.iter().all(|leg| nets.is_common(*leg)) {
        return;
    }
    // How many units have each leg on each net.
    let mut users = [[0u8; NETS]; 3];
    for power in nets.plan.power {
        for (leg, users) in LEGS.iter().zip(&mut users) {
            if let Some(count) = shared_net(power, *leg).and_then(|net| users.get_mut(net)) {
                *count = count.wrapping_add(1);
            }
        }
    }
    let mut crossed = UnitSet::EMPTY;
    for ((unit, _), power) in nets.plan.units().zip(nets.plan.power) {
        for (leg, own_users) in LEGS.iter().zip(&users) {
            let Some(net) = shared_net(power, *leg) else { continue };
            let own = own_users.get(net).copied().unwrap_or(0);
            // On a net that as many units or more use for another leg, this one is the stranger.
            for (other, users) in LEGS.iter().zip(&users) {
                if other != leg && users.get(net).is_some_and(|users| *users >= own) {
                    crossed.insert(unit);
                }
            }
        }
    }
    sink.add_units(crossed);
}

const LEGS: [Terminal; 3] = [Terminal::OutL1, Terminal::OutL2, Terminal::OutL3];
const NETS: usize = 255;

/// The net of an output leg that it shares with another terminal.
#[inline(never)]
fn shared_net(power: &PowerRecord, leg: Terminal) -> Option<usize> {
    power.net(leg).filter(|net| *net != Net::ALONE).map(|net| usize::from(net.0))
}

#[cfg(test)]
mod tests {
    use crate::plan::Terminal::{OutL1, OutL2, OutL3};
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
    fn two_legs_on_one_bar_are_found() {
        let answer = site(&[[10, 11, 0], [10, 11, 0], [10, 10, 0]]).check();
        assert_eq!(answer.places(RULE), [[unit(2)]]);
    }
}
