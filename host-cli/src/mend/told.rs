//! The answer as data: sets of acts in words, what no act mends, why nothing is cheaper.

use super::act::Act;
use super::answer::{self, Teller};
use super::judge::{Broken, Goal, Judge};
use super::levers::{Levers, levers};
use super::model::Model;
use super::order::{Order, Places, places_of};
use super::search::{Found, MOST_STATES, search};
use crate::diagnosis::Diagnosis;
use crate::engine::{Request, Site};
use crate::read::ReadError;
use coldcheck_core::finding::Verdict;
use coldcheck_core::rules::RuleId;

/// Answers that are told.
const MOST_ANSWERS: usize = 3;

/// States that are judged for one rule alone.
const MOST_ALONE: u64 = 20_000;

/// An act, told.
#[derive(Clone, Debug)]
pub struct ActTold {
    /// Its word.
    pub word: &'static str,
    /// In one sentence.
    pub says: String,
    /// What it costs.
    pub cost: u32,
    /// The rules that are broken if all acts but this one are done.
    pub mends: Vec<RuleId>,
    /// What whoever does it must keep in mind.
    pub cautions: Vec<&'static str>,
}

/// A set of acts.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The acts, in an order in which they can be done.
    pub set: Vec<Act>,
    /// The same in words.
    pub acts: Vec<ActTold>,
    /// The verdict after them, as `check --assume-done` gives it.
    pub after: Verdict,
    /// Rules that are broken even then.
    pub left: Vec<RuleId>,
    /// What is still to be declared.
    pub undeclared: Vec<&'static str>,
    /// The repaired site file.
    pub file: String,
}

/// What no act mends.
#[derive(Clone, Debug)]
pub struct Beyond {
    /// The rule.
    pub rule: RuleId,
    /// The finding.
    pub says: String,
    /// `None` if it is certain that no act mends it; else how far the search went.
    pub gave_up: Option<GaveUp>,
}

/// How far a search went that found nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GaveUp {
    /// No set of acts costs less than this; of others nothing is known.
    pub below: u32,
    /// How many states were judged.
    pub judged: u64,
}

/// Everything that is told.
#[derive(Clone, Debug)]
pub struct Told {
    /// The verdict of the sheets as they are.
    pub before: Verdict,
    /// Whether a question must be answered first; then nothing is proposed.
    pub asks: bool,
    /// What is asked.
    pub asked: Vec<String>,
    /// What an answer costs; 0 where there is none.
    pub cost: u32,
    /// The cheapest sets, up to three.
    pub answers: Vec<Answer>,
    /// What no act mends.
    pub beyond: Vec<Beyond>,
    /// Rules that no act has in common, each group with what it takes at the least.
    pub least: Vec<(Vec<RuleId>, u32)>,
    /// Costs at which every set was tried without an answer.
    pub bounds: Vec<u32>,
    /// How many states were judged.
    pub judged: u64,
    /// Whether the search was given up, and how far it went.
    pub given_up: Option<GaveUp>,
    /// How many different ways were found to mend all for that cost, and whether there may be more.
    pub ways: (usize, bool),
    /// What a person must say before conductors are rejoined.
    pub unclear_bars: Vec<String>,
    /// What is still to be declared before anything is done.
    pub undeclared: Vec<&'static str>,
    /// Findings that a waiver lets stand, and that are left so.
    pub waived: Vec<RuleId>,
}

/// What the search leaves aside, and how far it went there.
type Aside = Vec<(RuleId, Option<GaveUp>)>;

