//! Findings that come and go while a log grows.

use crate::commands::{Failure, check};
use crate::date::Date;
use crate::diagnosis::{Diagnosis, diagnose_so_far};
use crate::engine::Site;
use crate::hearing::Hearing;
use crate::visible::visible;
use coldcheck_core::heard::Heard;
use coldcheck_core::plan::Milliseconds;
use coldcheck_core::rules::RuleId;
use std::io::Write;

/// Looks at what was heard at each full second of the log's time, so that what is told does not
/// depend on how the bytes come.
pub(super) struct Watch<'w> {
    site: &'w Site,
    date: Option<Date>,
    told: &'w mut dyn Write,
    /// The second that was looked at last.
    second: u32,
    /// What was found then: rule, and what is said of it.
    found: Vec<(RuleId, String)>,
}

impl<'w> Watch<'w> {
    pub(super) fn new(site: &'w Site, date: Option<Date>, told: &'w mut dyn Write) -> Self {
        Self { site, date, told, second: 0, found: Vec::new() }
    }

    /// Hands a piece on and looks at each full second in it.
    pub(super) fn push(&mut self, hearing: &mut Hearing<'_>, bytes: &[u8]) -> Result<(), Failure> {
        let mut outcome = Ok(());
        hearing.push_watched(bytes, &mut |heard, at| {
            let second = at.0 / 1000;
            if second > self.second && outcome.is_ok() {
                self.second = second;
                outcome = self.look(heard, Milliseconds(second * 1000));
            }
        })?;
        outcome
    }

    /// Looks once more when all is heard.
    pub(super) fn end(&mut self, hearing: &Hearing<'_>) -> Result<(), Failure> {
        self.look(hearing.heard(), hearing.heard().now())?;
        writeln!(self.told)?;
        Ok(())
    }

    fn look(&mut self, heard: &Heard, at: Milliseconds) -> Result<(), Failure> {
        let Ok(mut diagnosis) = diagnose_so_far(self.site, heard) else { return Ok(()) };
        check::weigh(self.site, &mut diagnosis, self.date, false)?;
        let now = findings(&diagnosis);
        let gone = self.found.iter().filter(|known| !now.contains(known)).map(|one| ("gone", one));
        let come = now.iter().filter(|one| !self.found.contains(one)).map(|one| ("found", one));
        let mut changes = gone.chain(come).peekable();
        let is_news = changes.peek().is_some();
        for (what, (rule, says)) in changes {
            let (severity, slug) = (rule.rule().severity.word(), rule.rule().slug);
            let time = format!("{}.{} s", at.0 / 1000, at.0 % 1000 / 100);
            writeln!(self.told, "{time:>9}  {what}: {severity}: {} [{slug}]", visible(says))?;
        }
        if is_news {
            self.told.flush()?;
        }
        self.found = now;
        Ok(())
    }
}

fn findings(diagnosis: &Diagnosis) -> Vec<(RuleId, String)> {
    diagnosis.findings.iter().map(|finding| (finding.rule, finding.says.clone())).collect()
}
