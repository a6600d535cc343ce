//! Nobody asks on the pair that the packs use among themselves.
use crate::plan::{CableKind, DeviceKind, YesNo};
use crate::rule::prelude::*;
use crate::sets::NodeId;

pub(crate) const RULE: Rule = Rule {
    slug: "monitor-steals-pack-link",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "Another device asks on the pair of the packs",
        says: "{places} joins {related} to the pair that the packs use among themselves",
        why: "While it asks, the packs cannot hear each other. Limits halve for a moment and packs \
             vanish.",
        act: "Give the device a port of its own, or let it only listen.",
        prove: "On the running group: no dip of the limits in an hour with the device joined.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (
                    r#"  { label = "M1""#,
                    "  { label = \"P2\", from = \"pack 2\", to = \"monitor\", kind = \"pack link\" },\n  { label = \"M1\"",
                ),
                (
                    r#"  { name = "meter", address"#,
                    "  { name = \"monitor\", asks = \"yes\" },\n  { name = \"meter\", address",
                ),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for (id, device) in links.plan.devices() {
        let node = NodeId::of_device(id);
        let leads = links.cables_where(
            links.cables_at(node),
            |cable, _| cable.kind() == Some(CableKind::PackLink),
            0,
        );
        for cable in leads {
            match (device.asks(), device.kind()) {
                (Some(YesNo::Yes), _) | (None, Some(DeviceKind::Monitor)) => {
                    sink.add().at(Place::Cable(cable)).near(Place::Device(id));
                }
                (Some(YesNo::No), _) => {}
                (None, _) => {
                    sink.gap(Datum::Asking).at(Place::Device(id));
                }
            }
        }
    }
}
