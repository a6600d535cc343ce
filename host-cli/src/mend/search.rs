//! The cheapest set of acts, proven: iterative deepening by cost.

use super::act::Act;
use super::cost;
use super::judge::{Broken, Goal, Judge};
use super::levers::{Levers, levers};
use super::model::Model;
use super::propose;
use coldcheck_core::plan::{CableKind, Shape, YesNo};
use coldcheck_core::rules::RuleId;
use std::collections::HashMap;

/// States that are judged at the most; far more than a site with a few faults needs.
pub const MOST_STATES: u64 = 400_000;
/// A set that costs so much more than the first findings take at the least is no repair but another
/// plant.
const MOST_MORE: u32 = 24;
/// Sets of one cost that are collected before the best of them are told.
const MOST_COLLECTED: usize = 512;
/// States that are judged in looking for more sets of the same cost, once one is found.
const MOST_AFTER: u64 = 20_000;

/// A set of acts, in an order in which they can be done.
pub type Acts = Vec<Act>;

/// What the search found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// Nothing is broken that acts can mend.
    Nothing,
    /// The cheapest sets, all of one cost.
    Cheapest {
        /// What each costs.
        cost: u32,
        /// The sets.
        sets: Vec<Acts>,
        /// Whether the search for more of them was cut short.
        cut: bool,
    },
    /// No set costs less than this. Whether one costs as much or more is not known: room or time was
    /// used up.
    TooFar(u32),
    /// No act bears on this rule where it is broken.
    NoAct(RuleId),
    /// Every set of acts was tried, whatever it costs.
    Impossible,
}

/// A search with its answer.
#[derive(Clone, Debug)]
pub struct Search {
    /// What was found.
    pub found: Found,
    /// What the first findings take at the least: rules that no act has in common, each with a cost.
    pub least: Vec<(Vec<RuleId>, u32)>,
    /// Every bound that was tried without an answer.
    pub bounds: Vec<u32>,
    /// How many states were judged.
    pub judged: u64,
}

struct Searcher<'s> {
    goal: &'s Goal,
    judge: Judge,
    /// The states of this round, each with the cost at which it was reached.
    seen: HashMap<(u64, u64), u32>,
    /// The least cost above the bound that was met.
    next: u32,
    bound: u32,
    found: Vec<Acts>,
    most: u64,
    /// Whether a bound on states or sets cut this round short.
    cut: bool,
}

/// Finds the cheapest sets of acts after which no rule that acts can mend is broken.
pub fn search(model: &Model, goal: &Goal, most: u64) -> Search {
    let mut searcher = Searcher {
        goal,
        judge: Judge::default(),
        seen: HashMap::new(),
        next: u32::MAX,
        bound: 0,
        found: Vec::new(),
        most,
        cut: false,
    };
    let broken = searcher.judge.broken(model);
    let left = goal.left(&broken).unwrap_or_default();
    let least = least(model, &left);
    let mut bounds = Vec::new();
    let found = if left.is_empty() {
        Found::Nothing
    } else if let Some(one) = left.iter().find(|one| propose::acts(model, one).is_empty()) {
        Found::NoAct(one.rule)
    } else {
        searcher.bound = least.iter().map(|(_, cost)| cost).sum();
        let farthest = searcher.bound + MOST_MORE;
        loop {
            searcher.next = u32::MAX;
            searcher.seen.clear();
            searcher.descend(model, &mut Vec::new(), 0);
            if !searcher.found.is_empty() {
                let sets = std::mem::take(&mut searcher.found);
                break Found::Cheapest { cost: searcher.bound, sets, cut: searcher.cut };
            }
            // What was not tried costs as much as this bound, or as the next one.
            if searcher.cut {
                break Found::TooFar(searcher.bound);
            }
            if searcher.next == u32::MAX {
                break Found::Impossible;
            }
            if searcher.next > farthest {
                break Found::TooFar(searcher.next);
            }
            bounds.push(searcher.bound);
            searcher.bound = searcher.next;
        }
    };
    Search { found, least, bounds, judged: searcher.judge.judged }
}

