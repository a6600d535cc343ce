//! The strict reading: a rule that lacks data counts as a finding.

use super::Diagnosis;
use coldcheck_core::finding::Verdict;

impl Diagnosis {
    /// Counts every rule that lacks data as a finding. Rules that nobody demands, rules that a
    /// broken one stands in the way of, and rules that only need a photograph or a second list do
    /// not count: there is nothing to declare for them.
    pub fn be_strict(&mut self) {
        let lacking = self.not_checked.iter().filter(|entry| entry.lacks_data());
        let counted: Vec<_> = lacking.map(|entry| entry.rule).collect();
        if !counted.is_empty() {
            self.verdict = self.verdict.max(Verdict::FixFirst);
        }
        self.counted = Some(counted);
    }
}
