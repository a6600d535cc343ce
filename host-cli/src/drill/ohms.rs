//! What a meter shows at the plant, power off, by the meter plan's own solver.

use super::look::Seen;
use super::plant::Plant;
use crate::fault::unit_name;
use crate::meter::circuit::{Between, Circuit, Pulled, Where};
use crate::meter::told;
use crate::meter::topology::Wire;

/// Below so many milliohms each, readings are taken for one kind: a short, five terminators, four,
/// three, two, two of a wrong value, one, one of a wrong value, units alone, next to nothing, open.
/// Between them lies more than what cables, contacts and units without power blur (a tenth). Ours,
/// around 120 ohm by so many (ISO 11898-2, read second-hand).
const KINDS: [u64; 9] =
    [5_000, 27_000, 35_000, 50_000, 72_000, 98_000, 190_000, 1_000_000, 4_000_000_000];

/// What kind of a reading it is.
pub fn kind(ohms: f64) -> usize {
    let bound = |bound: u64| f64::from(u32::try_from(bound).unwrap_or(u32::MAX)) / 1000.0;
    KINDS.iter().position(|most| ohms < bound(*most)).unwrap_or(KINDS.len())
}

fn words(ohms: f64) -> String {
    let shown = told::ohms(ohms);
    if shown == "OL" { shown } else { format!("{shown} ohm") }
}

/// The reading at a unit, all plugged in; `None` where the plant cannot be told as a circuit.
pub fn at(plant: &Plant<'_>, unit: u16) -> Option<f64> {
    let link = plant.link()?;
    let point = link.point(&unit_name(unit))?;
    Some(plant.circuit()?.ohms(Where::Point(point), Between::Pair))
}

/// The reading at a unit in words.
pub fn at_unit(plant: &Plant<'_>, unit: u16) -> String {
    at(plant, unit).map_or_else(|| "?".to_owned(), words)
}

pub(super) fn all_plugged(plant: &Plant<'_>, unit: u16) -> Seen {
    match at(plant, unit) {
        Some(ohms) => Seen { label: format!("kind {}", kind(ohms)), shown: words(ohms) },
        None => Seen::plain("nothing to hold a meter to"),
    }
}

pub(super) fn pulled(plant: &Plant<'_>, cable: &str, unit: u16) -> Seen {
    let nothing = || Seen::plain(format!("there is no plug of cable {cable} in unit {unit}"));
    let Some(link) = plant.link() else { return nothing() };
    let (Some(cable), Some(point)) = (link.cable(cable), link.point(&unit_name(unit))) else {
        return nothing();
    };
    let is_end = link.topology.cables.get(cable).is_some_and(|lead| lead.ends.contains(&point));
    if !is_end {
        return nothing();
    }
    let pulled = Some(Pulled { cable, at: point });
    let circuit = Circuit::of(&link.topology, &link.usual, &plant.wires, pulled);
    let places = [Where::Point(point), Where::Plug];
    let [socket, plug] = places.map(|place| circuit.ohms(place, Between::Pair));
    let commons = places.map(|place| common(&circuit, place));
    let mut shown = format!("socket {}, plug {}", words(socket), words(plug));
    for (place, (_, says)) in ["socket", "plug"].iter().zip(&commons) {
        if !says.is_empty() {
            shown = format!("{shown}; from the {place} to the common: {says}");
        }
    }
    let [(one, _), (two, _)] = commons;
    Seen { label: format!("kinds {} {} {one} {two}", kind(socket), kind(plug)), shown }
}

/// Both wires to the common: their kinds, and words unless both are open.
fn common(circuit: &Circuit, place: Where) -> (String, String) {
    let [high, low] =
        [Wire::High, Wire::Low].map(|wire| circuit.ohms(place, Between::Common(wire)));
    let label = format!("{}-{}", kind(high), kind(low));
    if high.is_infinite() && low.is_infinite() {
        return (label, String::new());
    }
    (label, format!("first wire {}, second wire {}", words(high), words(low)))
}

pub(super) fn to_common(plant: &Plant<'_>, unit: u16) -> Seen {
    let point = plant.link().and_then(|link| link.point(&unit_name(unit)));
    let (Some(point), Some(circuit)) = (point, plant.circuit()) else {
        return Seen::plain("nothing to hold a meter to");
    };
    let (label, shown) = common(circuit, Where::Point(point));
    let shown = if shown.is_empty() { "both OL".to_owned() } else { shown };
    Seen { label: format!("common {label}"), shown }
}
