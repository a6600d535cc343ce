//! Shape of the link.

pub(super) mod link_broken;
pub(super) mod link_cable_unsuitable;
pub(super) mod link_doubled_pair;
pub(super) mod link_ring_closed;
pub(super) mod link_ring_open;
pub(super) mod link_screen_both_ends;
pub(super) mod link_self_loop;
pub(super) mod link_star;
pub(super) mod link_stub_too_long;
pub(super) mod link_too_long;
pub(super) mod unit_not_on_link;

use crate::bus;
use crate::finding::Quantity;
use crate::links::Links;
use crate::place::Place;
use crate::plan::{DemandRecord, Medium};
use crate::report::Sink;
use crate::sets::CableSet;
use crate::units::{BitsPerSecond, Millimetres};

/// The longest link: the stricter of what profile or site demand and what the bit rate allows.
fn link_limit(demands: &DemandRecord) -> Option<Millimetres> {
    stricter(demands, demands.max_link_total(), bus::longest_link)
}

/// The longest side branch, and the longest sum of them.
fn stub_limits(demands: &DemandRecord) -> (Option<Millimetres>, Option<Millimetres>) {
    (
        stricter(demands, demands.max_stub(), bus::longest_stub),
        stricter(demands, demands.max_stub_total(), bus::longest_stubs_together),
    )
}

/// A finding for each cable that is longer than the limit, if there is one; gives the sum of all
/// that are measured, and those that are not.
#[inline(never)]
fn measure(
    links: &Links<'_>,
    sink: &mut Sink<'_, '_>,
    cables: CableSet,
    limit: Option<Millimetres>,
) -> (Millimetres, CableSet) {
    let mut total = Millimetres(0);
    let mut unmeasured = CableSet::EMPTY;
    for id in cables {
        let Some(length) = links.plan.cable(id).and_then(|cable| cable.length()) else {
            unmeasured.insert(id);
            continue;
        };
        total = total.saturating_add(length);
        if let Some(limit) = limit.filter(|limit| length > *limit) {
            sink.add()
                .at(Place::Cable(id))
                .value(Quantity::Length(length))
                .wanted(Quantity::Length(limit));
        }
    }
    (total, unmeasured)
}

fn stricter(
    demands: &DemandRecord,
    stated: Option<Millimetres>,
    of_bus: fn(Medium, BitsPerSecond) -> Option<Millimetres>,
) -> Option<Millimetres> {
    let bus =
        demands.medium().zip(demands.bit_rate()).and_then(|(medium, rate)| of_bus(medium, rate));
    match (stated, bus) {
        (Some(stated), Some(bus)) => Some(stated.min(bus)),
        (one, two) => one.or(two),
    }
}
