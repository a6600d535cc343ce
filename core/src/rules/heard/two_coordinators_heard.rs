//! Not more than one unit says on the link that it leads.
use crate::plan::{Coordinators, Leg, Role};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "two-coordinators-heard",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::demands(&[Demand::Dialect, Demand::Coordinators])
        .some(&[Datum::HeardRole])
        .also(&[Datum::Phase]),
    after: &[],
    check: Check::Heard(check),
    shows: Datum::Role,
    text: Text {
        title: "More than one unit says that it leads",
        says: "More than one unit says on the link that it leads: {places}",
        why: "Each coordinator makes its own rhythm. Their outputs can be joined out of step, which \
              is a short between them, and units and conductors can be destroyed.",
        act: "Open every output breaker at once, take the power off; leave one of these units as \
              coordinator and set the others as followers.",
        prove: "Power up each unit alone with its output open and read its role back; then listen \
                again: one says coordinator, all others follower.",
        source: "common practice, no source",
        spoils: "more than one unit says that it leads",
        example: Example { site: examples::HEARD_MAP, edits: examples::SECOND_LEADS, with: &[] },
    },
};

fn check(compared: &Compared<'_>, sink: &mut Sink<'_, '_>) {
    let mut leading = UnitSet::EMPTY;
    for unit in compared.links.units {
        let role = compared.heard.unit(unit).and_then(|speaker| speaker.role());
        if role == Some(Role::Coordinator) {
            leading.insert(unit);
        }
    }
    let strangers = compared.strangers().filter(|one| one.role() == Some(Role::Coordinator));
    let mut others = 0u16;
    for stranger in strangers {
        // A stranger leads besides: the unit that it is may be any.
        others = others.saturating_add(1);
        if let Some(unit) = compared.unit_of(stranger) {
            leading.insert(unit);
            others = others.saturating_sub(1);
        }
    }
    let mut tell = |units: UnitSet| {
        if units.is_plural() || others > 0 {
            sink.add_units(units);
        }
    };
    match compared.links.plan.demands.coordinators() {
        Some(Coordinators::OneEachPhase) => {
            for leg in [Leg::L1, Leg::L2, Leg::L3] {
                tell(compared.links.units_of_phase(leg).and(leading));
            }
        }
        Some(Coordinators::One) | None => tell(leading),
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Coordinators, Datum, Demand, Leg};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::TwoCoordinatorsHeard;

    #[test]
    fn a_stranger_that_leads_counts() {
        let answer = Trial::line(3).hear(|air| air.copy(1, 5, |said| said.address = 9));
        assert_eq!(answer.places(RULE), [[unit(0)]]);
        assert_eq!(answer.broken(), [RULE, RuleId::StrangerHeard]);
    }

    #[test]
    fn a_follower_that_says_it_leads_is_one_finding() {
        let answer = Trial::line(3).hear(|air| air.change(3, |said| said.role = 1));
        assert_eq!(answer.places(RULE), [[unit(0), unit(2)]]);
        assert_eq!(answer.outcome(RuleId::RoleHeardDiffers), Outcome::Blocked(RULE));
        assert_eq!(answer.broken(), [RULE]);
    }

    #[test]
    fn a_moved_unit_that_leads_is_no_second_one() {
        let answer = Trial::line(3).hear(|air| air.change(1, |said| said.address = 9));
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        let answer = Trial::line(3).hear(|air| {
            air.change(1, |said| said.address = 9);
            air.change(2, |said| said.role = 1);
        });
        assert_eq!(answer.places(RULE), [[unit(0), unit(1)]]);
    }

    #[test]
    fn each_phase_has_one_of_its_own() {
        let mut line =
            Trial::line(4).demand(Demand::Coordinators, Coordinators::OneEachPhase.code().into());
        for (index, leg) in [Leg::L1, Leg::L2, Leg::L1, Leg::L2].iter().enumerate() {
            line = line.unit(index, |unit| {
                unit.phase = leg.code();
                unit.declared = (unit.declared.get() | 1 << Datum::Phase.bit()).into();
                unit.role = if index < 2 { 1 } else { 2 };
            });
        }
        assert_eq!(line.clone().hear(|_| ()).outcome(RULE), Outcome::Met);
        let answer = line.hear(|air| air.change(4, |said| said.role = 1));
        assert_eq!(answer.places(RULE), [[unit(1), unit(3)]]);
    }

    #[test]
    fn who_tells_no_role_leaves_it_open() {
        let answer = Trial::line(3).hear(|air| {
            for address in 1..=3 {
                air.change(address, |said| said.role = 0);
            }
        });
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::HeardRole));
    }
}
