//! What ohms between the two wires cannot see, and the reading that does.

use crate::meter::expect::{Picture, is_blind};
use crate::meter::fault::Kind;
use crate::meter::topology::Topology;
use coldcheck_core::plan::{Medium, PinPair, Plan};

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

/// A node's least resistance from one wire to the common: ISO 11898-2 (read second-hand); and that
/// of one unit load of TIA/EIA-485 (read second-hand).
const LEAST_TO_COMMON: [(Medium, f64); 2] = [(Medium::Can, 5000.0), (Medium::Rs485, 12_000.0)];

/// What cannot be seen with all plugged (`pictures` of the first readings only), and what not even
/// by pulling (`pulled`, of all readings).
pub(super) fn blind(
    plan: &Plan<'_>,
    topology: &Topology,
    plugged: &[Picture],
    pulled: &[Picture],
) -> Vec<Blind> {
    let pins = plan.demands.pair_pins();
    let pin_words = match pins {
        Some(PinPair(one, two)) => {
            format!("pin {one} to {one}, {two} to {two}, not {one} to {two}")
        }
        None => "each wire to its own pin and to no other".to_owned(),
    };
    let mut found = Vec::new();
    let mut add = |id, what: &str, instead: String| {
        found.push(Blind { id, what: what.to_owned(), instead });
    };
    let has = |kind: Kind| pulled.iter().any(|one| one.fault.is_some_and(|(own, _)| own == kind));
    if has(Kind::Swapped) && is_blind(pulled, Kind::Swapped) {
        let instead = format!("each cable with both plugs out, plug to plug: {pin_words}");
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
    let least = least / f64::from(u32::try_from(loads).unwrap_or(u32::MAX));
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

/// Whether a kind of fault reads as a right site within a few percent at these spots.
fn nearly_blind(pictures: &[Picture], kind: Kind) -> bool {
    let Some(right) = pictures.first() else { return true };
    let own = pictures.iter().filter(|one| one.fault.is_some_and(|(own, _)| own == kind));
    own.flat_map(|one| one.shows.iter().zip(&right.shows)).all(|((low, high), (right, _))| {
        (low / right - 1.0).abs() < 0.1 && (high / right - 1.0).abs() < 0.1
    })
}
