//! The proof that nothing is missed and nothing invented: right groups of every kind, broken in
//! every way that the library of faults knows, and what the check says of each.

mod told;

use crate::generate::Dice;
use coldcheck::fault::{Fault, Group, Layout, Spot, faults};
use coldcheck::profile;
use coldcheck_core::plan::Terminator;
use coldcheck_core::rule::{Check, Severity};
use coldcheck_core::rules::{RULES, RuleId};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicUsize, Ordering};
use told::Asker;
pub use told::Through;

/// Every unit order up to this many units; above, a sample.
pub const EVERY_ORDER: usize = 5;

/// Right groups of so many units: every built-in profile, every kind of terminator, every place
/// of the coordinator; every order of the units up to [`EVERY_ORDER`], else so many drawn ones for
/// each place of the coordinator.
pub fn layouts(units: usize, drawn: usize) -> Vec<Layout> {
    let mut layouts = Vec::new();
    for profile in profile::builtin_names() {
        for coordinator in 0..units {
            for order in orders(units, drawn, coordinator) {
                for terminator in [
                    Terminator::On,
                    Terminator::Plug,
                    Terminator::BuiltIn,
                    Terminator::Automatic,
                    Terminator::Off,
                ] {
                    layouts.push(Layout { profile, order: order.clone(), coordinator, terminator });
                }
            }
        }
    }
    layouts
}

/// One group of so many units for every built-in profile and kind of terminator, the coordinator
/// in the middle, the units out of order.
///
/// # Panics
/// If a run does, or there are more units than a number holds.
pub fn of_each_kind(units: usize) -> Vec<Layout> {
    let odd_then_even: Vec<u16> = (1..=u16::try_from(units).expect("few units"))
        .step_by(2)
        .chain((2..=u16::try_from(units).expect("few units")).step_by(2))
        .collect();
    let mut layouts = layouts(units, 1);
    layouts.retain(|layout| layout.coordinator == units / 2);
    for layout in &mut layouts {
        layout.order.clone_from(&odd_then_even);
    }
    let mut seen = BTreeSet::new();
    layouts.retain(|layout| seen.insert((layout.profile, layout.terminator)));
    layouts
}

/// Orders of units along the link; drawn ones are others for each place of the coordinator.
fn orders(units: usize, drawn: usize, coordinator: usize) -> Vec<Vec<u16>> {
    let straight: Vec<u16> = (1..=u16::try_from(units).expect("few units")).collect();
    if units > EVERY_ORDER {
        let mut dice = Dice::new(u64::try_from(units * 100 + coordinator).expect("few units"));
        let mut draw = |_| {
            let mut order = straight.clone();
            dice.shuffle(&mut order);
            order
        };
        return (0..drawn).map(&mut draw).collect();
    }
    let mut orders = vec![Vec::new()];
    for _ in 0..units {
        let longer = |order: Vec<u16>| {
            let rest: Vec<u16> =
                straight.iter().copied().filter(|unit| !order.contains(unit)).collect();
            rest.into_iter().map(move |unit| [order.as_slice(), &[unit]].concat())
        };
        orders = orders.into_iter().flat_map(longer).collect();
    }
    orders
}

/// What is wrong with the check of a group; nothing if it is right.
fn right(group: &Group, asker: &mut Asker<'_>) -> Result<(), String> {
    let told = asker.ask(group)?;
    if told.findings.is_empty() && !told.asks {
        return Ok(());
    }
    Err(format!("{group:?} is right, and this is found: {}", told.words))
}

/// Makes one fault, and says what is wrong with what the check says of it.
fn single(right: &Group, fault: &Fault, asker: &mut Asker<'_>) -> Result<(), String> {
    let mut group = right.clone();
    if !fault.inject(&mut group) {
        return Err(format!("{fault:?} cannot be made in {group:?}"));
    }
    let told = asker.ask(&group)?;
    let wrong = |why: &str| Err(format!("{fault:?} in {group:?}: {why}; {}", told.words));
    let found: BTreeSet<RuleId> = told.findings.iter().map(|(rule, _)| *rule).collect();
    let wanted: BTreeSet<RuleId> = fault.with.iter().copied().chain([fault.rule]).collect();
    if !found.contains(&fault.rule) {
        return wrong("missed");
    }
    if found != wanted {
        return wrong("more is found");
    }
    let own: Vec<_> = told.findings.iter().filter(|(rule, _)| *rule == fault.rule).collect();
    let [(_, places)] = own.as_slice() else { return wrong("found more than once") };
    let mut places = places.clone();
    let mut here = |spot: &Spot| {
        let position = places.iter().position(|place| spot.is(place))?;
        Some(places.remove(position))
    };
    let all = fault.places.iter().filter_map(&mut here).count() == fault.places.len();
    if !all || !places.is_empty() {
        return wrong("found at another place");
    }
    if told.asks {
        return wrong("something is asked besides");
    }
    Ok(())
}

/// Says what is wrong with what the check says of two faults at once. Each must be named, or be not
/// checked because of something; a danger must be named.
fn pair(group: &Group, faults: [&Fault; 2], asker: &mut Asker<'_>) -> Result<(), String> {
    let [one, two] = faults;
    let told = asker.ask(group).map_err(|why| format!("{one:?} and {two:?}: {why}"))?;
    for fault in faults {
        let found = told.findings.iter().any(|(rule, _)| *rule == fault.rule);
        let is_danger = fault.rule.rule().severity == Severity::Danger;
        if !found && (is_danger || !told.open.contains(&fault.rule)) {
            let slug = fault.rule.rule().slug;
            let words = &told.words;
            return Err(format!("{one:?} and {two:?} in {group:?}: {slug} is not named; {words}"));
        }
    }
    Ok(())
}

