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
    if links.is_doubtful {
        sink.blocked_by(RuleId::PortListedTwice);
        return;
    }
    links.for_each_ring(|ring| {
        let remove = links.ring_cables_to_remove(ring);
        sink.add().at_cables(remove).near_cables(ring.without(remove));
    });
}

#[cfg(test)]
mod tests {
    use crate::finding::Outcome;
    use crate::plan::CableKind::Link;
    use crate::plan::Terminator::{Off, On};
    use crate::plan::{Demand, DeviceKind};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, at, at_device, cable};

    const RULE: RuleId = RuleId::LinkRingClosed;

    #[test]
    fn the_longest_cable_goes_where_terminators_do_not_tell() {
        let ring = Trial::line(4).terminator(0, Off).terminator(3, Off);
        let answer = ring.clone().link((3, A), (0, B), 9000).check();
        assert_eq!(answer.places(RULE), [[cable(6)]]);
        let answer = ring.link((3, A), (0, B), 2000).check();
        assert_eq!(answer.places(RULE)[0].len(), 4, "nobody can tell");
    }

    #[test]
    fn the_cable_between_two_terminators_goes_however_short_it_is() {
        // Unit 4 is not terminated, so its two cables join one terminated unit at most.
        let ring = Trial::line(4).terminator(3, Off).terminator(1, On);
        let ring = ring.link((3, A), (0, B), 9000).length(0, 500);
        assert_eq!(ring.check().places(RULE), [[cable(0)]]);
    }

    #[test]
    fn the_bridge_between_two_rings_is_on_neither() {
        // Two triangles of splitters, joined by one cable.
        let mut trial = Trial::line(2);
        for _ in 0..6 {
            trial = trial.device(DeviceKind::Splitter, None);
        }
        for (a, b) in [(0, 1), (1, 2), (2, 0), (3, 4), (4, 5), (5, 3), (2, 3)] {
            trial = trial.cable(Link, [at_device(a), at_device(b)]);
        }
        let answer = trial.check();
        let first = [cable(4), cable(5), cable(6)];
        let second = [cable(7), cable(8), cable(9)];
        assert_eq!(answer.places(RULE), [first, second]);
    }

    #[test]
    fn rings_that_share_a_point_are_named_together() {
        let mut trial = Trial::line(2);
        for _ in 0..5 {
            trial = trial.device(DeviceKind::Splitter, None);
        }
        for (a, b) in [(0, 1), (1, 2), (2, 0), (2, 3), (3, 4), (4, 2)] {
            trial = trial.cable(Link, [at_device(a), at_device(b)]);
        }
        assert_eq!(trial.check().places(RULE)[0].len(), 6);
    }

    #[test]
    fn where_a_ring_is_demanded_it_is_not_checked() {
        let ring = crate::plan::Shape::Ring.code();
        let answer = Trial::line(3).demand(Demand::LinkShape, ring.into()).check();
        assert_eq!(answer.outcome(RULE), Outcome::Undemanded(Demand::LinkShape));
    }

    #[test]
    fn a_link_cable_in_a_full_socket_leaves_the_shape_open() {
        let answer = Trial::line(4).move_end(1, 1, at(2, A)).check();
        assert_eq!(answer.outcome(RULE), Outcome::Blocked(RuleId::PortListedTwice));
        assert_eq!(answer.outcome(RuleId::LinkBroken), Outcome::Blocked(RuleId::PortListedTwice));
        assert_eq!(answer.broken(), [RuleId::PortListedTwice]);
    }
}
