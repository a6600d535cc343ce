//! Dangers whose act nobody has confirmed: the sheet says how the plant is to be, so no rule finds
//! them, and they stand at the plant all the same. `check` asks for the acts; whatever leads a person
//! to the plant is held back by the dangers.

use super::{Diagnostic, Label, NamedPlace};
use crate::declared::ToDo;
use crate::engine::Site;
use coldcheck_core::place::Place;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::{RULES, RuleId};

/// The dangers that an act mends, by what its sheet says.
pub(crate) fn dangers_of(act: &ToDo) -> impl Iterator<Item = RuleId> + '_ {
    let rules = act.mends.split(',').map(str::trim);
    let rules = rules.filter_map(|slug| RULES.iter().find(|(_, rule)| rule.slug == slug));
    rules.filter(|(_, rule)| rule.severity == Severity::Danger).map(|(id, _)| *id)
}

/// Every danger whose act is not confirmed.
pub(super) fn unconfirmed_dangers(site: &Site) -> Vec<Diagnostic> {
    let open = site.declared.to_do.iter().filter(|act| act.is_open());
    let all = open.flat_map(|act| dangers_of(act).map(move |rule| (act, rule)));
    all.enumerate().map(|(at, (act, rule))| unconfirmed(act, rule, at)).collect()
}

fn unconfirmed(act: &ToDo, rule: RuleId, position: usize) -> Diagnostic {
    let title = rule.rule().text.title;
    Diagnostic {
        rule,
        severity: Severity::Danger,
        places: vec![NamedPlace::Group],
        at: vec![Place::Group],
        related: Vec::new(),
        says: format!("{title}: this stands until its act is confirmed as done: {}", act.act),
        labels: vec![Label { origin: act.origin, text: "not confirmed".to_owned() }],
        position,
    }
}
