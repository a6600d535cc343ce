//! Which sockets hold a cable, which hold two, and which are made for something else.

use super::{Links, bit_of};
use crate::limits;
use crate::place::CableId;
use crate::plan::{CableRecord, Demand, DemandRecord, EndKind, EndRecord, PortClass};

/// What the plugs of a cable find, put together; the empty one is at no unit.
#[derive(Clone, Copy)]
pub(super) struct Seats(u8);

impl Seats {
    /// A plug is the first one in its socket.
    const FIRST: Self = Self(1);
    /// There is a plug in the socket already.
    const FULL: Self = Self(2);
    /// Nobody says which socket a plug is in.
    pub(super) const UNKNOWN: Self = Self(4);
    /// A plug is declared to be in no socket.
    pub(super) const FREE: Self = Self(8);
    /// A plug is in a socket that is not made for the link.
    pub(super) const NOT_OF_LINK: Self = Self(16);

    const fn or(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether one of the plugs finds this.
    pub(super) const fn has(self, what: Self) -> bool {
        self.0 & what.0 != 0
    }
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
    /// Puts the plugs of a cable into their sockets; `None` for a cable that joins the very
    /// sockets that one before it joins.
    pub(super) fn plug_in(&mut self, id: CableId, cable: &CableRecord) -> Option<Seats> {
        let [first, second] = &cable.ends;
        let one = self.seat(first);
        // Both ends in one socket is one cable too few, not one too many.
        let two = if first == second { Seats(0) } else { self.seat(second) };
        let both = one.or(two);
        if (both.has(Seats::FULL) || cable.label_again != 0) && !self.crowd(id, cable, [one, two]) {
            return None;
        }
        Some(both)
    }

    #[allow(clippy::trivially_copy_pass_by_ref, reason = "read in place: a copy costs more")]
    fn seat(&mut self, end: &EndRecord) -> Seats {
        let Some(unit) = end.unit() else {
            return if end.kind == EndKind::Open.code() { Seats::FREE } else { Seats(0) };
        };
        let Some(port) = end.port() else { return Seats::UNKNOWN };
        let Some(used) = self.ports_used.get_mut(unit.index()) else { return Seats(0) };
        let bit = bit_of(port);
        let mut seat = if *used & bit == 0 { Seats::FIRST } else { Seats::FULL };
        *used |= bit;
        if self.link_ports & bit == 0 {
            seat = seat.or(Seats::NOT_OF_LINK);
        }
        seat
    }

    /// Marks the sockets that hold another cable already, unless it is this cable, listed again.
    #[inline(never)]
    fn crowd(&mut self, id: CableId, cable: &CableRecord, seats: [Seats; 2]) -> bool {
        let [one, two] = seats;
        let all_full = !one.or(two).has(Seats::FIRST.or(Seats::UNKNOWN));
        if (all_full || cable.label_again != 0) && self.listed_before(id).is_some() {
            return false;
        }
        for (seat, end) in seats.into_iter().zip(&cable.ends) {
            if seat.has(Seats::FULL)
                && let Some((unit, port)) = end.unit().zip(end.port())
                && let Some(twice) = self.ports_twice.get_mut(unit.index())
            {
                *twice |= bit_of(port);
                self.crowded.insert(unit);
            }
        }
        true
    }
}
