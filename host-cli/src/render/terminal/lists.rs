//! The lists below the findings: what is waived, undeclared, not checked, not understood, met.

use super::Text;
use crate::diagnosis::{self, Because, Diagnosis, NotChecked, Undeclared};
use crate::engine::Site;
use crate::source::Sheets;
use coldcheck_core::plan::{Datum, Owner};
use coldcheck_core::rule::Severity;

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
        if entries.is_empty() {
            return;
        }
        let (mut causes, mut of_sheets) = (Causes::default(), Causes::default());
        let (mut nowhere, mut undemanded) = (Vec::new(), Vec::new());
        for entry in entries {
            let slug = entry.rule.rule().slug;
            match entry.because {
                Because::Undemanded(_) => undemanded.push(slug),
                Because::Missing(data) if data.is_empty() => of_sheets.add(&entry.says, slug),
                _ if entry.nowhere.is_some() => nowhere.push(entry),
                Because::Missing(_) | Because::BlockedBy(_) => causes.add(&entry.says, slug),
            }
        }
        self.heading(heading);
        self.causes(causes);
        self.nowhere(nowhere);
        self.causes(of_sheets);
        if !undemanded.is_empty() {
            self.item(&format!("not demanded here: {}", undemanded.join(", ")));
        }
    }

    fn causes(&mut self, causes: Causes<'_>) {
        for (says, slugs) in causes.0 {
            self.item(&format!("{says}: {}", slugs.join(", ")));
        }
    }

    /// What nothing of the site declares, with the rules that wait for it: dangers first, then by
    /// what it would be declared for.
    fn nowhere(&mut self, entries: Vec<&NotChecked>) {
        let (dangers, others): (Vec<_>, Vec<_>) =
            entries.into_iter().partition(|entry| entry.rule.rule().severity == Severity::Danger);
        let (of_heard, of_sheets): (Vec<_>, Vec<_>) =
            dangers.into_iter().partition(|entry| is_of(entry, Owner::Heard));
        self.data("dangers left open; nobody declares", &of_sheets);
        self.data("dangers left open; nothing that was heard tells", &of_heard);
        for (words, owner) in [
            ("no unit declares", Owner::Unit),
            ("no link cable declares", Owner::Cable),
            ("no pack declares", Owner::Pack),
            ("no sensor declares", Owner::Sensor),
            ("nobody declares", Owner::Group),
        ] {
            let own = others.iter().filter(|entry| is_of(entry, owner));
            self.data(words, &own.copied().collect::<Vec<_>>());
        }
        let of_heard = others.iter().filter(|entry| is_of(entry, Owner::Heard)).copied();
        let (of_gateway, of_units): (Vec<_>, Vec<_>) =
            of_heard.partition(|entry| entry.nowhere == Some(Datum::ControllerState));
        self.data("nothing that was heard tells", &of_units);
        self.data("the log does not tell", &of_gateway);
    }

    /// `serial number (unit-listed-twice), mode (parallel-mode-not-set)`.
    fn data(&mut self, words: &str, entries: &[&NotChecked]) {
        let mut data: Vec<(&str, Vec<&str>)> = Vec::new();
        for entry in entries {
            let noun = entry.nowhere.map_or("", diagnosis::told_noun);
            let slug = entry.rule.rule().slug;
            match data.iter_mut().find(|(known, _)| *known == noun) {
                Some((_, slugs)) => slugs.push(slug),
                None => data.push((noun, vec![slug])),
            }
        }
        if !data.is_empty() {
            let said = data.iter().map(|(noun, slugs)| format!("{noun} ({})", slugs.join(", ")));
            self.item(&format!("{words}: {}", said.collect::<Vec<_>>().join(", ")));
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

/// Whether what an entry lacks would be stated of this.
fn is_of(entry: &NotChecked, owner: Owner) -> bool {
    entry.nowhere.map(Datum::owner) == Some(owner)
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

/// Causes, each with the rules that wait for it, in the order in which they were added.
#[derive(Default)]
struct Causes<'a>(Vec<(&'a str, Vec<&'a str>)>);

impl<'a> Causes<'a> {
    fn add(&mut self, says: &'a str, slug: &'a str) {
        match self.0.iter_mut().find(|(known, _)| *known == says) {
            Some((_, slugs)) => slugs.push(slug),
            None => self.0.push((says, vec![slug])),
        }
    }
}
