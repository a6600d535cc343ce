//! What must hold for every report of a check.

use super::text::{is_fit_for_a_terminal, without_colour};
use crate::drawings::sound;
use coldcheck::diagnosis::{Diagnosis, Diagnostic, NamedPlace, NotChecked, stage};
use coldcheck::draw::Width;
use coldcheck::engine::Site;
use coldcheck::read::ReadError;
use coldcheck::render::terminal::{self, Style};
use coldcheck::render::{json, sarif};
use coldcheck::sizing::site::Sizes;
use coldcheck::source::{Origin, Sheets};
use coldcheck_core::rules::{RULES, RuleId};
use serde_json::Value;
use std::collections::BTreeSet;
use std::sync::OnceLock;

/// Everything about a site that was read.
pub(super) fn of_report(site: &Site, diagnosis: &Diagnosis) {
    every_rule_is_in_one_list(diagnosis);
    every_place_is_named_once(site, diagnosis);
    every_origin_is_in_its_sheet(site, diagnosis);
    terminal_is_fit(|style| terminal::check(site, diagnosis, style));
    terminal_is_fit(|style| terminal::questions(site, diagnosis, style));
    let report = json::check(site, diagnosis);
    let written = report.to_string();
    assert_eq!(serde_json::from_str::<Value>(&written).ok().as_ref(), Some(&report));
    let wrong: Vec<_> = schema().iter_errors(&report).map(|error| error.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    let sizes = Sizes::of(site, diagnosis).expect("a plan");
    terminal_is_fit(|style| terminal::sizes(site, &sizes, style));
    let told = json::sizes::sizes(site, &sizes);
    let wrong: Vec<_> = size_schema().iter_errors(&told).map(|error| error.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    let results = &sarif::check(site, diagnosis)["runs"][0]["results"];
    assert!(results.as_array().is_some_and(|results| results.len() >= diagnosis.findings.len()));
    let faults = sound::faults(site, diagnosis, Width::Phone);
    assert!(faults.is_empty(), "{faults:?}");
}

/// Everything about sheets that were refused.
pub(super) fn of_refusal(sheets: &Sheets, errors: &[ReadError]) {
    assert!(!errors.is_empty(), "refused without an error");
    for error in errors {
        error.origin.into_iter().for_each(|origin| is_in_its_sheet(sheets, origin));
    }
    terminal_is_fit(|style| terminal::errors(sheets, errors, style.colour));
}

fn terminal_is_fit(render: impl Fn(Style) -> String) {
    for quiet in [false, true] {
        let plain = render(Style { colour: false, quiet });
        let coloured = render(Style { colour: true, quiet });
        is_fit_for_a_terminal(&plain);
        assert_eq!(without_colour(&coloured), plain, "colour changes words");
    }
}

fn schema() -> &'static jsonschema::Validator {
    static SCHEMA: OnceLock<jsonschema::Validator> = OnceLock::new();
    SCHEMA.get_or_init(|| {
        let text = include_str!("../../../host-cli/assets/check.v1.schema.json");
        let schema: Value = serde_json::from_str(text).expect("the schema is JSON");
        jsonschema::validator_for(&schema).expect("the schema is sound")
    })
}

fn size_schema() -> &'static jsonschema::Validator {
    static SCHEMA: OnceLock<jsonschema::Validator> = OnceLock::new();
    SCHEMA.get_or_init(|| {
        let text = include_str!("../../../host-cli/assets/size.v1.schema.json");
        let schema: Value = serde_json::from_str(text).expect("the schema is JSON");
        jsonschema::validator_for(&schema).expect("the schema is sound")
    })
}

/// Findings, not checked, met: every rule of the stages that ran is in exactly one.
fn every_rule_is_in_one_list(diagnosis: &Diagnosis) {
    let mut broken: Vec<RuleId> = diagnosis.findings.iter().map(|finding| finding.rule).collect();
    broken.sort_unstable();
    broken.dedup();
    let unchecked = diagnosis.not_checked.iter().map(|entry| entry.rule);
    let mut named: Vec<RuleId> =
        broken.iter().copied().chain(unchecked).chain(diagnosis.met.iter().copied()).collect();
    named.sort_unstable();
    let mut ran: Vec<RuleId> = RULES.iter().map(|(rule, _)| *rule).collect();
    ran.retain(|rule| diagnosis.stages.contains(&stage(*rule)));
    ran.sort_unstable();
    assert_eq!(named, ran, "a rule is in no list, or in two");
    for gap in &diagnosis.gaps {
        assert!(broken.contains(&gap.rule) || diagnosis.met.contains(&gap.rule), "{gap:?}");
    }
    for entry in &diagnosis.not_checked {
        a_blocked_rule_names_the_root(entry, diagnosis);
    }
}

/// A rule that stands in the way is broken itself: blame was handed on.
fn a_blocked_rule_names_the_root(entry: &NotChecked, diagnosis: &Diagnosis) {
    if let coldcheck::diagnosis::Because::BlockedBy(root) = entry.because {
        let is_broken = diagnosis.findings.iter().any(|finding| finding.rule == root);
        assert!(is_broken, "{:?} is blocked by {root:?}, which is not broken", entry.rule);
    }
    assert!(!entry.says.is_empty(), "{:?} is not checked for no reason", entry.rule);
}

/// No finding names one place twice. Two cables may bear one label, and are told apart by nothing.
fn every_place_is_named_once(site: &Site, diagnosis: &Diagnosis) {
    let labels = site.declared.cables.iter().map(|cable| cable.label.as_str());
    let bears = |label: &str| labels.clone().filter(|other| *other == label).count();
    let is_twice = |list: &[NamedPlace], place: &NamedPlace| {
        let most = if let NamedPlace::Cable(label) = place { bears(label).max(1) } else { 1 };
        list.iter().filter(|other| *other == place).count() > most
    };
    let twice = |finding: &Diagnostic| {
        let all = [finding.places.as_slice(), finding.related.as_slice()].concat();
        all.iter().find(|place| is_twice(&all, place)).cloned()
    };
    for finding in &diagnosis.findings {
        let twice = twice(finding);
        assert!(twice.is_none(), "{:?} names {twice:?} twice: {finding:?}", finding.rule);
    }
    for entry in diagnosis.not_checked.iter().chain(&diagnosis.gaps) {
        let twice = entry.places.iter().find(|place| is_twice(&entry.places, place));
        assert!(twice.is_none(), "{:?} names {twice:?} twice: {entry:?}", entry.rule);
    }
}

fn every_origin_is_in_its_sheet(site: &Site, diagnosis: &Diagnosis) {
    let mut origins: BTreeSet<Origin> = BTreeSet::new();
    for finding in &diagnosis.findings {
        origins.extend(finding.labels.iter().map(|label| label.origin));
    }
    origins.extend(diagnosis.questions.iter().flat_map(|question| &question.origins));
    origins.extend(diagnosis.not_understood.iter().map(|cell| cell.origin));
    origins.extend(diagnosis.site_demands.iter().flat_map(|demand| &demand.origins));
    origins.extend(diagnosis.idle_waivers.iter().map(|idle| idle.waiver.origin));
    origins.extend(site.declared.remarks.iter().map(|cell| cell.origin));
    for origin in origins {
        is_in_its_sheet(&site.declared.sheets, origin);
    }
}

fn is_in_its_sheet(sheets: &Sheets, origin: Origin) {
    let inside = sheets.get(origin.sheet).and_then(|sheet| sheet.text.get(origin.range()));
    assert!(inside.is_some(), "{origin:?} is not in its sheet");
}