impl Searcher<'_> {
    fn descend(&mut self, model: &Model, acts: &mut Acts, spent: u32) {
        if self.judge.judged >= self.most || self.found.len() >= MOST_COLLECTED {
            self.cut = true;
            return;
        }
        let key = model.key();
        if self.seen.get(&key).is_some_and(|cost| *cost <= spent) {
            return;
        }
        self.seen.insert(key, spent);
        let broken = self.judge.broken(model);
        let Some(left) = self.goal.left(&broken) else {
            // More of what no act mends: another act may undo that, if any is left to do.
            let is_wanted = |one: &&Broken| self.goal.wants(one.rule) && !self.goal.is_waived(one);
            let any: Vec<&Broken> = broken.iter().filter(is_wanted).collect();
            if !any.is_empty() {
                self.go_on(model, acts, spent, &any);
            }
            return;
        };
        if left.is_empty() {
            if self.found.is_empty() {
                self.most = self.most.min(self.judge.judged + MOST_AFTER);
            }
            self.found.push(acts.clone());
            return;
        }
        self.go_on(model, acts, spent, &left);
    }

    fn go_on(&mut self, model: &Model, acts: &mut Acts, spent: u32, left: &[&Broken]) {
        let ahead: u32 = least(model, left).iter().map(|(_, cost)| cost).sum();
        if spent + ahead > self.bound {
            self.next = self.next.min(spent + ahead);
            return;
        }
        // Whatever mends all mends this one: the one with the fewest acts leads to the fewest states.
        // A plug in a socket of another kind comes first: it may be in the way of all others.
        let is_in_the_way = |one: &Broken| {
            use RuleId::{BmsLeadWrongPort, LinkInServicePort, TermPlugWrongSocket};
            matches!(one.rule, BmsLeadWrongPort | LinkInServicePort | TermPlugWrongSocket)
        };
        let easiest = left.iter().min_by_key(|one| {
            let own = levers(one.rule);
            (own.meets(Levers::LINK) && !is_in_the_way(one), own.0)
        });
        let Some(easiest) = easiest else { return };
        for act in propose::acts(model, easiest) {
            let cost = spent + act.cost();
            if cost > self.bound {
                self.next = self.next.min(cost);
                continue;
            }
            acts.push(act);
            self.descend(&act.done(model), acts, cost);
            acts.pop();
        }
    }
}

/// What findings take at the least: groups of rules of which no two have an act in common, and for
/// each the cost of its cheapest act, or of as many as it takes.
pub fn least(model: &Model, left: &[&Broken]) -> Vec<(Vec<RuleId>, u32)> {
    // Where every plug is in a socket of its kind, no exchange mends two kinds of faults at once.
    let apart = if model.has_foreign() { Levers::NONE } else { Levers::EXCHANGE };
    let mut groups: Vec<(Levers, Vec<RuleId>, u32)> = Vec::new();
    let mut single: Vec<(RuleId, u32)> = Vec::new();
    for one in left {
        let takes = if one.rule == RuleId::AddressDuplicate {
            // All but one of those with one address.
            let others = u32::try_from(one.places.len().saturating_sub(1)).unwrap_or(0);
            others.max(1) * cost::SETTING
        } else {
            levers(one.rule).without(Levers::EXCHANGE).least()
        };
        match single.iter_mut().find(|(rule, _)| *rule == one.rule) {
            Some((RuleId::AddressDuplicate, sum)) => *sum += takes,
            Some(_) => {}
            None => single.push((one.rule, takes)),
        }
    }
    for (rule, takes) in &mut single {
        if levers(*rule).without(Levers::EXCHANGE) == Levers::LINK {
            *takes = (*takes).max(cables_off(model));
        }
    }
    // What takes most first, so that the groups say as much as they can.
    single.sort_by_key(|(rule, takes)| (std::cmp::Reverse(*takes), levers(*rule).0.count_ones()));
    for (rule, takes) in single {
        let own = levers(rule).without(apart);
        match groups.iter_mut().find(|(levers, ..)| levers.meets(own)) {
            // The levers of a group stay those of its first rule: the others take nothing more.
            Some((_, rules, _)) => rules.push(rule),
            None => groups.push((own, vec![rule], takes)),
        }
    }
    groups.into_iter().map(|(_, rules, takes)| (rules, takes)).collect()
}

/// What it takes to have as many link cables as the shape needs: moves change no number.
fn cables_off(model: &Model) -> u32 {
    let Some(shape) = model.demands().link_shape() else { return 0 };
    if model.demands().doubled_pairs() == Some(YesNo::Yes) {
        return 0;
    }
    let mut devices = 0_u64;
    let mut cables = 0_usize;
    for cable in model.cables_of(CableKind::Link) {
        let ends = model.cables[cable].ends;
        if ends.iter().any(|end| end.node().is_none()) {
            return 0;
        }
        let sorted = |at: usize| {
            let mut ends = model.cables[at].ends;
            ends.sort_by_key(|end| (end.kind, end.index, end.port));
            ends
        };
        // One cable, listed again.
        if model
            .cables_of(CableKind::Link)
            .any(|other| other < cable && sorted(other) == sorted(cable))
        {
            return 0;
        }
        cables += 1;
        for device in ends.iter().filter_map(|end| end.node()?.device()) {
            devices |= 1 << device.index().min(63);
        }
    }
    // Whether devices hang on the line or stand in it, is told by more than their number.
    if devices != 0 || model.units.len() < 2 {
        return 0;
    }
    let needed = model.units.len() - usize::from(shape == Shape::Line);
    let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    match cables.cmp(&needed) {
        std::cmp::Ordering::Less => count(needed - cables) * cost::ADD,
        std::cmp::Ordering::Greater => count(cables - needed) * cost::REMOVE,
        std::cmp::Ordering::Equal => 0,
    }
}
