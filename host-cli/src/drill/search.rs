//! The ideal search: how few readings tell a fault from its rivals, whichever of them it is.
//!
//! Each act cuts the rivals into those that would read alike. What is minimised is the worst case:
//! the readings that suffice for every rival. The search deepens a budget one by one (iterative
//! deepening over cuts, each state kept with the most that is known not to suffice), so the first
//! budget that suffices is the least. It is bounded from below by two arguments:
//!
//! - whoever answers always with the largest part takes at most so many rivals away for each act as
//!   lie outside its largest part; the acts that take most away for their cost, added until one
//!   rival is left, cannot be beaten (a fractional knapsack);
//! - an act has at most so many answers, so that a budget tells apart at most so many rivals as
//!   products of answers within it.
//!
//! An act whose cut another one refines at the same cost or less is left out: it is never needed.

use std::collections::BTreeMap;

/// Rivals as a set of small numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Set([u64; WORDS]);

const WORDS: usize = 4;
/// Most rivals that a search takes, those alike counted once.
pub const MOST: usize = WORDS * 64;
/// States after which a search is given up, and with it the drill: a second or two on a laptop. Benches
/// of up to five units need a tenth of them.
const MOST_STATES: usize = 10_000;

impl Set {
    /// The first so many.
    pub fn first(count: usize) -> Self {
        let mut set = Self::default();
        (0..count.min(MOST)).for_each(|at| set.add(at));
        set
    }

    /// Takes one in.
    pub fn add(&mut self, at: usize) {
        if let Some(word) = self.0.get_mut(at / 64) {
            *word |= 1 << (at % 64);
        }
    }

    /// Whether it is in.
    pub fn has(self, at: usize) -> bool {
        self.0.get(at / 64).is_some_and(|word| word >> (at % 64) & 1 != 0)
    }

    /// How many there are.
    pub fn count(self) -> u32 {
        self.0.iter().map(|word| word.count_ones()).sum()
    }

    /// All of them.
    pub fn members(self) -> impl Iterator<Item = usize> {
        (0..MOST).filter(move |at| self.has(*at))
    }

    fn and(self, other: Self) -> Self {
        let mut both = self;
        both.0.iter_mut().zip(other.0).for_each(|(own, other)| *own &= other);
        both
    }
}

/// An act as the search sees it.
#[derive(Clone, Debug)]
struct Cut {
    act: usize,
    cost: u32,
    /// Rivals by answer.
    parts: Vec<Set>,
}

/// What to do, and what follows from each answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tree {
    /// These rivals are left, and nothing tells them apart.
    Found(Vec<usize>),
    /// An act, by its place among all; for each answer what follows.
    Read(usize, Vec<(usize, Tree)>),
}

/// Rivals with what each act would show of each: `answers[act][rival]` is the number of an answer.
#[derive(Debug)]
pub struct Search {
    /// Rivals that no act tells apart, together.
    classes: Vec<Vec<usize>>,
    cuts: Vec<Cut>,
    /// By state: a budget that does not suffice, and one that does with its act.
    known: BTreeMap<Set, (u32, Option<(u32, usize)>)>,
    states: usize,
    answers: Vec<Vec<usize>>,
}

impl Search {
    /// Prepares a search; `None` if there are more rivals than it takes.
    pub fn of(costs: &[u32], answers: Vec<Vec<usize>>) -> Option<Self> {
        let rivals = answers.first().map_or(0, Vec::len);
        let mut classes: Vec<Vec<usize>> = Vec::new();
        for rival in 0..rivals {
            let alike = |class: &&mut Vec<usize>| {
                answers.iter().all(|of| class.first().is_some_and(|one| of[*one] == of[rival]))
            };
            match classes.iter_mut().find(alike) {
                Some(class) => class.push(rival),
                None => classes.push(vec![rival]),
            }
        }
        if classes.len() > MOST {
            return None;
        }
        let mut cuts: Vec<Cut> = Vec::new();
        for (act, of) in answers.iter().enumerate() {
            let mut parts: BTreeMap<usize, Set> = BTreeMap::new();
            for (at, class) in classes.iter().enumerate() {
                parts.entry(of[class[0]]).or_default().add(at);
            }
            let cost = costs.get(act).copied().unwrap_or(1).max(1);
            cuts.push(Cut { act, cost, parts: parts.into_values().collect() });
        }
        let all = Set::first(classes.len());
        let cuts = useful(all, &cuts);
        Some(Self { classes, cuts, known: BTreeMap::new(), states: 0, answers })
    }

