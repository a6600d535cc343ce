//! One unit has the battery link.
use super::needed_at_every_unit;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "bms-lead-on-two-units",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::BatteryLinkOwner])
        .whole(&[Datum::CableList])
        .doubted_by(&[RuleId::UnitNameUnclear]),
    after: &[RuleId::BmsLeadMissing],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "Two units have a battery link",
        says: "Battery links[ {related}] go to more than one unit: {places}",
        why: "Both units ask the battery and may ask for different things: one to switch on, the \
              other off. Their answers collide.",
        act: "Leave the battery link at the unit that owns it and take the other out.",
        prove: "By eye, cold: one data cable goes from the battery to one unit.",
        source: "common practice, no source",
        spoils: "more than one unit has a battery link",
        example: Example {
            site: examples::DETAIL,
            edits: &[(
                r#"  { label = "P1""#,
                "  { label = \"B2\", from = \"pack 1 data\", to = \"U2 battery\" },\n  { label = \"P1\"",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if needed_at_every_unit(links) {
        sink.undemanded(Demand::BatteryLinkOwner);
    } else if links.battery_units.is_plural() {
        sink.add().at_units(links.battery_units).near_cables(links.battery_to_units);
    }
}
