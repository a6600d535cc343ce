//! One link cable joins each pair of neighbours.
use crate::plan::YesNo;
use crate::rule::prelude::*;

pub(crate) const RULE: Rule = Rule {
    slug: "link-doubled-pair",
    severity: Severity::Degraded,
    asks: false,
    needs: Needs::NOTHING
        .whole(&[Datum::CableList, Datum::CableEnds])
        .also_demands(&[Demand::DoubledPairs])
        .doubted_by(&[RuleId::NetworkGearInLink]),
    after: &[RuleId::LinkSelfLoop],
    check: Check::Link(check),
    shows: Datum::CableEnds,
    text: Text {
        title: "Two link cables join the same two units",
        says: "Two link cables join the same two points: {places}",
        why: "Both sockets are used towards one neighbour, so the next unit has nowhere to plug \
             in, or the pair becomes a small ring.",
        act: "Move one of the two cables on to the next unit.",
        prove: "By eye, power off: each pair of neighbours is joined by one link cable.",
        source: "common practice, no source",
        spoils: "two link cables join the same two points",
        example: Example {
            site: examples::LINE,
            edits: &[(r#"from = "U2 A", to = "U3 B""#, r#"from = "U2 A", to = "U1 B""#)],
            with: &[RuleId::UnitNotOnLink],
        },
    },
};

fn check(links: &Links<'_>, sink: &mut Sink<'_, '_>) {
    if links.plan.demands.doubled_pairs() == Some(YesNo::Yes) {
        return;
    }
    if links.is_doubtful {
        sink.blocked_by(RuleId::PortListedTwice);
        return;
    }
    for second in links.doubled {
        let Some((a, b)) = links.nodes(second) else { continue };
        let between = links.cables_at(a).and(links.cables_at(b)).and(links.link_cables);
        let first = between.without(links.doubled);
        sink.add().at_cables(first).at(Place::Cable(second));
    }
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::{Demand, Shape, YesNo};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, cable};

    const RULE: RuleId = RuleId::LinkDoubledPair;

    #[test]
    fn a_ring_of_two_has_two_sides() {
        let two = Trial::line(2).link((0, B), (1, A), 2000);
        assert_eq!(two.check().places(RULE), [[cable(0), cable(4)]]);
        let ring = two.demand(Demand::LinkShape, Shape::Ring.code().into());
        assert_eq!(ring.check().outcome(RULE), Outcome::Met);
        assert_eq!(ring.check().outcome(RuleId::LinkRingOpen), Outcome::Met);
    }

    #[test]
    fn a_site_may_ask_for_two() {
        let answer = Trial::line(2)
            .link((0, B), (1, A), 2000)
            .demand(Demand::DoubledPairs, YesNo::Yes.code().into())
            .check();
        assert_eq!(answer.broken(), []);
    }
}
