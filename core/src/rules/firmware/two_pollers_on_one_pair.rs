//! One device asks on a pair that allows one asker.
use crate::plan::{CableKind, Medium, YesNo};
use crate::rule::prelude::*;
use crate::sets::NodeId;

pub(crate) const RULE: Rule = Rule {
    slug: "two-pollers-on-one-pair",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING
        .whole(&[Datum::CableList])
        .some(&[Datum::Asking])
        .also_demands(&[Demand::Medium]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "Two devices ask on one pair",
        says: "{places} asks on a pair on which a unit asks already: {related}",
        why: "Two askers talk over each other. Answers go to the wrong one, values vanish after \
             minutes, and a unit can trip.",
        act: "Give the second asker a port of its own, let it only listen, or fit a splitter that \
             answers from what it has read.",
        prove: "On the running group: with the second asker joined the error counters stay still for \
               an hour.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::DETAIL,
            edits: &[
                (
                    r#"  { label = "P1""#,
                    "  { label = \"B2\", from = \"gateway\", to = \"pack 1\", kind = \"battery\" },\n  { label = \"P1\"",
                ),
                (
                    r#"name = "gateway", terminator = "off", asks = "no""#,
                    r#"name = "gateway", terminator = "off", asks = "yes""#,
                ),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let on_rs485 = links.plan.demands.medium() == Some(Medium::Rs485);
    for (id, device) in links.plan.devices() {
        if device.asks() != Some(YesNo::Yes) {
            continue;
        }
        let pairs = links.cables_where(
            links.cables_at(NodeId::of_device(id)),
            |cable, on_rs485| match cable.kind() {
                Some(CableKind::Battery) => true,
                Some(CableKind::Link) => on_rs485 != 0,
                _ => false,
            },
            on_rs485.into(),
        );
        if !pairs.is_empty() {
            sink.add().at(Place::Device(id)).near_cables(pairs);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Outcome;
    use crate::plan::DeviceKind;
    use crate::trial::{Trial, at, at_device};

    #[test]
    fn a_device_that_asks_disturbs_a_serial_link_and_no_other() {
        let asking = |medium: Medium| {
            let site = Trial::line(2).demand(Demand::Medium, medium.code().into());
            let site = site.device(DeviceKind::Gateway, None).asking(0);
            let site = site.cable(CableKind::Link, [at(1, 0), at_device(0)]);
            site.check().outcome(RuleId::TwoPollersOnOnePair)
        };
        assert_eq!(asking(Medium::Rs485), Outcome::Broken);
        assert_eq!(asking(Medium::Can), Outcome::Met);
    }
}
