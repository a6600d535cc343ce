//! The outcome of a check as plain lines, the same on every machine.
//!
//! A gateway logs these lines, the page gives them, and the host makes them here: comparing them
//! shows that one plan gives one answer everywhere.

use coldcheck_core::finding::{Finding, Outcome};
use coldcheck_core::limits;
use coldcheck_core::place::Place;
use coldcheck_core::plan::Plan;
use coldcheck_core::report::Report;
use coldcheck_core::rules::{RuleId, check};

/// Checks a plan in a gateway's memory and lists what came of it.
pub fn listing(plan: &Plan<'_>) -> Vec<String> {
    let mut findings = [Finding::BLANK; limits::GATEWAY_FINDINGS];
    let mut places = [Place::Group; limits::GATEWAY_PLACES];
    let mut report = Report::new(&mut findings, &mut places, &mut []);
    check(plan, &mut report);
    let mut lines: Vec<String> = (0..=u8::MAX)
        .filter_map(RuleId::from_number)
        .map(|rule| (rule, report.outcome(rule)))
        .filter(|(_, outcome)| *outcome != Outcome::NotRun)
        .map(|(rule, outcome)| format!("outcome {rule:?} {outcome:?}"))
        .collect();
    lines.extend(report.findings().iter().map(|finding| {
        format!(
            "finding {:?} {:?} {:?} at {:?} near {:?}",
            finding.rule,
            finding.value,
            finding.wanted,
            report.places(finding.places),
            report.related(finding.places),
        )
    }));
    lines.push(format!("tally {:?}", report.tally()));
    lines.push(format!("verdict {:?}", report.verdict()));
    lines
}
