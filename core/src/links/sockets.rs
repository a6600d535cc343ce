//! Which sockets hold a cable, which hold two, and which are made for something else.

use super::{Links, bit_of};
use crate::limits;
use crate::place::{CableId, UnitId};
use crate::plan::{CableRecord, Demand, DemandRecord, EndRecord, PortClass};

/// What a cable end finds in its socket.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Use {
    /// It is at no unit.
    Elsewhere,
    /// Nobody says which socket it is in.
    Unknown,
    /// It is the first one there.
    First,
    /// There is one already.
    Full(UnitId, u8),
}

/// Sockets that the profile makes for the link, one bit each; all of them if it names none.
pub(super) fn link_ports(demands: &DemandRecord) -> u8 {
    let Some(mut classes) = demands.bits(Demand::Ports) else { return u8::MAX };
    let mut ports = 0u8;
    for _ in 0..limits::PORTS {
        // From the last socket to the first.
        ports = ports.wrapping_shl(1);
        let class = classes.wrapping_shr(28);
        ports |= u8::from(class == u32::from(PortClass::Link.code()));
        classes = classes.wrapping_shl(4);
    }
    ports
}

impl Links<'_> {
    /// Marks the sockets that a cable is in, and says whether they are all known; `None` for a
    /// cable that joins the very sockets that one before it joins.
    pub(super) fn use_ports(&mut self, id: CableId, cable: &CableRecord) -> Option<bool> {
        let [first, second] = &cable.ends;
        let one = self.use_socket(first);
        // Both ends in one socket is one cable too few, not one too many.
        let two = if first == second { Use::Elsewhere } else { self.use_socket(second) };
        let full = |used: Use| matches!(used, Use::Full(..));
        if (full(one) || full(two) || cable.label_again != 0)
            && !self.use_again(id, cable, [one, two])
        {
            return None;
        }
        Some(one != Use::Unknown && two != Use::Unknown)
    }

    #[allow(clippy::trivially_copy_pass_by_ref, reason = "read in place: a copy costs more")]
    fn use_socket(&mut self, end: &EndRecord) -> Use {
        let Some(unit) = end.unit() else { return Use::Elsewhere };
        let Some(port) = end.port() else { return Use::Unknown };
        let Some(used) = self.ports_used.get_mut(unit.index()) else { return Use::Elsewhere };
        let bit = bit_of(port);
        if *used & bit != 0 {
            return Use::Full(unit, bit);
        }
        *used |= bit;
        Use::First
    }

    /// Marks the sockets that hold another cable already, unless it is this cable, listed again.
    #[inline(never)]
    fn use_again(&mut self, id: CableId, cable: &CableRecord, uses: [Use; 2]) -> bool {
        let all_full = uses.iter().all(|one| matches!(one, Use::Full(..) | Use::Elsewhere));
        if (all_full || cable.label_again != 0) && self.listed_before(id).is_some() {
            return false;
        }
        for one in uses {
            if let Use::Full(unit, bit) = one
                && let Some(twice) = self.ports_twice.get_mut(unit.index())
            {
                *twice |= bit;
                self.crowded.insert(unit);
            }
        }
        true
    }

    /// Whether a cable has an end in a socket that is not made for the link.
    pub(super) fn is_misplaced(&self, cable: &CableRecord) -> bool {
        let misplaced = |end: &EndRecord| {
            end.unit().is_some() && end.port().is_some_and(|port| !self.is_link_port(port))
        };
        let [first, second] = &cable.ends;
        misplaced(first) || misplaced(second)
    }
}
