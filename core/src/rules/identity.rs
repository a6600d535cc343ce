//! Addresses, roles and counts.

pub(super) mod address_duplicate;
pub(super) mod address_gap;
pub(super) mod address_hex_decimal;
pub(super) mod address_missing;
pub(super) mod address_out_of_range;
pub(super) mod coordinator_at_wrong_place;
pub(super) mod coordinator_none;
pub(super) mod coordinator_two;
pub(super) mod count_not_equal_fitted;
pub(super) mod count_over_limit;
pub(super) mod count_setting_differs;
pub(super) mod parallel_mode_not_set;
pub(super) mod switch_knocked;
pub(super) mod switches_read_backwards;
pub(super) mod unit_listed_twice;

use crate::alike::Values;
use crate::links::Links;
use crate::plan::{Coordinators, CountSetting, Datum, Leg, UnitRecord};
use crate::report::Sink;
use crate::rules::RuleId;
use crate::sets::UnitSet;

/// The number of the unit's serial, if it is declared; equal serials have one number.
pub(super) fn serial_number(unit: &UnitRecord) -> Option<u32> {
    unit.declares(Datum::Serial).then(|| unit.serial.get())
}

/// The sets of units of which each needs one coordinator of its own: the whole group, or the
/// units of each phase; empty sets fill up. Units whose phase is not known are noted as not
/// checked.
#[inline(never)]
pub(super) fn led_together(links: &Links<'_>, sink: &mut Sink<'_, '_>) -> [UnitSet; 3] {
    match links.plan.demands.coordinators() {
        Some(Coordinators::One) => [links.units, UnitSet::EMPTY, UnitSet::EMPTY],
        Some(Coordinators::OneEachPhase) => {
            let one = links.units_of_phase(Leg::L1);
            let two = links.units_of_phase(Leg::L2);
            let three = links.units_of_phase(Leg::L3);
            sink.open_units(Datum::Phase, links.units.without(one).without(two).without(three));
            [one, two, three]
        }
        // The rules that ask need the demand.
        None => [UnitSet::EMPTY; 3],
    }
}

/// The unit count that all units are set to, if all should carry one, do, and agree: the common
/// case, told without looking at each.
fn common_count(links: &Links<'_>) -> Option<u32> {
    let all_carry = links.plan.demands.count_setting() != Some(CountSetting::Coordinator);
    let alike = all_carry
        && links.known.whole.contains(Datum::Count)
        && !links.differs.contains(Datum::Count);
    let first = links.plan.units.first().filter(|_| alike)?;
    first.count().map(u32::from)
}

/// The unit counts that are set at the units that should carry one. Those that should and do not
/// declare it are noted as not checked.
#[inline(never)]
fn counts(links: &Links<'_>, sink: &mut Sink<'_, '_>) -> Values {
    let mut carriers = links.units;
    if links.plan.demands.count_setting() == Some(CountSetting::Coordinator) {
        carriers = links.coordinators;
        // One whose role nobody says may carry it too.
        let unsaid = links.units.without(links.followers).without(carriers);
        if !carriers.is_empty() {
            sink.gap_units(Datum::Role, unsaid);
        } else if unsaid.is_empty() {
            // Of no units at all, none has to lead.
            if !links.units.is_empty() {
                sink.blocked_by(RuleId::CoordinatorNone);
            }
            return Values::NONE;
        } else {
            sink.open(Datum::Role).at_units(unsaid);
            return Values::NONE;
        }
    }
    let mut counts = links.values(|unit| unit.count().map(u32::from));
    counts.keep(carriers);
    let lacking = carriers.without(counts.known());
    if lacking == carriers {
        sink.open(Datum::Count).at_units(lacking);
    } else {
        sink.gap_units(Datum::Count, lacking);
    }
    counts
}
