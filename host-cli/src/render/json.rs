//! JSON under the schema `coldcheck.check.v1`.

pub mod changed;
mod heard;
pub mod mend;
pub mod meter;
pub mod powerup;
pub mod sensors;
pub mod sizes;

use crate::declared::Waiver;
use crate::diagnosis::{Because, Diagnosis, Diagnostic, NamedPlace, NotChecked};
use crate::engine::Site;
use crate::source::{Cell, Origin, Sheets};
use crate::words;
use crate::words::CAUTIONS;
use coldcheck_core::plan::Datum;
use serde_json::{Value, json};

/// What every answer about a site begins with, and the rest of it.
fn of_site(schema: &str, site: &Site, rest: Value) -> Value {
    let mut whole = json!({
        "schema": schema,
        "site": site.declared.site_name(),
        "profile": site.profile.name,
        "profile_assumed": site.profile_assumed,
        "not_understood": not_understood(&site.declared.sheets, &site.declared.not_understood),
    });
    if let (Value::Object(whole), Value::Object(rest)) = (&mut whole, rest) {
        whole.extend(rest);
    }
    whole
}

/// What nobody understood, each with its place.
fn not_understood(sheets: &Sheets, cells: &[Cell]) -> Value {
    let told = |cell: &Cell| {
        let mut entry = origin(sheets, cell.origin);
        entry["text"] = json!(cell.text);
        entry
    };
    cells.iter().map(told).collect()
}

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.check.v1";

/// The report of a check.
pub fn check(site: &Site, diagnosis: &Diagnosis) -> Value {
    let sheets = &site.declared.sheets;
    let mut report = json!({
        "schema": SCHEMA,
        "site": site.declared.site_name(),
        "profile": site.profile.name,
        "profile_assumed": site.profile_assumed,
        "scope": words::scope(site.scope),
        "stages": diagnosis.stages,
        "verdict": diagnosis.verdict.word(),
        "findings": diagnosis.findings.iter().map(|one| finding(sheets, one)).collect::<Vec<_>>(),
        "not_checked": diagnosis.not_checked.iter().map(not_checked).collect::<Vec<_>>(),
        "met": diagnosis.met.iter().map(|rule| rule.rule().slug).collect::<Vec<_>>(),
        "waived": diagnosis.waived.iter().map(|waived| {
            let mut entry = waiver(sheets, &waived.waiver);
            entry["finding"] = finding(sheets, &waived.finding);
            entry
        }).collect::<Vec<_>>(),
        "idle_waivers": diagnosis.idle_waivers.iter().map(|idle| {
            let mut entry = waiver(sheets, &idle.waiver);
            entry["why"] = json!(idle.why.word());
            entry["says"] = json!(idle.why.says());
            entry
        }).collect::<Vec<_>>(),
        "waivers_held_against": diagnosis.day.map(|day| json!({
            "date": day.date.to_string(),
            "from_clock": day.from_clock,
        })),
        "counted_as_findings": diagnosis.counted.as_ref().map(|rules| {
            rules.iter().map(|rule| rule.rule().slug).collect::<Vec<_>>()
        }),
        "gaps": diagnosis.gaps.iter().map(not_checked).collect::<Vec<_>>(),
        "undeclared": diagnosis.undeclared.iter().map(|undeclared| json!({
            "datum": undeclared.datum.noun(),
            "places": places(&undeclared.places),
        })).collect::<Vec<_>>(),
        "questions": diagnosis.questions.iter().map(|question| json!({
            "says": question.says,
            "answer": question.answer,
            "origins": origins(sheets, question.origins.iter().copied()),
        })).collect::<Vec<_>>(),
        "not_understood": not_understood(sheets, &diagnosis.not_understood),
        "site_demands": diagnosis.site_demands.iter().map(|demand| json!({
            "demand": demand.demand.key(),
            "value": demand.value,
            "profile": demand.profile,
            "origins": origins(sheets, demand.origins.iter().copied()),
        })).collect::<Vec<_>>(),
        "looked_at_by_none": diagnosis.looked_at_by_none,
        "to_do": site.declared.to_do.iter().map(|one| json!({
            "act": one.act,
            "mends": one.mends,
            "confirmed": one.confirmed,
            "assumed": one.assumed,
            "seen": one.seen[0],
            "by": one.seen[1],
            "time": one.seen[2],
            "origin": origin(sheets, one.origin),
        })).collect::<Vec<_>>(),
        "cautions": CAUTIONS,
    });
    if !diagnosis.unconfirmed.is_empty() {
        let told = |one: &Diagnostic| json!({ "rule": one.rule.rule().slug, "says": one.says });
        report["dangers_to_confirm"] = diagnosis.unconfirmed.iter().map(told).collect();
    }
    if let Some(verdict) = diagnosis.after_confirming {
        report["after_confirming"] = json!(verdict.word());
    }
    if let Some(heard) = &diagnosis.heard {
        report["heard"] = heard::told(heard);
    }
    report
}

