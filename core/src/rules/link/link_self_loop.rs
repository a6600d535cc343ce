//! A link cable joins two different units.
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-self-loop",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList, Datum::CableEnds]),
    after: &[],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "A link cable goes back to the unit it came from",
        says: "Both ends of link cable {places} are listed at {related}",
        why: "A unit that is looped to itself sees only itself and loses its neighbours. Mostly \
              this is a slip in the list.",
        act: "Look where the far end of the cable really is and correct the list.",
        prove: "By eye, power off: the two ends of the cable are at two different units.",
        source: "common practice, no source",
        spoils: "a link cable is listed from a unit to itself, so the shape of the link is unknown",
        example: Example {
            site: examples::LINE,
            edits: &[(r#"from = "U2 A", to = "U3 B""#, r#"from = "U3 A", to = "U3 B""#)],
            with: &[],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    for cable in links.self_loops {
        let Some((node, _)) = links.nodes(cable) else { continue };
        sink.add().at(Place::Cable(cable)).near(node.place());
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::RuleId;
    use crate::trial::{A, Trial, at, cable};

    #[test]
    fn both_ends_in_one_socket_are_one_cable() {
        let answer = Trial::line(3).move_end(1, 1, at(1, A)).check();
        assert_eq!(answer.places(RuleId::LinkSelfLoop), [[cable(1)]]);
        assert_eq!(answer.broken(), [RuleId::LinkSelfLoop]);
    }
}
