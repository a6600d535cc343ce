//! What the program says of a group, as far as the proof is about it: through the sheets that a
//! person would hand over, or as a line of `batch`, which is many times faster and is held against
//! the other way by `tests/batch.rs`.

use crate::cases::request;
use coldcheck::batch::{Settings, Worker};
use coldcheck::date::Date;
use coldcheck::diagnosis::{Day, Diagnosis, NamedPlace, diagnose};
use coldcheck::engine::{Refusal, read_site_under};
use coldcheck::fault::Group;
use coldcheck::profile::{self, Profile};
use coldcheck_core::plan::Leg;
use coldcheck_core::rules::{RULES, RuleId};
use serde_json::Value;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock};

/// How groups are put to the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Through {
    /// A cable list and a settings list.
    Sheets,
    /// A line of JSON, where it can say the fault; sheets otherwise.
    Lines,
}

/// What was said.
#[derive(Debug)]
pub(super) struct Told {
    /// The findings: rule and places.
    pub(super) findings: Vec<(RuleId, Vec<NamedPlace>)>,
    /// Rules that were not checked, or not everywhere.
    pub(super) open: BTreeSet<RuleId>,
    /// Whether something is asked besides.
    pub(super) asks: bool,
    /// All of it, for a person.
    pub(super) words: String,
}

/// Puts groups to the program, one after the other.
pub(super) struct Asker<'s> {
    worker: Option<Worker<'s>>,
    out: Vec<u8>,
}

/// As if no day were of interest: no group of the proof has a waiver.
static SETTINGS: LazyLock<Settings> = LazyLock::new(|| {
    let date = Date::new(2026, 1, 1).expect("a day");
    Settings { profile: None, scope: None, day: Day { date, from_clock: false } }
});

impl Asker<'_> {
    pub(super) fn new(through: Through) -> Self {
        let worker = (through == Through::Lines).then(|| Worker::new(&SETTINGS));
        Self { worker, out: Vec::new() }
    }

    pub(super) fn ask(&mut self, group: &Group) -> Result<Told, String> {
        let Some(worker) = self.worker.as_mut().filter(|_| group.is_plain()) else {
            return through_sheets(group).map(|diagnosis| of_diagnosis(&diagnosis));
        };
        self.out.clear();
        worker.line(1, group.site_file().json().as_bytes(), &mut self.out);
        of_line(&self.out).ok_or_else(|| {
            format!("{group:?} cannot be read: {}", String::from_utf8_lossy(&self.out))
        })
    }
}

fn through_sheets(group: &Group) -> Result<Diagnosis, String> {
    let sheets = group.sheets();
    let site = read_site_under(&request(&sheets, None), &mut built_in).map_err(|refusal| {
        let errors: Vec<_> = refusal.errors.iter().map(ToString::to_string).collect();
        format!("{group:?} cannot be read: {}", errors.join("; "))
    })?;
    diagnose(&site).map_err(|error| format!("{group:?} is no plan: {error:?}"))
}

/// A built-in profile, read once by each thread: millions of groups have the same few.
fn built_in(name: &str) -> Result<Arc<Profile>, Refusal> {
    type Known = BTreeMap<String, Arc<Profile>>;
    thread_local! {
        static READ: RefCell<Known> = const { RefCell::new(BTreeMap::new()) };
    }
    READ.with_borrow_mut(|read| {
        if let Some(profile) = read.get(name) {
            return Ok(Arc::clone(profile));
        }
        let text = profile::builtin(name).expect("groups are built from built-in profiles");
        let profile = Arc::new(profile::parse(name, text)?);
        read.insert(name.to_owned(), Arc::clone(&profile));
        Ok(profile)
    })
}

fn of_diagnosis(diagnosis: &Diagnosis) -> Told {
    let findings = diagnosis.findings.iter();
    let words = findings.clone().map(|finding| {
        format!("[{}] {} {:?}", finding.rule.rule().slug, finding.says, finding.places)
    });
    let asked = diagnosis.questions.iter().map(|question| format!("asks: {}", question.says));
    let unchecked = diagnosis.not_checked.iter().map(|entry| entry.rule);
    Told {
        words: words.chain(asked).collect::<Vec<_>>().join("\n    "),
        findings: findings.map(|finding| (finding.rule, finding.places.clone())).collect(),
        open: unchecked.chain(diagnosis.gaps.iter().map(|gap| gap.rule)).collect(),
        asks: !diagnosis.questions.is_empty() || !diagnosis.not_understood.is_empty(),
    }
}

/// `None` if the line tells of errors, or is no report.
fn of_line(line: &[u8]) -> Option<Told> {
    let report: Value = serde_json::from_slice(line).ok()?;
    let rules = |list: &Value| -> Vec<RuleId> {
        list.as_array().into_iter().flatten().filter_map(rule).collect()
    };
    let finding = |one: &Value| {
        let places = one["places"].as_array().map(Vec::as_slice).unwrap_or_default();
        Some((rule(&one["rule"])?, places.iter().filter_map(place).collect()))
    };
    let unchecked =
        ["missing", "undemanded", "blocked"].map(|why| rules(&report["not_checked"][why]));
    let open = unchecked.into_iter().flatten().chain(rules(&report["gaps"]));
    Some(Told {
        findings: report["findings"].as_array()?.iter().filter_map(finding).collect(),
        open: open.collect(),
        asks: ["questions", "not_understood"].iter().any(|list| report[*list].is_array()),
        words: String::from_utf8_lossy(line).into_owned(),
    })
}

fn rule(slug: &Value) -> Option<RuleId> {
    static BY_SLUG: LazyLock<BTreeMap<&str, RuleId>> =
        LazyLock::new(|| RULES.iter().map(|(id, rule)| (rule.slug, *id)).collect());
    BY_SLUG.get(slug.as_str()?).copied()
}

fn place(place: &Value) -> Option<NamedPlace> {
    let word = |key: &str| place[key].as_str().map(ToOwned::to_owned);
    let leg = |word: String| Leg::WORDS.iter().find(|(leg, _)| *leg == word).map(|(leg, _)| *leg);
    if let Some(name) = word("unit") {
        return Some(NamedPlace::Unit {
            name,
            number: place["number"].as_u64().and_then(|number| number.try_into().ok()),
            port: word("port"),
            terminator: place["terminator"] == true,
        });
    }
    word("cable")
        .map(NamedPlace::Cable)
        .or_else(|| word("pack").map(NamedPlace::Pack))
        .or_else(|| word("device").map(NamedPlace::Device))
        .or_else(|| {
            Some(NamedPlace::Sensor { name: word("sensor")?, leg: word("leg").and_then(leg) })
        })
}
