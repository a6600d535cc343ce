//! All units hang on one link.
use crate::rule::prelude::*;
use crate::sets::NodeId;

pub(crate) const RULE: Rule = Rule {
    slug: "link-broken",
    severity: Severity::NoStart,
    asks: false,
    needs: Needs::NOTHING.whole(&[Datum::CableList, Datum::CableEnds]),
    after: &[RuleId::LinkSelfLoop],
    check: Check::Link(check),
    shows: Datum::Socket,
    text: Text {
        title: "The link falls into pieces",
        says: "The link falls into {value} pieces; the gap is at {places}",
        why: "Units on one side of the gap cannot hear those on the other, so the group does not \
              start, or each piece takes itself for the whole.",
        act: "Fit the missing link cable across the gap.",
        prove: "Power off and volts on the pair near zero, then ohms between the two wires of the \
                pair: the same reading, about 60, at both ends and in the middle. Each piece by \
                itself reads about 120.",
        source: "ISO 11898-2, 120 ohm at each end of the line (read second-hand)",
        spoils: "the line is broken, so its ends and its middle are unknown",
        example: Example {
            site: examples::LONG_LINE,
            edits: &[(
                "  { label = \"C2\", from = \"U2 A\", to = \"U3 B\", length = \"2 m\" },\n",
                "",
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
    if links.piece_count < 2 {
        return;
    }
    let pieces = links.pieces.of(links.on_link);
    let count = u16::try_from(pieces.len()).unwrap_or(u16::MAX);
    let finding = sink.add().value(Quantity::Pieces(count));
    let mut facing = NodeSet::EMPTY;
    for piece in pieces {
        facing = facing.or(facing_the_gap(links, piece));
    }
    for node in facing {
        finding.at(place_at(links, node));
    }
    finding.near_cables(links.link_cables.and(links.cables_at_any(facing)));
}

/// The ends of a piece that the missing cable would join: those without a terminator, if that
/// tells them apart; for a ring, which has no end, the point that stands for it.
fn facing_the_gap(links: &Links<'_>, piece: NodeId) -> NodeSet {
    let ends = links.pieces.members(piece, links.ends());
    let open = ends.without(links.terminated);
    if !open.is_empty() {
        open
    } else if ends.is_empty() {
        NodeSet::only(piece)
    } else {
        ends
    }
}

fn place_at(links: &Links<'_>, node: NodeId) -> Place {
    let Some(unit) = node.unit() else { return node.place() };
    links.free_link_port(unit).map_or(Place::Unit(unit), |port| Place::Port(unit, port))
}

#[cfg(test)]
mod tests {
    use crate::place::{Place, PortId, UnitId};
    use crate::rules::RuleId;
    use crate::trial::{A, B, Trial, cable, unit};

    fn port(index: u8, port: u8) -> Place {
        Place::Port(UnitId(index), PortId(port))
    }

    #[test]
    fn the_free_sockets_on_both_sides_of_every_gap_are_named() {
        let answer = Trial::line(6).without_cables(|cable| cable == 1 || cable == 3).check();
        let gap = [port(1, A), port(2, B), port(3, A), port(4, B)];
        assert_eq!(answer.places(RuleId::LinkBroken), [gap]);
        assert_eq!(answer.related(RuleId::LinkBroken), [[cable(0), cable(1), cable(2)]]);
        assert_eq!(answer.broken(), [RuleId::LinkBroken]);
    }

    #[test]
    fn where_no_terminator_tells_the_ends_apart_all_are_named() {
        use crate::plan::Terminator::Off;
        let answer = Trial::line(4)
            .without_cables(|cable| cable == 1)
            .terminator(0, Off)
            .terminator(3, Off)
            .check();
        assert_eq!(answer.places(RuleId::LinkBroken)[0].len(), 4);
    }

    #[test]
    fn a_piece_that_is_a_ring_is_named_by_its_first_unit() {
        let answer = Trial::line(5)
            .without_cables(|cable| cable == 2)
            .link((2, A), (0, B), 2000)
            .without_cables(|cable| cable == 0)
            .link((0, A), (1, B), 2000)
            .check();
        assert_eq!(answer.places(RuleId::LinkBroken), [[unit(0), port(3, B)]]);
    }
}
