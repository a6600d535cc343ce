//! Addresses, roles and counts.

pub(super) mod address_duplicate;
pub(super) mod address_out_of_range;
pub(super) mod coordinator_none;
pub(super) mod coordinator_two;
pub(super) mod count_not_equal_fitted;
pub(super) mod count_setting_differs;

use crate::links::Links;
use crate::place::UnitId;
use crate::plan::{Coordinators, CountSetting, Datum, Leg};
use crate::report::Sink;
use crate::sets::UnitSet;

/// The sets of units of which each needs one coordinator of its own: the whole group, or the
/// units of each phase. Units whose phase is not known are noted as not checked.
fn led_together(
    links: &Links<'_>,
    sink: &mut Sink<'_, '_>,
) -> impl Iterator<Item = UnitSet> + use<> {
    let sets = match links.plan.demands.coordinators() {
        Some(Coordinators::One) => [links.units, UnitSet::EMPTY, UnitSet::EMPTY],
        Some(Coordinators::OneEachPhase) => {
            let sets = [Leg::L1, Leg::L2, Leg::L3].map(|leg| links.units_of_phase(leg));
            let unknown = sets.into_iter().fold(links.units, UnitSet::without);
            if !unknown.is_empty() {
                sink.open(Datum::Phase).at_units(unknown);
            }
            sets
        }
        // The rules that ask need the demand.
        None => [UnitSet::EMPTY; 3],
    };
    sets.into_iter().filter(|units| !units.is_empty())
}

/// The units that carry the unit-count setting. Those that should and do not declare it are
/// noted as not checked; `None` if no unit declares it.
fn count_carriers(links: &Links<'_>, sink: &mut Sink<'_, '_>) -> Option<UnitSet> {
    let carriers = match links.plan.demands.count_setting()? {
        CountSetting::All => links.units,
        CountSetting::Coordinator => links.coordinators,
    };
    if carriers.is_empty() {
        // Coordinators carry it, and nobody says who they are.
        sink.open(Datum::Role).at_units(links.units.without(links.followers));
        return None;
    }
    let lacking = carriers.and(links.units_without(Datum::Count));
    if lacking == carriers {
        sink.open(Datum::Count).at_units(lacking);
        return None;
    }
    if !lacking.is_empty() {
        sink.gap(Datum::Count).at_units(lacking);
    }
    Some(carriers)
}

/// The counts that the carriers are set to.
fn counts<'p>(
    links: &Links<'p>,
    carriers: UnitSet,
) -> impl Iterator<Item = (UnitId, u32)> + Clone + use<'p> {
    links
        .plan
        .units()
        .filter(move |(id, _)| carriers.contains(*id))
        .filter_map(|(id, unit)| unit.count().map(|count| (id, u32::from(count))))
}
