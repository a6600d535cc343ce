//! What a diagnosis says in whole lines, the same for terminal, drawing and report: they only set
//! them out.

pub mod measuring;

use crate::declared::{Thing, is_sensor_by_number};
use crate::diagnosis::{self, Because, Diagnosis, Diagnostic, IdleWaiver, NotChecked, Undeclared};
use crate::engine::Site;
use crate::fold::Folded;
use crate::phrase::{all_of, counted, in_sentence};
use crate::source::{Cell, Origin, Sheets};
use crate::words;
use coldcheck_core::finding::Verdict;
use coldcheck_core::plan::{Datum, Owner};
use coldcheck_core::rule::Severity;

/// Above what was not checked.
pub const NOT_CHECKED: &str = "Not checked:";
/// Above what was checked in some places only.
pub const GAPS: &str = "Checked, but not everywhere:";
/// Above what must be declared and is not.
pub const UNDECLARED: &str = "Must be declared and is not:";
/// Above rules that lack data and count as findings.
pub const COUNTED: &str = "Lacking data, and counted as findings because the check is strict:";
/// Above what was written down without any rule to look at it.
pub const LOOKED_AT_BY_NONE: &str = "Written down, and no rule of this version looks at it:";
/// Above what nobody understood.
pub const NOT_UNDERSTOOD: &str = "Not understood, and left out:";

/// The verdict: its word, and a sentence.
pub fn verdict(diagnosis: &Diagnosis) -> (&'static str, String) {
    let tally = diagnosis.tally;
    let checks = diagnosis.met.len();
    let mut found: Vec<String> = [
        (tally.dangers, "danger"),
        (tally.no_starts, "no-start finding"),
        (tally.degraded, "degraded finding"),
        (tally.notes, "note"),
    ]
    .iter()
    .filter(|(count, _)| *count > 0)
    .map(|(count, word)| counted(usize::from(*count), word))
    .collect();
    if let (Some(dangers), Some(which)) = (found.first_mut(), which_danger(diagnosis)) {
        dangers.push_str(&which);
    }
    let found = all_of(&found);
    let waived = match diagnosis.waived.len() {
        0 => String::new(),
        count => format!(" Waived: {}.", counted(count, "finding")),
    };
    let lacking = match diagnosis.counted.as_ref().map_or(0, Vec::len) {
        0 => String::new(),
        1 => " 1 rule lacks data and counts as a finding.".to_owned(),
        count => format!(" {count} rules lack data and count as findings."),
    };
    let nothing = format!("Nothing found in {}.", counted(checks, "check"));
    let (word, says) = match diagnosis.verdict {
        Verdict::Stop => ("STOP", format!("{found}. Keep the power off.")),
        Verdict::Ask => {
            let questions = counted(usize::from(tally.questions), "question");
            let also = if found.is_empty() { String::new() } else { format!(" Found: {found}.") };
            let stands = match diagnosis.unconfirmed.as_slice() {
                [] => String::new(),
                all => format!(
                    " {} until what mends it is confirmed ({}). Keep the power off.",
                    if all.len() == 1 { "A danger stands" } else { "Dangers stand" },
                    all_of(&distinct(
                        all.iter().map(|one| in_sentence(one.rule.rule().text.title))
                    ))
                ),
            };
            ("ASK", format!("{questions} to answer first.{stands}{also}"))
        }
        Verdict::FixFirst if found.is_empty() => ("FIX FIRST", nothing),
        Verdict::FixFirst => ("FIX FIRST", format!("{found}.")),
        Verdict::Incomplete => {
            ("INCOMPLETE", format!("{nothing} Some of what must be declared is not."))
        }
        Verdict::OkWithNotes => ("OK WITH NOTES", format!("{found}.")),
        Verdict::Ok => ("OK", nothing),
    };
    let left_out = left_out(diagnosis);
    let dangers = match diagnosis.verdict {
        Verdict::Ok | Verdict::OkWithNotes => dangers_left(diagnosis),
        Verdict::Stop | Verdict::Ask | Verdict::FixFirst | Verdict::Incomplete => String::new(),
    };
    (word, format!("{says}{lacking}{waived}{dangers}{left_out}"))
}

/// How many dangers nobody could look for.
fn dangers_left(diagnosis: &Diagnosis) -> String {
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

/// How much nobody understood.
fn left_out(diagnosis: &Diagnosis) -> String {
    let (count, verb) = match diagnosis.not_understood.len() {
        0 => return String::new(),
        1 => ("1 entry".to_owned(), "is"),
        count => (format!("{count} entries"), "are"),
    };
    format!(
        " {count} of the sheets {verb} NOT UNDERSTOOD and left out: what seems missing may stand there."
    )
}

/// Each once, in order.
fn distinct<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    all.fold(Vec::new(), |mut kept, one| {
        if !kept.contains(&one) {
            kept.push(one);
        }
        kept
    })
}

/// What the dangers are, in brackets behind their number.
fn which_danger(diagnosis: &Diagnosis) -> Option<String> {
    let is_danger = |one: &&Diagnostic| one.severity == Severity::Danger;
    let mut titles =
        diagnosis.findings.iter().filter(is_danger).map(|one| one.rule.rule().text.title);
    let first = titles.next()?;
    let word = if titles.all(|title| title == first) { "" } else { "first: " };
    Some(format!(" ({word}{})", in_sentence(first)))
}

