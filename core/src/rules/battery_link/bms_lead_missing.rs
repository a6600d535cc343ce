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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pack_that_only_a_logger_hears_has_no_link_to_a_unit() {
        use crate::plan::{CableKind, DeviceKind, EndKind, EndRecord};
        use crate::trial::{Trial, at_device};
        let pack = EndRecord { kind: EndKind::Pack.code(), index: 0, port: EndRecord::NO_PORT };
        let bare = Trial::line(2).without_cables(|index| index == 1);
        let heard = |kind| {
            let site = bare.clone().device(kind, None);
            site.cable(CableKind::Battery, [pack, at_device(0)]).check().broken()
        };
        assert!(heard(DeviceKind::Gateway).contains(&RuleId::BmsLeadMissing));
        assert!(!heard(DeviceKind::Splitter).contains(&RuleId::BmsLeadMissing));
    }
}
