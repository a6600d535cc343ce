//! Units that are not heard, or not always, and what the gateway's controller says of itself.

use super::{HeardFault, LASTS_MS, Traffic, Voice, Wanted};
use crate::fault::{Group, Spot};

pub(super) fn nothing(_: &Group, _: &Traffic) -> Vec<HeardFault> {
    vec![HeardFault::new("nothing is powered", vec![Wanted::at([])], |traffic| {
        traffic.voices.clear();
        traffic.controller = None;
    })]
}

pub(super) fn nobody_confirms(_: &Group, _: &Traffic) -> Vec<HeardFault> {
    // No acknowledge, as a class and as the place of a protocol error.
    [(0x2000_0020, [0; 8]), (0x2000_00A8, [0, 0, 0x80, 0x19, 0, 0, 128, 0])]
        .into_iter()
        .map(|frame| {
            let done = format!("the gateway's plug is out ({:#x})", frame.0);
            HeardFault::new(done, vec![Wanted::at([])], move |traffic| {
                traffic.voices.clear();
                traffic.controller = Some(frame);
            })
        })
        .collect()
}

pub(super) fn off(_: &Group, _: &Traffic) -> Vec<HeardFault> {
    let fault = |done: &str, hears: bool| {
        HeardFault::new(done, vec![Wanted::at([])], move |traffic| {
            traffic.controller = Some((0x2000_0040, [0; 8]));
            if !hears {
                traffic.voices.clear();
            }
        })
    };
    vec![
        fault("the gateway is at another bit rate and leaves the bus", false),
        fault("many frames are destroyed and the gateway leaves the bus", true),
    ]
}

pub(super) fn passive(_: &Group, _: &Traffic) -> Vec<HeardFault> {
    [
        ("noise makes the gateway passive (by what it sends)", 0x2000_0004, [0, 0x20, 0, 0]),
        ("noise makes the gateway passive (by what it receives)", 0x2000_0004, [0, 0x10, 0, 0]),
    ]
    .into_iter()
    .map(|(done, id, [a, b, c, d])| {
        HeardFault::new(done, vec![Wanted::at([])], move |traffic| {
            traffic.controller = Some((id, [a, b, c, d, 0, 0, 0, 0]));
        })
    })
    .collect()
}

/// Every single unit, and everything behind every cable.
pub(super) fn silent(group: &Group, _: &Traffic) -> Vec<HeardFault> {
    let gone = |units: &[u16]| {
        let lost = units.to_vec();
        let done = format!("{} silent", are(units));
        HeardFault::new(done, lost_units(group, units), move |traffic| {
            traffic.voices.retain(|voice| !lost.contains(&voice.address));
        })
    };
    runs(group).iter().map(|units| gone(units)).collect()
}

/// The same, but they fall silent only after a while; a single one also starts anew where that is
/// told, or pauses.
pub(super) fn comes_and_goes(group: &Group, right: &Traffic) -> Vec<HeardFault> {
    if !right.has_rhythm() {
        return Vec::new();
    }
    let stop = |units: &[u16]| {
        let lost = units.to_vec();
        let done = format!("{} no longer heard after a while", are(units));
        HeardFault::new(done, lost_units(group, units), move |traffic| {
            for voice in traffic.voices.iter_mut().filter(|voice| lost.contains(&voice.address)) {
                voice.until_ms = LASTS_MS / 2 + 1500;
            }
        })
    };
    let mut faults: Vec<_> = runs(group).iter().map(|units| stop(units)).collect();
    if right.dialect == coldcheck_core::plan::Dialect::CanOpen {
        faults.extend(group.layout.order.iter().map(|unit| {
            let unit = *unit;
            let done = format!("unit {unit} starts anew");
            HeardFault::new(done, lost_units(group, &[unit]), move |traffic| {
                if let Some(voice) = traffic.voice(unit) {
                    voice.restarts_at_ms = Some(LASTS_MS / 2);
                }
            })
        }));
    }
    faults
}

/// Single units, and the runs of units behind each cable of a line, on either side of it; in a
/// ring any two neighbours. At least one unit is left.
fn runs(group: &Group) -> Vec<Vec<u16>> {
    let order = &group.layout.order;
    let mut runs: Vec<Vec<u16>> = order.iter().map(|unit| vec![*unit]).collect();
    if group.is_ring() {
        let pairs = order.windows(2).filter(|_| order.len() > 3);
        runs.extend(pairs.map(<[u16]>::to_vec));
        return runs;
    }
    for cut in 1..order.len() {
        let (before, behind) = order.split_at(cut);
        runs.extend([before, behind].iter().filter(|run| run.len() > 1).map(|run| run.to_vec()));
    }
    runs
}

/// What must be found when units are lost that lie side by side: one finding with the cable
/// between them and the rest, or one for each of them where there are two such cables.
fn lost_units(group: &Group, units: &[u16]) -> Vec<Wanted> {
    let order = &group.layout.order;
    let cables = group.link_cables();
    let lost = |unit: Option<&u16>| unit.is_some_and(|unit| units.contains(unit));
    let is_border = |place: usize| {
        let next = order.get(place + 1).or_else(|| order.first());
        lost(order.get(place)) != lost(next)
    };
    let borders: Vec<_> =
        cables.iter().enumerate().filter(|(place, _)| is_border(*place)).collect();
    let mut sorted = units.to_vec();
    sorted.sort_unstable();
    let spots = sorted.into_iter().map(Spot::Unit);
    match borders.as_slice() {
        [(_, cable)] => {
            vec![Wanted { places: spots.collect(), cable: Some(Spot::Cable((*cable).clone())) }]
        }
        _ => spots.map(|spot| Wanted::at([spot])).collect(),
    }
}

fn are(units: &[u16]) -> String {
    let names: Vec<_> = units.iter().map(ToString::to_string).collect();
    match names.as_slice() {
        [one] => format!("unit {one} is"),
        _ => format!("units {} are", crate::phrase::all_of(&names)),
    }
}

/// A voice that does not belong to the group.
pub(super) fn foreign(right: &Traffic, address: u16) -> Option<Voice> {
    let model = right.voices.last()?;
    let others = right.voices.iter().map(|voice| voice.serial).max()?;
    Some(Voice {
        address,
        serial: others + 500,
        role: coldcheck_core::plan::Role::Follower,
        phase_ms: 250,
        ..model.clone()
    })
}
