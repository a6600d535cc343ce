//! Neutral and earth are joined at one place at a time.
use super::{STATES, bonds_in, unclear};
use crate::nets::Nets;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "neutral-earth-double-bond",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::Bonds]).also(&[Datum::Changeover]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::Bonds,
    text: Text {
        title: "Neutral and earth are joined at more than one place",
        says: "Neutral and earth are joined at more than one place in state {value}",
        why: "Part of the load current returns through the earth conductor. Cases and pipes carry \
             it, and residual-current protection trips or goes blind.",
        act: "Keep the power off. Leave one bond, at the place that local code asks for, and open \
             the others in this state.",
        prove: "Dead, one bond at a time: open it, and continuity from neutral to earth shows \
               whether another is left. In operation: a clamp around the earth conductor reads no \
               current.",
        source: "IEC 60364-1, one point of the neutral earthed (from memory)",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""main board (fixed)""#, r#""main board (fixed); sub board (fixed)""#)],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    if nets.plan.bonds.len() < 2 {
        return;
    }
    for state in &STATES {
        let Some(bonds) = bonds_in(nets, *state) else { continue };
        if bonds.closed > 1 {
            if bonds.meet_over_neutral(nets) {
                continue;
            }
            sink.add().value(Quantity::State(*state));
            // The same bonds are closed in the other states; one finding says it.
            return;
        }
        if bonds.closed.wrapping_add(bonds.unclear) > 1 {
            sink.open(unclear(nets));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::BondPlace::{BackupBoard, GeneratorFrame, MainBoard, UnitRelay};
    use crate::plan::{OperatingState, YesNo};
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::NeutralEarthDoubleBond;

    #[test]
    fn a_relay_that_opens_while_another_is_closed_is_no_second_bond() {
        let line = Trial::line(2).bond(MainBoard, 7, 7).bond(UnitRelay, 2, 3);
        assert_eq!(line.check().outcome(RULE), Outcome::Missing(crate::plan::Datum::Changeover));
        let switched = line.clone().group(|group| group.switches_neutral = YesNo::Yes.code());
        assert_ne!(switched.check().outcome(RULE), Outcome::Broken);
        let through = line.group(|group| group.switches_neutral = YesNo::No.code());
        let state = Some(Quantity::State(OperatingState::Island));
        assert_eq!(through.check().values(RULE), [(state, None)]);
    }

    #[test]
    fn two_fixed_bonds_meet_on_the_supply_whatever_the_changeover_does() {
        let answer = Trial::line(2).bond(MainBoard, 7, 7).bond(BackupBoard, 7, 7).check();
        let state = Some(Quantity::State(OperatingState::Supply));
        assert_eq!(answer.values(RULE), [(state, None)]);
    }

    #[test]
    fn a_generator_with_its_own_bond_behind_a_switched_neutral_is_right() {
        let line = Trial::line(2)
            .bond(MainBoard, 7, 7)
            .bond(GeneratorFrame, 7, 7)
            .group(|group| group.switches_neutral = YesNo::Yes.code());
        assert_ne!(line.check().outcome(RULE), Outcome::Broken);
    }

    #[test]
    fn a_relay_speaks_of_a_generator_only_if_its_state_there_is_declared() {
        let generator = OperatingState::Generator.code();
        let through = |stated| {
            let line = Trial::line(2).bond(MainBoard, 7, 7).bond(UnitRelay, generator, stated);
            line.group(|group| group.switches_neutral = YesNo::No.code()).check()
        };
        let state = Some(Quantity::State(OperatingState::Generator));
        assert_eq!(through(7).values(RULE), [(state, None)]);
        assert_eq!(through(7 & !generator).outcome(RULE), Outcome::Met);
    }
}
