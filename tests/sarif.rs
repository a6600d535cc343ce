//! SARIF: sound under the published schema, and nothing left out.

use coldcheck::engine::{examine, examine_heard};
use coldcheck::read::RawSheet;
use coldcheck::render::explain::{self, broken};
use coldcheck::render::sarif;
use coldcheck_core::finding::Verdict;
use coldcheck_core::rules::{RULES, RuleId};
use coldcheck_tests::cases::{self, examine_example, examine_sheets, request, sheet};
use coldcheck_tests::{golden, paths, tools};
use serde_json::Value;
use std::fs;
use std::path::Path;

/// The schema that OASIS published, as the package `serde-sarif` carries it.
fn schema() -> Value {
    let mut cargo = tools::cargo(&paths::workspace().join("target"));
    cargo.args(["metadata", "--format-version", "1", "--offline", "--filter-platform", HOST]);
    let output = tools::run(&mut cargo);
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("cargo answers in JSON");
    let package = metadata["packages"]
        .as_array()
        .expect("packages")
        .iter()
        .find(|package| package["name"] == "serde-sarif")
        .expect("a dependency of the tests");
    let manifest = Path::new(package["manifest_path"].as_str().expect("a path"));
    let file = manifest.with_file_name("src").join("schema.json");
    let text = fs::read_to_string(file).expect("the schema");
    // One pattern, of a property that we do not write, has a bracket too many, which validators
    // that read patterns strictly refuse.
    assert!(text.contains(ODD_PATTERN), "the schema has changed");
    serde_json::from_str(&text.replace(ODD_PATTERN, "^[a-zA-Z]{2}")).expect("JSON")
}

const ODD_PATTERN: &str = "^[a-zA-Z]{2}|^[a-zA-Z]{2}-[a-zA-Z]{2}]?$";

/// The machine that the tests are built for: what its packages need was fetched for the build.
const HOST: &str = env!("COLDCHECK_HOST");

