//! The answer as data: sets of acts in words, what no act mends, why nothing is cheaper.

use super::act::{Act, Dial};
use super::judge::{Broken, Goal, Judge};
use super::levers::{Levers, levers};
use super::model::Model;
use super::order::{Order, Places, places_of};
use super::repair::{self, Named};
use super::search::{Found, MOST_STATES, search};
use super::words::Words;
use crate::diagnosis::{Diagnosis, diagnose};
use crate::engine::{self, Request, Site, read_site};
use crate::read::{RawSheet, ReadError};
use coldcheck_core::finding::Verdict;
use coldcheck_core::plan::PlanError;
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
    /// The rules that are met after it and were not before; with it, if it takes others as well.
    pub mends: Vec<RuleId>,
}

/// A set of acts.
#[derive(Clone, Debug)]
pub struct Answer {
    /// In an order in which they can be done.
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
}

/// Everything that is told.
#[derive(Clone, Debug)]
pub struct Told {
    /// The verdict of the sheets as they are.
    pub before: Verdict,
    /// Whether a question must be answered first; then nothing is proposed.
    pub asks: bool,
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
    /// Whether the search was given up, and below which cost nothing was found.
    pub given_up: Option<u32>,
}

/// Finds the cheapest acts.
///
/// # Errors
/// [`PlanError`] never for a site that was read.
pub fn mend(site: &Site, request: &Request<'_>, diagnosis: &Diagnosis) -> Result<Told, PlanError> {
    let model = Model::of(&engine::plan(site)?);
    let asks = site.declared.question_count() > 0
        || !site.declared.unconfirmed().is_empty()
        || diagnosis.findings.iter().any(|finding| finding.rule.rule().asks);
    let mut told = Told {
        before: diagnosis.verdict,
        asks,
        cost: 0,
        answers: Vec::new(),
        beyond: Vec::new(),
        least: Vec::new(),
        bounds: Vec::new(),
        judged: 0,
        given_up: None,
    };
    if asks {
        return Ok(told);
    }
    let broken = Judge::default().broken(&model);
    let mut goal = Goal::default();
    for one in broken.iter().filter(|one| levers(one.rule) == Levers::NONE) {
        leave(&mut goal, &broken, one.rule);
    }
    let sets = loop {
        let search = search(&model, &goal, MOST_STATES);
        (told.least, told.bounds, told.judged) =
            (search.least, search.bounds, told.judged + search.judged);
        match search.found {
            Found::Nothing => break Vec::new(),
            Found::Cheapest(cost, sets) => {
                told.cost = cost;
                break sets;
            }
            Found::TooFar(cost) => {
                let before = goal.beyond.len();
                for rule in hopeless(&model, &goal, &broken, &mut told.judged) {
                    leave(&mut goal, &broken, rule);
                }
                if goal.beyond.len() == before {
                    told.given_up = Some(cost);
                    break Vec::new();
                }
            }
            Found::NoAct(rule) => {
                let before = goal.beyond.len();
                leave(&mut goal, &broken, rule);
                // One that is not broken at the beginning stands in the way of all.
                if goal.beyond.len() == before {
                    told.given_up = Some(0);
                    break Vec::new();
                }
            }
        }
    };
    let beyond = diagnosis.findings.iter().filter(|finding| !goal.wants(finding.rule));
    told.beyond =
        beyond.map(|finding| Beyond { rule: finding.rule, says: finding.says.clone() }).collect();
    let teller = Teller { site, request, model: &model, broken: &broken, goal: &goal };
    let mut keys: Vec<Places> = Vec::new();
    for set in (Order { model: &model, broken: &broken }).best_first(sets) {
        let key = places_of(&set);
        if told.answers.len() < MOST_ANSWERS && !keys.contains(&key) {
            if let Ok(answer) = teller.answer(&set)
                && answer.left.iter().all(|rule| !goal.wants(*rule))
            {
                told.answers.push(answer);
            }
            keys.push(key);
        }
    }
    if told.answers.is_empty() && told.cost > 0 {
        told.given_up = Some(told.cost);
        told.cost = 0;
    }
    Ok(told)
}

/// Rules that no set of acts mends even where nothing else is asked of it.
fn hopeless(model: &Model, goal: &Goal, broken: &[Broken], judged: &mut u64) -> Vec<RuleId> {
    let mut rules: Vec<RuleId> =
        broken.iter().map(|one| one.rule).filter(|rule| goal.wants(*rule)).collect();
    rules.sort_unstable();
    rules.dedup();
    rules.retain(|rule| {
        let alone = search(model, &Goal { only: Some(*rule), ..goal.clone() }, MOST_ALONE);
        *judged += alone.judged;
        matches!(alone.found, Found::TooFar(_) | Found::NoAct(_))
    });
    rules
}

fn leave(goal: &mut Goal, broken: &[Broken], rule: RuleId) {
    let count = broken.iter().filter(|one| one.rule == rule).count();
    if count > 0 && goal.beyond.iter().all(|(own, _)| *own != rule) {
        goal.beyond.push((rule, count));
    }
}

