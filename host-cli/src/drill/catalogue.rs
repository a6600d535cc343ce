//! Every kind of fault, and on which benches it can be drilled.

use super::ask::TERMINATORS;
use super::bench::Bench;
use super::words::kinds;
use crate::fault::Layout;
use crate::profile::builtin_names;

/// A kind of fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its name.
    pub kind: &'static str,
    /// Profiles with a bench of so many units that can be given it.
    pub profiles: Vec<&'static str>,
}

/// One bench for each profile, kind of terminator and place of the coordinator, the units in an
/// order that is not that of their numbers.
pub fn benches(units: u16) -> impl Iterator<Item = Bench> {
    let order: Vec<u16> = (1..=units).step_by(2).chain((2..=units).step_by(2)).collect();
    let layouts = builtin_names().into_iter().flat_map(move |profile| {
        let order = order.clone();
        TERMINATORS.into_iter().flat_map(move |terminator| {
            let places = [0, order.len() / 2];
            let order = order.clone();
            places.map(move |coordinator| {
                let order = order.clone();
                Layout { profile, order, coordinator, terminator }
            })
        })
    });
    layouts.filter_map(|layout| Bench::build(layout, "Bench"))
}

/// Every kind, with where it can be drilled on so many units.
pub fn catalogue(units: u16) -> Vec<Entry> {
    let mut entries: Vec<Entry> =
        kinds().map(|kind| Entry { kind, profiles: Vec::new() }).collect();
    for bench in benches(units) {
        let profile = bench.right.layout.profile;
        for entry in &mut entries {
            let has = bench.causes.iter().any(|cause| cause.kind == entry.kind);
            if has && !entry.profiles.contains(&profile) {
                entry.profiles.push(profile);
            }
        }
    }
    entries
}