fn finding(sheets: &Sheets, finding: &Diagnostic) -> Value {
    let text = finding.rule.rule().text;
    json!({
        "rule": finding.rule.rule().slug,
        "severity": finding.severity.word(),
        "asks": finding.rule.rule().asks,
        "places": places(&finding.places),
        "related": places(&finding.related),
        "says": finding.says,
        "why": text.why,
        "do": text.act,
        "prove": text.prove,
        "origins": origins(sheets, finding.labels.iter().map(|label| label.origin)),
    })
}

fn waiver(sheets: &Sheets, waiver: &Waiver) -> Value {
    json!({
        "rule": waiver.rule.rule().slug,
        "places": waiver.places,
        "reason": waiver.reason,
        "by": waiver.by,
        "until": waiver.until.to_string(),
        "origins": [origin(sheets, waiver.origin)],
    })
}

fn not_checked(entry: &NotChecked) -> Value {
    let mut value = json!({
        "rule": entry.rule.rule().slug,
        "because": entry.says,
        "places": places(&entry.places),
    });
    match entry.because {
        Because::Missing(_) if !entry.inputs.is_empty() => value["missing"] = json!(entry.inputs),
        Because::Missing(data) if data.is_empty() => value["missing"] = json!([entry.says]),
        Because::Missing(data) => {
            value["missing"] = data.iter().map(Datum::noun).collect();
        }
        Because::Undemanded(demand) => value["undemanded"] = json!(demand.key()),
        Because::BlockedBy(rule) => value["blocked_by"] = json!(rule.rule().slug),
    }
    value
}

fn places(places: &[NamedPlace]) -> Vec<Value> {
    places.iter().filter_map(place).collect()
}

/// A place; none for the whole group.
fn place(place: &NamedPlace) -> Option<Value> {
    Some(match place {
        NamedPlace::Group => return None,
        NamedPlace::Unit { name, number, port, terminator } => {
            let mut value = json!({ "unit": name });
            if let Some(number) = number {
                value["number"] = json!(number);
            }
            if let Some(port) = port {
                value["port"] = json!(port);
            }
            if *terminator {
                value["terminator"] = json!(true);
            }
            value
        }
        NamedPlace::Cable(label) => json!({ "cable": label }),
        NamedPlace::Sensor { name, leg } => {
            let mut value = json!({ "sensor": name });
            if let Some(leg) = leg {
                value["leg"] = json!(leg);
            }
            value
        }
        NamedPlace::Pack(name) => json!({ "pack": name }),
        NamedPlace::Device(name) => json!({ "device": name }),
    })
}

fn origins(sheets: &Sheets, origins: impl Iterator<Item = Origin>) -> Vec<Value> {
    origins.map(|one| origin(sheets, one)).collect()
}

fn origin(sheets: &Sheets, at: Origin) -> Value {
    let position = sheets.position(at);
    json!({
        "file": position.file,
        "line": position.line,
        "column": position.column,
        "end_column": position.end_column,
    })
}
