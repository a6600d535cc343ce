//! The lists below the findings: what is waived, undeclared, not checked, not understood, met.

use super::Text;
use crate::diagnosis::{Diagnosis, NotChecked, Undeclared};
use crate::engine::Site;
use crate::render::told::{self, Open};
use crate::source::Sheets;

impl Text {
    /// What a named person lets stand, and what waivers could not do.
    pub(super) fn waivers(&mut self, sheets: &Sheets, diagnosis: &Diagnosis) {
        let against = told::held_against(diagnosis);
        if !diagnosis.waived.is_empty() {
            self.heading(&format!("Waived, and not counted ({against}):"));
        }
        for waived in &diagnosis.waived {
            let waiver = &waived.waiver;
            let (severity, says) = told::waived(&waived.finding);
            self.item(&format!("{severity}: {says}"));
            self.wrapped("    because: ", &waiver.reason);
            self.wrapped("    by:      ", &format!("{}, until {}", waiver.by, waiver.until));
        }
        if !diagnosis.idle_waivers.is_empty() {
            self.heading(&format!("Waivers that let nothing stand ({against}):"));
        }
        for idle in &diagnosis.idle_waivers {
            self.item(&told::idle_waiver(sheets, idle));
        }
    }

    /// Which rules count as findings because the check is strict.
    pub(super) fn counted(&mut self, diagnosis: &Diagnosis) {
        let Some(rules) = diagnosis.counted.as_ref().filter(|rules| !rules.is_empty()) else {
            return;
        };
        self.heading(told::COUNTED);
        let slugs: Vec<_> = rules.iter().map(|rule| rule.rule().slug).collect();
        self.item(&slugs.join(", "));
    }

    pub(super) fn undeclared(&mut self, undeclared: &[Undeclared]) {
        self.list(told::UNDECLARED, undeclared.iter().map(told::undeclared));
    }

    /// Grouped by cause; what nobody demands is one line.
    pub(super) fn not_checked(&mut self, heading: &str, entries: &[NotChecked]) {
        self.list(heading, Open::of(entries).lines());
    }

    pub(super) fn demands(&mut self, site: &Site, diagnosis: &Diagnosis) {
        let demands = told::demands(diagnosis);
        let heading = format!("Demanded by the site over profile {}:", site.profile.name);
        self.list(&heading, (!demands.is_empty()).then(|| demands.join("; ")).into_iter());
    }

    /// Whoever wrote something down must not take silence for a check.
    pub(super) fn looked_at_by_none(&mut self, diagnosis: &Diagnosis) {
        let unread = &diagnosis.looked_at_by_none;
        let line = (!unread.is_empty()).then(|| unread.join(", "));
        self.list(told::LOOKED_AT_BY_NONE, line.into_iter());
    }

    pub(super) fn not_understood(&mut self, sheets: &Sheets, diagnosis: &Diagnosis) {
        let cells = diagnosis.not_understood.iter();
        self.list(told::NOT_UNDERSTOOD, cells.map(|cell| told::not_understood(sheets, cell)));
    }

    pub(super) fn met(&mut self, diagnosis: &Diagnosis) {
        self.list(&told::met_heading(diagnosis), told::met(diagnosis).into_iter());
    }

    /// A heading with its items; nothing if there are none.
    pub(super) fn list(&mut self, heading: &str, items: impl Iterator<Item = String>) {
        for (position, item) in items.enumerate() {
            if position == 0 {
                self.heading(heading);
            }
            self.item(&item);
        }
    }
}
