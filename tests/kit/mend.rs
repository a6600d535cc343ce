//! Sites with faults, mended, and each answer held against brute force and against what is written.

use crate::cases;
use crate::generate::Dice;
use crate::mend_force::{Outcome, cheapest, every_act};
use crate::proof;
use coldcheck::diagnosis::diagnose;
use coldcheck::engine::read_site;
use coldcheck::fault::{Group, Layout, faults};
use coldcheck::mend::act::Act;
use coldcheck::mend::judge::{Goal, Judge};
use coldcheck::mend::levers::{Levers, levers};
use coldcheck::mend::{Model, mend};
use coldcheck::read::RawSheet;
use coldcheck_core::finding::Verdict;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::RuleId;
use std::collections::BTreeMap;

/// How sites went.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Sites that were broken.
    pub sites: usize,
    /// Those with an answer.
    pub answered: usize,
    /// Of these, those for which every cheaper set was tried.
    pub proven: usize,
    /// Those with nothing that acts mend.
    pub beyond: usize,
    /// Those that ask a person first.
    pub asks: usize,
    /// Those of which the search was given up.
    pub given_up: Vec<String>,
    /// Those with an answer by the part of the site that an act is at.
    pub parts: BTreeMap<&'static str, usize>,
    /// Sites of which it was said that no act mends anything, and brute force found none either.
    pub none_found: usize,
    /// What is wrong.
    pub wrong: Vec<String>,
}

/// The parts of a site that faults are made in, by the groups of the catalogue.
pub const PARTS: [&str; 5] = ["link", "terminator", "battery", "sensor", "ac"];

/// The part of a site that a rule looks at, if acts bear on it.
fn part(rule: RuleId) -> Option<&'static str> {
    if levers(rule) == Levers::NONE {
        return None;
    }
    // The numbers are by groups, as `core/src/rules.rs` has them.
    Some(match rule.number() {
        1..=31 => "link",
        32..=43 => "terminator",
        72..=85 => "battery",
        86..=99 => "sensor",
        122..=145 => "ac",
        _ => "settings",
    })
}

/// Mends a site, holds the answer against brute force, and checks what is written.
///
/// # Panics
/// If a site that was read gives no plan.
pub fn try_one(name: &str, sheets: &[RawSheet], most: usize, tally: &mut Tally) {
    let request = cases::request(sheets, None);
    let Ok(site) = read_site(&request) else { return };
    let diagnosis = diagnose(&site).expect("a plan");
    if diagnosis.findings.is_empty() {
        return;
    }
    tally.sites += 1;
    let told = match mend(&site, &request, &diagnosis) {
        Ok(told) => told,
        Err(error) => return tally.wrong.push(format!("{name}: {error:?}")),
    };
    if told.asks {
        tally.asks += 1;
        return;
    }
    if told.given_up.is_some() {
        tally.given_up.push(name.to_owned());
        return;
    }
    let model = Model::of(&site).expect("a plan");
    let broken = Judge::default().broken(&model);
    let count = |rule: RuleId| broken.iter().filter(|one| one.rule == rule).count();
    let Some(first) = told.answers.first() else {
        tally.beyond += 1;
        let none = broken.iter().filter(|one| levers(one.rule) == Levers::NONE);
        let beyond = none.map(|one| (one.rule, count(one.rule))).collect();
        let goal = Goal { beyond, ..Goal::default() };
        if goal.left(&broken).is_some_and(|left| !left.is_empty()) {
            match cheapest(&model, &goal, FAR, most) {
                Outcome::Cheapest(cost) => {
                    tally.wrong.push(format!("{name}: no act told, a set for {cost} found"));
                }
                Outcome::None => tally.none_found += 1,
                // Nothing was shown.
                Outcome::NoRoom => {}
            }
        }
        return;
    };
    tally.answered += 1;
    for rule in first.acts.iter().flat_map(|act| &act.mends).filter_map(|rule| part(*rule)) {
        *tally.parts.entry(rule).or_default() += 1;
    }
    let beyond = told.beyond.iter().map(|one| (one.rule, count(one.rule))).collect();
    let goal = Goal { beyond, ..Goal::default() };
    match cheapest(&model, &goal, told.cost, most) {
        Outcome::Cheapest(cost) => {
            tally.wrong.push(format!("{name}: {} told, {cost} found; {first:?}", told.cost));
        }
        Outcome::None => tally.proven += 1,
        Outcome::NoRoom => {}
    }
    for answer in &told.answers {
        if let Err(says) = mends(&model, &goal, &answer.set, told.cost) {
            tally.wrong.push(format!("{name}: {says}: {:?}", answer.set));
        }
        let dangers = answer.acts.iter().flat_map(|act| &act.mends);
        let is_danger = dangers.into_iter().any(|rule| rule.rule().severity == Severity::Danger);
        let all = (told.beyond.is_empty(), is_danger);
        if let Err(says) = written(&answer.file, all, answer.after) {
            tally.wrong.push(format!("{name}: {says}\n{}", answer.file));
        }
    }
}

/// What brute force looks for where no act was told; dearer sets take too long.
const FAR: u32 = 7;

/// Whether two acts are one; a new cable has no first end.
fn is_same(one: Act, two: Act) -> bool {
    if let (Act::AddCable { ends: [from, to], kind }, Act::AddCable { ends, kind: other }) =
        (one, two)
    {
        return kind == other && (ends == [from, to] || ends == [to, from]);
    }
    one == two
}

