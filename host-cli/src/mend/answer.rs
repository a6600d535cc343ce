//! One answer in words: what each act mends and what to keep in mind, and the site after all of them.

use super::act::Act;
use super::cautions::cautions;
use super::judge::{Broken, Goal, Judge};
use super::levers::levers;
use super::model::Model;
use super::repair::{self, Named};
use super::told::{ActTold, Answer};
use super::words::Words;
use crate::diagnosis::{Day, Diagnosis, diagnose, told_noun};
use crate::engine::{Request, Site, read_site};
use crate::read::{RawSheet, ReadError};
use coldcheck_core::finding::Verdict;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::RuleId;
use std::collections::BTreeSet;

/// What an answer is told with.
pub(super) struct Teller<'t> {
    pub(super) site: &'t Site,
    pub(super) request: &'t Request<'t>,
    /// The site as it is.
    pub(super) model: &'t Model,
    /// What is broken in it.
    pub(super) broken: &'t [Broken],
    pub(super) goal: &'t Goal,
    /// The day that waivers are held against.
    pub(super) day: Option<Day>,
}

impl Teller<'_> {
    /// A set in words, and what the site is after it.
    pub(super) fn answer(&self, set: &[Act]) -> Result<Answer, ReadError> {
        let words = Words { site: self.site, before: self.model };
        let mends = self.mends(set);
        let mut state = self.model.clone();
        let mut acts = Vec::new();
        for (act, mends) in set.iter().zip(mends) {
            let says = words.says(*act, &state);
            let cautions = cautions(*act, &state, &mends);
            state = act.done(&state);
            acts.push(ActTold { word: act.word(), says, cost: act.cost(), mends, cautions });
        }
        let named: Vec<Named<'_>> = acts
            .iter()
            .map(|act| {
                let slugs: Vec<&str> = act.mends.iter().map(|rule| rule.rule().slug).collect();
                Named { says: &act.says, mends: slugs.join(", "), cautions: &act.cautions }
            })
            .collect();
        let file = repair::site_file(self.site, self.request, self.model, set, &named)?.toml();
        let (after, diagnosis) = self.read_again(&file)?;
        Ok(Answer {
            set: set.to_vec(),
            acts,
            after,
            left: diagnosis.findings.iter().map(|finding| finding.rule).collect(),
            undeclared: undeclared(&diagnosis),
            file,
        })
    }

    /// The rules of these findings that acts are to mend.
    fn wanted(&self, broken: &[Broken]) -> BTreeSet<RuleId> {
        let wanted = broken.iter().filter(|one| self.goal.wants(one.rule));
        wanted.filter(|one| !self.goal.is_waived(one)).map(|one| one.rule).collect()
    }

    /// For each act the rules that are broken where all others are done and it is not. A rule that is
    /// broken as things are and met without any one of them is said of each that bears on it, so that
    /// none is left out.
    fn mends(&self, set: &[Act]) -> Vec<Vec<RuleId>> {
        let mut judge = Judge::default();
        let without = |out: usize| {
            set.iter().enumerate().fold(self.model.clone(), |state, (at, act)| {
                match act {
                    _ if at != out => act.done(&state),
                    // Others go by its position.
                    Act::AddCable { .. } => {
                        let mut added = act.done(&state);
                        added.is_out.last_mut().into_iter().for_each(|is_out| *is_out = true);
                        added
                    }
                    _ => state,
                }
            })
        };
        let mut mends: Vec<BTreeSet<RuleId>> =
            (0..set.len()).map(|out| self.wanted(&judge.broken(&without(out)))).collect();
        let at_first = self.wanted(self.broken);
        for rule in at_first.iter().copied() {
            if mends.iter().any(|own| own.contains(&rule)) {
                continue;
            }
            let bears = |act: &Act| act.levers().meets(levers(rule));
            let any_bears = set.iter().any(bears);
            for (own, act) in mends.iter_mut().zip(set) {
                if !any_bears || bears(act) {
                    own.insert(rule);
                }
            }
        }
        for own in mends.iter_mut().filter(|own| !own.is_disjoint(&at_first)) {
            // What only the other acts would bring is of interest where it is a danger.
            own.retain(|rule| at_first.contains(rule) || rule.rule().severity == Severity::Danger);
        }
        mends.into_iter().map(|own| own.into_iter().collect()).collect()
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
        let mut diagnosis = diagnose(&again).map_err(|error| unread(format!("{error:?}")))?;
        if let Some(day) = self.day {
            diagnosis.waive(&again, day);
        }
        Ok((diagnosis.verdict, diagnosis))
    }
}

/// What a site must still declare, in words.
pub(super) fn undeclared(diagnosis: &Diagnosis) -> Vec<&'static str> {
    diagnosis.undeclared.iter().map(|one| told_noun(one.datum)).collect()
}