    /// How many kinds of rivals there are that can be told apart.
    pub fn classes(&self) -> usize {
        self.classes.len()
    }

    /// The least number of readings that suffices for every rival, and the tree of the search;
    /// `None` if it was given up.
    pub fn solve(&mut self) -> Option<(u32, Tree)> {
        let all = Set::first(self.classes.len());
        let least = self.least(all)?;
        Some((least, self.tree(all)?))
    }

    fn least(&mut self, state: Set) -> Option<u32> {
        let mut budget = below(state, &useful(state, &self.cuts));
        loop {
            if self.suffices(state, budget)? {
                return Some(budget);
            }
            budget += 1;
        }
    }

    /// Whether a budget tells all rivals of a state apart; `None` if the search is given up.
    fn suffices(&mut self, state: Set, budget: u32) -> Option<bool> {
        if state.count() <= 1 {
            return Some(true);
        }
        let (fails, found) = self.known.get(&state).copied().unwrap_or((0, None));
        if budget <= fails {
            return Some(false);
        }
        if found.is_some_and(|(enough, _)| budget >= enough) {
            return Some(true);
        }
        self.states += 1;
        if self.states > MOST_STATES {
            return None;
        }
        let cuts = useful(state, &self.cuts);
        if below(state, &cuts) > budget {
            self.known.entry(state).or_insert((0, None)).0 = budget;
            return Some(false);
        }
        // What an act needs at the least, by its parts; the least first, then the smaller its
        // largest part.
        let mut order: Vec<(u32, u32, &Cut)> = Vec::new();
        for cut in &cuts {
            let room = budget.checked_sub(cut.cost);
            let Some(room) = room else { continue };
            let most = cut.parts.iter().map(|part| self.roughly_below(*part, &cuts)).max();
            let most = most.unwrap_or(0);
            if most <= room {
                order.push((most + cut.cost, largest(cut), cut));
            }
        }
        order.sort_by_key(|(need, largest, cut)| (*need, *largest, cut.act));
        for (_, _, cut) in order {
            let mut parts = cut.parts.clone();
            parts.sort_by_key(|part| std::cmp::Reverse(part.count()));
            let mut all = true;
            for part in parts {
                if !self.suffices(part, budget - cut.cost)? {
                    all = false;
                    break;
                }
            }
            if all {
                let known = self.known.entry(state).or_insert((0, None));
                if known.1.is_none_or(|(enough, _)| budget < enough) {
                    known.1 = Some((budget, cut.act));
                }
                return Some(true);
            }
        }
        let known = self.known.entry(state).or_insert((0, None));
        known.0 = known.0.max(budget);
        Some(false)
    }

    /// As [`below`], from all acts of a larger state, or from what is known already.
    fn roughly_below(&mut self, part: Set, cuts: &[Cut]) -> u32 {
        if part.count() <= 1 {
            return 0;
        }
        if let Some((fails, _)) = self.known.get(&part)
            && *fails > 0
        {
            return fails + 1;
        }
        let away = cuts.iter().filter_map(|cut| {
            let largest = cut.parts.iter().map(|own| own.and(part).count()).max().unwrap_or(0);
            (largest < part.count()).then_some((part.count() - largest, cut.cost))
        });
        let least = by_largest(part.count(), away.collect());
        self.known.entry(part).or_insert((0, None)).0 = least - 1;
        least
    }

    /// The tree of a state, each part by itself with as few readings as it needs.
    fn tree(&mut self, state: Set) -> Option<Tree> {
        if state.count() <= 1 {
            let class = state.members().next().and_then(|at| self.classes.get(at));
            return Some(Tree::Found(class.cloned().unwrap_or_default()));
        }
        self.least(state)?;
        let (_, act) = self.known.get(&state).and_then(|(_, found)| *found)?;
        let cut = self.cuts.iter().find(|cut| cut.act == act)?;
        let parts: Vec<Set> = cut.parts.iter().map(|part| part.and(state)).collect();
        let mut then = Vec::new();
        for part in parts.into_iter().filter(|part| part.count() > 0) {
            let one =
                part.members().next().and_then(|at| self.classes.get(at)?.first().copied())?;
            let answer = self.answers.get(act)?.get(one).copied()?;
            then.push((answer, self.tree(part)?));
        }
        Some(Tree::Read(act, then))
    }
}

