//! The ratio that is set is the one on the part.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-ratio-mismatch",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.some(&[Datum::RatioFitted, Datum::RatioSet]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::RatioFitted,
    text: Text {
        title: "The ratio set is not the ratio of the part",
        says: "For {places} {value} is set where the part has {wanted}",
        why: "Everything looks plausible, and every power is wrong by one fixed factor.",
        act: "Set the ratio that is printed on the part.",
        prove: "A clamp meter beside the sensor and the value shown agree.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#"name = "CT L2", arrow = "house", input = "L2", "voltage reference" = "L2", place = "supply side", "ratio on part" = "2000:1""#,
                r#"name = "CT L2", arrow = "house", input = "L2", "voltage reference" = "L2", place = "supply side", "ratio on part" = "3000:1""#,
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let wrong = links.sensors_where(
        |sensor, _| {
            let (fitted, set) = sensor.ratios();
            fitted.0 != 0 && set.0 != 0 && fitted != set
        },
        0,
    );
    let Some(first) = wrong.iter().next().and_then(|id| links.plan.sensors.get(id.index())) else {
        return;
    };
    let (fitted, set) = first.ratios();
    sink.add().at_sensors(wrong).value(Quantity::Ratio(set)).wanted(Quantity::Ratio(fitted));
}
