//! Neutral and earth are joined in every state of operation.
use super::{STATES, bonds_in, unclear};
use crate::nets::Nets;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "neutral-earth-no-bond",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::Bonds]).also(&[Datum::Changeover]),
    after: &[],
    check: Check::Power(check),
    shows: Datum::Bonds,
    text: Text {
        title: "Neutral and earth are joined nowhere",
        says: "Neutral and earth are joined nowhere in state {value}",
        why: "A fault to a case then has no way back to its source. Protection cannot trip, and \
             the case stays live.",
        act: "Keep the power off. Provide one bond, fixed or switched, at the place that local \
             code asks for.",
        prove: "Dead: continuity from neutral to earth in this state. In operation, by licensed \
               people only: protection trips on its test in every state.",
        source: "IEC 60364-4-41, disconnection needs an earthed source (from memory)",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#""main board (fixed)""#,
                r#""unit 1 relay (closed on supply, open on island)""#,
            )],
            with: &[],
        },
    },
};

fn check(nets: &Nets<'_>, sink: &mut Sink<'_, '_>) {
    for state in &STATES {
        let Some(bonds) = bonds_in(nets, *state) else { continue };
        match (bonds.closed, bonds.unclear) {
            (0, 0) => {
                sink.add().value(Quantity::State(*state));
                return;
            }
            (0, _) => {
                sink.open(unclear(nets));
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::plan::BondPlace::{BeforeChangeover, BehindChangeover, MainBoard, Other, UnitRelay};
    use crate::plan::{Datum, OperatingState, YesNo};
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::NeutralEarthNoBond;

    #[test]
    fn no_bond_at_all_is_none_on_the_supply_too() {
        let answer = Trial::line(2).declare_bonds().check();
        let state = Some(Quantity::State(OperatingState::Supply));
        assert_eq!(answer.values(RULE), [(state, None)]);
    }

    #[test]
    fn a_bond_in_the_main_board_is_unclear_behind_a_switched_neutral() {
        let line = Trial::line(2).bond(MainBoard, 7, 7);
        let yes = line.clone().group(|group| group.switches_neutral = YesNo::Yes.code());
        assert_eq!(yes.check().outcome(RULE), Outcome::Missing(Datum::Bonds));
        let no = line.group(|group| group.switches_neutral = YesNo::No.code());
        assert_eq!(no.check().outcome(RULE), Outcome::Met);
    }

    #[test]
    fn the_side_of_the_changeover_makes_it_clear() {
        let check = |place| {
            let line = Trial::line(2).bond(place, 7, 7);
            line.group(|group| group.switches_neutral = YesNo::Yes.code()).check()
        };
        let state = Some(Quantity::State(OperatingState::Island));
        assert_eq!(check(BeforeChangeover).values(RULE), [(state, None)]);
        assert_eq!(check(BehindChangeover).outcome(RULE), Outcome::Met);
        // Anywhere else it may be on either side.
        assert_eq!(check(Other).outcome(RULE), Outcome::Missing(Datum::Bonds));
    }

    #[test]
    fn a_bond_before_a_changeover_serves_every_state_if_the_neutral_goes_through() {
        let line = Trial::line(2).bond(BeforeChangeover, 7, 7);
        let through = line.clone().group(|group| group.switches_neutral = YesNo::No.code());
        assert_eq!(through.check().outcome(RULE), Outcome::Met);
        assert_eq!(line.check().outcome(RULE), Outcome::Missing(Datum::Changeover));
    }

    #[test]
    fn a_relay_of_which_a_state_is_not_stated_is_unclear_there() {
        let answer = Trial::line(2).bond(UnitRelay, 1, 1).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Changeover));
    }
}
