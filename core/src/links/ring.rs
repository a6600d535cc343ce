//! The cables of rings, and which of them to take out.

use super::{Links, Pieces};
use crate::limits;
use crate::place::CableId;
use crate::sets::{CableSet, NodeId, NodeSet};
use crate::units::Millimetres;

/// A tree of cables, for taking it apart from its tips.
struct Tree([Point; limits::NODES]);

/// What is left at a point of the tree.
#[derive(Clone, Copy)]
struct Point {
    /// The ring-closing cables that start in the part already taken off here. One that starts and
    /// ends there is combined with itself and gone.
    closing: CableSet,
    /// How many cables there are.
    count: u8,
    /// Their numbers combined by exclusive or, so that the last one left can be read off.
    combined: u8,
}

impl Tree {
    /// Adds a cable, or takes it away: the step is 1 or 255.
    #[inline(never)]
    fn toggle(&mut self, node: NodeId, cable: CableId, step: u8) {
        if let Some(point) = self.0.get_mut(node.index()) {
            point.count = point.count.wrapping_add(step);
            point.combined ^= cable.0;
        }
    }

    fn last_cable(&self, node: NodeId) -> Option<CableId> {
        self.0.get(node.index()).filter(|point| point.count == 1).map(|one| CableId(one.combined))
    }

    /// Combines the closing cables at a point with these.
    #[inline(never)]
    fn combine(&mut self, node: NodeId, cables: CableSet) {
        if let Some(point) = self.0.get_mut(node.index()) {
            point.closing.0 ^= cables.0;
        }
    }

    fn closing(&self, node: NodeId) -> CableSet {
        self.0.get(node.index()).map_or(CableSet::EMPTY, |point| point.closing)
    }
}

impl Links<'_> {
    /// Cables that lie on a ring: taking one out leaves its two points joined another way.
    ///
    /// The cables that closed no ring form a tree. It is taken apart from its tips; a cable of the
    /// tree lies on a ring if a closing cable leads from the part behind it to the rest.
    #[inline(never)]
    pub fn ring_cables(&self) -> CableSet {
        let closing = self.pieces.closing();
        let mut on_ring = closing;
        if closing.is_empty() {
            return on_ring;
        }
        let mut tree =
            Tree([Point { closing: CableSet::EMPTY, count: 0, combined: 0 }; limits::NODES]);
        for id in self.line_cables() {
            let Some((a, b)) = self.nodes(id) else { continue };
            if closing.contains(id) {
                let cable = CableSet::only(id);
                tree.combine(a, cable);
                tree.combine(b, cable);
            } else {
                tree.toggle(a, id, 1);
                tree.toggle(b, id, 1);
            }
        }
        for start in self.on_link {
            let mut at = start;
            // Follows the tree inwards from a tip; every step takes a cable away for good.
            while let Some(cable) = tree.last_cable(at) {
                let Some((a, b)) = self.nodes(cable) else { break };
                let inner = if at == a { b } else { a };
                let leading_out = tree.closing(at);
                if !leading_out.is_empty() {
                    on_ring.insert(cable);
                }
                tree.combine(inner, leading_out);
                tree.combine(at, leading_out);
                tree.toggle(a, cable, u8::MAX);
                tree.toggle(b, cable, u8::MAX);
                at = inner;
            }
        }
        on_ring
    }

    /// Calls for each ring with its cables; rings that share a point are one.
    pub fn for_each_ring(&self, mut call: impl FnMut(CableSet)) {
        if self.pieces.closing().is_empty() {
            return;
        }
        let cables = self.ring_cables();
        let mut rings = Pieces::new();
        let mut points = NodeSet::EMPTY;
        for id in cables {
            let Some((a, b)) = self.nodes(id) else { continue };
            points.insert(a);
            rings.join(a, b);
        }
        for ring in rings.of(points) {
            let mut in_ring = CableSet::EMPTY;
            for id in cables {
                if self.nodes(id).is_some_and(|(point, _)| rings.piece_of(point) == ring) {
                    in_ring.insert(id);
                }
            }
            call(in_ring);
        }
    }

    /// The cables of the ring that a person would take out: the one that joins two terminated
    /// points, else the longest, else nobody can tell and all are named.
    #[inline(never)]
    pub fn ring_cables_to_remove(&self, ring: CableSet) -> CableSet {
        let mut points = NodeSet::EMPTY;
        let mut between_terminators = CableSet::EMPTY;
        for id in ring {
            let Some((a, b)) = self.nodes(id) else { continue };
            points.insert(a);
            points.insert(b);
            if self.terminated.contains(a) && self.terminated.contains(b) {
                between_terminators.insert(id);
            }
        }
        if points.len() != ring.len() {
            // Several rings hang together; more than one cable has to go.
            return ring;
        }
        if between_terminators.single().is_some() {
            return between_terminators;
        }
        self.longest(ring).unwrap_or(ring)
    }

    /// The longest cable, if all lengths are known and one is longer than all others.
    fn longest(&self, cables: CableSet) -> Option<CableSet> {
        let mut longest = Millimetres(0);
        let mut holders = CableSet::EMPTY;
        for id in cables {
            let length = self.plan.cable(id)?.length()?;
            if length > longest {
                longest = length;
                holders = CableSet::EMPTY;
            }
            if length == longest {
                holders.insert(id);
            }
        }
        holders.single().map(CableSet::only)
    }
}
