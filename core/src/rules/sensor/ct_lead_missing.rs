//! The group has its current transformers.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "ct-lead-missing",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::SensorOwner]).whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::UnitList,
    text: Text {
        title: "No current transformer lead is listed",
        says: "No lead of a current transformer is listed",
        why: "The coordinator cannot see what flows to or from the supply, so it shows no import \
              and does not limit export.",
        act: "Fit the current transformers and run their leads to the sensor input of the unit \
              that owns them. Never leave the leads of a current transformer open while current \
              flows through it.",
        prove: "Switch on a known load: the import shown rises by that load.",
        source: "common practice, no source",
        spoils: "no sensor lead is listed",
        example: Example {
            site: examples::LINE,
            edits: &[
                ("  { label = \"S1\", from = \"CT L1\", to = \"U1 CT\" },\n", ""),
                ("  { label = \"S2\", from = \"CT L2\", to = \"U1 CT\" },\n", ""),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if links.sensor_cables.is_empty() {
        sink.add();
    }
}
