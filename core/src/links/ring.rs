//! The cables of a ring, and which of them to take out.

use super::Links;
use crate::limits;
use crate::place::CableId;
use crate::sets::{CableSet, NodeId};
use crate::units::Millimetres;

/// For every point: how many of the cables are at it, and their numbers combined by exclusive or,
/// so that the number of the last one left can be read off.
struct Incidence {
    count: [u8; limits::NODES],
    combined: [u8; limits::NODES],
}

impl Incidence {
    fn toggle(&mut self, node: NodeId, cable: CableId, step: fn(u8, u8) -> u8) {
        if let (Some(count), Some(combined)) =
            (self.count.get_mut(node.index()), self.combined.get_mut(node.index()))
        {
            *count = step(*count, 1);
            *combined ^= cable.0;
        }
    }

    fn last_cable(&self, node: NodeId) -> Option<CableId> {
        (self.count.get(node.index()) == Some(&1))
            .then(|| self.combined.get(node.index()).copied().map(CableId))?
    }
}

impl Links<'_> {
    /// Cables that lie on a ring in the piece: what is left when every point with one cable, and
    /// that cable, is taken away again and again.
    pub fn ring_cables(&self, piece: NodeId) -> CableSet {
        let mut left = CableSet::EMPTY;
        let mut incidence = Incidence { count: [0; limits::NODES], combined: [0; limits::NODES] };
        for id in self.link_cables.without(self.self_loops).without(self.stubs) {
            let Some((a, b)) = self.nodes(id) else { continue };
            if self.pieces.piece_of(a) == piece {
                left.insert(id);
                incidence.toggle(a, id, u8::saturating_add);
                incidence.toggle(b, id, u8::saturating_add);
            }
        }
        for start in self.on_link {
            let mut at = start;
            // Follows a tail inwards from its tip; every step takes a cable away for good.
            while let Some(cable) = incidence.last_cable(at) {
                let Some((a, b)) = self.nodes(cable) else { break };
                left = left.without(CableSet::only(cable));
                incidence.toggle(a, cable, u8::saturating_sub);
                incidence.toggle(b, cable, u8::saturating_sub);
                at = if at == a { b } else { a };
            }
        }
        left
    }

    /// The cables of the ring that a person would take out: the one that joins two terminated
    /// points, else the longest, else nobody can tell and all are named.
    pub fn ring_cables_to_remove(&self, ring: CableSet) -> CableSet {
        let points = ring
            .iter()
            .filter_map(|id| self.nodes(id))
            .flat_map(|(a, b)| [a, b])
            .collect::<crate::sets::NodeSet>();
        if points.len() != ring.len() {
            // Several rings hang together; taking out one cable is not the cure.
            return ring;
        }
        let between_terminators: CableSet = ring
            .iter()
            .filter(|id| {
                self.nodes(*id).is_some_and(|(a, b)| {
                    self.terminated.contains(a) && self.terminated.contains(b)
                })
            })
            .collect();
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
