//! What the gateway says: outcomes, findings and verdict, in the lines that every machine gives.

use coldcheck_core::finding::Outcome;
use coldcheck_core::report::Report;
use coldcheck_core::rules::RuleId;

/// What was logged already, so that it is said once.
#[derive(Clone, Copy, Default)]
pub(crate) struct Logged {
    /// Rules with a number below this.
    rules: u8,
    findings: usize,
}

/// Logs what is new in the report, and the verdict on all of it.
#[inline(never)]
pub(crate) fn log(report: &Report<'_>, logged: Logged) -> Logged {
    // No rule has the last number.
    for number in logged.rules..u8::MAX {
        let Some(rule) = RuleId::from_number(number) else { continue };
        let outcome = report.outcome(rule);
        if outcome != Outcome::NotRun {
            defmt::println!("outcome {} {}", rule, outcome);
        }
    }
    for finding in report.findings().get(logged.findings..).unwrap_or(&[]) {
        defmt::println!(
            "finding {} {} {} at {} near {}",
            finding.rule,
            finding.value,
            finding.wanted,
            report.places(finding.places),
            report.related(finding.places),
        );
    }
    defmt::println!("tally {}", report.tally());
    defmt::println!("verdict {}", report.verdict());
    #[cfg(feature = "with-panic-path")]
    assert!(report.findings().len() < 40, "this line must keep the firmware from linking");
    Logged { rules: RuleId::LoneNodeNoAck.number(), findings: report.findings().len() }
}
