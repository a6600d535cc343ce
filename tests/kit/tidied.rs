//! Holding a tidied site against the sheets that it was made from.

use crate::cases::{examine_sheets, request, sheet};
use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::Site;
use coldcheck::render::json;
use coldcheck::tidy::tidy;
use coldcheck_core::rule::Check;
use coldcheck_core::rules::{RULES, RuleId};
use serde_json::Value;

/// The parts of a report that do not say where on the sheets something stands.
pub fn essence(site: &Site, diagnosis: &Diagnosis) -> Value {
    let mut report = json::check(site, diagnosis);
    // What was not understood is a comment now; everything else must be there again.
    for gone in ["not_understood", "questions"] {
        report[gone] = Value::Null;
    }
    without_origins(&mut report);
    for key in ["findings", "waived", "idle_waivers", "site_demands"] {
        if let Some(list) = report[key].as_array_mut() {
            list.sort_by_key(ToString::to_string);
        }
    }
    report
}

/// The part of [`essence`] that is about the plant: rules about the sheets may end otherwise where
/// there is one sheet in place of several. That a sheet is old stays true.
pub fn essence_of_plant(site: &Site, diagnosis: &Diagnosis) -> Value {
    let mut report = essence(site, diagnosis);
    report["verdict"] = Value::Null;
    let of_sheets = |slug: Option<&str>| {
        RULES.iter().any(|(id, rule)| {
            Some(rule.slug) == slug
                && matches!(rule.check, Check::Reader)
                && *id != RuleId::SheetNotAfterLastChange
        })
    };
    for key in ["findings", "not_checked", "met", "gaps", "waived", "idle_waivers"] {
        if let Some(list) = report[key].as_array_mut() {
            list.retain(|entry| !of_sheets(entry.as_str().or(entry["rule"].as_str())));
        }
    }
    report
}

fn without_origins(value: &mut Value) {
    match value {
        Value::Object(map) => {
            map.remove("origins");
            map.values_mut().for_each(without_origins);
        }
        Value::Array(list) => list.iter_mut().for_each(without_origins),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// A tidy site file read and checked, and tidied once more.
///
/// # Panics
/// If it cannot be read or tidied.
pub fn tidied_again(text: &str) -> (Site, Diagnosis, String) {
    let files = [sheet("site.toml", text)];
    let (site, diagnosis) =
        examine_sheets(&files, None).unwrap_or_else(|r| panic!("{:?}\n{text}", r.errors));
    let twice = tidy(&site, &request(&files, None)).expect("a tidy file can be tidied");
    (site, diagnosis, twice)
}
