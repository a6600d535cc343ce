//! Not more than one unit leads.
use super::led_together;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "coordinator-two",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::demands(&[Demand::Coordinators]).some(&[Datum::Role]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::Role,
    text: Text {
        title: "More than one unit is set as coordinator",
        says: "More than one unit leads: {places}",
        why: "Each coordinator makes its own rhythm. Their outputs can be joined out of step, which \
              is a short between them, and units and conductors can be destroyed.",
        act: "Keep every output breaker open and the power off; leave one of these units as \
              coordinator and set the others as followers.",
        prove: "Read the role back on each of these units before any output breaker is closed: \
                one says coordinator, all others follower.",
        source: "common practice, no source",
        spoils: "more than one unit leads",
        example: Example {
            site: examples::LINE,
            edits: &[("role = \"follower\", address = 3", "role = \"coordinator\", address = 3")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for units in led_together(links, sink) {
        let leading = units.and(links.coordinators);
        if leading.is_plural() {
            sink.add().at_units(leading);
        }
    }
}
