//! Generated lines with one fault, read with an instrument that is not exact.

use super::Link;
use crate::generate::Dice;
use coldcheck::meter::circuit::{Between, Circuit, Pulled, Where};
use coldcheck::meter::fault::{Fault, Kind, singles};
use coldcheck::meter::fit::{Shown, Spot, Taken};
use coldcheck::meter::next::{Among, next};
use coldcheck::meter::rank::{Ranking, rank};
use coldcheck::meter::topology::Topology;
use coldcheck::meter::values::{Short, Values};
use coldcheck_core::ohms::Conditions;
use std::collections::BTreeMap;

/// An instrument's error: every reading is off by up to this share.
const ERROR: f64 = 0.01;
/// Above this an instrument shows that it is over range.
const RANGE: f64 = 2e6;
/// Units without power, in ohms.
const LEAST_LOAD: f64 = 15e3;
const MOST_LOAD: f64 = 200e3;
/// No terminator is behind a reading of more ohms than this.
const LOADS_ALONE: f64 = 400.0;

/// What became of one site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Told {
    /// The true fault came first, by itself or before others that are not told apart.
    First,
    /// Others came first, and it was named among those that the readings do not tell apart.
    NotApart,
    /// It was not named in front.
    Missed,
}

/// One site read and ranked.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    /// The true fault's kind; `None` is a right site.
    pub truth: Option<Kind>,
    /// What came first.
    pub first: First,
    /// Whether the same parts with any other fault would read outside of the instrument's error at
    /// one of the spots at least. The ranking has no say in it.
    pub is_distinguishable: bool,
    /// What became of it.
    pub told: Told,
}

/// The kind that came first; `None` is the declared site.
pub type First = Result<Option<Kind>, NothingFits>;

/// No hypothesis fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct NothingFits;

/// A number from 0 to 1.
fn share(dice: &mut Dice) -> f64 {
    f64::from(u32::try_from(dice.roll(1_000_001)).expect("small")) / 1e6
}

fn between(dice: &mut Dice, low: f64, high: f64) -> f64 {
    low + (high - low) * share(dice)
}

/// A right line: lengths of 0.5 to 10 m, terminators at both ends.
///
/// # Panics
/// Never: a roll of a hundred fits any number.
pub fn right_line(units: usize, dice: &mut Dice) -> Link {
    let mut link = Link::of(units);
    link.terminate(0, 120);
    link.terminate(units - 1, 120);
    for unit in 1..units {
        let millimetres = 500 + 100 * u32::try_from(dice.roll(96)).expect("few");
        link.join(unit - 1, unit, Some(millimetres));
    }
    link
}

/// What the parts of a site really are: terminators within 3 %, units of 15 to 200 kΩ, 24 or 26 AWG
/// from -5 to 45 °C, contacts up to 20 mΩ, wires that touch anywhere in a cable.
pub fn true_values(link: &Link, topology: &Topology, dice: &mut Dice) -> Values {
    let mut values = Values::of(&Conditions::typical(&link.plan()), topology);
    for terminator in &mut values.terminators {
        *terminator = between(dice, 0.97, 1.03);
    }
    values.extra = 120.0 * between(dice, 0.97, 1.03);
    values.node = between(dice, LEAST_LOAD.ln(), MOST_LOAD.ln()).exp().recip();
    let copper = if dice.roll(2) == 0 { 0.08421 } else { 0.1339 };
    values.conductor = copper * (1.0 + 0.00393 * (between(dice, -5.0, 45.0) - 20.0));
    values.contact = between(dice, 0.0, 0.02);
    values.unknown_metres = between(dice, 0.5, 10.0);
    let short = Short { at: between(dice, 0.05, 0.95), ohms: between(dice, 0.05, 2.0) };
    values.shorts = [short, short];
    values
}

/// What a meter shows there.
pub fn shown(ohms: f64, error: f64) -> Shown {
    if ohms > RANGE {
        return Shown::Above(RANGE);
    }
    let read = ohms * (1.0 + error);
    // An error of which only the bounds are known has this deviation.
    Shown::Ohms(read, ERROR * read / 3.0_f64.sqrt())
}

struct Bench<'b> {
    topology: &'b Topology,
    values: Values,
    faults: &'b [Fault],
}

impl Bench<'_> {
    fn read(&self, spot: Spot, error: f64) -> Taken {
        let circuit = Circuit::of(self.topology, &self.values, self.faults, spot.pulled);
        Taken { spot, shown: shown(circuit.ohms(spot.place, Between::Pair), error) }
    }

    /// What these parts read with other faults.
    fn with(&self, faults: &[Fault], values: &Values, taken: &[Taken]) -> Vec<f64> {
        let at = |taken: &Taken| {
            let circuit = Circuit::of(self.topology, values, faults, taken.spot.pulled);
            circuit.ohms(taken.spot.place, Between::Pair)
        };
        taken.iter().map(at).collect()
    }

    fn is_distinguishable(&self, taken: &[Taken]) -> bool {
        let own = self.with(self.faults, &self.values, taken);
        let mut rivals: Vec<Vec<Fault>> = vec![Vec::new()];
        rivals.extend(singles(self.topology).into_iter().map(|fault| vec![fault]));
        rivals.retain(|rival| !is_same(rival, self.faults));
        rivals.iter().all(|rival| {
            // Where and how well two wires touch is anything.
            let touches: Vec<Short> = match rival.as_slice() {
                [Fault::Shorted { .. }] => [0.05, 0.1, 0.2, 0.4, 0.8, 1.4, 2.0]
                    .into_iter()
                    .flat_map(|ohms| {
                        (1..=19).map(move |step| Short { at: f64::from(step) / 20.0, ohms })
                    })
                    .collect(),
                _ => vec![self.values.shorts[0]],
            };
            touches.into_iter().all(|touch| {
                let mut values = self.values.clone();
                values.shorts[0] = touch;
                let other = self.with(rival, &values, taken);
                own.iter().zip(other).any(|(own, other)| differ(*own, other))
            })
        })
    }
}

