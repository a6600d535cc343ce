//! Arrows of sensors point the demanded way.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-arrow-reversed",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::ArrowTowards]).some(&[Datum::Arrow]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Arrow,
    text: Text {
        title: "The arrow of a sensor points the wrong way",
        says: "The arrow of {places} points the other way than demanded",
        why: "Import is shown as export. The battery charges from the supply at night or feeds \
             out, and a limiter runs away.",
        act: "Power off, then turn the sensor round on its conductor. Never leave the leads of a \
             current transformer open while current flows through it.",
        prove: "Switch on a known load on that leg: the import shown on it rises by that load.",
        source: "direction of the profile or the site; what goes wrong: common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#"name = "CT L2", arrow = "house""#, r#"name = "CT L2", arrow = "street""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let Some(wanted) = links.plan.demands.arrow_towards() else { return };
    sink.add_sensors(links.sensors_where(
        |sensor, wanted| sensor.arrow().is_some_and(|arrow| u32::from(arrow.code()) != wanted),
        wanted.code().into(),
    ));
}
