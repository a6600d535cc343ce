//! Which points of the line hang together: disjoint sets with path halving, no recursion.

use crate::limits;
use crate::sets::{CableSet, NodeId, NodeSet};

/// The pieces that a link consists of.
pub struct Pieces {
    parent: [u8; limits::NODES],
    closing: CableSet,
}

/// Every point stands for itself.
const ALONE: [u8; limits::NODES] = {
    let mut parents = [0; limits::NODES];
    let mut rest: &mut [u8] = &mut parents;
    let mut next = 0u8;
    while let [first, tail @ ..] = rest {
        *first = next;
        next = next.saturating_add(1);
        rest = tail;
    }
    parents
};

impl Pieces {
    /// Every point is a piece of its own.
    pub(crate) const fn new() -> Self {
        Self { parent: ALONE, closing: CableSet::EMPTY }
    }

    /// Puts the pieces of two points together; says whether they were apart before.
    pub(crate) fn join(&mut self, a: NodeId, b: NodeId) -> bool {
        let (a, b) = (self.halve(a), self.halve(b));
        if a == b {
            return false;
        }
        if let Some(parent) = self.parent.get_mut(a.max(b).index()) {
            // The lowest point stands for its piece, whatever the order of cables.
            *parent = a.min(b).0;
        }
        true
    }

    /// Notes a cable that closes a ring, between points that already hang together.
    pub(super) const fn close(&mut self, cable: CableSet) {
        self.closing = self.closing.or(cable);
    }

    /// The point that stands for the piece; shortens the way for the next question.
    #[inline(always)]
    fn halve(&mut self, node: NodeId) -> NodeId {
        let mut at = node;
        loop {
            let up = self.up(at);
            if up == at {
                return at;
            }
            let above = self.up(up);
            if let Some(parent) = self.parent.get_mut(at.index()) {
                *parent = above.0;
            }
            at = above;
        }
    }

    fn up(&self, node: NodeId) -> NodeId {
        self.parent.get(node.index()).map_or(node, |parent| NodeId(*parent))
    }

    /// The point that stands for the piece in which this point is.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub fn piece_of(&self, node: NodeId) -> NodeId {
        let mut at = node;
        loop {
            let up = self.up(at);
            if up == at {
                return at;
            }
            at = up;
        }
    }

    /// The points that stand for the pieces of the given points: as many as there are pieces.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub fn of(&self, nodes: NodeSet) -> NodeSet {
        let mut pieces = NodeSet::EMPTY;
        for node in nodes {
            pieces.insert(self.piece_of(node));
        }
        pieces
    }

    /// Those of the given points that are in the piece.
    pub fn members(&self, piece: NodeId, nodes: NodeSet) -> NodeSet {
        let mut members = NodeSet::EMPTY;
        for node in nodes {
            if self.piece_of(node) == piece {
                members.insert(node);
            }
        }
        members
    }

    /// Cables that joined what already hung together; which of a ring's cables it is depends on
    /// the order of cables, so this says only that there is a ring.
    pub const fn closing(&self) -> CableSet {
        self.closing
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lowest_point_stands_for_its_piece() {
        let mut pieces = Pieces::new();
        assert!(pieces.join(NodeId(5), NodeId(9)));
        assert!(pieces.join(NodeId(9), NodeId(2)));
        assert_eq!(pieces.piece_of(NodeId(9)), NodeId(2));
        assert!(!pieces.join(NodeId(2), NodeId(5)));
        assert!(pieces.closing().is_empty());
        pieces.close(CableSet(4));
        assert_eq!(pieces.closing(), CableSet(4));
        let nodes = [2, 5, 9, 40].map(NodeId).into_iter().collect();
        assert_eq!(pieces.of(nodes).len(), 2);
        assert_eq!(pieces.members(NodeId(2), nodes).len(), 3);
    }
}
