//! Every leg is measured.
use crate::rule::prelude::*;
use crate::sets::SensorSet;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-one-leg-missing",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::SensorOwner])
        .whole(&[Datum::CableList])
        .also_demands(&[Demand::Sensors]),
    after: &[RuleId::CtLeadMissing],
    check: Check::Link(check),
    shows: Datum::UnitList,
    text: Text {
        title: "A leg is not measured",
        says: "Not every leg has a sensor with a lead[; look for {places}][; listed: {related}]",
        why: "Half of the load is not seen, so the group is wrong whenever the legs are uneven.",
        act: "Fit the missing sensor and run its lead to the unit that owns it. Never leave the \
             leads of a current transformer open while current flows through it.",
        prove: "Switch on a known load on each leg in turn: each is shown on its leg.",
        source: "common practice, no source; how many sensors there must be: the profile or the site, \
                else the legs that are named",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[("  { label = \"S2\", from = \"CT L2\", to = \"U1 CT\" },\n", "")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let leads = links.sensor_cables.len();
    let mut with_lead = SensorSet::EMPTY;
    for cable in links.sensor_cables.iter().filter_map(|id| links.plan.cable(id)) {
        if let Some(sensor) = cable.ends.iter().find_map(|end| end.sensor()) {
            with_lead.insert(sensor);
        }
    }
    let (mut measured, mut named) = (0u8, 0u8);
    for (id, sensor) in links.plan.sensors() {
        let leg = 1u8.wrapping_shl(u32::from(sensor.leg));
        named |= leg;
        measured |= if with_lead.contains(id) { leg } else { 0 };
    }
    let missing = if let Some(wanted) = links.plan.demands.sensors() {
        leads < wanted
    } else if named & 1 != 0 {
        // A sensor without a leg may sit on any.
        false
    } else {
        // Whoever names a leg has more than one.
        measured != named || measured.is_power_of_two()
    };
    if missing {
        let all = SensorSet::first(links.plan.sensors.len());
        let finding = sink.add().at_sensors(all.without(with_lead));
        for sensor in with_lead {
            finding.near(Place::Sensor(sensor));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::Demand;
    use crate::rules::RuleId;
    use crate::trial::Trial;

    const RULE: RuleId = RuleId::CtOneLegMissing;

    /// A line of two: cable 2 and 3 are the leads of the sensors on L1 and L2.
    fn one_lead() -> Trial {
        Trial::line(2).without_cables(|cable| cable == 3)
    }

    #[test]
    fn a_site_with_one_sensor_may_say_so() {
        assert_eq!(one_lead().check().outcome(RULE), Outcome::Broken);
        assert_eq!(one_lead().demand(Demand::Sensors, 1).check().outcome(RULE), Outcome::Met);
        assert_eq!(
            Trial::line(2).demand(Demand::Sensors, 3).check().outcome(RULE),
            Outcome::Broken
        );
    }

    #[test]
    fn a_sensor_that_names_no_leg_may_be_the_only_one() {
        let answer = Trial::line(2).without_sensors().sensor(0, 0).check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
    }
}