/// What was tried, and every way in which a check was wrong.
#[derive(Clone, Debug, Default)]
pub struct Count {
    /// Right groups.
    pub groups: usize,
    /// Single faults.
    pub faults: usize,
    /// Pairs of faults.
    pub pairs: usize,
    /// Pairs that cannot be made at once: the one takes away what the other changes.
    pub not_both: usize,
    /// What was wrong: each kind of mistake with how often it was made, and the first of them.
    pub wrong: BTreeMap<String, (usize, String)>,
}

impl Count {
    /// Two counts as one.
    pub fn add(&mut self, other: Self) {
        self.groups += other.groups;
        self.faults += other.faults;
        self.pairs += other.pairs;
        self.not_both += other.not_both;
        for (kind, (times, first)) in other.wrong {
            self.wrong.entry(kind).or_insert((0, first)).0 += times;
        }
    }

    /// How many were wrong.
    pub fn wrong(&self) -> usize {
        self.wrong.values().map(|(times, _)| times).sum()
    }

    /// What was wrong, a paragraph for each kind of mistake.
    pub fn mistakes(&self) -> String {
        let told = |(kind, (times, first)): (&String, &(usize, String))| {
            format!("{kind}, {times} times, first: {first}")
        };
        self.wrong.iter().map(told).collect::<Vec<_>>().join("\n\n")
    }

    /// Notes an outcome, under this kind if it is a mistake.
    pub fn note(&mut self, kind: impl FnOnce() -> String, outcome: Result<(), String>) {
        if let Err(why) = outcome {
            self.wrong.entry(kind()).or_insert((0, why)).0 += 1;
        }
    }
}

/// How much of everything is tried.
#[derive(Clone, Copy, Debug)]
pub struct Share {
    /// One in so many.
    pub one_in: usize,
    /// Which ones.
    pub seed: u64,
}

impl Share {
    /// All of it.
    pub const ALL: Self = Self { one_in: 1, seed: 0 };

    fn dice(self, salt: u64) -> Dice {
        Dice::new(self.seed ^ salt.wrapping_mul(0x9E37_79B9))
    }
}

/// A right group, and a share of its single faults.
pub fn singles(layout: &Layout, share: Share, salt: u64, through: Through) -> Count {
    let mut count = Count::default();
    let Some(group) = Group::build(layout.clone()) else { return count };
    let asker = &mut Asker::new(through);
    count.groups = 1;
    count.note(|| "found in a right group".to_owned(), right(&group, asker));
    let mut dice = share.dice(salt);
    for fault in faults(&group) {
        if dice.roll(share.one_in) == 0 {
            count.faults += 1;
            count.note(|| fault.rule.rule().slug.to_owned(), single(&group, &fault, asker));
        }
    }
    count
}

/// A share of the pairs of faults of a group.
pub fn pairs(layout: &Layout, share: Share, salt: u64, through: Through) -> Count {
    let mut count = Count::default();
    let Some(right) = Group::build(layout.clone()) else { return count };
    let asker = &mut Asker::new(through);
    let mut dice = share.dice(salt);
    count.groups = 1;
    let touched = |fault: Fault| fault.touches(&right).map(|touches| (fault, touches));
    let all: Vec<_> = faults(&right).into_iter().filter_map(touched).collect();
    for (index, (one, its)) in all.iter().enumerate() {
        for (two, others) in all.iter().skip(index + 1) {
            if dice.roll(share.one_in) != 0 {
                continue;
            }
            match one.together(its, two, others, &right) {
                Some(group) => {
                    count.pairs += 1;
                    let slugs = || [one, two].map(|fault| fault.rule.rule().slug).join(" with ");
                    count.note(slugs, pair(&group, [one, two], asker));
                }
                None => count.not_both += 1,
            }
        }
    }
    count
}

/// Spreads work over all cores; says how far it is after each piece.
///
/// # Panics
/// If a run does, or there are more units than a number holds.
pub fn spread<W: Sync>(
    work: &[W],
    each: impl Fn(&W, u64) -> Count + Sync,
    progress: impl Fn(usize) + Sync,
) -> Count {
    let next = AtomicUsize::new(0);
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let run = || {
        let mut count = Count::default();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(piece) = work.get(at) else { return count };
            count.add(each(piece, u64::try_from(at).unwrap_or(0)));
            progress(at + 1);
        }
    };
    std::thread::scope(|scope| {
        let runs: Vec<_> = (0..cores).map(|_| scope.spawn(run)).collect();
        let mut all = Count::default();
        for run in runs {
            all.add(run.join().expect("a run does not panic"));
        }
        all
    })
}

/// The rules about what is declared that no fault breaks in any of the groups.
pub fn never_broken(layouts: &[Layout]) -> Vec<RuleId> {
    let groups = layouts.iter().cloned().filter_map(Group::build);
    let broken: BTreeSet<RuleId> =
        groups.flat_map(|group| faults(&group)).map(|fault| fault.rule).collect();
    let declared = RULES.iter().filter(|(_, rule)| !matches!(rule.check, Check::Heard(_)));
    declared.map(|(id, _)| *id).filter(|id| !broken.contains(id)).collect()
}
