//! What must be read where: bands, the stations of the two-pull test, and what each fault would
//! show there.

use super::circuit::{Pulled, Where};
use super::fault::{Cut, Fault, Kind, singles};
use super::fit::{Spot, predicted};
use super::topology::Topology;
use super::values::{Short, Values};
use coldcheck_core::ohms::{Conditions, Leads, Probe, Pull, ohms};
use coldcheck_core::plan::Plan;
use coldcheck_core::units::Milliohms;

/// A band in ohms; infinite is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// With every part at its lowest.
    pub low: f64,
    /// With every part as usual.
    pub typical: f64,
    /// With every part at its highest.
    pub high: f64,
}

/// Somewhere to stand, with what is read there.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// The point.
    pub point: usize,
    /// The cable that is pulled there after the first reading.
    pub cable: Option<usize>,
}

impl Station {
    /// The readings: with all plugged, then into the socket and into the plug.
    pub fn spots(&self) -> Vec<Spot> {
        let place = Where::Point(self.point);
        let mut spots = vec![Spot { place, pulled: None }];
        if let Some(cable) = self.cable {
            let pulled = Some(Pulled { cable, at: self.point });
            spots.extend([place, Where::Plug].map(|place| Spot { place, pulled }));
        }
        spots
    }
}

/// What a kind of fault would show at every reading, wherever it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The kind, with the point of a terminator; `None` is a right site.
    pub fault: Option<(Kind, Option<usize>)>,
    /// Least and most ohms at each reading.
    pub shows: Vec<(f64, f64)>,
}

/// The band at a spot: by the core where the link is a line, else by equations.
pub fn band(plan: &Plan<'_>, topology: &Topology, spot: Spot) -> Band {
    if topology.bias.is_empty()
        && let Some(probe) = probe(topology, spot)
        && let Ok(band) = ohms(plan, probe)
    {
        return Band {
            low: in_ohms(band.low),
            typical: in_ohms(band.typical),
            high: in_ohms(band.high),
        };
    }
    let under = |conditions: Conditions| {
        let values = Values::of(&conditions, topology);
        told(topology, &values, &[], &[spot]).first().copied().unwrap_or(f64::INFINITY)
    };
    Band {
        low: under(Conditions::low(plan)),
        typical: under(Conditions::typical(plan)),
        high: under(Conditions::high(plan)),
    }
}

/// More ohms than this are told as open.
const OPEN: f64 = 4e6;

fn told(topology: &Topology, values: &Values, faults: &[Fault], spots: &[Spot]) -> Vec<f64> {
    let open = |ohms: f64| if ohms > OPEN { f64::INFINITY } else { ohms };
    predicted(topology, values, faults, spots).into_iter().map(|told| open(told.exp())).collect()
}

fn in_ohms(told: Milliohms) -> f64 {
    let ohms = f64::from(told.0) / 1000.0;
    if ohms > OPEN { f64::INFINITY } else { ohms }
}

/// The spot as the core knows it.
pub fn probe(topology: &Topology, spot: Spot) -> Option<Probe> {
    let node = |point: usize| topology.points.get(point).map(|point| point.node);
    let pull = match spot.pulled {
        None => None,
        Some(pulled) => {
            Some(Pull { cable: topology.cables.get(pulled.cable)?.id, at: node(pulled.at)? })
        }
    };
    let leads = match spot.place {
        Where::Point(point) => Leads::Point(node(point)?),
        Where::Plug => Leads::LoosePlug,
    };
    Some(Probe { leads, pull })
}

/// Where to stand: at the ends of a line, or at two points of a ring; a point that no cable meets
/// is read by itself.
pub fn stations(topology: &Topology) -> Vec<Station> {
    let first_cable = |point: usize| topology.cables_at(point).next();
    let mut points = topology.ends();
    // A tree has more ends than one walks to: the first, the last, and one between.
    if points.len() > 3 {
        points = vec![points[0], points[points.len() / 2], points[points.len() - 1]];
    }
    if points.is_empty() && !topology.cables.is_empty() {
        points = vec![0, topology.points.len() / 2];
        points.dedup();
    }
    if points.is_empty() {
        points = (0..topology.points.len().min(3)).collect();
    }
    points.into_iter().map(|point| Station { point, cable: first_cable(point) }).collect()
}

