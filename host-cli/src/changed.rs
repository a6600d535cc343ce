//! Two states of one site: what differs, what `check` says of it, and what must be tested again.
//!
//! What must be tested again is not a list of its own: it is every step of the power-up that rests on
//! something that changed ([`crate::powerup`]).

mod again;
mod diff;

pub use again::{Again, again, title};
pub use diff::{Change, Kind, differences};

use crate::diagnosis::Diagnosis;
use crate::engine::Site;
use crate::site_file::{List, SiteFile};
use coldcheck_core::plan::{DataSet, Datum};
use coldcheck_core::rule::Check;
use coldcheck_core::rules::{RULES, RuleId};
use std::collections::BTreeSet;

/// One state of a site.
#[derive(Clone, Copy, Debug)]
pub struct State<'s> {
    /// The site.
    pub site: &'s Site,
    /// Its sheets in canonical form.
    pub shape: &'s SiteFile,
    /// What `check` says of it.
    pub diagnosis: &'s Diagnosis,
}

/// Everything that `changed` tells.
#[derive(Clone, Debug)]
pub struct Changed {
    /// What differs.
    pub changes: Vec<Change>,
    /// Rules that look at what changed.
    pub touched: Vec<RuleId>,
    /// What is found now and was not found before.
    pub found: Vec<String>,
    /// What was found before and is not found now.
    pub gone: Vec<String>,
    /// What must be tested again.
    pub again: Vec<Again>,
}

impl Changed {
    /// Holds two states of one site against each other.
    pub fn of(old: State<'_>, new: State<'_>) -> Self {
        let changes = differences(old.shape, new.shape);
        let says = |state: State<'_>| -> BTreeSet<String> {
            let findings = state.diagnosis.findings.iter();
            findings
                .map(|finding| {
                    format!(
                        "{} [{}]: {}",
                        finding.severity.word(),
                        finding.rule.rule().slug,
                        finding.says
                    )
                })
                .collect()
        };
        let (before, after) = (says(old), says(new));
        Self {
            touched: touched(&changes),
            again: again(old, new, &changes),
            found: after.difference(&before).cloned().collect(),
            gone: before.difference(&after).cloned().collect(),
            changes,
        }
    }
}

/// Rules that read something that changed.
fn touched(changes: &[Change]) -> Vec<RuleId> {
    let data: Vec<Datum> = changes.iter().flat_map(Change::data).collect();
    let data = DataSet::of(&data);
    let has_sizes = changes.iter().any(Change::is_of_sizes);
    // How many units there are is read by rules that need nothing declared of it.
    let is_of_all = changes.iter().any(|change| {
        change.list == Some(List::Unit) && matches!(change.kind, Kind::Added | Kind::Removed)
    });
    let reads = |rule: &RuleId| {
        let rule = rule.rule();
        let needs = rule.needs;
        let read = [needs.whole, needs.some, needs.also];
        match rule.check {
            Check::Sized => has_sizes,
            Check::Heard(_) => false,
            Check::Reader | Check::Link(_) | Check::Power(_) => {
                is_of_all || read.iter().any(|set| set.without(data) != *set)
            }
        }
    };
    RULES.iter().map(|(id, _)| *id).filter(reads).collect()
}
