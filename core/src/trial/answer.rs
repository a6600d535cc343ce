//! What a check said about a trial.

use crate::finding::{Finding, Outcome, Quantity, Unknown};
use crate::heard::Heard;
use crate::place::Place;
use crate::plan::{Datum, Plan};
use crate::report::Report;
use crate::rules::RuleId;
use crate::{check, compare};

/// What a check said about it.
pub(crate) struct Answer {
    outcomes: Vec<(RuleId, Outcome)>,
    findings: Vec<(Finding, Vec<Place>, Vec<Place>)>,
    unknowns: Vec<(Unknown, Vec<Place>)>,
}

impl Answer {
    /// Checks a plan as a gateway would: read back from its bytes; and what it heard, if it did.
    pub(super) fn of(plan: &Plan<'_>, heard: Option<&Heard>) -> Self {
        let mut memory = [0; crate::limits::BODY_BYTES];
        let body = plan.encode(&mut memory).expect("a trial is a plan");
        let plan = Plan::from_body(body).expect("as it was written");
        let (mut findings, mut places, mut unknowns) =
            ([Finding::BLANK; 64], [Place::Group; 256], [Unknown::BLANK; 64]);
        let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
        check(&plan, &mut report);
        if let Some(heard) = heard {
            compare(&plan, heard, &mut report);
        }
        Answer {
            outcomes: (0..=u8::MAX)
                .filter_map(RuleId::from_number)
                .map(|rule| (rule, report.outcome(rule)))
                .collect(),
            findings: report
                .findings()
                .iter()
                .map(|finding| {
                    let (places, related) =
                        (report.places(finding.places), report.related(finding.places));
                    (*finding, places.to_vec(), related.to_vec())
                })
                .collect(),
            unknowns: report
                .unknowns()
                .iter()
                .map(|unknown| (*unknown, report.places(unknown.places).to_vec()))
                .collect(),
        }
    }

    /// How a rule ended.
    pub(crate) fn outcome(&self, rule: RuleId) -> Outcome {
        self.outcomes
            .iter()
            .find(|(id, _)| *id == rule)
            .map_or(Outcome::NotRun, |(_, outcome)| *outcome)
    }

    /// The places of each finding of a rule.
    pub(crate) fn places(&self, rule: RuleId) -> Vec<Vec<Place>> {
        let own = self.findings.iter().filter(|(finding, _, _)| finding.rule == rule);
        own.map(|(_, places, _)| places.clone()).collect()
    }

    /// The related places of each finding of a rule.
    pub(crate) fn related(&self, rule: RuleId) -> Vec<Vec<Place>> {
        let own = self.findings.iter().filter(|(finding, _, _)| finding.rule == rule);
        own.map(|(_, _, related)| related.clone()).collect()
    }

    /// Value and wanted of each finding of a rule.
    pub(crate) fn values(&self, rule: RuleId) -> Vec<(Option<Quantity>, Option<Quantity>)> {
        let own = self.findings.iter().filter(|(finding, _, _)| finding.rule == rule);
        own.map(|(finding, _, _)| (finding.value, finding.wanted)).collect()
    }

    /// The places at which a rule lacks the datum.
    pub(crate) fn lacking(&self, rule: RuleId, datum: Datum) -> Vec<Place> {
        self.unknowns
            .iter()
            .filter(|(unknown, _)| unknown.rule == rule && unknown.datum == datum)
            .flat_map(|(_, places)| places.clone())
            .collect()
    }

    /// The rules that are broken, in order of their numbers.
    pub(crate) fn broken(&self) -> Vec<RuleId> {
        let broken = self.outcomes.iter().filter(|(_, outcome)| *outcome == Outcome::Broken);
        broken.map(|(rule, _)| *rule).collect()
    }
}
