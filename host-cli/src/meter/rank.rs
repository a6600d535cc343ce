//! Which hypotheses fit the readings, and which of them the readings cannot tell apart.

use super::fault::{Fault, Kind, pairs, singles};
use super::fit::{Fit, Scale, Shown, Taken, fit, predicted};
use super::topology::{Fitted, Topology};
use super::values::{Short, Spreads, Usual, Values};
use coldcheck_core::ohms::Conditions;
use coldcheck_core::plan::Plan;

/// What may be the case.
#[derive(Clone, Debug, PartialEq)]
pub struct Hypothesis {
    /// Faults: none, one or two.
    pub faults: Vec<Fault>,
    /// Points whose terminators are taken to be on, though no sheet says so for sure.
    pub assumed_on: Vec<usize>,
}

/// A hypothesis with how well it fits.
#[derive(Clone, Debug)]
pub struct Ranked {
    /// What may be the case.
    pub hypothesis: Hypothesis,
    /// The values that fit best.
    pub fit: Fit,
    /// The usual values under this hypothesis.
    pub usual: Usual,
    /// Score with what speaks for or against the hypothesis before any reading: lower is better.
    pub total: f64,
    /// Whether its misfit is no more than chance makes it once in a thousand times.
    pub fits: bool,
}

/// The outcome.
#[derive(Clone, Debug, Default)]
pub struct Ranking {
    /// Hypotheses that fit, the likeliest first.
    pub fitting: Vec<Ranked>,
    /// How many of those, from the first, the readings do not tell apart.
    pub front: usize,
    /// The best, if nothing fits.
    pub nearest: Option<Ranked>,
    /// Whether pairs of faults were tried.
    pub pairs_tried: bool,
}

/// A single fault is 50 times less likely than none, before any reading; two are that twice. Ours.
const FAULT_COST: f64 = 7.824;
/// Twice the logarithm of 20: what is less than 20 times likelier is not told apart. Ours.
pub const TOLD_APART: f64 = 5.991;
/// Combinations of terminators in doubt that single faults are tried on.
const BASES: usize = 3;
/// More single faults than this are not tried in pairs.
const MOST_FOR_PAIRS: usize = 100;
/// A hypothesis whose predictions are this far outside all bounds is not fitted.
const FAR_OUTSIDE: f64 = 0.1;
/// Wires that touch worse than this, in ohms, are not taken for wires that touch.
const WORST_TOUCH: f64 = 20.0;

/// Ranks hypotheses by readings.
pub fn rank(plan: &Plan<'_>, topology: &Topology, taken: &[Taken]) -> Ranking {
    rank_told(plan, topology, taken, &mut |_, _| {})
}

/// Ranks hypotheses by readings; says now and then how many hypotheses of how many were looked at.
pub fn rank_told(
    plan: &Plan<'_>,
    topology: &Topology,
    taken: &[Taken],
    tell: &mut dyn FnMut(usize, usize),
) -> Ranking {
    ranking(plan, topology, taken, true, tell)
}

/// Fewer readings than this do not tell which of them is a slip. Ours.
const LEAST_FOR_ODD: usize = 4;

/// The one reading that goes with none of the others: without it they fit what is declared, or one
/// fault. `None` where that can be said of several, or of none.
pub fn odd_one(
    plan: &Plan<'_>,
    topology: &Topology,
    taken: &[Taken],
    tell: &mut dyn FnMut(usize, usize),
) -> Option<(usize, Ranking)> {
    if taken.len() < LEAST_FOR_ODD {
        return None;
    }
    let mut without = |at: usize| {
        let others: Vec<Taken> =
            taken.iter().enumerate().filter(|(own, _)| *own != at).map(|(_, one)| *one).collect();
        ranking(plan, topology, &others, false, tell)
    };
    let mut found = (0..taken.len())
        .map(|at| (at, without(at)))
        .filter(|(_, ranking)| !ranking.fitting.is_empty());
    let odd = found.next()?;
    found.next().is_none().then_some(odd)
}

fn ranking(
    plan: &Plan<'_>,
    topology: &Topology,
    taken: &[Taken],
    with_pairs: bool,
    tell: &mut dyn FnMut(usize, usize),
) -> Ranking {
    if taken.is_empty() {
        return Ranking::default();
    }
    let ranker = Ranker { plan, topology, taken, spreads: Spreads::of(plan) };
    let singles = singles(topology);
    let assumed = assumptions(topology);
    let (mut done, mut of) = (0, assumed.len() + BASES.min(assumed.len()) * singles.len());
    let mut look = |of: usize| {
        done += 1;
        tell(done, of);
    };
    // Where no terminator in doubt explains anything, all are as in the first assumption.
    let mut declared: Vec<Ranked> = Vec::new();
    for (position, on) in assumed.into_iter().enumerate() {
        look(of);
        if position == 0 || ranker.may_fit(&[], &on) {
            declared.push(ranker.ranked(Vec::new(), on));
        }
    }
    sort(&mut declared);
    let bases: Vec<Vec<usize>> =
        declared.iter().take(BASES).map(|one| one.hypothesis.assumed_on.clone()).collect();
    let mut all = declared;
    for base in &bases {
        for fault in &singles {
            look(of);
            if ranker.may_fit(&[*fault], base) {
                all.push(ranker.ranked(vec![*fault], base.clone()));
            }
        }
    }
    let fits = |all: &[Ranked]| all.iter().any(|one| one.fits);
    let pairs_tried = with_pairs && !fits(&all) && singles.len() <= MOST_FOR_PAIRS;
    if pairs_tried {
        of += singles.len() * singles.len().saturating_sub(1) / 2;
        for pair in pairs(&singles) {
            look(of);
            if ranker.may_fit(&pair, &bases[0]) {
                all.push(ranker.ranked(pair.to_vec(), bases[0].clone()));
            }
        }
    }
    sort(&mut all);
    let nearest = (!fits(&all)).then(|| all.first().cloned()).flatten();
    all.retain(|one| one.fits);
    // The likeliest first, then the others that the readings do not tell from it: by themselves, or
    // with how likely each was before.
    let first = all.first().map_or((0.0, 0.0), |one| (one.fit.score, one.total));
    let (mut front, rest): (Vec<Ranked>, Vec<Ranked>) = all.into_iter().partition(|one| {
        one.fit.score - first.0 <= TOLD_APART || one.total - first.1 <= TOLD_APART
    });
    let count = front.len();
    front.extend(rest);
    Ranking { fitting: front, front: count, nearest, pairs_tried }
}

