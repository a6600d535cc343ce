//! SARIF 2.1.0 (OASIS, Static Analysis Results Interchange Format): the open form in which
//! programs hand on what checks found.
//!
//! Findings are results of kind `fail`, waived ones with a suppression. What was met is `pass`,
//! what nobody demands is `notApplicable`, what lacks data or is blocked is `open`, and what a
//! person must answer is `review`: a report that left these out would read as "all is well".

mod uri;

use crate::declared::Waiver;
use crate::diagnosis::{self, Because, Diagnosis, Diagnostic, NamedPlace, NotChecked};
use crate::engine::Site;
use crate::source::{Cell, Origin};
use crate::words::{self, CAUTIONS};
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::{RULES, RuleId};
use serde_json::{Value, json};

const SCHEMA: &str = "https://json.schemastore.org/sarif-2.1.0.json";

/// Results that belong to no rule: id, title, text.
const QUESTION: (&str, &str, &str) = (
    "open-question",
    "A person must answer a question first",
    "A name or a word could mean several things; nothing was guessed.",
);
const UNDECLARED: (&str, &str, &str) = (
    "undeclared-fact",
    "Something that must be declared is not",
    "The profile says that this must be declared; rules that need it were not checked.",
);

/// The report of a check.
pub fn check(site: &Site, diagnosis: &Diagnosis) -> Value {
    let log = Log { site, uris: uri::of_sheets(&site.declared.sheets), diagnosis };
    let artifacts: Vec<_> =
        log.uris.iter().map(|uri| json!({ "location": { "uri": uri } })).collect();
    json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": "coldcheck",
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "shortDescription": { "text": env!("CARGO_PKG_DESCRIPTION") },
                "rules": descriptors(),
            } },
            "invocations": [{
                "executionSuccessful": true,
                "exitCode": diagnosis.verdict.exit_code(),
                "toolExecutionNotifications":
                    site.declared.not_understood.iter().map(|cell| log.not_understood(cell))
                        .collect::<Vec<_>>(),
            }],
            "artifacts": artifacts,
            "columnKind": "unicodeCodePoints",
            "results": log.results(),
            "properties": {
                "verdict": diagnosis.verdict.word(),
                "site": site.declared.site_name(),
                "profile": site.profile.name,
                "profileAssumed": site.profile_assumed,
                "scope": words::scope(site.scope),
                "stages": diagnosis.stages,
                "waiversHeldAgainst": diagnosis.day.map(|day| day.date.to_string()),
                "idleWaivers": diagnosis.idle_waivers.iter().map(|idle| json!({
                    "rule": idle.waiver.rule.rule().slug,
                    "places": idle.waiver.places,
                    "says": idle.why.says(),
                })).collect::<Vec<_>>(),
                "cautions": CAUTIONS,
            },
        }],
    })
}

/// Every rule with its help, then what belongs to no rule.
fn descriptors() -> Vec<Value> {
    let rules = RULES.iter().map(|(id, rule)| {
        let text = rule.text;
        let help = format!("do: {}\n\nprove: {}\n\nsource: {}", text.act, text.prove, text.source);
        let markdown = format!(
            "**do:** {}\n\n**prove:** {}\n\n*source: {}*",
            text.act, text.prove, text.source
        );
        json!({
            "id": rule.slug,
            "shortDescription": { "text": text.title },
            "fullDescription": { "text": text.why },
            "help": { "text": help, "markdown": markdown },
            "defaultConfiguration": { "level": level(rule.severity) },
            "properties": {
                "severity": rule.severity.word(),
                "stage": diagnosis::stage(*id),
                "asks": rule.asks,
            },
        })
    });
    let others = [QUESTION, UNDECLARED].into_iter().map(|(id, title, text)| {
        json!({
            "id": id,
            "shortDescription": { "text": title },
            "fullDescription": { "text": text },
            "defaultConfiguration": { "level": "none" },
        })
    });
    rules.chain(others).collect()
}

const fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Danger | Severity::NoStart => "error",
        Severity::Degraded => "warning",
        Severity::Note => "note",
    }
}

struct Log<'l> {
    site: &'l Site,
    uris: Vec<String>,
    diagnosis: &'l Diagnosis,
}

