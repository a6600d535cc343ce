//! Comparing a report with the answer of a case.

use coldcheck::fold::Folded;
use coldcheck_core::rules::RULES;
use serde_json::Value;
use std::collections::BTreeSet;

/// Everything in which a report differs from the answer; empty if it agrees.
///
/// `complete` says whether every rule that the answer names is in the rule table by now. While it
/// is not, findings of the rules that are there must agree, and the verdict is left out.
pub fn differences(report: &Value, expected: &Value, complete: bool) -> Vec<String> {
    let mut differences = Vec::new();
    let wanted: BTreeSet<_> = list(&expected["findings"])
        .filter(|finding| complete || is_rule(text(&finding["slug"])))
        .map(|finding| {
            (
                text(&finding["slug"]).to_owned(),
                severity(text(&finding["severity"])).to_owned(),
                list(&finding["at"]).map(expected_place).collect::<BTreeSet<_>>(),
            )
        })
        .collect();
    let found: BTreeSet<_> = list(&report["findings"])
        .map(|finding| {
            (
                text(&finding["rule"]).to_owned(),
                text(&finding["severity"]).to_owned(),
                list(&finding["places"]).map(reported_place).collect::<BTreeSet<_>>(),
            )
        })
        .collect();
    for missing in wanted.difference(&found) {
        differences.push(format!("missing: {missing:?}"));
    }
    for surplus in found.difference(&wanted) {
        differences.push(format!("surplus: {surplus:?}"));
    }
    for slug in list(&expected["must_not_report"]).map(text) {
        if found.iter().any(|(rule, _, _)| rule == slug) {
            differences.push(format!("false alarm: {slug}"));
        }
    }
    if complete && report["verdict"] != expected["verdict"] {
        differences
            .push(format!("verdict {} instead of {}", report["verdict"], expected["verdict"]));
    }
    differences
}

/// Whether every rule that an answer names is in the rule table.
pub fn is_complete(expected: &Value) -> bool {
    list(&expected["findings"]).all(|finding| is_rule(text(&finding["slug"])))
}

fn is_rule(slug: &str) -> bool {
    RULES.iter().any(|(_, rule)| rule.slug == slug)
}

/// The cases' word for a severity, in ours.
fn severity(word: &str) -> &str {
    match word {
        "damage/hazard" => "danger",
        "no start" => "no-start",
        "nuisance" => "note",
        other => other,
    }
}

fn expected_place(place: &Value) -> String {
    ["unit", "port", "cable", "pack", "ct"]
        .into_iter()
        .filter_map(|kind| Some(format!("{kind} {}", Folded::of(place[kind].as_str()?))))
        .collect::<Vec<_>>()
        .join(", ")
}

fn reported_place(place: &Value) -> String {
    let number = place["number"].as_u64().map(|number| number.to_string());
    let words = [
        ("unit", number.as_deref()),
        ("port", place["port"].as_str()),
        ("cable", place["cable"].as_str()),
        ("pack", place["pack"].as_str()),
        ("ct", place["leg"].as_str()),
    ];
    words
        .into_iter()
        .filter_map(|(kind, word)| Some(format!("{kind} {}", Folded::of(word?))))
        .collect::<Vec<_>>()
        .join(", ")
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or("")
}