/// Finds the cheapest acts. Findings that a waiver lets stand are left as they are.
///
/// # Errors
/// If an answer cannot be written down as a site file.
///
/// # Panics
/// Never.
pub fn mend(site: &Site, request: &Request<'_>, diagnosis: &Diagnosis) -> Result<Told, ReadError> {
    let no_plan = |error| ReadError::file("the plan", format!("{error:?}"), "a plan");
    let model = Model::of(site).map_err(no_plan)?;
    let asks = site.declared.question_count() > 0
        || !site.declared.unconfirmed().is_empty()
        || diagnosis.findings.iter().any(|finding| finding.rule.rule().asks);
    let mut told = Told {
        before: diagnosis.verdict,
        asks,
        asked: if asks { asked(site, diagnosis) } else { Vec::new() },
        cost: 0,
        answers: Vec::new(),
        beyond: Vec::new(),
        least: Vec::new(),
        bounds: Vec::new(),
        judged: 0,
        given_up: None,
        ways: (0, false),
        unclear_bars: Vec::new(),
        undeclared: answer::undeclared(diagnosis),
        waived: diagnosis.waived.iter().map(|one| one.finding.rule).collect(),
    };
    if asks {
        return Ok(told);
    }
    let waived = diagnosis.waived.iter().map(|one| (one.finding.rule, one.finding.at.clone()));
    let mut goal = Goal { waived: waived.collect(), ..Goal::default() };
    let mut broken = Judge::default().broken(&model);
    broken.retain(|one| !goal.is_waived(one));
    let mut aside = Aside::new();
    for one in broken.iter().filter(|one| levers(one.rule) == Levers::NONE) {
        leave(&mut goal, &broken, one.rule);
    }
    let sets = find(&model, &mut goal, &broken, &mut aside, &mut told);
    if broken.iter().any(|one| levers(one.rule).meets(Levers::CONDUCTORS)) {
        told.unclear_bars = super::conductors::unclear(&model);
    }
    let gave_up = |rule: RuleId| aside.iter().find(|(own, _)| *own == rule).and_then(|one| one.1);
    let beyond = diagnosis.findings.iter().filter(|finding| !goal.wants(finding.rule));
    told.beyond = beyond
        .map(|one| Beyond { rule: one.rule, says: one.says.clone(), gave_up: gave_up(one.rule) })
        .collect();
    for rule in goal.beyond.iter().map(|(rule, _)| *rule) {
        // What the search sees and no rule says in words.
        if diagnosis.findings.iter().all(|finding| finding.rule != rule) {
            let says = rule.rule().text.title.to_owned();
            told.beyond.push(Beyond { rule, says, gave_up: gave_up(rule) });
        }
    }
    let teller =
        Teller { site, request, model: &model, broken: &broken, goal: &goal, day: diagnosis.day };
    let mut keys: Vec<Places> = Vec::new();
    for set in (Order { model: &model, broken: &broken }).best_first(sets) {
        let key = places_of(&set);
        if keys.contains(&key) {
            continue;
        }
        if told.answers.len() < MOST_ANSWERS {
            let answer = teller.answer(&set)?;
            if answer.left.iter().any(|rule| goal.wants(*rule)) {
                let says = "it would not say the same as the search found";
                let expected = "a site that can be written down; this is a fault of the program";
                return Err(ReadError::file("the mended site file", says, expected));
            }
            told.answers.push(answer);
        }
        keys.push(key);
    }
    told.ways.0 = keys.len();
    Ok(told)
}

/// The cheapest sets for all that acts can mend; what they cannot is left aside.
fn find(
    model: &Model,
    goal: &mut Goal,
    broken: &[Broken],
    aside: &mut Aside,
    told: &mut Told,
) -> Vec<Vec<Act>> {
    loop {
        let search = search(model, goal, MOST_STATES);
        (told.least, told.bounds, told.judged) =
            (search.least, search.bounds, told.judged + search.judged);
        let before = goal.beyond.len();
        let below = match search.found {
            Found::Nothing => return Vec::new(),
            Found::Cheapest { cost, sets, cut } => {
                (told.cost, told.ways.1) = (cost, cut);
                return sets;
            }
            Found::NoAct(rule) => {
                leave(goal, broken, rule);
                aside.push((rule, None));
                0
            }
            found @ (Found::TooFar(_) | Found::Impossible) => {
                for (rule, gave_up) in hopeless(model, goal, broken, &mut told.judged) {
                    leave(goal, broken, rule);
                    aside.push((rule, gave_up));
                }
                if let Found::TooFar(below) = found { below } else { 0 }
            }
        };
        // Each may be mended by itself, and all of them not.
        if goal.beyond.len() == before {
            told.given_up = Some(GaveUp { below, judged: told.judged });
            return Vec::new();
        }
    }
}

/// Rules that no set of acts was found for even where nothing else is asked of it.
fn hopeless(model: &Model, goal: &Goal, broken: &[Broken], judged: &mut u64) -> Aside {
    let mut rules: Vec<RuleId> =
        broken.iter().map(|one| one.rule).filter(|rule| goal.wants(*rule)).collect();
    rules.sort_unstable();
    rules.dedup();
    let alone = |rule: RuleId| {
        let alone = search(model, &Goal { only: Some(rule), ..goal.clone() }, MOST_ALONE);
        *judged += alone.judged;
        match alone.found {
            Found::TooFar(below) => Some((rule, Some(GaveUp { below, judged: alone.judged }))),
            Found::NoAct(_) | Found::Impossible => Some((rule, None)),
            Found::Nothing | Found::Cheapest { .. } => None,
        }
    };
    rules.into_iter().filter_map(alone).collect()
}

fn leave(goal: &mut Goal, broken: &[Broken], rule: RuleId) {
    let count = broken.iter().filter(|one| one.rule == rule).count();
    if count > 0 && goal.beyond.iter().all(|(own, _)| *own != rule) {
        goal.beyond.push((rule, count));
    }
}

/// What a person must answer or confirm first, in the words of the check.
fn asked(site: &Site, diagnosis: &Diagnosis) -> Vec<String> {
    let asking = diagnosis.findings.iter().filter(|finding| finding.rule.rule().asks);
    let questions = diagnosis.questions.iter().map(|question| question.says.clone());
    let open = site.declared.unconfirmed().into_iter().map(|question| question.says);
    let mut all: Vec<String> = Vec::new();
    for one in asking.map(|finding| finding.says.clone()).chain(questions).chain(open) {
        if !all.contains(&one) {
            all.push(one);
        }
    }
    all
}
