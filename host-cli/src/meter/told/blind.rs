//! What ohms between the two wires cannot see, and the reading that does.

use crate::meter::expect::{Picture, is_blind};
use crate::meter::fault::Kind;
use crate::meter::names::Names;
use crate::meter::topology::Topology;
use crate::phrase::all_of;
use coldcheck_core::bus::far_pin;
use coldcheck_core::plan::{Medium, PinPair, Plan, Wiring};

/// What cannot be seen, and what to do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blind {
    /// Its word in JSON.
    pub id: &'static str,
    /// What.
    pub what: String,
    /// The reading that shows it.
    pub instead: String,
}

/// A node's least resistance from one wire to the common with the other wire open: ISO 11898-2 (read
/// second-hand); and that of one unit load of TIA/EIA-485 (read second-hand).
const LEAST_TO_COMMON: [(Medium, f64); 2] = [(Medium::Can, 5000.0), (Medium::Rs485, 12_000.0)];

/// What cannot be seen with all plugged (`pictures` of the first readings only), and what not even
/// by pulling (`pulled`, of all readings).
pub(super) fn blind(
    plan: &Plan<'_>,
    topology: &Topology,
    names: &Names<'_>,
    plugged: &[Picture],
    pulled: &[Picture],
) -> Vec<Blind> {
    let mut found = Vec::new();
    let mut add = |id, what: &str, instead: String| {
        found.push(Blind { id, what: what.to_owned(), instead });
    };
    let has = |kind: Kind| pulled.iter().any(|one| one.fault.is_some_and(|(own, _)| own == kind));
    if has(Kind::Swapped) && is_blind(pulled, Kind::Swapped) {
        let pins = continuity(plan, topology, names);
        let instead = format!("each cable with both plugs out, plug to plug: {pins}");
        add("wires-swapped", "swapped wires of a pair", instead);
    }
    if !topology.cables.is_empty() {
        add(
            "split-pair",
            "a split pair",
            "look at the colours in both plugs: the two wires of one twisted pair".to_owned(),
        );
    }
    for (kind, id, what) in [
        (Kind::Moved, "terminator-moved", "a terminator at the wrong unit"),
        (Kind::Ring, "ring-closed", "a ring"),
    ] {
        if has(kind) && !is_blind(pulled, kind) && nearly_blind(plugged, kind) {
            add(id, what, "all plugged it reads as right; the pulled readings show it".to_owned());
        }
    }
    let medium = plan.demands.medium().unwrap_or(Medium::Can);
    let least = LEAST_TO_COMMON.iter().find(|(own, _)| *own == medium).map_or(5000.0, |one| one.1);
    let loads = topology.points.iter().filter(|point| point.is_load).count().max(1);
    // Terminators join the two wires, so that both of each node lie side by side.
    let least = least / 2.0 / f64::from(u32::try_from(loads).unwrap_or(u32::MAX));
    add(
        "wire-to-common",
        "a wire at the common or at earth",
        format!("each wire to the common, and to earth: above {} ohm", super::ohms(least)),
    );
    if topology.points.len() > 2 {
        add(
            "plug-in-another-unit",
            "a plug in another unit than listed",
            "follow each cable by hand from plug to plug".to_owned(),
        );
    }
    found
}

/// On which pins of the far plug the wires of the pair must come out: as each lead is declared, else
/// as the profile wants it, else straight through.
pub(super) fn continuity(plan: &Plan<'_>, topology: &Topology, names: &Names<'_>) -> String {
    let Some(PinPair(one, two)) = plan.demands.pair_pins() else {
        return "each wire to its own pin and to no other".to_owned();
    };
    let demanded = plan.demands.lead_wiring().unwrap_or(Wiring::Straight);
    let mut alike: Vec<(Wiring, Vec<String>)> = Vec::new();
    for (cable, lead) in topology.cables.iter().enumerate() {
        let wiring = plan.cable(lead.id).and_then(|record| record.wiring()).unwrap_or(demanded);
        let name = names.cable(cable);
        match alike.iter_mut().find(|(own, _)| *own == wiring) {
            Some((_, list)) => list.push(name),
            None => alike.push((wiring, vec![name])),
        }
    }
    let pins = |wiring: Wiring| match (far_pin(wiring, one), far_pin(wiring, two)) {
        (Some(far_one), Some(far_two)) => {
            format!("pin {one} to {far_one}, {two} to {far_two}, not {one} to {far_two}")
        }
        _ => format!("pins {one} and {two} as its maker's drawing has them"),
    };
    match alike.as_slice() {
        [] => pins(demanded),
        [(wiring, _)] => pins(*wiring),
        several => {
            let each: Vec<String> = several
                .iter()
                .map(|(wiring, list)| format!("{}: {}", all_of(list), pins(*wiring)))
                .collect();
            each.join("; ")
        }
    }
}

/// Whether a kind of fault reads as a right site within a few percent at these spots.
fn nearly_blind(pictures: &[Picture], kind: Kind) -> bool {
    let Some(right) = pictures.first() else { return true };
    let own = pictures.iter().filter(|one| one.fault.is_some_and(|(own, _)| own == kind));
    own.flat_map(|one| one.shows.iter().zip(&right.shows)).all(|((low, high), (right, _))| {
        (low / right - 1.0).abs() < 0.1 && (high / right - 1.0).abs() < 0.1
    })
}
