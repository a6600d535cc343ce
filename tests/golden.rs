//! The cases: the answer beside each one, and the golden files that a person has read.

use coldcheck::profile;
use coldcheck::read::RawSheet;
use coldcheck::render::{self, explain, json};
use coldcheck_core::rule::Check;
use coldcheck_core::rules::RULES;
use coldcheck_tests::{cases, expected, golden, paths};
use serde_json::Value;
use std::fs;

/// Cases that need rules which are not there yet. A case leaves this list by itself: the test
/// fails as soon as it agrees, or as the rules that it names are all there.
const WAITING: &[(&str, &str)] = &[];

#[test]
fn each_case_agrees_with_its_answer() {
    for case in cases::all() {
        let (site, diagnosis) = case.examine().expect("a case can be read");
        let answer = case.expected();
        let complete = expected::is_complete(&answer);
        let waiting = WAITING.iter().any(|(name, _)| *name == case.name);
        assert_ne!(complete, waiting, "{}: is the list of waiting cases right?", case.name);
        let report = json::check(&site, &diagnosis);
        let differences = expected::differences(&report, &answer, complete);
        assert!(differences.is_empty(), "{}:\n{}", case.name, differences.join("\n"));
    }
}

#[test]
fn each_case_ends_with_the_exit_code_of_its_verdict() {
    // Exit codes as the design states them.
    let code = |verdict: &str| match verdict {
        "stop" => 5,
        "ask" => 3,
        "fix-first" => 1,
        "incomplete" => 4,
        _ => 0,
    };
    for case in cases::all() {
        let (_, diagnosis) = case.examine().expect("a case can be read");
        assert_eq!(diagnosis.verdict.exit_code(), code(diagnosis.verdict.word()), "{}", case.name);
    }
}

#[test]
fn golden_files_hold_what_the_program_says() {
    let differing: Vec<_> = golden::all()
        .iter()
        .filter(|golden| !golden.agrees())
        .map(golden::Golden::difference)
        .collect();
    assert!(differing.is_empty(), "read, then `cargo dev bless`:\n{}", differing.join("\n"));
}

#[test]
fn no_line_for_people_is_longer_than_eighty_columns() {
    // What machines are compared by is read by programs.
    let images = paths::tests().join("images");
    let for_people = |golden: &&golden::Golden| {
        golden.path.extension().is_some_and(|e| e == "txt") && !golden.path.starts_with(&images)
    };
    for golden in golden::all().iter().filter(for_people) {
        for line in golden.now.lines() {
            assert!(line.chars().count() <= 80, "{}: {line}", golden.path.display());
        }
    }
}

#[test]
fn reports_keep_to_the_published_schema() {
    let path = paths::workspace().join("host-cli/assets/check.v1.schema.json");
    let schema = serde_json::from_str(&fs::read_to_string(path).expect("the schema"))
        .expect("the schema is JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    for (name, report) in reports() {
        let errors: Vec<_> = validator.iter_errors(&report).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        // A schema that takes anything would pass too: a wrong word must not.
        let mut wrong = report;
        wrong["verdict"] = "safe".into();
        assert!(!validator.is_valid(&wrong), "{name}");
    }
}

/// The report of every case, and one with waivers of every kind, as strict as can be.
fn reports() -> Vec<(String, Value)> {
    let mut reports: Vec<_> = cases::all()
        .into_iter()
        .map(|case| {
            let (site, diagnosis) = case.examine().expect("a case can be read");
            (case.name, json::check(&site, &diagnosis))
        })
        .collect();
    let bytes = fs::read(paths::tests().join("waived/site.toml")).expect("the site");
    let sheets = [RawSheet { name: "site.toml".to_owned(), bytes }];
    let (site, mut diagnosis) = cases::examine_sheets(&sheets, None).expect("it can be read");
    reports.push(("waived, no date".to_owned(), json::check(&site, &diagnosis)));
    diagnosis.waive(&site, golden::day());
    diagnosis.be_strict();
    reports.push(("waived".to_owned(), json::check(&site, &diagnosis)));
    for (id, rule) in RULES.iter().filter(|(_, rule)| matches!(rule.check, Check::Heard(_))) {
        let text = explain::broken(&rule.text.example);
        let (site, diagnosis) = cases::examine_example(&text).expect("it can be read");
        reports.push((format!("{id:?}"), json::check(&site, &diagnosis)));
    }
    reports
}

#[test]
fn profiles_keep_to_their_schema() {
    let path = paths::workspace().join("host-cli/assets/profile.v1.schema.json");
    let schema = serde_json::from_str(&fs::read_to_string(path).expect("the schema"))
        .expect("the schema is JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    for name in profile::builtin_names() {
        let text = profile::builtin(name).expect("built in");
        let shown = render::profile::json(&profile::parse(name, text).expect("sound"));
        let errors: Vec<_> = validator.iter_errors(&shown).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        let mut wrong = shown;
        wrong["demands"][0]["from"] = "".into();
        assert!(!validator.is_valid(&wrong), "{name}");
    }
}
