//! Not more than one unit leads.
use super::led_together;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "coordinator-two",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::demands(&[Demand::Coordinators]).some(&[Datum::Role]).also(&[Datum::Phase]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Role,
    text: Text {
        title: "More than one unit is set as coordinator",
        says: "More than one unit leads: {places}",
        why: "Each coordinator makes its own rhythm. Their outputs can be joined out of step, which \
              is a short between them, and units and conductors can be destroyed.",
        act: "Keep every output breaker open and the power off; leave one of these units as \
              coordinator and set the others as followers.",
        prove: "Read the role back on each of these units before any output breaker is closed: \
                one says coordinator, all others follower.",
        source: "common practice, no source",
        spoils: "more than one unit leads",
        example: Example {
            site: examples::LINE,
            edits: &[("role = \"follower\", address = 3", "role = \"coordinator\", address = 3")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for units in &led_together(links, sink) {
        let leading = units.and(links.coordinators);
        if leading.is_plural() {
            sink.add().at_units(leading);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Coordinators, Datum, Demand, Leg, Role};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::CoordinatorTwo;

    /// Two units on each phase.
    fn three_phases() -> Trial {
        let mut trial =
            Trial::line(6).demand(Demand::Coordinators, Coordinators::OneEachPhase.code().into());
        for (index, leg) in
            [Leg::L1, Leg::L2, Leg::L3, Leg::L1, Leg::L2, Leg::L3].iter().enumerate()
        {
            trial = trial.unit(index, |unit| {
                unit.phase = leg.code();
                unit.declared = (unit.declared.get() | 1 << Datum::Phase.bit()).into();
                let role = if index < 3 { Role::Coordinator } else { Role::Follower };
                unit.role = role.code();
            });
        }
        trial
    }

    #[test]
    fn each_phase_has_one_of_its_own() {
        assert_eq!(three_phases().check().outcome(RULE), Outcome::Met);
        let answer = three_phases().unit(4, |unit| unit.role = Role::Coordinator.code()).check();
        assert_eq!(answer.places(RULE), [[unit(1), unit(4)]]);
    }

    #[test]
    fn a_phase_without_one_is_named() {
        let answer = three_phases().unit(2, |unit| unit.role = Role::Follower.code()).check();
        assert_eq!(answer.places(RuleId::CoordinatorNone), [[unit(2), unit(5)]]);
    }

    #[test]
    fn a_unit_without_a_phase_leaves_it_open() {
        let answer = three_phases().unit(4, |unit| unit.phase = 0).check();
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Phase));
        assert_eq!(answer.lacking(RULE, Datum::Phase), [unit(4)]);
    }
}
