//! Sensor leads go to the unit that owns them.
use crate::plan::SensorOwner;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-on-follower",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::SensorOwner]).whole(&[Datum::CableList]).some(&[Datum::Role]),
    after: &[RuleId::CtLeadMissing, RuleId::CoordinatorNone],
    check: Check::Link(check),
    shows: Datum::Role,
    text: Text {
        title: "Sensor leads are at the wrong unit",
        says: "Sensor leads[ {related}] go to {places}, which does not own them",
        why: "The coordinator does not see the load, so it neither supplies it nor limits export.",
        act: "Move the leads to the sensor input of the coordinator, with the power off. Never \
              leave the leads of a current transformer open while current flows through it.",
        prove: "Switch on a known load: the import shown at the coordinator rises by that load.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[
                ("from = \"CT L1\", to = \"U1 CT\"", "from = \"CT L1\", to = \"U3 CT\""),
                ("from = \"CT L2\", to = \"U1 CT\"", "from = \"CT L2\", to = \"U3 CT\""),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let mut wrong = UnitSet::EMPTY;
    for cable in links.sensor_cables {
        match links.unit_end(cable) {
            Some((unit, _)) if links.coordinators.contains(unit) => {
                if !is_of_the_leg(links, cable, unit) {
                    wrong.insert(unit);
                }
            }
            Some((unit, _)) if links.followers.contains(unit) => wrong.insert(unit),
            Some((unit, _)) => {
                sink.open(Datum::Role).at(Place::Unit(unit));
            }
            None => {
                sink.open(Datum::CableEnds).at(Place::Cable(cable));
            }
        }
    }
    for unit in wrong {
        let leads: CableSet = links
            .sensor_cables
            .iter()
            .filter(|cable| links.unit_end(*cable).is_some_and(|(owner, _)| owner == unit))
            .collect();
        sink.add().at(Place::Unit(unit)).near_cables(leads);
    }
}

/// Where each phase has its own coordinator: whether the sensor's leg is the coordinator's phase.
fn is_of_the_leg(links: &Links<'_>, cable: CableId, unit: UnitId) -> bool {
    if links.plan.demands.sensor_owner() != Some(SensorOwner::CoordinatorOfPhase) {
        return true;
    }
    let leg = links
        .plan
        .cable(cable)
        .and_then(|record| record.ends.iter().find_map(|end| end.sensor()))
        .and_then(|sensor| links.plan.sensors.get(sensor.index()))
        .and_then(|sensor| sensor.leg());
    let phase = links.plan.unit(unit).and_then(|record| record.phase());
    leg.is_none() || phase.is_none() || leg == phase
}
