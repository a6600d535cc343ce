//! The link goes from unit to unit; no more than two cables meet at one point.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-star",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::demands(&[Demand::LinkShape]).whole(&[Datum::CableList, Datum::CableEnds]),
    after: &[RuleId::LinkSelfLoop],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "The link branches",
        says: "Three or more link cables meet at {places}: {related}",
        why: "A branch throws the signal back, and only two ends can carry a terminator. It works \
             with few units or at a low rate, and fails as units are added.",
        act: "Rewire as one line: into a unit by one socket and out by the other, to the next.",
        prove: "By eye, power off: at most two link cables at every point. Then volts on the pair \
               near zero and ohms between its two wires: about 60 at both ends.",
        source: "ISO 11898-2, line topology (read second-hand); what goes wrong: common practice, no source",
        spoils: "the link branches, so it has no two ends",
        example: Example {
            site: examples::LINE,
            edits: &[
                (
                    "to = \"U2 B\", length = \"2 m\" },\n",
                    "to = \"splitter\", length = \"2 m\" },\n  { label = \"C3\", from = \"U3 A\", to = \"splitter\", length = \"2 m\" },\n",
                ),
                (r#"to = "U3 B""#, r#"to = "splitter""#),
            ],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if links.is_doubtful {
        sink.blocked_by(RuleId::PortListedTwice);
        return;
    }
    for node in links.branched {
        let meeting = links.link_cables.and(links.cables_at(node));
        sink.add().at(node.place()).near_cables(meeting);
    }
}

#[cfg(test)]
mod tests {
    use crate::place::{DeviceId, Place};
    use crate::plan::{CableKind, DeviceKind};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, at_device};

    const RULE: RuleId = RuleId::LinkStar;

    #[test]
    fn a_gateway_on_a_splitter_hangs_on_the_line() {
        let through = Trial::line(2)
            .without_cables(|cable| cable == 0)
            .device(DeviceKind::Splitter, None)
            .device(DeviceKind::Gateway, None)
            .cable(CableKind::Link, [at(0, A), at_device(0)])
            .cable(CableKind::Link, [at(1, B), at_device(0)])
            .cable(CableKind::Link, [at_device(0), at_device(1)]);
        assert_eq!(through.check().places(RULE), Vec::<Vec<Place>>::new());
    }

    #[test]
    fn a_third_unit_on_a_splitter_makes_a_star() {
        let answer = Trial::line(3)
            .without_cables(|cable| cable < 2)
            .device(DeviceKind::Splitter, None)
            .cable(CableKind::Link, [at(0, A), at_device(0)])
            .cable(CableKind::Link, [at(1, B), at_device(0)])
            .cable(CableKind::Link, [at(2, B), at_device(0)])
            .check();
        assert_eq!(answer.places(RULE), [[Place::Device(DeviceId(0))]]);
        assert_eq!(answer.broken(), [RULE]);
    }
}