fn sort(ranked: &mut [Ranked]) {
    ranked.sort_by(|one, two| one.total.total_cmp(&two.total));
}

/// Which terminators in doubt may be on: none, those that switch themselves together, one or two
/// of which nothing is declared.
fn assumptions(topology: &Topology) -> Vec<Vec<usize>> {
    let those = |fitted: Fitted| -> Vec<usize> {
        let has = |point: &usize| {
            topology.points[*point].terminators.iter().any(|one| one.fitted == fitted)
        };
        (0..topology.points.len()).filter(has).collect()
    };
    let ends = topology.ends();
    let mut automatic = those(Fitted::Automatic);
    automatic.retain(|point| ends.contains(point) || topology.points.len() == 1);
    let unknown = those(Fitted::Unknown);
    let mut found = vec![Vec::new()];
    if !automatic.is_empty() {
        found.push(automatic.clone());
    }
    for (position, one) in unknown.iter().enumerate() {
        for two in std::iter::once(None).chain(unknown[position + 1..].iter().map(Some)) {
            let mut on = automatic.clone();
            on.push(*one);
            on.extend(two);
            found.push(on);
        }
    }
    found
}

struct Ranker<'r> {
    plan: &'r Plan<'r>,
    topology: &'r Topology,
    taken: &'r [Taken],
    spreads: Spreads,
}

impl Ranker<'_> {
    fn usual(&self, conditions: &Conditions, on: &[usize]) -> Values {
        let mut values = Values::of(conditions, self.topology);
        for (point, is_on) in values.doubtful_on.iter_mut().enumerate() {
            *is_on = on.contains(&point);
        }
        values
    }

    fn ranked(&self, faults: Vec<Fault>, on: Vec<usize>) -> Ranked {
        let values = self.usual(&Conditions::typical(self.plan), &on);
        let usual = Usual { values, spreads: self.spreads };
        let fit = fit(self.topology, &usual, &faults, self.taken);
        let count = u32::try_from(faults.len()).map_or(2.0, f64::from);
        let total = fit.score + FAULT_COST * count;
        let fits = fit.misfit <= once_in_a_thousand(self.taken.len());
        Ranked { hypothesis: Hypothesis { faults, assumed_on: on }, fit, usual, total, fits }
    }

    /// Whether every reading lies between what the hypothesis predicts with every part at its
    /// lowest and at its highest, with room: a look that costs a few solutions instead of fifty.
    fn may_fit(&self, faults: &[Fault], on: &[usize]) -> bool {
        let spots: Vec<_> = self.taken.iter().map(|one| one.spot).collect();
        let is_short = |fault: &Fault| matches!(fault, Fault::Shorted { .. });
        // A short is nearest to a meter when it lies at one of the cable's ends.
        let places: &[f64] = if faults.iter().any(is_short) { &[0.0, 1.0] } else { &[0.5] };
        let mut bounds = vec![(f64::INFINITY, f64::NEG_INFINITY); spots.len()];
        for (conditions, touch) in
            [(Conditions::low(self.plan), 0.0), (Conditions::high(self.plan), WORST_TOUCH)]
        {
            let mut values = self.usual(&conditions, on);
            for at in places {
                values.shorts = [Short { at: *at, ohms: touch }; 2];
                let told = predicted(self.topology, &values, faults, &spots);
                for (bound, told) in bounds.iter_mut().zip(told) {
                    *bound = (bound.0.min(told), bound.1.max(told));
                }
            }
        }
        bounds.iter().zip(self.taken).all(|((least, most), taken)| match taken.shown {
            Shown::Ohms(ohms, deviation) => {
                let scale = Scale::of(ohms, deviation);
                let room = FAR_OUTSIDE + 4.0 * scale.spread;
                (scale.of_told(*least) - room..=scale.of_told(*most) + room).contains(&scale.shown)
            }
            Shown::Above(limit) => most + FAR_OUTSIDE >= limit.max(1e-3).ln(),
        })
    }
}

/// A sum of so many squared standard deviations that chance exceeds it once in a thousand times
/// (Wilson and Hilferty's approximation of the chi-square distribution).
pub fn once_in_a_thousand(readings: usize) -> f64 {
    let count = f64::from(u32::try_from(readings.max(1)).unwrap_or(u32::MAX));
    let part = 2.0 / (9.0 * count);
    count * (1.0 - part + 3.0902 * part.sqrt()).powi(3)
}

impl Ranking {
    /// Those that the readings do not tell apart from the likeliest.
    pub fn front(&self) -> &[Ranked] {
        self.fitting.get(..self.front).unwrap_or(&[])
    }

    /// Whether what is declared is among those that the readings cannot rule out.
    pub fn declared_fits(&self) -> bool {
        self.front().iter().any(|one| one.hypothesis.faults.is_empty())
    }
}

impl Hypothesis {
    /// The kinds of its faults.
    pub fn kinds(&self) -> Vec<Kind> {
        self.faults.iter().map(|fault| fault.kind()).collect()
    }
}
