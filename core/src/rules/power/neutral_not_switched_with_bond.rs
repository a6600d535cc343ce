//! The bonds of two sources do not meet over a neutral that the changeover leaves through.
use super::{STATES, bonds_in};
use crate::nets::Nets;
use crate::plan::YesNo;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "neutral-not-switched-with-bond",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::Bonds, Datum::Changeover]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::Changeover,
    text: Text {
        title: "Two bonded sources share a neutral that is not switched",
        says: "The generator and the supply side are both bonded, and the changeover leaves the \
               neutral through in state {value}",
        why: "Neutral and earth are joined at both sources. Part of the load current returns \
             through the earth conductor, and residual-current protection trips or goes blind.",
        act: "Keep the power off. Have licensed people fit a changeover that switches the neutral, \
              or leave one bond only, as local code asks.",
        prove: "Dead, in each position of the changeover, one bond at a time: open it, and \
                continuity from neutral to earth shows whether another is left. In operation: a \
                clamp around the earth conductor reads no current.",
        source: "NFPA 70 (NEC), 250.30(A): a generator whose neutral is switched is a source of its \
                 own (second-hand)",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                "\"neutral-earth bond\" = \"main board (fixed)\"",
                "\"neutral-earth bond\" = \"main board (fixed); generator frame (fixed)\"\n\
                 \"changeover switches the neutral\" = \"no\"",
            )],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    if nets.plan.group.switches_neutral() != Some(YesNo::No) {
        return;
    }
    for state in &STATES {
        if bonds_in(nets, *state).is_some_and(|bonds| bonds.meet_over_neutral(nets)) {
            sink.add().value(Quantity::State(*state));
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::BondPlace::{BackupBoard, GeneratorFrame, MainBoard};
    use crate::plan::{Datum, OperatingState, YesNo};
    use crate::rules::RuleId::{self, NeutralEarthDoubleBond, NeutralNotSwitchedWithBond};
    use crate::trial::Trial;

    const RULE: RuleId = NeutralNotSwitchedWithBond;

    fn switched(line: Trial, answer: YesNo) -> Trial {
        line.group(|group| {
            group.switches_neutral = answer.code();
            group.declared = (group.declared.get() | 1 << Datum::Changeover.bit()).into();
        })
    }

    #[test]
    fn two_sources_meet_over_a_neutral_that_is_left_through() {
        let line = Trial::line(2).bond(MainBoard, 7, 7).bond(GeneratorFrame, 7, 7);
        let answer = switched(line.clone(), YesNo::No).check();
        assert_eq!(answer.broken(), [RULE]);
        assert_eq!(answer.values(RULE), [(Some(Quantity::State(OperatingState::Supply)), None)]);
        assert_eq!(switched(line, YesNo::Yes).check().outcome(RULE), Outcome::Met);
    }

    #[test]
    fn the_only_bond_meets_no_other_one() {
        let line = Trial::line(2).bond(GeneratorFrame, 7, 7);
        assert!(switched(line, YesNo::No).check().broken().is_empty());
    }

    #[test]
    fn bonds_that_meet_in_any_case_are_another_fault() {
        let line = Trial::line(2).bond(MainBoard, 7, 7).bond(BackupBoard, 7, 7);
        let answer = switched(line.clone(), YesNo::No).check();
        assert_eq!(answer.broken(), [NeutralEarthDoubleBond]);
        let answer = switched(line.bond(GeneratorFrame, 7, 7), YesNo::No).check();
        assert_eq!(answer.broken(), [NeutralEarthDoubleBond]);
    }

    #[test]
    fn a_bond_behind_the_changeover_meets_the_generators_whatever_is_switched() {
        let line = Trial::line(2).bond(BackupBoard, 7, 7).bond(GeneratorFrame, 7, 7);
        let answer = switched(line, YesNo::Yes).check();
        let state = Some(Quantity::State(OperatingState::Generator));
        assert_eq!(answer.broken(), [NeutralEarthDoubleBond]);
        assert_eq!(answer.values(NeutralEarthDoubleBond), [(state, None)]);
    }
}
