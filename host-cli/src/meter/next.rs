//! Which further reading tells the hypotheses in front apart best.

use super::circuit::{Pulled, Where};
use super::fit::{Spot, Taken};
use super::names::pulled_at;
use super::rank::{Ranked, Ranking};
use super::topology::Topology;

/// A thing to do at one place, with the readings that it gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Act {
    /// The readings: one with all plugged, or two with a cable out.
    pub spots: Vec<Spot>,
    /// How much of the doubt it takes away: 0 to 1.
    pub worth: f64,
}

/// Hypotheses that are weighed; the others are too unlikely to matter.
const MOST_WEIGHED: usize = 12;
/// Readings that differ by so many standard deviations tell two hypotheses apart.
const APART: f64 = 3.0;
/// An act worth less than this is not worth the way.
const LEAST_WORTH: f64 = 0.02;
/// A pulled cable costs time; a reading with all plugged is taken first if it is nearly as good.
const PULL_SHARE: f64 = 0.9;

/// Which acts come into question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Among {
    /// All.
    All,
    /// Those with a cable pulled.
    Pulls,
}

/// What to do next, if anything between the two wires helps. The share is the instrument's
/// standard deviation by the reading.
pub fn next(
    topology: &Topology,
    ranking: &Ranking,
    taken: &[Taken],
    share: f64,
    among: Among,
) -> Option<Act> {
    let weighed: Vec<&Ranked> = ranking.fitting.iter().take(MOST_WEIGHED).collect();
    if weighed.len() < 2 {
        return None;
    }
    let least = weighed.iter().map(|one| one.total).fold(f64::INFINITY, f64::min);
    let weights: Vec<f64> = weighed.iter().map(|one| (-0.5 * (one.total - least)).exp()).collect();
    let sum: f64 = weights.iter().sum();
    let mut acts = acts(topology, taken);
    let is_pull = |act: &Vec<Spot>| act.iter().any(|spot| spot.pulled.is_some());
    acts.retain(|act| among == Among::All || is_pull(act));
    let spots: Vec<Spot> = acts.iter().flatten().copied().collect();
    let told: Vec<Vec<(f64, f64)>> = weighed
        .iter()
        .map(|one| one.fit.foretold(topology, &one.usual, &one.hypothesis.faults, &spots))
        .collect();
    let all_doubt: f64 = doubt(&weights, sum, |_, _| true);
    let mut first = 0;
    let mut best: Option<(f64, Act)> = None;
    for act in acts {
        let own = first..first + act.len();
        first = own.end;
        let apart = |one: usize, two: usize| {
            let squares = own.clone().map(|spot| {
                let ((a, spread_a), (b, spread_b)) = (told[one][spot], told[two][spot]);
                let spread = spread_a.hypot(spread_b).hypot(share).max(1e-6);
                ((a - b) / spread).powi(2)
            });
            squares.sum::<f64>().sqrt() > APART
        };
        let worth = if all_doubt > 0.0 { doubt(&weights, sum, apart) / all_doubt } else { 0.0 };
        let weighed = if is_pull(&act) { worth * PULL_SHARE } else { worth };
        let is_better = best.as_ref().is_none_or(|(most, _)| weighed > *most + 1e-9);
        if worth >= LEAST_WORTH && is_better {
            best = Some((weighed, Act { spots: act, worth }));
        }
    }
    best.map(|(_, act)| act)
}

/// The share of pairs, by weight, for which something holds.
fn doubt(weights: &[f64], sum: f64, holds: impl Fn(usize, usize) -> bool) -> f64 {
    let mut share = 0.0;
    for one in 0..weights.len() {
        for two in one + 1..weights.len() {
            if holds(one, two) {
                share += weights[one] * weights[two] / (sum * sum);
            }
        }
    }
    share
}

/// Everything that can be read and was not: each point with all plugged, and each cable pulled at
/// either end, into the socket and into the loose plug.
fn acts(topology: &Topology, taken: &[Taken]) -> Vec<Vec<Spot>> {
    let is_new = |spot: &Spot| taken.iter().all(|taken| taken.spot != *spot);
    let points = (0..topology.points.len())
        .map(|point| vec![Spot { place: Where::Point(point), pulled: None }]);
    let pulls = topology.cables.iter().enumerate().flat_map(|(cable, lead)| {
        let first = pulled_at(topology, cable);
        let second = if lead.ends[0] == first { lead.ends[1] } else { lead.ends[0] };
        [first, second].map(|at| {
            let pulled = Some(Pulled { cable, at });
            [Where::Point(at), Where::Plug].map(|place| Spot { place, pulled }).to_vec()
        })
    });
    points.chain(pulls).filter(|act| act.iter().all(is_new)).collect()
}
