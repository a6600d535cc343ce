//! Sheets that sizes are computed from, and what comes of them.

use crate::cases::examine_sheets;
use crate::paths;
use coldcheck::engine::Site;
use coldcheck::read::RawSheet;
use coldcheck::render::json::sizes::sizes;
use coldcheck::sizing::site::Sizes;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;

/// The sites under `sizes`: a name, and its sheets.
///
/// # Panics
/// If the folder cannot be read.
pub fn all() -> Vec<(String, Vec<RawSheet>)> {
    let folder = paths::tests().join("sizes");
    let mut sites: BTreeMap<String, Vec<RawSheet>> = BTreeMap::new();
    let files = fs::read_dir(folder).expect("the folder").map(|file| file.expect("a file").path());
    let mut files: Vec<_> = files.collect();
    files.sort();
    for path in files {
        let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        let bytes = fs::read(&path).expect("a sheet");
        sites.entry(stem).or_default().push(RawSheet { name, bytes });
    }
    sites.into_iter().collect()
}

/// The sizes of a site.
///
/// # Panics
/// If the sheets cannot be read.
pub fn of_sheets(sheets: &[RawSheet]) -> (Site, Sizes) {
    let (site, diagnosis) = examine_sheets(sheets, None)
        .unwrap_or_else(|refusal| panic!("it can be read: {:?}", refusal.errors));
    let sizes = Sizes::of(&site, &diagnosis).expect("a plan");
    (site, sizes)
}

/// The JSON of the command for one settings list.
pub fn json(text: &str) -> Value {
    let sheet = RawSheet { name: "settings.txt".to_owned(), bytes: text.as_bytes().to_vec() };
    let (site, found) = of_sheets(&[sheet]);
    sizes(&site, &found)
}

/// The rules of the findings about sizes of one settings list.
///
/// # Panics
/// If the JSON has no findings.
pub fn found(text: &str) -> Vec<String> {
    let report = json(text);
    let findings = report["findings"].as_array().expect("findings");
    findings.iter().map(|one| one["rule"].as_str().expect("a rule").to_owned()).collect()
}

/// The rules of all findings of one settings list.
///
/// # Panics
/// If it cannot be read.
pub fn every_finding(text: &str) -> Vec<String> {
    let sheet = RawSheet { name: "settings.txt".to_owned(), bytes: text.as_bytes().to_vec() };
    let (_, diagnosis) = examine_sheets(&[sheet], None)
        .unwrap_or_else(|refusal| panic!("it can be read: {:?}", refusal.errors));
    diagnosis.findings.iter().map(|finding| finding.rule.rule().slug.to_owned()).collect()
}

/// What a rule lacks that is not checked, for one settings list.
///
/// # Panics
/// If the list cannot be read, or the rule is checked.
pub fn open(text: &str, rule: &str) -> Vec<String> {
    left_open(text, rule).unwrap_or_else(|| panic!("{rule} is checked"))
}

/// What a rule lacks, for one settings list; `None` if it is checked.
///
/// # Panics
/// If the list cannot be read.
pub fn left_open(text: &str, rule: &str) -> Option<Vec<String>> {
    let sheet = RawSheet { name: "settings.txt".to_owned(), bytes: text.as_bytes().to_vec() };
    let (_, diagnosis) = examine_sheets(&[sheet], None)
        .unwrap_or_else(|refusal| panic!("it can be read: {:?}", refusal.errors));
    let mut all = diagnosis.not_checked.iter();
    let entry = all.find(|entry| entry.rule.rule().slug == rule)?;
    Some(if entry.inputs.is_empty() { vec![entry.says.clone()] } else { entry.inputs.clone() })
}

/// What a quantity lacks.
///
/// # Panics
/// If it is computed, or not listed at all.
pub fn lacking<'v>(json: &'v Value, id: &str) -> Vec<&'v str> {
    let all = json["not_computed"].as_array().expect("a list");
    let own = all.iter().find(|one| one["id"] == id).unwrap_or_else(|| panic!("{id}"));
    let missing = own["missing"].as_array().expect("a list").iter();
    missing.map(|lack| lack.as_str().expect("a text")).collect()
}

/// The quantities of an id, in their order.
///
/// # Panics
/// If the JSON has no quantities.
pub fn quantities<'v>(json: &'v Value, id: &str) -> Vec<&'v Value> {
    let all = json["quantities"].as_array().expect("quantities");
    all.iter().filter(|quantity| quantity["id"] == id).collect()
}

/// The one number of an id.
///
/// # Panics
/// If there is none, or several that differ.
pub fn number(json: &Value, id: &str) -> f64 {
    let found = quantities(json, id);
    let first = found.first().unwrap_or_else(|| panic!("no {id}: {:#}", json["not_computed"]));
    let value = first["value"].as_f64().expect("a number");
    assert!(found.iter().all(|other| other["value"] == first["value"]), "{id} differs: {found:?}");
    value
}

/// The one text of an id.
///
/// # Panics
/// If there is none.
pub fn text<'v>(json: &'v Value, id: &str) -> &'v str {
    let found = quantities(json, id);
    found
        .first()
        .and_then(|quantity| quantity["text"].as_str())
        .unwrap_or_else(|| panic!("no {id}"))
}
