//! Sensors sit where the profile or the site demands.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-place-wrong",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::SensorsOn]).some(&[Datum::SensorPlace]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::SensorPlace,
    text: Text {
        title: "A sensor sits at the wrong place",
        says: "{places} does not sit where it must",
        why: "On the load side or at a unit, export is never seen, and the output of the group \
             counts as load.",
        act: "Power off, then move the sensor to the conductors of the supply, before everything \
             else. Never leave the leads of a current transformer open while current flows \
             through it.",
        prove: "The power shown agrees with the billing meter, in both directions.",
        source: "demand of the profile or the site; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#""voltage reference" = "L2", place = "supply side""#,
                r#""voltage reference" = "L2", place = "load side""#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(wanted) = links.plan.demands.sensors_on() else { return };
    sink.add_sensors(links.sensors_where(
        |sensor, wanted| sensor.place().is_some_and(|place| u32::from(place.code()) != wanted),
        wanted.code().into(),
    ));
}
