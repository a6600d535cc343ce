//! Sensor leads go to the unit that owns them.
use crate::plan::{Leg, SensorOwner};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-on-follower",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::SensorOwner])
        .whole(&[Datum::CableList])
        .some(&[Datum::Role])
        .also(&[Datum::Phase])
        .doubted_by(&[RuleId::CoordinatorTwo]),
    after: &[RuleId::CtLeadMissing, RuleId::CoordinatorNone],
    check: Check::Link(check),
    shows: Datum::CableEnds,
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
        let here = links.cables_where(
            wrong,
            |cable, unit| cable.unit_end().is_some_and(|(at, _)| u32::from(at.0) == unit),
            unit.0.into(),
        );
        sink.add().at(Place::Unit(unit)).near_cables(here);
    }
}

/// The leg of the sensor at the other end of a lead.
fn leg_of(links: &Links<'_>, cable: CableId) -> Option<Leg> {
    let record = links.plan.cable(cable)?;
    let sensor = record.ends.iter().find_map(|end| end.sensor())?;
    links.plan.sensors.get(sensor.index())?.leg()
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Demand, Leg, Role, SensorOwner};
    use crate::rules::RuleId;
    use crate::trial::{Trial, cable, unit};

    const RULE: RuleId = RuleId::CtOnFollower;

    #[test]
    fn only_the_lead_of_the_other_phase_is_wrong() {
        let owner = SensorOwner::CoordinatorOfPhase.code();
        let answer = Trial::line(2)
            .demand(Demand::SensorOwner, owner.into())
            .unit(0, |unit| unit.phase = Leg::L1.code())
            .unit(1, |unit| {
                unit.phase = Leg::L2.code();
                unit.role = Role::Coordinator.code();
            })
            .check();
        // Cables 2 and 3 lead from the sensors on L1 and L2, both to the first unit.
        assert_eq!(answer.places(RULE), [[unit(0)]]);
        assert_eq!(answer.related(RULE), [[cable(3)]]);
    }

    #[test]
    fn where_one_unit_leads_all_legs_are_its_own() {
        assert_eq!(Trial::line(2).sensor(3, 0).check().outcome(RULE), Outcome::Met);
        let answer = Trial::line(2).sensor(3, 1).check();
        assert_eq!(answer.related(RULE), [[cable(4)]]);
    }
}
