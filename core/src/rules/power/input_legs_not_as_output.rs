//! The legs of the supply reach the inputs of all units in one order.
use super::crossed;
use crate::nets::Nets;
use crate::plan::Terminal;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "input-legs-not-as-output",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::InputTerminals]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::InputTerminals,
    text: Text {
        title: "Legs of the supply reach units in different orders",
        says: "The legs of the supply reach the inputs of {places} in another order than the others",
        why: "The outputs of the group are one; a unit whose input has other legs than its output \
             refuses the supply, stays on the battery and drains it.",
        act: "Keep the power off. Exchange the conductors at the input, so that each leg comes to \
              the terminal of its name.",
        prove: "Dead: continuity from each input terminal to its own bar of the supply, none to \
                the others. Later, live and by licensed people only: volts from each input \
                terminal to the like one of another unit near zero, both at nominal to neutral.",
        source: "common practice, no source; all units alike is a matter of labels",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#""U3 ac in" = "L1->supply L1; L2->supply L2; N->supply N; PE->earth bar""#,
                r#""U3 ac in" = "L1->supply L2; L2->supply L1; N->supply N; PE->earth bar""#,
            )],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    let supply = [Terminal::InL1, Terminal::InL2, Terminal::InL3];
    let generator = [Terminal::GeneratorL1, Terminal::GeneratorL2, Terminal::GeneratorL3];
    sink.add_units(crossed(nets, supply).or(crossed(nets, generator)));
}

#[cfg(test)]
mod tests {
    use crate::plan::Terminal::{GeneratorL1, GeneratorL2, InL1, InL2};
    use crate::plan::{Datum, Terminal};
    use crate::rules::RuleId;
    use crate::trial::{Answer, Trial, unit};

    const RULE: RuleId = RuleId::InputLegsNotAsOutput;

    fn check(terminals: [Terminal; 2], legs: [[u8; 2]; 3]) -> Answer {
        let mut trial = Trial::line(3);
        for (index, nets) in (0u8..).zip(legs) {
            trial = trial.unit(index.into(), |unit| {
                unit.declared = (unit.declared.get() | 1 << Datum::InputTerminals.bit()).into();
            });
            for (terminal, net) in terminals.into_iter().zip(nets) {
                trial = trial.net(index, terminal, net);
            }
        }
        trial.check()
    }

    #[test]
    fn the_unit_with_another_order_is_named() {
        let answer = check([InL1, InL2], [[10, 11], [10, 11], [11, 10]]);
        assert_eq!(answer.places(RULE), [[unit(2)]]);
        let answer = check([GeneratorL1, GeneratorL2], [[11, 10], [10, 11], [10, 11]]);
        assert_eq!(answer.places(RULE), [[unit(0)]]);
        // Also where the numbers of the nets have no bit in common.
        let answer = check([GeneratorL1, GeneratorL2], [[4, 3], [3, 4], [3, 4]]);
        assert_eq!(answer.places(RULE), [[unit(0)]]);
    }

    #[test]
    fn one_order_at_all_units_is_right() {
        assert!(check([InL1, InL2], [[10, 11]; 3]).broken().is_empty());
        assert!(check([InL1, InL2], [[11, 10]; 3]).broken().is_empty());
    }
}