/// Whether no reading of either would do for the other: more than both their errors apart. What
/// unit loads alone read says nothing below their own range, 15 to 200 kΩ.
fn differ(one: f64, two: f64) -> bool {
    match (one > RANGE, two > RANGE) {
        (true, true) => false,
        (false, false) if one.min(two) > LOADS_ALONE => {
            one.max(two) > one.min(two) * (MOST_LOAD / LEAST_LOAD)
        }
        (false, false) => (one - two).abs() > ERROR * (one + two),
        (true, false) | (false, true) => true,
    }
}

/// Whether two hypotheses are one answer: the same faults; or one cable that is open, be it at a
/// plug or between them.
fn is_same(one: &[Fault], two: &[Fault]) -> bool {
    let open = |faults: &[Fault]| match faults {
        [Fault::Open { cable, .. } | Fault::Loose { cable, .. }] => Some(*cable),
        _ => None,
    };
    one == two || open(one).is_some() && open(one) == open(two)
}

/// Makes a site with this fault, reads it at both ends and at one pulled cable, and ranks.
pub fn try_one(link: &Link, fault: Option<Fault>, dice: &mut Dice) -> Outcome {
    let plan = link.plan();
    let topology = Topology::of(&plan);
    let faults: Vec<Fault> = fault.into_iter().collect();
    let bench =
        Bench { topology: &topology, values: true_values(link, &topology, dice), faults: &faults };
    let last = topology.points.len() - 1;
    let mut error = || between(dice, -ERROR, ERROR);
    let plugged = |point| Spot { place: Where::Point(point), pulled: None };
    let mut taken: Vec<Taken> = [0, last].map(|point| bench.read(plugged(point), error())).to_vec();
    let so_far = rank(&plan, &topology, &taken);
    let act = next(&topology, &so_far, &taken, ERROR, Among::Pulls);
    let spots = act.map_or_else(
        || {
            let pulled = Some(Pulled { cable: last - 1, at: last });
            [Where::Point(last), Where::Plug].map(|place| Spot { place, pulled }).to_vec()
        },
        |act| act.spots,
    );
    for spot in &spots {
        taken.push(bench.read(*spot, error()));
    }
    let ranking = rank(&plan, &topology, &taken);
    let is_truth = |ranking: &Ranking, position: usize| {
        ranking.fitting.get(position).is_some_and(|one| is_same(&one.hypothesis.faults, &faults))
    };
    let told = if is_truth(&ranking, 0) {
        Told::First
    } else if (0..ranking.front).any(|position| is_truth(&ranking, position)) {
        Told::NotApart
    } else {
        Told::Missed
    };
    Outcome {
        truth: fault.map(Fault::kind),
        first: match ranking.fitting.first() {
            Some(first) => Ok(first.hypothesis.kinds().first().copied()),
            None => Err(NothingFits),
        },
        is_distinguishable: bench.is_distinguishable(&taken),
        told,
    }
}

/// Every single fault of lines of so many units, each so many times, or one in so many of them; the
/// right line as well.
///
/// # Panics
/// Never: units are few.
pub fn try_all(units: usize, times: u64, one_in: usize, mut each: impl FnMut(Outcome)) {
    for time in 0..times {
        let mut dice = Dice::new(1000 * u64::try_from(units).expect("few") + time);
        let link = right_line(units, &mut dice);
        let topology = Topology::of(&link.plan());
        let faults = singles(&topology).into_iter().map(Some);
        for fault in std::iter::once(None).chain(faults) {
            if dice.roll(one_in) == 0 {
                each(try_one(&link, fault, &mut dice));
            }
        }
    }
}

/// Counts of outcomes.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Sites that the readings tell from all others, and those where the truth came first.
    pub distinguishable: (u64, u64),
    /// Sites that they do not, and those where the truth is first or named among those not told
    /// apart.
    pub others: (u64, u64),
    /// How often each kind came first, by the true kind; `None` is the declared site.
    pub confusion: BTreeMap<(Option<Kind>, First), u64>,
}

impl Tally {
    /// Counts one.
    pub fn add(&mut self, outcome: &Outcome) {
        let counts = if outcome.is_distinguishable {
            self.distinguishable.1 += u64::from(outcome.told == Told::First);
            &mut self.distinguishable.0
        } else {
            self.others.1 += u64::from(outcome.told != Told::Missed);
            &mut self.others.0
        };
        *counts += 1;
        *self.confusion.entry((outcome.truth, outcome.first)).or_default() += 1;
    }

    /// The share of distinguishable sites whose true fault came first.
    pub fn share_first(&self) -> f64 {
        ratio(self.distinguishable)
    }

    /// The share of the others whose true fault is named in front.
    pub fn share_named(&self) -> f64 {
        ratio(self.others)
    }
}

fn ratio((all, good): (u64, u64)) -> f64 {
    let number = |count: u64| f64::from(u32::try_from(count).expect("few"));
    if all == 0 { 0.0 } else { number(good) / number(all) }
}
