//! Not more than one unit says on the link that it leads.
use crate::plan::{Coordinators, Role};
use crate::rule::prelude::*;
use crate::rules::identity::led_together;

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
        says: "More than one unit says on the link that it leads[: {places}][; \
               somebody at address {value} does, too]",
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
    let mut others = 0u32;
    // What answers there may be the silent unit or somebody else: it is told by its address.
    let mut elsewhere = None;
    for stranger in compared.strangers() {
        if stranger.role() != Some(Role::Coordinator) {
            continue;
        }
        elsewhere = stranger.address();
        match compared.unit_of(stranger) {
            Some(unit) => leading.insert(unit),
            // It leads besides, on whatever phase.
            None => others = others.saturating_add(1),
        }
    }
    let mut is_told = false;
    for units in led_together(compared.links, sink) {
        let units = units.and(leading);
        if units.is_plural() {
            sink.add().at_units(units.without(compared.silent));
            is_told = true;
        }
    }
    let most = match compared.links.plan.demands.coordinators() {
        Some(Coordinators::OneEachPhase) => PHASES,
        Some(Coordinators::One) | None => 1,
    };
    if !is_told {
        if leading.len().saturating_add(others) > most {
            sink.add().at_units(leading.without(compared.silent));
        } else if others > 0 && most > 1 {
            sink.open(Datum::Phase);
        }
    }
    // Without a finding nothing takes it.
    if let Some(address) = elsewhere {
        sink.value(Quantity::Address(address));
    }
}

/// Most phases.
const PHASES: u32 = 3;

#[cfg(test)]
mod tests {
    use crate::finding::{Outcome, Quantity};
    use crate::place::Place;
    use crate::plan::{Coordinators, Datum, Demand, Leg};
    use crate::rules::RuleId;
    use crate::trial::{Trial, unit};

    const RULE: RuleId = RuleId::TwoCoordinatorsHeard;

    #[test]
    fn a_stranger_that_leads_counts() {
        let answer = Trial::line(3).hear(|air| air.copy(1, 5, |said| said.address = 9));
        assert_eq!(answer.places(RULE), [[unit(0)]]);
        assert_eq!(answer.values(RULE), [(Some(Quantity::Address(9)), None)]);
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
        assert_eq!(answer.places(RULE), [[unit(1)]]);
        assert_eq!(answer.values(RULE), [(Some(Quantity::Address(9)), None)]);
    }

    #[test]
    fn a_silent_unit_is_never_told_to_lead() {
        let answer = Trial::line(3).hear(|air| {
            air.keep(|_, address| address != 3);
            air.copy(1, 5, |said| said.address = 9);
        });
        assert_eq!(answer.places(RULE), [[unit(0)]]);
        assert_eq!(answer.values(RULE), [(Some(Quantity::Address(9)), None)]);
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
        // One for the third phase may be right; nobody knows the phase of a stranger.
        let third = line.clone().hear(|air| air.copy(2, 5, |said| said.address = 9));
        assert_eq!(third.outcome(RULE), Outcome::Missing(Datum::Phase));
        let answer = line.hear(|air| air.change(4, |said| said.role = 1));
        assert_eq!(answer.places(RULE), [[unit(1), unit(3)]]);
    }

    #[test]
    fn a_leader_whose_phase_nobody_knows_leaves_it_open_or_is_one_too_many() {
        let sets = || {
            let demand = Coordinators::OneEachPhase.code().into();
            let mut line = Trial::line(4).demand(Demand::Coordinators, demand);
            for (index, leg) in [Leg::L1, Leg::L2, Leg::L3].iter().enumerate() {
                line = line.unit(index, |unit| {
                    unit.phase = leg.code();
                    unit.declared = (unit.declared.get() | 1 << Datum::Phase.bit()).into();
                    unit.role = 1;
                });
            }
            line
        };
        let answer = sets().hear(|_| ());
        assert_eq!(answer.outcome(RULE), Outcome::Missing(Datum::Phase));
        assert_eq!(answer.lacking(RULE, Datum::Phase), [unit(3)]);
        let answer = sets().hear(|air| air.change(4, |said| said.role = 1));
        assert_eq!(answer.places(RULE), [[unit(0), unit(1), unit(2), unit(3)]]);
    }

    #[test]
    fn a_stranger_that_leads_alone_is_no_second_one() {
        let answer = Trial::line(3).hear(|air| {
            air.change(1, |said| said.role = 2);
            air.copy(2, 5, |said| (said.address, said.role) = (9, 1));
        });
        assert_eq!(answer.outcome(RULE), Outcome::Met);
    }

    #[test]
    fn two_strangers_that_lead_are_two() {
        let answer = Trial::line(3).hear(|air| {
            air.change(1, |said| said.role = 2);
            air.copy(1, 5, |said| (said.address, said.role) = (9, 1));
            air.copy(2, 7, |said| (said.address, said.role) = (11, 1));
        });
        let none: [Place; 0] = [];
        assert_eq!(answer.places(RULE), [none]);
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
