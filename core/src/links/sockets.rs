//! Which sockets hold a cable, which hold two, and which are made for something else.

use super::Links;
use crate::limits;
use crate::place::{PortId, UnitId};
use crate::plan::{CableRecord, Demand, DemandRecord, EndKind, EndRecord, PortClass};
use crate::sets::CableSet;

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

/// Sockets that the profile makes for this, one bit each.
#[inline(never)]
pub(super) fn ports_of(demands: &DemandRecord, class: PortClass) -> u8 {
    let mut classes = demands.bits(Demand::Ports).unwrap_or(0);
    let mut ports = 0u8;
    for _ in 0..limits::PORTS {
        // From the last socket to the first.
        ports = ports.wrapping_shl(1);
        ports |= u8::from(classes.wrapping_shr(28) == u32::from(class.code()));
        classes = classes.wrapping_shl(4);
    }
    ports
}

/// Sockets that are made for the link; all of them if the profile names none.
pub(super) fn link_ports(demands: &DemandRecord) -> u8 {
    if demands.bits(Demand::Ports).is_some() { ports_of(demands, PortClass::Link) } else { u8::MAX }
}

impl Links<'_> {
    /// Puts the plugs of a cable, given as a set of one, into their sockets; `None` for a cable that joins the very
    /// sockets that one before it joins.
    pub(super) fn plug_in(&mut self, own: CableSet, cable: &CableRecord) -> Option<Seats> {
        let [first, second] = &cable.ends;
        let one = self.seat(first);
        // Both ends in one socket is one cable too few, not one too many.
        let is_same = first.index == second.index && first == second;
        let two = if is_same { Seats(0) } else { self.seat(second) };
        let both = one.or(two);
        if (both.has(Seats::FULL) || cable.label_again != 0) && !self.crowd(own, cable, [one, two])
        {
            return None;
        }
        Some(both)
    }

    #[allow(clippy::trivially_copy_pass_by_ref, reason = "read in place: a copy costs more")]
    #[inline(always)]
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
    fn crowd(&mut self, own: CableSet, cable: &CableRecord, seats: [Seats; 2]) -> bool {
        let Some(id) = own.iter().next() else { return true };
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

    /// Sockets of a unit that hold two or more cables, where one socket takes one: that of a sensor
    /// takes a lead for each leg.
    pub fn crowded_ports(&self, unit: UnitId) -> PortIds {
        PortIds(self.twice(unit))
    }

    fn twice(&self, unit: UnitId) -> u8 {
        self.ports_twice.get(unit.index()).copied().unwrap_or(0) & !self.sensor_ports
    }

    /// Whether a link cable is listed in a socket that holds another cable too, so that it is not
    /// known where it really goes.
    #[inline(never)]
    pub(super) fn has_doubtful_cable(&self) -> bool {
        if self.crowded.iter().all(|unit| self.twice(unit) == 0) {
            return false;
        }
        let is_doubtful = |end: &EndRecord| {
            let (Some(unit), Some(port)) = (end.unit(), end.port()) else { return false };
            has_port(self.twice(unit), port)
        };
        for id in self.link_cables {
            let Some(cable) = self.plan.cable(id) else { continue };
            if cable.ends.iter().any(is_doubtful) {
                return true;
            }
        }
        false
    }

    /// Whether a cable is in the socket; terminator plugs are no cables.
    #[inline(never)]
    pub fn is_used(&self, unit: UnitId, port: PortId) -> bool {
        self.ports_used.get(unit.index()).is_some_and(|used| has_port(*used, port))
    }

    /// A link socket of the unit that no cable is in, if there is exactly one.
    #[inline(never)]
    pub fn free_link_port(&self, unit: UnitId) -> Option<PortId> {
        let used = *self.ports_used.get(unit.index())?;
        // All are for the link where the profile names none, but then none is known to be.
        let named = self.plan.demands.bits(Demand::Ports).is_some();
        let free = if named { self.link_ports & !used } else { 0 };
        let is_one = free & free.wrapping_sub(1) == 0;
        PortIds(free).next().filter(|_| is_one)
    }
}

/// Sockets of a unit in ascending order.
#[derive(Clone, Debug)]
pub struct PortIds(u8);

impl Iterator for PortIds {
    type Item = PortId;

    fn next(&mut self) -> Option<PortId> {
        if self.0 == 0 {
            return None;
        }
        let position = self.0.trailing_zeros();
        self.0 &= self.0.wrapping_sub(1);
        u8::try_from(position).ok().map(PortId)
    }
}

pub(super) fn has_port(mask: u8, port: PortId) -> bool {
    mask & bit_of(port) != 0
}

/// A plan has no socket past the eighth.
fn bit_of(port: PortId) -> u8 {
    1u8.wrapping_shl(u32::from(port.0))
}
