//! The current of each leg is multiplied with the voltage of that leg.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-voltage-reference-moved",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::VoltageReference]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::VoltageReference,
    text: Text {
        title: "The voltage of another leg is taken for a sensor",
        says: "The voltage reference of {places} is another leg than it sits on",
        why: "All signs turn over at once, typically after work that had nothing to do with the \
             sensors.",
        act: "Put the voltage reference back to the leg of the sensor.",
        prove: "Switch on a known load on that leg: the import shown on it rises by that load.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#"input = "L2", "voltage reference" = "L2""#,
                r#"input = "L2", "voltage reference" = "L1""#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    sink.add_sensors(links.sensors_where(
        |sensor, _| sensor.leg != 0 && sensor.reference != 0 && sensor.leg != sensor.reference,
        0,
    ));
}
