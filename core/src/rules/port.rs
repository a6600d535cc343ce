//! Ports, pins and cable types.

pub(super) mod crossover_cable;
pub(super) mod extra_conductors_connected;
pub(super) mod lead_wrong_pinout;
pub(super) mod link_in_service_port;
pub(super) mod network_gear_in_link;
pub(super) mod port_listed_twice;
pub(super) mod port_pairing_against_policy;
pub(super) mod signal_common_missing;

use crate::bus::{self, Landing};
use crate::links::Links;
use crate::plan::{CableKind, DataSet, Datum, PinPair, Wiring};
use crate::report::Sink;
use crate::sets::CableSet;

/// The ends of every kind of cable that goes to a unit.
const ALL_ENDS: DataSet =
    DataSet::of(&[Datum::CableEnds, Datum::BatteryLeadEnds, Datum::SensorLeadEnds]);
/// The ends of link cables.
const LINK_ENDS: DataSet = DataSet::of(&[Datum::CableEnds]);

/// Says which cables were not looked at, because nobody knows where an end of them is. One of which
/// nothing is known may be any.
#[inline(never)]
fn note_unknown_ends(links: &Links<'_>, sink: &mut Sink<'_, '_>, ends: DataSet) {
    if ends.without(links.known.whole).is_empty() {
        return;
    }
    let unknown = links.cables_where(
        // All that there are.
        CableSet(u64::MAX),
        |cable, link_only| {
            let [first, second] = &cable.ends;
            let is_meant = link_only == 0 || matches!(cable.kind(), Some(CableKind::Link) | None);
            is_meant && (first.kind().is_none() || second.kind().is_none())
        },
        (ends == LINK_ENDS).into(),
    );
    sink.gap_cables(Datum::CableEnds, unknown);
}

/// Whether the pair of the link does not come out on its own pins.
fn misses_the_pair(wiring: Wiring, PinPair(first, second): PinPair) -> bool {
    bus::through(wiring, [first, second]).is_some_and(|landing| landing != Landing::InPlace)
}

const fn is_crossed(wiring: Wiring) -> bool {
    matches!(wiring, Wiring::CrossoverTwo | Wiring::CrossoverFour)
}

/// Whether two wirings differ in nothing but the crossing of pairs.
fn is_matter_of_crossing(one: Wiring, two: Wiring) -> bool {
    let either = |wiring| is_crossed(wiring) || wiring == Wiring::Straight;
    either(one) && either(two)
}