impl Log<'_> {
    fn results(&self) -> Vec<Value> {
        let diagnosis = self.diagnosis;
        let mut results: Vec<Value> =
            diagnosis.findings.iter().map(|finding| self.finding(finding)).collect();
        for waived in &diagnosis.waived {
            let mut result = self.finding(&waived.finding);
            result["suppressions"] = json!([self.suppression(&waived.waiver)]);
            results.push(result);
        }
        for question in &diagnosis.questions {
            let text = format!("{} ({})", question.says, question.answer);
            let mut result = other(QUESTION.0, "review", &text);
            let locations = question.origins.iter().map(|origin| self.location(*origin));
            result["locations"] = locations.take(1).collect();
            results.push(result);
        }
        for undeclared in &diagnosis.undeclared {
            let text = diagnosis::to_declare(undeclared.datum, &undeclared.places);
            let mut result = other(UNDECLARED.0, "open", &text);
            result["locations"] = json!([self.somewhere(&undeclared.places)]);
            results.push(result);
        }
        for entry in &diagnosis.not_checked {
            results.push(self.not_checked(entry, false));
        }
        for entry in &diagnosis.gaps {
            results.push(self.not_checked(entry, true));
        }
        for rule in &diagnosis.met {
            let mut result = other(rule.rule().slug, "pass", "Checked, and nothing found.");
            result["ruleIndex"] = json!(index(*rule));
            results.push(result);
        }
        results
    }

    fn finding(&self, finding: &Diagnostic) -> Value {
        let rule = finding.rule.rule();
        let mut labels = finding.labels.iter();
        let location = match labels.next() {
            Some(label) => {
                let mut location = self.location(label.origin);
                location["logicalLocations"] = logical(&finding.places);
                location
            }
            None => self.somewhere(&finding.places),
        };
        let related: Vec<_> = labels
            .enumerate()
            .map(|(position, label)| {
                let mut location = self.location(label.origin);
                location["id"] = json!(position + 1);
                let text = if label.text.is_empty() { "here" } else { &label.text };
                location["message"] = json!({ "text": text });
                location
            })
            .collect();
        let places: Vec<_> = finding.places.iter().map(NamedPlace::phrase).collect();
        json!({
            "ruleId": rule.slug,
            "ruleIndex": index(finding.rule),
            "kind": "fail",
            "level": level(finding.severity),
            "message": { "text": finding.says },
            "locations": [location],
            "relatedLocations": related,
            "partialFingerprints": {
                "ruleAndPlaces/v1": format!("{}: {}", rule.slug, places.join(", ")),
            },
            "suppressions": [],
            "properties": { "severity": finding.severity.word() },
        })
    }

    fn not_checked(&self, entry: &NotChecked, elsewhere: bool) -> Value {
        let kind = match entry.because {
            Because::Undemanded(_) => "notApplicable",
            Because::Missing(_) | Because::BlockedBy(_) => "open",
        };
        let says = if elsewhere { "Checked, but not everywhere" } else { "Not checked" };
        let text = format!("{says}: {}.", entry.says);
        let mut result = other(entry.rule.rule().slug, kind, &text);
        result["ruleIndex"] = json!(index(entry.rule));
        if !entry.places.is_empty() {
            result["locations"] = json!([self.somewhere(&entry.places)]);
        }
        let counted = self.diagnosis.counted.as_ref();
        if counted.is_some_and(|counted| !elsewhere && counted.contains(&entry.rule)) {
            result["properties"] = json!({ "countsAsFinding": true });
        }
        result
    }

    fn suppression(&self, waiver: &Waiver) -> Value {
        json!({
            "kind": "inSource",
            "status": "accepted",
            "justification": format!("{} ({}, until {})", waiver.reason, waiver.by, waiver.until),
            "location": self.location(waiver.origin),
            "properties": {
                "reason": waiver.reason,
                "by": waiver.by,
                "until": waiver.until.to_string(),
            },
        })
    }

    fn not_understood(&self, cell: &Cell) -> Value {
        json!({
            "level": "warning",
            "message": { "text": format!("Not understood, and left out: {}", cell.text) },
            "locations": [self.location(cell.origin)],
        })
    }

    fn location(&self, at: Origin) -> Value {
        let position = self.site.declared.sheets.position(at);
        json!({
            "physicalLocation": {
                "artifactLocation": self.artifact(at.sheet.0),
                "region": {
                    "startLine": position.line,
                    "startColumn": position.column,
                    "endColumn": position.end_column,
                },
            },
        })
    }

    /// A location without a line: what is missing stands nowhere.
    fn somewhere(&self, places: &[NamedPlace]) -> Value {
        // An image tells of no sheet.
        if self.uris.is_empty() {
            return json!({ "logicalLocations": logical(places) });
        }
        json!({
            "physicalLocation": { "artifactLocation": self.artifact(0) },
            "logicalLocations": logical(places),
        })
    }

    fn artifact(&self, sheet: usize) -> Value {
        let uri = self.uris.get(sheet).map_or("", String::as_str);
        json!({ "uri": uri, "index": sheet })
    }
}

/// A result that is no failure: its level is none, as the standard asks (3.27.9 and 3.27.10).
fn other(id: &str, kind: &str, text: &str) -> Value {
    let mut result = json!({
        "ruleId": id,
        "kind": kind,
        "level": "none",
        "message": { "text": text },
        "suppressions": [],
    });
    if let Some(position) = [QUESTION.0, UNDECLARED.0].iter().position(|other| *other == id) {
        result["ruleIndex"] = json!(RULES.len() + position);
    }
    result
}

fn index(rule: RuleId) -> Option<usize> {
    RULES.iter().position(|(id, _)| *id == rule)
}

fn logical(places: &[NamedPlace]) -> Value {
    places
        .iter()
        .map(|place| {
            let kind = match place {
                NamedPlace::Group => "group",
                NamedPlace::Unit { port: Some(_), .. } => "port",
                NamedPlace::Unit { terminator: true, .. } => "terminator",
                NamedPlace::Unit { .. } => "unit",
                NamedPlace::Cable(_) => "cable",
                NamedPlace::Sensor { .. } => "sensor",
                NamedPlace::Pack(_) => "pack",
                NamedPlace::Device(_) => "device",
            };
            json!({ "name": place.phrase(), "kind": kind })
        })
        .collect()
}
