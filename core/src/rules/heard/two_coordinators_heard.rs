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
    for unit in compared.addressed {
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
    let sets = match compared.links.plan.demands.coordinators() {
        Some(Coordinators::OneEachPhase) => {
            [Leg::L1, Leg::L2, Leg::L3].map(|leg| compared.links.units_of_phase(leg).and(leading))
        }
        Some(Coordinators::One) | None => [leading, UnitSet::EMPTY, UnitSet::EMPTY],
    };
    for units in sets {
        if units.is_plural() || !units.is_empty() && others > 0 {
            sink.add().at_units(units);
        }
    }
}