/// Every log with a name for messages.
fn logs() -> Vec<(String, Value)> {
    let mut logs = Vec::new();
    for case in cases::all() {
        let (site, diagnosis) = case.examine().expect("a case can be read");
        logs.push((case.name, sarif::check(&site, &diagnosis)));
    }
    let text = fs::read_to_string(paths::tests().join("waived/site.toml")).expect("the site");
    let sheets = [sheet("/somewhere/on/this machine/site.toml", &text)];
    let (site, mut diagnosis) = examine(&request(&sheets, None)).expect("it can be read");
    diagnosis.waive(&site, golden::day());
    diagnosis.be_strict();
    logs.push(("waived".to_owned(), sarif::check(&site, &diagnosis)));
    let sheets = [sheet("s", "unit 1 = coordinator\nunit 2 = follower\nunit 1 adress = 1\nodd\n")];
    let (site, diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
    assert_eq!(diagnosis.verdict, Verdict::Ask);
    logs.push(("asks".to_owned(), sarif::check(&site, &diagnosis)));
    let silent = RuleId::UnitSilent.rule().text.example;
    let (site, diagnosis) = examine_example(&broken(&silent)).expect("it can be read");
    logs.push(("heard".to_owned(), sarif::check(&site, &diagnosis)));
    let image = coldcheck::image::write(&site);
    let files = [RawSheet { name: "plan.bin".to_owned(), bytes: image }];
    let log = explain::log(&broken(&silent)).expect("a log");
    let (site, diagnosis) = examine_heard(&request(&files, None), &log).expect("an image");
    logs.push(("heard by an image".to_owned(), sarif::check(&site, &diagnosis)));
    logs
}

#[test]
fn logs_keep_to_the_published_schema() {
    let validator = jsonschema::validator_for(&schema()).expect("the schema is sound");
    for (name, log) in logs() {
        let errors: Vec<_> = validator
            .iter_errors(&log)
            .map(|error| format!("{} at {}", error, error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{name}: {errors:#?}");
        let mut wrong = log;
        wrong["runs"][0]["results"][0]["kind"] = "safe".into();
        assert!(!validator.is_valid(&wrong), "{name}: a schema that takes anything");
    }
}

#[test]
fn every_rule_that_ran_has_a_result_and_points_at_its_own_words() {
    for (name, log) in logs() {
        let run = &log["runs"][0];
        assert_eq!(run["columnKind"], "unicodeCodePoints");
        let words = run["tool"]["driver"]["rules"].as_array().expect("rules");
        let results = run["results"].as_array().expect("results");
        for result in results {
            let index = usize::try_from(result["ruleIndex"].as_u64().expect("an index"));
            assert_eq!(words[index.expect("small")]["id"], result["ruleId"], "{name}");
            // SARIF 2.1.0, 3.27.10: a level other than none goes with a failure only.
            assert_eq!(result["kind"] == "fail", result["level"] != "none", "{name}: {result}");
            // 3.27.23: suppressions are there for all results or for none.
            assert!(result["suppressions"].is_array(), "{name}");
        }
        let stages = run["properties"]["stages"].as_array().expect("stages");
        for (id, rule) in RULES {
            let ran = stages.contains(&coldcheck::diagnosis::stage(*id).into());
            let listed = results.iter().any(|result| result["ruleId"] == rule.slug);
            assert_eq!(listed, ran, "{name}: {}", rule.slug);
        }
    }
}

#[test]
fn kinds_and_levels_say_what_each_result_is() {
    let logs = logs();
    let find = |log: &str, rule: &str| {
        let (_, log) = logs.iter().find(|(name, _)| name == log).expect("the log");
        let results = log["runs"][0]["results"].as_array().expect("results");
        results.iter().find(|result| result["ruleId"] == rule).expect("the result").clone()
    };
    for (rule, kind, level) in [
        ("battery-banks-separate", "fail", "error"),
        ("term-on-middle-unit", "fail", "warning"),
        ("link-too-long", "fail", "warning"),
        ("link-broken", "pass", "none"),
        ("address-out-of-range", "notApplicable", "none"),
    ] {
        let result = find("waived", rule);
        assert_eq!((&result["kind"], &result["level"]), (&kind.into(), &level.into()), "{rule}");
    }
    assert_eq!(find("asks", "open-question")["kind"], "review");
    assert_eq!(find("asks", "undeclared-fact")["kind"], "open");
    assert_eq!(find("asks", "link-broken")["kind"], "open");
    let suppression = &find("waived", "link-too-long")["suppressions"][0];
    assert_eq!(suppression["status"], "accepted");
    assert_eq!(suppression["properties"]["by"], "Ida Vent");
}

#[test]
fn columns_are_code_points_and_files_are_relative() {
    let list = "cable;from;to;kind\nC1;unit 1 – A;unit 2 – B;link\nC2;unit 1 – A;unit 2 – A;link\n";
    let sheets = [
        sheet("/home/someone/my list.csv", list),
        sheet("s.txt", "unit 1 = coordinator\nunit 2 = follower\n"),
    ];
    let (site, diagnosis) = examine_sheets(&sheets, None).expect("it can be read");
    let log = sarif::check(&site, &diagnosis);
    assert!(!log.to_string().contains("someone"), "a path of the machine is told");
    let results = log["runs"][0]["results"].as_array().expect("results");
    let twice = results.iter().find(|one| one["ruleId"] == "port-listed-twice").expect("found");
    let place = &twice["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], "my%20list.csv");
    let cell = list.lines().nth(1).expect("a row");
    let before = cell.split("unit 1").next().expect("a cell").chars().count();
    assert_eq!(place["region"]["startLine"], 2);
    assert_eq!(place["region"]["startColumn"], before + 1);
    assert_eq!(place["region"]["endColumn"], before + 1 + "unit 1 – A".chars().count());
    assert_eq!(twice["relatedLocations"][0]["physicalLocation"]["region"]["startLine"], 3);
}