/// A number of readings that no search can beat.
fn below(state: Set, cuts: &[Cut]) -> u32 {
    let rivals = state.count();
    if rivals <= 1 {
        return 0;
    }
    let away = cuts.iter().map(|cut| (rivals - largest(cut), cut.cost)).collect();
    by_largest(rivals, away).max(by_answers(rivals, cuts))
}

/// What follows if the answer is always the largest part: acts with what each takes away and what
/// it costs.
fn by_largest(rivals: u32, mut away: Vec<(u32, u32)>) -> u32 {
    // The most for its cost first.
    away.sort_by(|one, two| (two.0 * one.1).cmp(&(one.0 * two.1)));
    let (mut left, mut readings) = (rivals - 1, 0);
    for (taken, cost) in away {
        if taken >= left {
            // A part of the act would do.
            return (readings + (left * cost).div_ceil(taken.max(1))).max(1);
        }
        left -= taken;
        readings += cost;
    }
    // Acts that together do not decide never come up: rivals that nothing tells apart are one.
    readings.max(1)
}

/// What no number of answers within a budget can beat.
fn by_answers(rivals: u32, cuts: &[Cut]) -> u32 {
    let most = |cost: u32| {
        let of = cuts.iter().filter(|cut| cut.cost == cost).map(|cut| cut.parts.len());
        of.max().map_or(1, |most| u64::try_from(most).unwrap_or(u64::MAX))
    };
    let costs: Vec<u32> = {
        let mut costs: Vec<u32> = cuts.iter().map(|cut| cut.cost).collect();
        costs.sort_unstable();
        costs.dedup();
        costs
    };
    // told[budget]: so many rivals at the most.
    let mut told: Vec<u64> = vec![1];
    while *told.last().unwrap_or(&1) < u64::from(rivals) && told.len() < MOST {
        let budget = told.len();
        let best = costs.iter().filter_map(|cost| {
            let before = budget.checked_sub(usize::try_from(*cost).ok()?)?;
            Some(told[before].saturating_mul(most(*cost)))
        });
        let best = best.max().unwrap_or(1).max(told[budget - 1]);
        told.push(best);
    }
    u32::try_from(told.len() - 1).unwrap_or(u32::MAX)
}

fn largest(cut: &Cut) -> u32 {
    cut.parts.iter().map(|part| part.count()).max().unwrap_or(0)
}

/// Acts that cut a state, those left out that another one refines at no higher cost.
fn useful(state: Set, cuts: &[Cut]) -> Vec<Cut> {
    let mut useful: Vec<Cut> = Vec::new();
    let within = cuts.iter().filter_map(|cut| {
        let parts = cut.parts.iter().map(|part| part.and(state));
        let parts: Vec<Set> = parts.filter(|part| part.count() > 0).collect();
        (parts.len() > 1).then_some(Cut { parts, ..*cut })
    });
    for cut in within {
        if useful.iter().any(|other| refines(other, &cut)) {
            continue;
        }
        useful.retain(|other| !refines(&cut, other));
        useful.push(cut);
    }
    useful
}

/// Whether every part of one lies within a part of the other, at no higher cost.
fn refines(fine: &Cut, coarse: &Cut) -> bool {
    fine.cost <= coarse.cost
        && fine.parts.len() >= coarse.parts.len()
        && fine.parts.iter().all(|part| coarse.parts.iter().any(|other| part.and(*other) == *part))
}

impl Tree {
    /// The way to a rival: acts with the answers that they give, by number.
    pub fn way(
        &self,
        answer_of: &mut dyn FnMut(usize) -> Option<usize>,
    ) -> (Vec<usize>, Option<&[usize]>) {
        let mut acts = Vec::new();
        let mut at = self;
        loop {
            match at {
                Self::Found(rivals) => return (acts, Some(rivals)),
                Self::Read(act, then) => {
                    acts.push(*act);
                    let answer = answer_of(*act);
                    match then.iter().find(|(own, _)| Some(*own) == answer) {
                        Some((_, next)) => at = next,
                        None => return (acts, None),
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
