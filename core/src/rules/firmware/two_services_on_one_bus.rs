//! Link and battery link are two pairs.
use crate::plan::{CableKind, DeviceKind};
use crate::rule::prelude::*;
use crate::sets::NodeId;

pub(crate) const RULE: Rule = Rule {
    slug: "two-services-on-one-bus",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "Two services share one pair",
        says: "Two services share the wires at {places}[: {related}]",
        why: "The two use the same identifiers or different speeds, so each destroys the other's \
             messages.",
        act: "Run a pair of its own for each service.",
        prove: "By eye, power off: each cable carries one service from end to end.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::LINE,
            edits: &[(
                r#"{ label = "C2", from = "U2 A", to = "U3 B", length = "2 m" }"#,
                "{ label = \"C2\", from = \"U2 A\", to = \"splitter\", length = \"2 m\" },\n  { label = \"C3\", from = \"splitter\", to = \"U3 B\", length = \"2 m\" },\n  { label = \"M1\", from = \"splitter\", to = \"U1 meter\", kind = \"meter\" }",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    sink.add_cables(links.shared);
    for (id, device) in links.plan.devices() {
        if device.kind() != Some(DeviceKind::Splitter) {
            continue;
        }
        let cables = links.cables_at(NodeId::of_device(id));
        let mut services = 0u8;
        for cable in cables.iter().filter_map(|cable| links.plan.cable(cable)) {
            services |= match cable.kind() {
                Some(CableKind::Link) => 1,
                Some(CableKind::Battery) => 2,
                Some(CableKind::Meter) => 4,
                _ => 0,
            };
        }
        if services.count_ones() > 1 {
            sink.add().at(Place::Device(id)).near_cables(cables);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Outcome;
    use crate::trial::{Trial, at, at_device};

    #[test]
    fn a_joint_of_link_and_battery_cables_carries_two_services() {
        let joint = Trial::line(2).device(DeviceKind::Splitter, None);
        let link = joint.cable(CableKind::Link, [at(1, 0), at_device(0)]);
        assert_eq!(link.check().outcome(RuleId::TwoServicesOnOneBus), Outcome::Met);
        let both = link.cable(CableKind::Battery, [at(0, 2), at_device(0)]);
        assert_eq!(both.check().outcome(RuleId::TwoServicesOnOneBus), Outcome::Broken);
    }
}
