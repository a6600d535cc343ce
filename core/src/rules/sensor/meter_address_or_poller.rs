//! The meter has the address that is expected, and one asker.
use crate::plan::{CableKind, DeviceKind, YesNo};
use crate::rule::prelude::*;
use crate::sets::NodeId;

pub(crate) const RULE: Rule = Rule {
    slug: "meter-address-or-poller",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::MeterAddressSet,
    text: Text {
        title: "The meter has another address, or a second asker",
        says: "{places} does not fit the energy meter[: address {value} where {wanted} is expected]",
        why: "The meter is lost now and then, or is never found, and the group goes by no meter at \
             all.",
        act: "Give the meter the expected address and let one device ask it.",
        prove: "On the running group the meter is not lost for an hour with everything joined.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[(r#""meter address set" = 5"#, r#""meter address set" = 6"#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let group = links.plan.group;
    let expected = group.declares(Datum::MeterAddressSet).then(|| group.meter_address_set.get());
    let leads = |id| {
        links.cables_where(
            links.cables_at(NodeId::of_device(id)),
            |cable, _| cable.kind() == Some(CableKind::Meter),
            0,
        )
    };
    for (id, device) in links.plan.devices() {
        if device.kind() == Some(DeviceKind::Meter) {
            match (device.address(), expected) {
                (Some(address), Some(expected)) if address != expected => {
                    sink.add()
                        .at(Place::Device(id))
                        .value(Quantity::Address(address))
                        .wanted(Quantity::Address(expected));
                }
                (None, Some(_)) | (Some(_), None) => {
                    sink.gap(Datum::MeterAddressSet).at(Place::Device(id));
                }
                (Some(_), Some(_)) | (None, None) => {}
            }
        } else if device.asks() == Some(YesNo::Yes) {
            let leads = leads(id);
            if !leads.is_empty() {
                sink.add().at(Place::Device(id)).near_cables(leads);
            }
        }
    }
}
