//! Sensor leads go to the unit that owns them.
use crate::plan::{Leg, SensorOwner};
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
        act: "Move the leads to the sensor input of the unit that owns them: the coordinator, or \
              that of the sensor's own phase. Power off first; never leave the leads of a current \
              transformer open while current flows through it.",
        prove: "Switch on a known load: the import shown at that unit rises by that load.",
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
    let of_phase = links.plan.demands.sensor_owner() == Some(SensorOwner::CoordinatorOfPhase);
    let mut wrong = CableSet::EMPTY;
    let mut units = UnitSet::EMPTY;
    for cable in links.sensor_cables {
        let Some((unit, _)) = links.unit_end(cable) else {
            sink.open(Datum::SensorLeadEnds).at(Place::Cable(cable));
            continue;
        };
        let phase = links.plan.unit(unit).and_then(|record| record.phase());
        let leg = leg_of(links, cable).filter(|_| of_phase);
        let other_leg = phase.is_some() && leg.is_some() && phase != leg;
        if links.followers.contains(unit) || other_leg {
            wrong.insert(cable);
            units.insert(unit);
        } else if !links.coordinators.contains(unit) {
            sink.open(Datum::Role).at(Place::Unit(unit));
        } else if leg.is_some() && phase.is_none() {
            sink.open(Datum::Phase).at(Place::Unit(unit));
        }
    }
    for unit in units {
        let here = |cable: &CableId| links.unit_end(*cable).is_some_and(|(at, _)| at == unit);
        sink.add().at(Place::Unit(unit)).near_cables(wrong.iter().filter(here).collect());
    }
}

/// The leg of the sensor at the other end of a lead.
fn leg_of(links: &Links<'_>, cable: CableId) -> Option<Leg> {
    let record = links.plan.cable(cable)?;
    let sensor = record.ends.iter().find_map(|end| end.sensor())?;
    links.plan.sensors.get(sensor.index())?.leg()
}
