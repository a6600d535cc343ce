//! The strict reading: a rule that lacks data counts as a finding.

use super::{Because, Diagnosis};
use coldcheck_core::finding::Verdict;

impl Diagnosis {
    /// Counts every rule that lacks data as a finding. Rules that nobody demands, and rules that
    /// a broken one stands in the way of, do not count: there is nothing to declare for them.
    pub fn be_strict(&mut self) {
        let lacking = self.not_checked.iter().filter(|entry| match entry.because {
            Because::Missing(_) => true,
            Because::Undemanded(_) | Because::BlockedBy(_) => false,
        });
        let counted: Vec<_> = lacking.map(|entry| entry.rule).collect();
        if !counted.is_empty() {
            self.verdict = self.verdict.max(Verdict::FixFirst);
        }
        self.counted = Some(counted);
    }
}
