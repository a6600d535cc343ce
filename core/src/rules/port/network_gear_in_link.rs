//! Neither link nor battery link goes through computer network equipment.
use crate::plan::CableKind;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "network-gear-in-link",
    severity: Severity::Danger,
    asks: false,
    needs: Needs::NOTHING,
    after: &[],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "A data cable goes into computer network equipment",
        says: "A data cable goes into {related}, which is computer network equipment: {places}",
        why: "The sockets fit and nothing else does: levels and pins differ, and a powered socket \
             puts tens of volts on the pair. The link does not work, and sockets on both sides \
             can be damaged.",
        act: "Keep the power off. Take the network equipment out and run a cable of its own from \
             unit to unit. Have the sockets that were joined to it looked at before they are \
             used.",
        prove: "By eye, cold: the cable goes from unit to unit and nowhere else. Power off and volts \
               on the pair near zero, then ohms between its two wires at each unit that was joined: \
               the same at all of them.",
        source: "powered sockets: IEEE 802.3af, about 48 V (from memory); the rest: common practice, no \
                 source",
        spoils: "network equipment stands in the link",
        example: Example {
            site: examples::LINE,
            edits: &[(
                r#"{ label = "C2", from = "U2 A", to = "U3 B", length = "2 m" }"#,
                "{ label = \"C2\", from = \"U2 A\", to = \"router\", length = \"2 m\", kind = \"link\" },\n  { label = \"C3\", from = \"router\", to = \"U3 B\", length = \"2 m\", kind = \"link\" }",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    // A cable of which nobody knows where it goes may go there.
    for datum in [Datum::CableEnds, Datum::BatteryLeadEnds] {
        if !links.known.whole.has(datum) {
            sink.gap(datum);
        }
    }
    // A line that is lost may be such a cable.
    if !links.known.whole.contains(Datum::CableList) {
        sink.open(Datum::CableList);
    }
    for gear in links.network_gear {
        let leads = links.cables_where(
            links.cables_at(gear),
            |cable, _| matches!(cable.kind(), Some(CableKind::Link | CableKind::Battery)),
            0,
        );
        if !leads.is_empty() {
            sink.add().at_cables(leads).near(gear.place());
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{CableKind, DeviceKind};
    use crate::rules::RuleId;
    use crate::trial::{A, Trial, at, at_device, cable};

    const RULE: RuleId = RuleId::NetworkGearInLink;

    #[test]
    fn a_logger_cable_to_a_router_is_what_it_is_for() {
        let site = Trial::line(2).device(DeviceKind::NetworkGear, None);
        let answer = site.clone().cable(CableKind::Service, [at(0, 5), at_device(0)]).check();
        assert_eq!(answer.outcome(RULE), Outcome::Met);
        let answer = site.cable(CableKind::Battery, [at(1, A), at_device(0)]).check();
        assert_eq!(answer.places(RULE), [[cable(4)]]);
    }
}
