//! How well a hypothesis explains readings: the likeliest values of its parts, and what they cost.
//!
//! Each part has a usual value and a spread; a reading has the spread of its instrument. A
//! hypothesis is tried with the values that make its parts and the readings likeliest together
//! (Gauss-Newton with damping). Its score is twice the negative logarithm of its evidence by
//! Laplace's method: the misfit, what the parts had to be bent for it, and how narrow a choice of
//! values does it. So a hypothesis that could explain anything is not taken for one that explains
//! just this.

use super::circuit::{Between, Circuit, Pulled, Where};
use super::fault::Fault;
use super::topology::{Fitted, Topology};
use super::values::{Usual, Values};
use nalgebra::{Cholesky, DMatrix, DVector};

/// Where a reading is or may be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Spot {
    /// Where the leads are.
    pub place: Where,
    /// The cable that is out.
    pub pulled: Option<Pulled>,
}

/// What a meter showed, between the two wires.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shown {
    /// So many ohms, with a standard deviation in ohms.
    Ohms(f64, f64),
    /// More than so many ohms: over range.
    Above(f64),
}

/// A reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taken {
    /// Where.
    pub spot: Spot,
    /// What.
    pub shown: Shown,
}

/// A hypothesis with the values that fit best.
#[derive(Clone, Debug)]
pub struct Fit {
    /// The values.
    pub values: Values,
    /// Misfit of the readings and of the parts, in squared standard deviations.
    pub misfit: f64,
    /// Twice the negative logarithm of the evidence, up to what all hypotheses have alike.
    pub score: f64,
    at: DVector<f64>,
    covariance: DMatrix<f64>,
    knobs: Vec<Knob>,
}

/// A value that is not known, in standard deviations from the usual one.
#[derive(Clone, Copy, Debug)]
enum Knob {
    Terminator(usize),
    Node,
    Conductor,
    Contact,
    UnknownLength,
    Extra,
    Rails,
    ShortAt(usize),
    ShortOhms(usize),
}

/// Where two wires touch, they do so with less than an ohm: usual, and its spread as a natural
/// logarithm. Ours.
const SHORT_SPREAD: f64 = 2.0;
const SHORT_USUAL: f64 = 0.1;
/// What the model itself is not better than.
const MODEL_SPREAD: f64 = 0.001;
/// Less than this many ohms are none.
const LEAST_SHOWN: f64 = 1e-3;
/// Where a reading is above the range, a prediction below it by this share is one deviation off.
const RANGE_SPREAD: f64 = 0.05;
/// More ohms than this are open for any meter.
const OPEN: f64 = 1e8;

impl Knob {
    fn turn(self, values: &mut Values, usual: &Usual, by: f64) {
        let (typical, spreads) = (&usual.values, &usual.spreads);
        match self {
            Self::Terminator(point) => {
                values.terminators[point] =
                    typical.terminators[point] * spreads.terminator.factor(by);
            }
            Self::Node => values.node = typical.node * spreads.node.factor(by),
            Self::Conductor => {
                values.conductor = typical.conductor * spreads.conductor.factor(by);
            }
            Self::Contact => {
                let (low, high) = spreads.contact;
                values.contact = low + (high - low) * share(by);
            }
            Self::UnknownLength => {
                values.unknown_metres = typical.unknown_metres * spreads.length.factor(by);
            }
            Self::Extra => values.extra = typical.extra * spreads.terminator.factor(by),
            Self::Rails => values.rails = share(by),
            Self::ShortAt(short) => values.shorts[short].at = share(by),
            Self::ShortOhms(short) => {
                values.shorts[short].ohms = SHORT_USUAL * (SHORT_SPREAD * by).exp();
            }
        }
    }
}

/// A share of which every value from 0 to 1 is alike likely.
fn share(deviations: f64) -> f64 {
    0.5 * (1.0 + libm::erf(deviations / std::f64::consts::SQRT_2))
}

