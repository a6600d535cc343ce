//! Dangers whose act nobody has confirmed: the sheet says how the plant is to be, so no rule finds
//! them, and they stand at the plant all the same.

use super::{Diagnosis, Diagnostic, Label, NamedPlace};
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

impl Diagnosis {
    /// Lets every danger stand whose act is not confirmed, and counts it for the verdict.
    pub(super) fn let_unconfirmed_stand(&mut self, site: &Site) {
        let mut standing = Vec::new();
        for act in site.declared.to_do.iter().filter(|act| act.is_open()) {
            let behind = self.findings.len() + standing.len();
            standing.extend(
                (behind..).zip(dangers_of(act)).map(|(at, rule)| unconfirmed(act, rule, at)),
            );
        }
        if standing.is_empty() {
            return;
        }
        let stands = |rule: RuleId| standing.iter().any(|one| one.rule == rule);
        self.met.retain(|rule| !stands(*rule));
        // Each rule is in one list: where it was not checked, that is a gap of a broken one.
        let (gaps, others) =
            std::mem::take(&mut self.not_checked).into_iter().partition(|one| stands(one.rule));
        self.not_checked = others;
        self.gaps.extend::<Vec<_>>(gaps);
        self.tally.dangers += u16::try_from(standing.len()).unwrap_or(u16::MAX);
        standing.append(&mut self.findings);
        self.findings = standing;
        self.verdict = self.tally.verdict(!self.undeclared.is_empty());
    }
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