/// What each kind of fault would show at the readings of all stations, with every part as usual.
pub fn pictures(plan: &Plan<'_>, topology: &Topology, spots: &[Spot]) -> Vec<Picture> {
    let usual = Values::of(&Conditions::typical(plan), topology);
    let mut found = vec![Picture { fault: None, shows: both(&told(topology, &usual, &[], spots)) }];
    for fault in singles(topology) {
        let about = match fault {
            Fault::Missing { point } | Fault::Moved { from: point, .. } => Some(point),
            // One wire on a line is as both.
            Fault::Open { .. }
            | Fault::Loose { .. }
            | Fault::Swapped { .. }
            | Fault::Shorted { .. }
            | Fault::Extra { .. }
            | Fault::Ring { .. }
            | Fault::Grounded { .. } => None,
        };
        // A plug without contact is an open cable, looked at from one more side.
        let kind = if fault.kind() == Kind::Loose { Kind::Open } else { fault.kind() };
        let key = Some((kind, about));
        for at in if fault.kind() == Kind::Shorted { &[0.02, 0.98][..] } else { &[0.5] } {
            let values = Values { shorts: [Short { at: *at, ohms: 0.3 }; 2], ..usual.clone() };
            let shows = told(topology, &values, &[fault], spots);
            match found.iter_mut().find(|picture| picture.fault == key) {
                Some(picture) => {
                    for (range, shown) in picture.shows.iter_mut().zip(shows) {
                        *range = (range.0.min(shown), range.1.max(shown));
                    }
                }
                None => found.push(Picture { fault: key, shows: both(&shows) }),
            }
        }
    }
    found
}

fn both(shows: &[f64]) -> Vec<(f64, f64)> {
    shows.iter().map(|shown| (*shown, *shown)).collect()
}

/// Whether ohms between the two wires never tell a kind of fault from a right site, at any of these
/// spots.
pub fn is_blind(pictures: &[Picture], kind: Kind) -> bool {
    let Some(right) = pictures.first() else { return true };
    let near = |one: f64, two: f64| {
        // Both open is the same; no number is near what is open.
        one.is_infinite() && two.is_infinite() || (one - two).abs() <= 0.001 * one.abs()
    };
    pictures.iter().filter(|picture| picture.fault.is_some_and(|(own, _)| own == kind)).all(
        |picture| {
            let pairs = picture.shows.iter().zip(&right.shows);
            pairs.into_iter().all(|(own, right)| near(right.0, own.0) && near(right.1, own.1))
        },
    )
}

/// The single faults that some of these spots tell from a right site, and how many of all those
/// pairs each act tells apart that no act before it does: the acts in the order that decides
/// fastest, with the share of single faults that stand apart from a right site by then.
pub fn fastest(plan: &Plan<'_>, topology: &Topology, acts: &[Vec<Spot>]) -> Vec<(usize, f64)> {
    let usual = Values::of(&Conditions::typical(plan), topology);
    let mut states = vec![Vec::new()];
    let is_drawn = |fault: &Fault| {
        !matches!(
            fault,
            Fault::Swapped { .. } | Fault::Loose { .. } | Fault::Open { cut: Cut::One, .. }
        )
    };
    states.extend(singles(topology).into_iter().filter(is_drawn).map(|fault| vec![fault]));
    let shows: Vec<Vec<Vec<f64>>> = states
        .iter()
        .map(|faults| acts.iter().map(|act| told(topology, &usual, faults, act)).collect())
        .collect();
    let differ = |one: usize, two: usize, act: usize| {
        let pairs = shows[one][act].iter().zip(&shows[two][act]);
        pairs.into_iter().any(|(a, b)| a.is_finite() != b.is_finite() || apart(*a, *b))
    };
    let mut left: Vec<(usize, usize)> = (0..states.len())
        .flat_map(|one| (one + 1..states.len()).map(move |two| (one, two)))
        .collect();
    let all = left.len();
    let mut order: Vec<(usize, f64)> = Vec::new();
    while order.len() < acts.len() && all > 0 {
        let told_by = |act: usize| left.iter().filter(|(a, b)| differ(*a, *b, act)).count();
        let free = (0..acts.len()).filter(|act| order.iter().all(|(done, _)| done != act));
        // The first of those that tell most.
        let Some(best) = free.max_by_key(|act| (told_by(*act), std::cmp::Reverse(*act))) else {
            break;
        };
        if told_by(best) == 0 {
            break;
        }
        left.retain(|(a, b)| !differ(*a, *b, best));
        order.push((best, share(all - left.len(), all)));
    }
    order
}

fn share(part: usize, all: usize) -> f64 {
    let number = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    number(part) / number(all).max(1.0)
}

/// Whether readings of any ordinary meter tell two resistances apart: by a tenth, which is more than
/// what unknown terminators and units without power blur.
fn apart(one: f64, two: f64) -> bool {
    (one - two).abs() > 0.1 * one.abs().max(two.abs())
}