fn knobs(topology: &Topology, usual: &Usual, faults: &[Fault]) -> Vec<Knob> {
    let is_on = |point: usize| {
        let mut own = topology.points[point].terminators.iter();
        own.any(|one| one.fitted == Fitted::On || usual.values.doubtful_on[point])
    };
    let points = (0..topology.points.len()).filter(|point| is_on(*point));
    let mut knobs: Vec<Knob> = points.map(Knob::Terminator).collect();
    if topology.points.iter().any(|point| point.is_load) {
        knobs.push(Knob::Node);
    }
    if !topology.cables.is_empty() {
        knobs.extend([Knob::Conductor, Knob::Contact]);
    }
    let is_ring = |fault: &Fault| matches!(fault, Fault::Ring { .. });
    if topology.cables.iter().any(|cable| cable.metres.is_none()) || faults.iter().any(is_ring) {
        knobs.push(Knob::UnknownLength);
    }
    if faults.iter().any(|fault| matches!(fault, Fault::Extra { .. })) {
        knobs.push(Knob::Extra);
    }
    if !topology.bias.is_empty() {
        knobs.push(Knob::Rails);
    }
    let shorts = faults.iter().filter(|fault| matches!(fault, Fault::Shorted { .. })).count();
    for short in 0..shorts.min(2) {
        knobs.extend([Knob::ShortAt(short), Knob::ShortOhms(short)]);
    }
    knobs
}

/// How readings are compared: as logarithms, since parts vary by shares; but near zero in ohms,
/// where an instrument is not exact to any share. Both are the logarithm of the ohms with an offset,
/// which is nothing where the reading is ten times its deviation or more.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    offset: f64,
    /// The reading.
    pub(super) shown: f64,
    /// Its standard deviation.
    pub(super) spread: f64,
}

impl Scale {
    /// For a reading with its standard deviation, in ohms.
    pub(super) fn of(ohms: f64, deviation: f64) -> Self {
        let ohms = ohms.max(0.0);
        let offset = (10.0 * deviation - ohms).max(LEAST_SHOWN);
        let at = ohms + offset;
        let spread = (deviation / at).hypot(MODEL_SPREAD);
        Self { offset, shown: at.ln(), spread }
    }

    /// A logarithm of ohms on this scale.
    pub(super) fn of_told(self, told: f64) -> f64 {
        (told.exp() + self.offset).ln()
    }
}

/// The logarithm of what is predicted at each spot; each state of the cables is built once.
pub fn predicted(
    topology: &Topology,
    values: &Values,
    faults: &[Fault],
    spots: &[Spot],
) -> Vec<f64> {
    let mut built: Vec<(Option<Pulled>, Circuit)> = Vec::new();
    spots
        .iter()
        .map(|spot| {
            let known = built.iter().position(|(pulled, _)| *pulled == spot.pulled);
            let position = known.unwrap_or_else(|| {
                built.push((spot.pulled, Circuit::of(topology, values, faults, spot.pulled)));
                built.len() - 1
            });
            built[position].1.ohms(spot.place, Between::Pair).clamp(1e-6, OPEN).ln()
        })
        .collect()
}

/// A hypothesis held against readings.
struct Problem<'p> {
    topology: &'p Topology,
    usual: &'p Usual,
    faults: &'p [Fault],
    knobs: Vec<Knob>,
    spots: Vec<Spot>,
    taken: &'p [Taken],
}

impl Problem<'_> {
    fn values(&self, at: &DVector<f64>) -> Values {
        let mut values = self.usual.values.clone();
        for (knob, by) in self.knobs.iter().zip(at.iter()) {
            knob.turn(&mut values, self.usual, *by);
        }
        values
    }

    /// Each reading's misfit in standard deviations.
    fn misfits(&self, at: &DVector<f64>) -> DVector<f64> {
        let told = predicted(self.topology, &self.values(at), self.faults, &self.spots);
        let one = |(told, taken): (&f64, &Taken)| match taken.shown {
            Shown::Ohms(ohms, deviation) => {
                let scale = Scale::of(ohms, deviation);
                // What is open predicts no number, however large.
                (scale.of_told(*told) - scale.shown) / scale.spread
            }
            Shown::Above(limit) => (told - limit.max(1e-3).ln()).min(0.0) / RANGE_SPREAD,
        };
        DVector::from_iterator(told.len(), told.iter().zip(self.taken).map(one))
    }

    fn slopes(&self, at: &DVector<f64>, here: &DVector<f64>) -> DMatrix<f64> {
        const STEP: f64 = 1e-4;
        let mut slopes = DMatrix::zeros(here.len(), at.len());
        for knob in 0..at.len() {
            let mut moved = at.clone();
            moved[knob] += STEP;
            slopes.set_column(knob, &((self.misfits(&moved) - here) / STEP));
        }
        slopes
    }

    fn solve(&self, start: DVector<f64>) -> Fit {
        let cost =
            |at: &DVector<f64>, misfits: &DVector<f64>| misfits.norm_squared() + at.norm_squared();
        let mut at = start;
        let mut misfits = self.misfits(&at);
        let mut least = cost(&at, &misfits);
        let mut damping = 1e-3;
        let mut slopes = self.slopes(&at, &misfits);
        for _ in 0..MOST_STEPS {
            let pull = slopes.tr_mul(&misfits) + &at;
            let mut curve = slopes.tr_mul(&slopes);
            for knob in 0..at.len() {
                curve[(knob, knob)] += 1.0 + damping;
            }
            let Some(way) = Cholesky::new(curve) else { break };
            let next = &at - way.solve(&pull);
            let there = self.misfits(&next);
            let new = cost(&next, &there);
            if new < least {
                let is_enough = least - new < 1e-3;
                (at, misfits, least) = (next, there, new);
                slopes = self.slopes(&at, &misfits);
                damping *= 0.2;
                if is_enough {
                    break;
                }
            } else {
                damping *= 10.0;
                if damping > 1e6 {
                    break;
                }
            }
        }
        let mut curve = slopes.tr_mul(&slopes);
        for knob in 0..at.len() {
            curve[(knob, knob)] += 1.0;
        }
        let way = Cholesky::new(curve);
        let narrow = way.as_ref().map_or(0.0, |way| 2.0 * way.l().diagonal().map(f64::ln).sum());
        let identity = DMatrix::identity(at.len(), at.len());
        Fit {
            values: self.values(&at),
            misfit: least,
            score: least + narrow,
            covariance: way.map_or(identity, |way| way.inverse()),
            knobs: self.knobs.clone(),
            at,
        }
    }
}

