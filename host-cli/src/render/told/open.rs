//! What was not checked, by cause, and which dangers are among it.

use crate::diagnosis::{self, Because, Diagnosis, NotChecked};
use crate::phrase::counted;
use coldcheck_core::plan::{Datum, Owner};
use coldcheck_core::rule::Severity;

/// What was not checked, by cause. What nothing of the site declares is a line for all that would
/// declare it, open dangers apart; what nobody demands is one line.
#[derive(Debug, Default)]
pub struct Open {
    /// Dangers that are left open.
    pub dangers: Vec<String>,
    /// Known causes: a broken rule, or what is missing here and there.
    pub causes: Vec<String>,
    /// What nothing of the site declares.
    pub nowhere: Vec<String>,
    /// What only other sheets would tell.
    pub of_sheets: Vec<String>,
    /// What nobody demands.
    pub undemanded: Option<String>,
}

impl Open {
    /// Groups the entries by cause.
    pub fn of(entries: &[NotChecked]) -> Self {
        let (mut causes, mut of_sheets) = (Causes::default(), Causes::default());
        let mut dangers = Causes::default();
        let (mut nowhere, mut undemanded) = (Vec::new(), Vec::new());
        for entry in entries {
            let slug = entry.rule.rule().slug;
            match entry.because {
                Because::Undemanded(_) => undemanded.push(slug),
                Because::Missing(data) if data.is_empty() => {
                    let list = if is_danger_left(entry) { &mut dangers } else { &mut of_sheets };
                    list.add(&entry.says, slug);
                }
                _ if entry.nowhere.is_some() => nowhere.push(entry),
                Because::Missing(_) | Because::BlockedBy(_) => causes.add(&entry.says, slug),
            }
        }
        let mut open = Self {
            causes: causes.lines(),
            of_sheets: of_sheets.lines(),
            undemanded: (!undemanded.is_empty())
                .then(|| format!("not demanded here: {}", undemanded.join(", "))),
            ..Self::default()
        };
        open.add_nowhere(nowhere);
        let dangers = dangers.lines().into_iter();
        open.dangers.extend(dangers.map(|line| format!("dangers left open; {line}")));
        open
    }

    /// All lines in the order of the terminal.
    pub fn lines(self) -> impl Iterator<Item = String> {
        let Self { dangers, causes, nowhere, of_sheets, undemanded } = self;
        causes.into_iter().chain(dangers).chain(nowhere).chain(of_sheets).chain(undemanded)
    }

    /// What nothing of the site declares, with the rules that wait for it: dangers first, then by
    /// what it would be declared for.
    fn add_nowhere(&mut self, entries: Vec<&NotChecked>) {
        let (dangers, others): (Vec<_>, Vec<_>) =
            entries.into_iter().partition(|entry| is_danger_left(entry));
        let (of_heard, of_sheets): (Vec<_>, Vec<_>) =
            dangers.into_iter().partition(|entry| is_of(entry, Owner::Heard));
        self.dangers.extend(data("dangers left open; nobody declares", &of_sheets));
        self.dangers.extend(data("dangers left open; nothing that was heard tells", &of_heard));
        for (words, owner) in [
            ("no unit declares", Owner::Unit),
            ("no link cable declares", Owner::Cable),
            ("no pack declares", Owner::Pack),
            ("no sensor declares", Owner::Sensor),
            ("nobody declares", Owner::Group),
        ] {
            let own = others.iter().filter(|entry| is_of(entry, owner));
            self.nowhere.extend(data(words, &own.copied().collect::<Vec<_>>()));
        }
        let of_heard = others.iter().filter(|entry| is_of(entry, Owner::Heard)).copied();
        let (of_gateway, of_units): (Vec<_>, Vec<_>) =
            of_heard.partition(|entry| entry.nowhere == Some(Datum::ControllerState));
        self.nowhere.extend(data("nothing that was heard tells", &of_units));
        self.nowhere.extend(data("the log does not tell", &of_gateway));
    }
}

/// `serial number (unit-listed-twice), mode (parallel-mode-not-set)`.
fn data(words: &str, entries: &[&NotChecked]) -> Option<String> {
    let mut data: Vec<(&str, Vec<&str>)> = Vec::new();
    for entry in entries {
        let noun = entry.nowhere.map_or("", diagnosis::told_noun);
        let slug = entry.rule.rule().slug;
        match data.iter_mut().find(|(known, _)| *known == noun) {
            Some((_, slugs)) => slugs.push(slug),
            None => data.push((noun, vec![slug])),
        }
    }
    let said = data.iter().map(|(noun, slugs)| format!("{noun} ({})", slugs.join(", ")));
    let said: Vec<_> = said.collect();
    (!said.is_empty()).then(|| format!("{words}: {}", said.join(", ")))
}

/// How many dangers nobody could look for.
pub(super) fn dangers_left(diagnosis: &Diagnosis) -> String {
    match open_dangers(diagnosis).len() {
        0 => String::new(),
        count => format!(" {} could not be looked for.", counted(count, "danger")),
    }
}

/// The rules of these dangers, by name.
pub fn open_dangers(diagnosis: &Diagnosis) -> Vec<&'static str> {
    let left = diagnosis.not_checked.iter().filter(|one| is_danger_left(one));
    left.map(|one| one.rule.rule().slug).collect()
}

/// A danger of which nothing of the site declares what it is about.
fn is_danger_left(entry: &NotChecked) -> bool {
    let is_open = match entry.because {
        Because::Undemanded(_) => false,
        Because::Missing(data) if data.is_empty() => true,
        Because::Missing(_) | Because::BlockedBy(_) => entry.nowhere.is_some(),
    };
    is_open && entry.rule.rule().severity == Severity::Danger
}

/// Whether what an entry lacks would be stated of this.
fn is_of(entry: &NotChecked, owner: Owner) -> bool {
    entry.nowhere.map(Datum::owner) == Some(owner)
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

    fn lines(self) -> Vec<String> {
        self.0.iter().map(|(says, slugs)| format!("{says}: {}", slugs.join(", "))).collect()
    }
}