/// Does the acts of an answer one by one: each must be one of those that there are in its state, all
/// must cost what was told, and afterwards nothing of the goal may be broken.
fn mends(model: &Model, goal: &Goal, set: &[Act], cost: u32) -> Result<(), String> {
    let mut state = model.clone();
    for act in set {
        if !every_act(&state).iter().any(|one| is_same(*one, *act)) {
            return Err(format!("{act:?} cannot be done"));
        }
        state = act.done(&state);
    }
    let spent: u32 = set.iter().map(|act| act.cost()).sum();
    if spent != cost {
        return Err(format!("it costs {spent}, not {cost}"));
    }
    let broken = Judge::default().broken(&state);
    match goal.left(&broken) {
        Some(left) if left.is_empty() => Ok(()),
        left => Err(format!("it leaves {left:?}")),
    }
}

/// What is wrong with a repaired file: plain it asks, with every danger that its acts mend standing, and
/// taken as done it is as it was told.
fn written(file: &str, (is_all, is_danger): (bool, bool), after: Verdict) -> Result<(), String> {
    let sheets = [cases::sheet("mended.toml", file)];
    let request = cases::request(&sheets, None);
    let mut site = read_site(&request).map_err(|refusal| format!("{:?}", refusal.errors))?;
    let plain = diagnose(&site).map_err(|error| format!("{error:?}"))?;
    let waits = if after == Verdict::Stop { Verdict::Stop } else { Verdict::Ask };
    if is_danger == plain.unconfirmed.is_empty() {
        return Err(format!("{} dangers wait for their acts", plain.unconfirmed.len()));
    }
    if plain.verdict != waits || plain.after_confirming != Some(after) {
        return Err(format!("plain it is {:?}, then {:?}", plain.verdict, plain.after_confirming));
    }
    site.assume_done();
    let done = diagnose(&site).map_err(|error| format!("{error:?}"))?;
    if done.verdict != after || is_all && !done.findings.iter().all(is_note) {
        return Err(format!("done it is {:?}, not {after:?}: {:?}", done.verdict, done.findings));
    }
    Ok(())
}

fn is_note(finding: &coldcheck::diagnosis::Diagnostic) -> bool {
    finding.severity == Severity::Note
}

/// Right groups of so many units with one fault or two, one in so many of each.
///
/// # Panics
/// Never: units are few.
pub fn try_groups(
    units: usize,
    (one_in, two_in): (usize, usize),
    most: usize,
    tally: &mut Tally,
    mut each: impl FnMut(&Tally),
) {
    let mut dice = Dice::new(u64::try_from(units).expect("few"));
    for layout in proof::of_each_kind(units) {
        let Layout { profile, terminator, .. } = layout.clone();
        let Some(right) = Group::build(layout) else { continue };
        let all = faults(&right);
        let touched: Vec<_> = all.iter().map(|fault| fault.touches(&right)).collect();
        for (position, fault) in all.iter().enumerate() {
            let Some(own) = &touched[position] else { continue };
            if dice.roll(one_in) == 0 {
                let mut group = right.clone();
                if fault.inject(&mut group) {
                    let name = format!("{units} {profile} {terminator:?} {fault:?}");
                    try_one(&name, &group.sheets(), most, tally);
                    each(tally);
                }
            }
            for (other, others) in all.iter().zip(&touched).skip(position + 1) {
                let Some(others) = others else { continue };
                if dice.roll(two_in) != 0 {
                    continue;
                }
                if let Some(group) = fault.together(own, other, others, &right) {
                    let name = format!("{units} {profile} {terminator:?} {fault:?} + {other:?}");
                    try_one(&name, &group.sheets(), most, tally);
                    each(tally);
                }
            }
        }
    }
}

/// Right groups of so many units with faults in every part of the site: so many single ones in each,
/// and as many pairs of each two parts.
///
/// # Panics
/// Never: units are few.
pub fn try_parts(units: usize, each: usize, most: usize, tally: &mut Tally) {
    let mut dice = Dice::new(u64::try_from(units).expect("few") + 40);
    let layouts = proof::of_each_kind(units);
    for round in 0..each {
        let at = (round + dice.roll(layouts.len())) % layouts.len();
        let layout = layouts[at].clone();
        let name = format!("{units} {} {:?}", layout.profile, layout.terminator);
        let Some(right) = Group::build(layout) else { continue };
        let all = faults(&right);
        let mut drawn = Vec::new();
        for own in PARTS {
            let of_part: Vec<_> = all.iter().filter(|one| part(one.rule) == Some(own)).collect();
            let Some(last) = of_part.len().checked_sub(1) else { continue };
            let fault = of_part[dice.roll(last + 1)];
            let mut group = right.clone();
            if fault.inject(&mut group) {
                try_one(&format!("{name} {fault:?}"), &group.sheets(), most, tally);
                drawn.push(fault);
            }
        }
        for (position, one) in drawn.iter().enumerate() {
            for two in &drawn[position + 1..] {
                let touched = [one, two].map(|fault| fault.touches(&right));
                let [Some(own), Some(others)] = touched else { continue };
                if let Some(group) = one.together(&own, two, &others, &right) {
                    try_one(&format!("{name} {one:?} + {two:?}"), &group.sheets(), most, tally);
                }
            }
        }
    }
}
