//! How rules about sizes end on a line that states nothing to reckon with: what does is left to the
//! general reader. It hangs on which demands are stated, and on nothing else.

use crate::sizing::site::{Ending, endings_without_facts};
use crate::sizing::work::Lack;
use coldcheck_core::finding::Outcome;
use coldcheck_core::limits;
use coldcheck_core::plan::DemandRecord;
use coldcheck_core::rules::RuleId;
use std::collections::HashMap;
use std::sync::Arc;

/// Sets of demands that are kept.
const MOST: usize = 1024;

/// By the number of the rule; not run where a rule is not about sizes.
type Outcomes = Arc<[Outcome]>;

/// Outcomes, by the demands that are stated.
#[derive(Debug, Default)]
pub(super) struct Sizes {
    known: HashMap<u64, Outcomes>,
    last: Option<(u64, Outcomes)>,
}

impl Sizes {
    pub(super) fn outcomes(&mut self, demands: &DemandRecord) -> Outcomes {
        let stated = demands.stated().0;
        if let Some((last, outcomes)) = &self.last
            && *last == stated
        {
            return Arc::clone(outcomes);
        }
        if self.known.len() >= MOST {
            self.known.clear();
        }
        let known = self.known.entry(stated).or_insert_with(|| {
            let mut outcomes = vec![Outcome::NotRun; limits::RULES];
            for (rule, ending) in endings_without_facts(demands) {
                if let Some(place) = outcomes.get_mut(rule.index()) {
                    *place = outcome(rule, &ending);
                }
            }
            outcomes.into()
        });
        let outcomes = Arc::clone(known);
        self.last = Some((stated, Arc::clone(known)));
        outcomes
    }
}

fn outcome(rule: RuleId, ending: &Ending) -> Outcome {
    let Ending::Open(lacks) = ending else { return Outcome::Met };
    let undemanded = lacks.iter().find_map(|lack| match lack {
        Lack::Demanded(demand) => Some(Outcome::Undemanded(*demand)),
        Lack::Declared(_) | Lack::Other(_) => None,
    });
    undemanded.unwrap_or(Outcome::Missing(rule.rule().shows))
}