/// The person's word for the site, or ours.
pub fn site_name(site: &Site) -> &str {
    site.declared.site_name().unwrap_or("this site")
}

/// The site, its profile and its scope.
pub fn subject(site: &Site) -> String {
    format!("{}; profile {}; scope: {}", site_name(site), profile(site), scope(site))
}

/// Sensors that the sheets know by a bare number, which is taken for that of the leg; `None` if there
/// are none.
pub fn sensors_by_number(site: &Site) -> Option<String> {
    let declared = &site.declared;
    let text = |origin: &Origin| declared.sheets.get(origin.sheet)?.text.get(origin.range());
    let by_number = |thing: &&Thing| {
        let is_it = |text: &str| is_sensor_by_number(&Folded::of(text));
        thing.origins.iter().filter_map(text).any(is_it)
    };
    let sensors = declared.sensors.iter().map(|(thing, _)| thing);
    let names: Vec<&str> = sensors.filter(by_number).map(|thing| thing.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "assumed: the number of a sensor is that of its leg ({}); write `CT L1` to say the leg",
            all_of(&names)
        )
    })
}

/// The profile, and whether nobody named it.
pub fn profile(site: &Site) -> String {
    let assumed = if site.profile_assumed { " (assumed; no sheet names one)" } else { "" };
    format!("{}{assumed}", site.profile.name)
}

/// The parts that were checked.
pub fn scope(site: &Site) -> String {
    words::scope(site.scope).join(", ")
}

/// A finding: how bad it is, and what is wrong with the rule that says so.
pub fn finding(finding: &Diagnostic) -> (String, String) {
    let rule = finding.rule.rule();
    let asks = if rule.asks { "ask, " } else { "" };
    let head = format!("{asks}{}", finding.severity.word());
    (head, format!("{} [{}]", finding.says, rule.slug))
}

/// A waived finding: how bad it is, and what is wrong. Nothing is asked about it any more.
pub fn waived(finding: &Diagnostic) -> (&'static str, String) {
    (finding.severity.word(), format!("{} [{}]", finding.says, finding.rule.rule().slug))
}

/// The day that waivers were held against.
pub fn held_against(diagnosis: &Diagnosis) -> String {
    match diagnosis.day {
        Some(day) if day.from_clock => {
            format!("waivers held against today, {} (UTC)", day.date)
        }
        Some(day) => format!("waivers held against {}", day.date),
        None => "no date to hold waivers against".to_owned(),
    }
}

/// A waiver that lets nothing stand, and why.
pub fn idle_waiver(sheets: &Sheets, idle: &IdleWaiver) -> String {
    let waiver = &idle.waiver;
    let at = if waiver.places.is_empty() {
        String::new()
    } else {
        format!(" at {}", waiver.places.join(", "))
    };
    let position = sheets.position(waiver.origin);
    format!(
        "{}:{}: {}{at} by {}, until {}: {}",
        position.file,
        position.line,
        waiver.rule.rule().slug,
        waiver.by,
        waiver.until,
        idle.why.says()
    )
}

/// What must be declared and is not.
pub fn undeclared(entry: &Undeclared) -> String {
    diagnosis::to_declare(entry.datum, &entry.places)
}

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
                Because::Missing(data) if data.is_empty() && is_danger_left(entry) => {
                    dangers.add(&entry.says, slug);
                }
                Because::Missing(data) if data.is_empty() => of_sheets.add(&entry.says, slug),
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
            entries.into_iter().partition(|entry| entry.rule.rule().severity == Severity::Danger);
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

/// What the site demands over its profile.
pub fn demands(diagnosis: &Diagnosis) -> Vec<String> {
    let said = diagnosis.site_demands.iter().map(|demand| {
        let before = match &demand.profile {
            Some(own) if *own != demand.value => format!(" (profile: {own})"),
            _ => String::new(),
        };
        format!("{} = {}{before}", demand.demand.key(), demand.value)
    });
    said.collect()
}

/// What nobody understood, with its place.
pub fn not_understood(sheets: &Sheets, cell: &Cell) -> String {
    let position = sheets.position(cell.origin);
    format!("{}:{}: {}", position.file, position.line, shortened(&cell.text))
}

/// Above what was met.
pub fn met_heading(diagnosis: &Diagnosis) -> String {
    format!("Checked, and nothing found ({}):", diagnosis.met.len())
}

/// Rules that lack data and count as findings: what each looks for, and its name.
pub fn counted_rules(diagnosis: &Diagnosis) -> Vec<String> {
    let rules = diagnosis.counted.iter().flatten().map(|rule| rule.rule());
    rules.map(|rule| format!("{} [{}]", rule.text.title, rule.slug)).collect()
}

/// What was met, stage by stage.
pub fn met(diagnosis: &Diagnosis) -> Vec<String> {
    let of_stage = |stage: &&'static str| {
        let in_stage = diagnosis.met.iter().filter(|rule| diagnosis::stage(**rule) == *stage);
        let slugs: Vec<_> = in_stage.map(|rule| rule.rule().slug).collect();
        (!slugs.is_empty()).then(|| format!("{stage}: {}", slugs.join(", ")))
    };
    diagnosis.stages.iter().filter_map(of_stage).collect()
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

    fn lines(self) -> Vec<String> {
        self.0.iter().map(|(says, slugs)| format!("{says}: {}", slugs.join(", "))).collect()
    }
}
