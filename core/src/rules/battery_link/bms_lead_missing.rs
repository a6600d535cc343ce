//! The group has its battery link.
use super::{leads_to_units, needed_at_every_unit};
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bms-lead-missing",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::demands(&[Demand::BatteryLinkOwner]).whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::UnitList,
    text: Text {
        title: "The battery link is missing",
        says: "No data cable to the battery is listed[ at {places}]",
        why: "Without the battery's own values a unit works from volts alone or stops after about a \
              minute, and the battery's request to stop charging reaches nobody.",
        act: "Run the data cable from the lead pack to the battery socket of the unit that owns \
              the battery link.",
        prove: "By eye, cold: follow the cable from the lead pack to the battery socket of the unit \
                that owns it. On the running group that unit shows the battery's own volts and \
                charge.",
        source: "common practice, no source",
        spoils: "no battery link is listed",
        example: Example {
            site: examples::LINE,
            edits: &[("  { label = \"B1\", from = \"pack 1 data\", to = \"U1 battery\" },\n", "")],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if needed_at_every_unit(links) {
        let unserved = links.units.without(links.battery_units);
        if !unserved.is_empty() {
            sink.add().at_units(unserved);
        }
    } else if leads_to_units(links).is_empty() {
        sink.add();
    }
}
