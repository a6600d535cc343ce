//! Where a ring is demanded, the link is closed.
use crate::plan::Shape;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-ring-open",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::value(Demand::LinkShape, Shape::Ring.code())
        .whole(&[Datum::CableList, Datum::CableEnds]),
    after: &[RuleId::UnitNotOnLink, RuleId::LinkStar],
    check: Check::Link(check),
    shows: Datum::UnitList,
    text: Text {
        title: "The ring is open",
        says: "The site demands a ring and the link ends at {places}",
        why: "An open ring works until one more cable fails, and some units refuse to join unless \
              both of their link sockets are used.",
        act: "Fit the return cable between the two ends.",
        prove: "By eye, power off: two link cables at every unit, no end left over.",
        source: "common practice, no source",
        spoils: "",
        example: Example {
            site: examples::RING,
            edits: &[(
                "  { label = \"C3\", from = \"U3 A\", to = \"U1 B\", length = \"5 m\" },\n",
                "",
            )],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    let ends = links.ends();
    if !ends.is_empty() {
        sink.add().at_nodes(ends);
    }
}