/// Steps of the search; a handful is the rule.
const MOST_STEPS: usize = 12;

/// Fits a hypothesis to readings.
pub fn fit(topology: &Topology, usual: &Usual, faults: &[Fault], taken: &[Taken]) -> Fit {
    let knobs = knobs(topology, usual, faults);
    let problem = Problem {
        topology,
        usual,
        faults,
        spots: taken.iter().map(|one| one.spot).collect(),
        taken,
        knobs,
    };
    // Where along a cable two wires touch has more than one answer that no small step betters.
    let is_place = |knob: &Knob| matches!(knob, Knob::ShortAt(_));
    let starts: &[f64] =
        if problem.knobs.iter().any(is_place) { &[-1.3, 0.0, 1.3] } else { &[0.0] };
    let mut best: Option<Fit> = None;
    for start in starts {
        let from = problem.knobs.iter().map(|knob| if is_place(knob) { *start } else { 0.0 });
        let found = problem.solve(DVector::from_iterator(problem.knobs.len(), from));
        if best.as_ref().is_none_or(|best| found.misfit < best.misfit) {
            best = Some(found);
        }
    }
    best.unwrap_or_else(|| problem.solve(DVector::zeros(problem.knobs.len())))
}

impl Fit {
    /// What the fitted hypothesis says of other spots: logarithms, with the standard deviation that
    /// the parts leave; the instrument comes on top.
    pub fn foretold(
        &self,
        topology: &Topology,
        usual: &Usual,
        faults: &[Fault],
        spots: &[Spot],
    ) -> Vec<(f64, f64)> {
        const STEP: f64 = 1e-3;
        let here = predicted(topology, &self.values, faults, spots);
        let slopes: Vec<Vec<f64>> = self
            .knobs
            .iter()
            .enumerate()
            .map(|(knob, turned)| {
                let mut values = self.values.clone();
                turned.turn(&mut values, usual, self.at[knob] + STEP);
                let there = predicted(topology, &values, faults, spots);
                there.iter().zip(&here).map(|(there, here)| (there - here) / STEP).collect()
            })
            .collect();
        let spread = |spot: usize| {
            let slope = DVector::from_iterator(slopes.len(), slopes.iter().map(|one| one[spot]));
            (&self.covariance * &slope).dot(&slope).max(0.0).sqrt()
        };
        here.iter().enumerate().map(|(spot, told)| (*told, spread(spot))).collect()
    }

    /// Where along its cable the first short lies, as shares from the first end: the likeliest, and
    /// one standard deviation to either side.
    pub fn short_at(&self) -> Option<[f64; 3]> {
        let knob = self.knobs.iter().position(|knob| matches!(knob, Knob::ShortAt(0)))?;
        let spread = self.covariance[(knob, knob)].max(0.0).sqrt();
        let at = self.at[knob];
        Some([share(at - spread), share(at), share(at + spread)])
    }
}