struct Teller<'t> {
    site: &'t Site,
    request: &'t Request<'t>,
    model: &'t Model,
    broken: &'t [Broken],
    goal: &'t Goal,
}

impl Teller<'_> {
    fn answer(&self, set: &[Act]) -> Result<Answer, ReadError> {
        let words = Words { site: self.site, before: self.model };
        let mut judge = Judge::default();
        let rules = |broken: &[Broken]| {
            let mut rules: Vec<RuleId> =
                broken.iter().map(|one| one.rule).filter(|rule| self.goal.wants(*rule)).collect();
            rules.sort_unstable();
            rules.dedup();
            rules
        };
        let all = rules(self.broken);
        let mut state = self.model.clone();
        let mut before = all.clone();
        let mut acts = Vec::new();
        for act in set {
            let says = words.says(*act, &state);
            state = act.done(&state);
            let after = rules(&judge.broken(&state));
            let mut mends: Vec<RuleId> =
                before.iter().copied().filter(|rule| !after.contains(rule)).collect();
            if mends.is_empty() {
                // It takes another act as well.
                mends = all.iter().copied().filter(|rule| bears_on(*act, *rule)).collect();
            }
            before = after;
            acts.push(ActTold { word: act.word(), says, cost: act.cost(), mends });
        }
        let named: Vec<Named<'_>> = acts
            .iter()
            .map(|act| {
                let slugs: Vec<&str> = act.mends.iter().map(|rule| rule.rule().slug).collect();
                Named { says: &act.says, mends: slugs.join(", ") }
            })
            .collect();
        let file = repair::site_file(self.site, self.request, self.model, set, &named)?.toml();
        let (after, diagnosis) = self.read_again(&file)?;
        Ok(Answer {
            acts,
            after,
            left: diagnosis.findings.iter().map(|finding| finding.rule).collect(),
            undeclared: diagnosis
                .undeclared
                .iter()
                .map(|one| crate::diagnosis::told_noun(one.datum))
                .collect(),
            file,
        })
    }

    /// Reads the repaired file as a sheet of its own: what it says once all is done.
    fn read_again(&self, text: &str) -> Result<(Verdict, Diagnosis), ReadError> {
        let name = "the repaired site file";
        let files = [RawSheet { name: name.to_owned(), bytes: text.as_bytes().to_vec() }];
        let request = Request {
            files: &files,
            profile: None,
            scope: None,
            load_profile: self.request.load_profile,
        };
        let unread = |says: String| ReadError::file(name, says, "a site that can be written down");
        let mut again = read_site(&request).map_err(|refusal| {
            unread(refusal.errors.first().map(ToString::to_string).unwrap_or_default())
        })?;
        again.assume_done();
        let diagnosis = diagnose(&again).map_err(|error| unread(format!("{error:?}")))?;
        Ok((diagnosis.verdict, diagnosis))
    }
}

/// Whether an act is one of those that bear on a rule.
fn bears_on(act: Act, rule: RuleId) -> bool {
    let own = levers(rule);
    let of = match act {
        Act::MovePlug { .. }
        | Act::TurnCable { .. }
        | Act::ExchangePlugs { .. }
        | Act::AddCable { .. }
        | Act::RemoveCable { .. } => {
            Levers::LINK.or(Levers::BATTERY_PLUGS).or(Levers::SENSOR_PLUGS)
        }
        Act::Unplug { .. } | Act::SwitchTerminator { .. } | Act::MoveTerminator { .. } => {
            Levers::TERMINATORS.or(Levers::TERMINATOR_PLUGS)
        }
        Act::ReplaceCable { .. } => Levers::REPLACE,
        Act::ScreenOnce { .. } => Levers::SCREEN,
        Act::Rejoin { .. } => Levers::CONDUCTORS,
        Act::Set { what, .. } => match what {
            Dial::Role(_) => Levers::ROLE,
            Dial::Address(_) => Levers::ADDRESS,
            Dial::Count(_) => Levers::COUNT,
            Dial::Parallel => Levers::MODE,
            Dial::AsUnit(..) => Levers::ALIKE,
            Dial::BitRateAs(_) | Dial::BitRate(_) => Levers::BIT_RATE,
            Dial::LineFormatAs(_) => Levers::LINE_FORMAT,
            Dial::ProtocolAs(_) => Levers::PROTOCOL,
            Dial::BatteryType(_) => Levers::BATTERY_TYPE,
        },
        Act::SetPacks(_) => Levers::PACKS,
        Act::SetCapacity(_) => Levers::CAPACITY,
        Act::SetPackAddress { .. } => Levers::PACK_ADDRESS,
        Act::TurnSensor { .. } => Levers::ARROW,
        Act::SetRatio { .. } => Levers::RATIO,
        Act::SetInput { .. } => Levers::INPUT,
    };
    own.meets(of)
}
