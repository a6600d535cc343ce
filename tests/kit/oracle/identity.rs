//! Addresses, roles and counts.

use super::link::{Line, Point};
use super::site::{Leaders, Site};
use super::{Judged, Judgment, Places};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn judge(site: &Site, line: &Line) -> Vec<Judged> {
    let mut out = addresses(site);
    out.extend(coordinators(site, line));
    out.extend(counts(site));
    let serial = |unit: usize| site.units[unit].serial;
    let known = (0..site.units.len()).filter(|unit| serial(*unit).is_some());
    let twice: Vec<usize> = groups(known, serial).into_values().filter(two).flatten().collect();
    out.push(("unit-listed-twice", Judgment::at(Places::of_units(twice))));
    out
}

/// Units by what they have.
fn groups<K: Ord>(
    units: impl IntoIterator<Item = usize>,
    key: impl Fn(usize) -> K,
) -> BTreeMap<K, Vec<usize>> {
    let mut groups: BTreeMap<K, Vec<usize>> = BTreeMap::new();
    for unit in units {
        groups.entry(key(unit)).or_default().push(unit);
    }
    groups
}

#[allow(clippy::ptr_arg, reason = "used as a filter over vectors")]
fn two(units: &Vec<usize>) -> bool {
    units.len() > 1
}

fn addresses(site: &Site) -> Vec<Judged> {
    let address = |unit: usize| site.units[unit].address;
    let units = 0..site.units.len();
    let missing = units.clone().filter(|unit| address(*unit).is_none());
    let set = units.clone().filter(|unit| address(*unit).is_some());
    let shared = groups(set, address).into_values().filter(two).flatten();
    let (low, high) = site.demands.address_range.unwrap_or((0, u16::MAX));
    let outside = units.filter(|unit| address(*unit).is_some_and(|a| a < low || a > high));
    let numbers: BTreeSet<u16> = site.units.iter().filter_map(|unit| unit.address).collect();
    let gap = numbers.iter().zip(numbers.iter().skip(1)).any(|(one, next)| one + 1 != *next);
    vec![
        ("address-missing", Judgment::at(Places::of_units(missing))),
        ("address-duplicate", Judgment::at(Places::of_units(shared))),
        (
            "address-out-of-range",
            Judgment::at(Places::of_units(outside)).demanded(site.demands.address_range.is_some()),
        ),
        ("address-gap", Judgment::broken(gap).demanded(site.demands.contiguous)),
    ]
}

/// Units of each group that wants a coordinator: the whole group, or each phase.
pub(super) fn led_groups(site: &Site) -> Vec<Vec<usize>> {
    let phase = |unit: usize| match site.demands.leaders {
        Leaders::One => 0,
        Leaders::OneEachPhase => site.units[unit].phase,
    };
    groups(0..site.units.len(), phase).into_values().collect()
}

fn coordinators(site: &Site, line: &Line) -> Vec<Judged> {
    let leaders = |group: &[usize]| -> Vec<usize> {
        group.iter().copied().filter(|unit| site.units[*unit].leads).collect()
    };
    let (mut leaderless, mut rivals, mut misplaced) = (Vec::new(), Vec::new(), Vec::new());
    let ends = line.ends();
    for group in led_groups(site) {
        let leading = leaders(&group);
        if leading.is_empty() {
            leaderless.extend(&group);
        } else if leading.len() > 1 {
            rivals.extend(&leading);
        }
        misplaced.extend(leading.into_iter().filter(|unit| {
            let wrong_address = site.demands.coordinator_address.is_some_and(|demanded| {
                site.units[*unit].address.is_some_and(|address| address != demanded)
            });
            let not_at_end = site.demands.coordinator_at_end && !ends.contains(&Point::Unit(*unit));
            wrong_address || not_at_end
        }));
    }
    let place_demanded =
        site.demands.coordinator_at_end || site.demands.coordinator_address.is_some();
    vec![
        ("coordinator-none", Judgment::at(Places::of_units(leaderless))),
        ("coordinator-two", Judgment::at(Places::of_units(rivals))),
        (
            "coordinator-at-wrong-place",
            Judgment::at(Places::of_units(misplaced)).demanded(place_demanded),
        ),
    ]
}

fn counts(site: &Site) -> Vec<Judged> {
    let carries = |unit: &usize| !site.demands.count_at_coordinator || site.units[*unit].leads;
    let count = |unit: usize| site.units[unit].count;
    let fitted = site.units.len();
    let by_count = groups((0..fitted).filter(carries), count);
    let differs = by_count.len() > 1;
    let most = by_count.values().map(Vec::len).max().unwrap_or(0);
    let majority = by_count.values().filter(|units| units.len() == most).count() == 1;
    // The odd ones differ from the majority; a tie names all.
    let odd = by_count.values().filter(|units| !majority || units.len() < most).flatten().copied();
    let odd = Places::of_units(odd);
    let wrong = |count: &u16| usize::from(*count) != fitted;
    vec![
        ("count-setting-differs", if differs { Judgment::at(odd) } else { Judgment::Met }),
        ("count-not-equal-fitted", Judgment::broken(!differs && by_count.keys().any(wrong))),
        (
            "count-over-limit",
            Judgment::broken(site.demands.max_units.is_some_and(|most| fitted > most))
                .demanded(site.demands.max_units.is_some()),
        ),
    ]
}
