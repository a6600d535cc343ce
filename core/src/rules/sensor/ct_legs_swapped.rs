//! Each sensor feeds the input of the leg that it sits on.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-legs-swapped",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::SensorInput]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::SensorInput,
    text: Text {
        title: "A sensor feeds the input of another leg",
        says: "{places} feeds the input of another leg than it sits on",
        why: "Current of one leg is multiplied with the voltage of the other: power comes out \
             halved, or with the wrong sign.",
        act: "Power off, then exchange the leads at the inputs. Never leave the leads of a current \
             transformer open while current flows through it.",
        prove: "Switch on a known load on one leg only: it is shown on that leg only.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (r#"arrow = "house", input = "L1""#, r#"arrow = "house", input = "L2""#),
                (
                    r#"arrow = "house", input = "L2", "voltage reference" = "L2""#,
                    r#"arrow = "house", input = "L1", "voltage reference" = "L2""#,
                ),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    sink.add_sensors(links.sensors_where(
        |sensor, _| sensor.leg != 0 && sensor.input != 0 && sensor.leg != sensor.input,
        0,
    ));
}
