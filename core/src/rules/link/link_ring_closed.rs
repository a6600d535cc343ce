//! Where a line is demanded, the link is not a ring.
use crate::plan::Shape;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-ring-closed",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::value(Demand::LinkShape, Shape::Line.code())
        .whole(&[Datum::CableList, Datum::CableEnds]),
    after: &[RuleId::LinkSelfLoop],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "The link is closed to a ring",
        says: "The link is a ring where a line is demanded; take out {either}[; the ring goes on \
               through {related}]",
        why: "A ring has no ends, so there is no right place for the two terminators, and every \
              message arrives by two ways. It may seem to work until the load on the link grows.",
        act: "Take out the one cable that closes the ring; where several are named, look which of them \
              is not needed.",
        prove: "Power off and volts on the pair near zero: unplug any other link cable and measure \
                ohms between the two wires on both sides of it. About 120 on each side once the \
                ring is open; about 60 while it stands.",
        source: "ISO 11898-2, line with 120 ohm at each end (read second-hand); readings computed",
        spoils: "the link is a ring, so it has no ends and no middle",
        example: Example {
            site: examples::LINE,
            edits: &[(
                "  { label = \"B1\"",
                "  { label = \"C3\", from = \"U3 A\", to = \"U1 B\", length = \"5 m\" },\n  { label = \"B1\"",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if links.is_doubtful() {
        sink.blocked_by(RuleId::PortListedTwice);
        return;
    }
    links.for_each_ring(|ring| {
        let remove = links.ring_cables_to_remove(ring);
        sink.add().at_cables(remove).near_cables(ring.without(remove));
    });
}
