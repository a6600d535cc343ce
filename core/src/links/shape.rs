//! The shape of the link: how many cables meet at every point, and what hangs together.

use super::Links;
use crate::limits;
use crate::plan::{Demand, DeviceKind, Shape, YesNo};
use crate::sets::{CableSet, NodeId, NodeSet};

/// One more cable at a point; there are at most 64.
fn count_one(cables_at: &mut [u8; limits::NODES], node: NodeId) {
    if let Some(count) = cables_at.get_mut(node.index()) {
        *count = count.wrapping_add(1);
    }
}

impl Links<'_> {
    /// Joins the ends of link cables: first finds the devices that only hang on the line, then
    /// counts cables at every point and puts the points together into pieces.
    #[inline(never)]
    pub(super) fn join(&mut self) {
        self.hanging = self.hanging_devices();
        let mut joined = 0u32;
        let mut cables_at = [0u8; limits::NODES];
        let mut next = CableSet(1);
        for cable in self.plan.cables {
            let own = next;
            next = CableSet(next.0.wrapping_shl(1));
            if own.and(self.link_cables).is_empty() {
                continue;
            }
            let Some((a, b)) = cable.nodes() else { continue };
            if a == b {
                self.self_loops.add(own);
                continue;
            }
            if !self.hanging.is_empty() && (self.hanging.contains(a) || self.hanging.contains(b)) {
                self.stubs.add(own);
                continue;
            }
            if self.pieces.join(a, b) {
                joined = joined.wrapping_add(1);
            } else if self.is_second_between(a, b, own) {
                self.doubled.add(own);
                continue;
            } else {
                self.pieces.close(own);
            }
            count_one(&mut cables_at, a);
            count_one(&mut cables_at, b);
        }
        let nodes =
            if self.plan.devices.is_empty() { self.plan.units.len() } else { limits::NODES };
        let mut bit = 1u64;
        for count in cables_at.iter().take(nodes) {
            if *count != 0 {
                self.on_link.0 |= bit;
                if *count > 1 {
                    self.passed.0 |= bit;
                }
                if *count > 2 {
                    self.branched.0 |= bit;
                }
            }
            bit = bit.wrapping_shl(1);
        }
        self.piece_count = self.on_link.len().wrapping_sub(joined);
    }

    /// Whether a cable, a set of one, is the second between its two points. Two units that must be a ring are
    /// joined by two cables, and these are its two sides.
    #[inline(never)]
    fn is_second_between(&self, a: NodeId, b: NodeId, cable: CableSet) -> bool {
        let demands = self.plan.demands;
        let is_ring_of_two = self.units.len() == 2
            && demands.bits(Demand::LinkShape) == Some(u32::from(Shape::Ring.code()));
        let earlier = self.link_cables.and(CableSet(cable.0.wrapping_sub(1)));
        let same =
            |other| self.nodes(other).is_some_and(|(c, d)| c == a && d == b || c == b && d == a);
        (!is_ring_of_two || demands.doubled_pairs() == Some(YesNo::Yes)) && earlier.iter().any(same)
    }

    /// Devices with one link cable and no terminator: a gateway on a side branch does not end the
    /// line. Splitters and repeaters are made to be passed through, so they stay on it.
    fn hanging_devices(&self) -> NodeSet {
        let mut devices = NodeSet::EMPTY;
        for (id, device) in self.plan.devices() {
            if !matches!(device.kind(), Some(DeviceKind::Splitter | DeviceKind::Repeater)) {
                devices.insert(NodeId::of_device(id));
            }
        }
        if devices.is_empty() {
            return devices;
        }
        let mut once = NodeSet::EMPTY;
        let mut twice = NodeSet::EMPTY;
        for id in self.link_cables {
            let Some((a, b)) = self.nodes(id) else { continue };
            let (a, b) = (NodeSet::only(a), NodeSet::only(b));
            twice = twice.or(once.or(a).and(b)).or(once.and(a));
            once = once.or(a).or(b);
        }
        devices.and(once).without(twice).without(self.terminated).without(self.automatic)
    }
}
