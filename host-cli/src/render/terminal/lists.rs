//! The lists below the findings: what is waived, undeclared, not checked, not understood, met.

use super::Text;
use crate::diagnosis::{self, Because, Diagnosis, NotChecked, Undeclared};
use crate::engine::Site;
use crate::source::Sheets;

impl Text {
    /// What a named person lets stand, and what waivers could not do.
    pub(super) fn waivers(&mut self, sheets: &Sheets, diagnosis: &Diagnosis) {
        let against = match diagnosis.day {
            Some(day) if day.from_clock => {
                format!("waivers held against today, {} (UTC)", day.date)
            }
            Some(day) => format!("waivers held against {}", day.date),
            None => "no date to hold waivers against".to_owned(),
        };
        if !diagnosis.waived.is_empty() {
            self.heading(&format!("Waived, and not counted ({against}):"));
        }
        for waived in &diagnosis.waived {
            let (finding, waiver) = (&waived.finding, &waived.waiver);
            let slug = finding.rule.rule().slug;
            self.item(&format!("{}: {} [{slug}]", finding.severity.word(), finding.says));
            self.wrapped("    because: ", &waiver.reason);
            self.wrapped("    by:      ", &format!("{}, until {}", waiver.by, waiver.until));
        }
        if !diagnosis.idle_waivers.is_empty() {
            self.heading(&format!("Waivers that let nothing stand ({against}):"));
        }
        for idle in &diagnosis.idle_waivers {
            let waiver = &idle.waiver;
            let at = if waiver.places.is_empty() {
                String::new()
            } else {
                format!(" at {}", waiver.places.join(", "))
            };
            let position = sheets.position(waiver.origin);
            self.item(&format!(
                "{}:{}: {}{at} by {}, until {}: {}",
                position.file,
                position.line,
                waiver.rule.rule().slug,
                waiver.by,
                waiver.until,
                idle.why.says()
            ));
        }
    }

    /// Which rules count as findings because the check is strict.
    pub(super) fn counted(&mut self, diagnosis: &Diagnosis) {
        let Some(rules) = diagnosis.counted.as_ref().filter(|rules| !rules.is_empty()) else {
            return;
        };
        self.heading("Lacking data, and counted as findings because the check is strict:");
        let slugs: Vec<_> = rules.iter().map(|rule| rule.rule().slug).collect();
        self.item(&slugs.join(", "));
    }

    pub(super) fn undeclared(&mut self, undeclared: &[Undeclared]) {
        if undeclared.is_empty() {
            return;
        }
        self.heading("Must be declared and is not:");
        for entry in undeclared {
            self.item(&diagnosis::to_declare(entry.datum, &entry.places));
        }
    }

    /// Grouped by cause; what nobody demands is one line.
    pub(super) fn not_checked(&mut self, heading: &str, entries: &[NotChecked]) {
        let mut causes: Vec<(&str, Vec<&str>)> = Vec::new();
        let mut undemanded = Vec::new();
        for entry in entries {
            let slug = entry.rule.rule().slug;
            if matches!(entry.because, Because::Undemanded(_)) {
                undemanded.push(slug);
                continue;
            }
            match causes.iter_mut().find(|(says, _)| *says == entry.says) {
                Some((_, slugs)) => slugs.push(slug),
                None => causes.push((&entry.says, vec![slug])),
            }
        }
        if causes.is_empty() && undemanded.is_empty() {
            return;
        }
        self.heading(heading);
        for (says, slugs) in causes {
            self.item(&format!("{says}: {}", slugs.join(", ")));
        }
        if !undemanded.is_empty() {
            self.item(&format!("not demanded here: {}", undemanded.join(", ")));
        }
    }

    pub(super) fn demands(&mut self, site: &Site, diagnosis: &Diagnosis) {
        if diagnosis.site_demands.is_empty() {
            return;
        }
        self.heading(&format!("Demanded by the site over profile {}:", site.profile.name));
        let said = diagnosis.site_demands.iter().map(|demand| {
            let before = match &demand.profile {
                Some(own) if *own != demand.value => format!(" (profile: {own})"),
                _ => String::new(),
            };
            format!("{} = {}{before}", demand.demand.key(), demand.value)
        });
        self.item(&said.collect::<Vec<_>>().join("; "));
    }

    /// Whoever wrote something down must not take silence for a check.
    pub(super) fn looked_at_by_none(&mut self, diagnosis: &Diagnosis) {
        if !diagnosis.looked_at_by_none.is_empty() {
            self.heading("Written down, and no rule of this version looks at it:");
            self.item(&diagnosis.looked_at_by_none.join(", "));
        }
    }

    pub(super) fn not_understood(&mut self, sheets: &Sheets, diagnosis: &Diagnosis) {
        if diagnosis.not_understood.is_empty() {
            return;
        }
        self.heading("Not understood, and left out:");
        for cell in &diagnosis.not_understood {
            let position = sheets.position(cell.origin);
            self.item(&format!("{}:{}: {}", position.file, position.line, shortened(&cell.text)));
        }
    }

    pub(super) fn met(&mut self, diagnosis: &Diagnosis) {
        if diagnosis.met.is_empty() {
            return;
        }
        self.heading(&format!("Checked, and nothing found ({}):", diagnosis.met.len()));
        for stage in &diagnosis.stages {
            let in_stage = diagnosis.met.iter().filter(|rule| diagnosis::stage(**rule) == *stage);
            let slugs: Vec<_> = in_stage.map(|rule| rule.rule().slug).collect();
            if !slugs.is_empty() {
                self.item(&format!("{stage}: {}", slugs.join(", ")));
            }
        }
    }
}

fn shortened(text: &str) -> String {
    const MOST: usize = 100;
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if one_line.chars().count() <= MOST {
        return one_line;
    }
    let head: String = one_line.chars().take(MOST).collect();
    format!("{head} …")
}
