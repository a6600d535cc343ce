//! What a diagnosis says in whole lines, the same for terminal, drawing and report: they only set
//! them out.

pub mod measuring;
mod open;

pub use open::{Open, open_dangers};

use crate::declared::{Thing, is_sensor_by_number};
use crate::diagnosis::{self, Diagnosis, Diagnostic, HeardLog, IdleWaiver, Undeclared};
use crate::engine::Site;
use crate::fold::Folded;
use crate::phrase::{all_of, counted, in_sentence};
use crate::source::{Cell, Origin, Sheets};
use crate::words;
use coldcheck_core::finding::Verdict;
use coldcheck_core::rule::Severity;
use open::dangers_left;

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
            let undeclared = if diagnosis.undeclared.is_empty() {
                ""
            } else {
                " Some of what must be declared is not."
            };
            let unheard = diagnosis.unheard().map_or_else(String::new, |silent| {
                format!(" The log does not tell whether all units are there; {silent}.")
            });
            ("INCOMPLETE", format!("{nothing}{undeclared}{unheard}"))
        }
        Verdict::OkWithNotes => ("OK WITH NOTES", format!("{found}.")),
        Verdict::Ok => ("OK", nothing),
    };
    let left_out = left_out(&diagnosis.not_understood);
    let left_out = left_out.map_or_else(String::new, |says| format!(" {says}"));
    let dangers = match diagnosis.verdict {
        Verdict::Ok | Verdict::OkWithNotes => dangers_left(diagnosis),
        Verdict::Stop | Verdict::Ask | Verdict::FixFirst | Verdict::Incomplete => String::new(),
    };
    let errors = match diagnosis.verdict {
        Verdict::Ok | Verdict::OkWithNotes | Verdict::Incomplete => errors_on_the_bus(diagnosis),
        Verdict::Stop | Verdict::Ask | Verdict::FixFirst => String::new(),
    };
    (word, format!("{says}{lacking}{waived}{errors}{dangers}{left_out}"))
}

/// Errors on the bus that no rule makes a finding of: frames came through all the same.
fn errors_on_the_bus(diagnosis: &Diagnosis) -> String {
    let count = diagnosis.heard.as_ref().and_then(HeardLog::errors);
    count.map_or_else(String::new, |count| {
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        let verb = if count == 1 { "was" } else { "were" };
        format!(" On the bus {} {verb} counted: see what was heard.", counted(count, "error"))
    })
}

/// How much of the sheets nobody understood: a finding that something is missing may come from it.
pub fn left_out(not_understood: &[Cell]) -> Option<String> {
    let (count, verb) = match not_understood.len() {
        0 => return None,
        1 => ("1 entry".to_owned(), "is"),
        count => (format!("{count} entries"), "are"),
    };
    Some(format!(
        "{count} of the sheets {verb} NOT UNDERSTOOD and left out: what seems missing may stand there."
    ))
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

fn shortened(text: &str) -> String {
    const MOST: usize = 100;
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if one_line.chars().count() <= MOST {
        return one_line;
    }
    let head: String = one_line.chars().take(MOST).collect();
    format!("{head} …")
}
