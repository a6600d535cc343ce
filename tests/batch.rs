//! `batch` against `check`: the same findings, the same verdict, the same rules left open.

use coldcheck::batch::{Answer, Settings, Worker};
use coldcheck::date::Date;
use coldcheck::diagnosis::{Because, Day, Diagnosis};
use coldcheck::engine::read_site;
use coldcheck::image;
use coldcheck::render::json;
use coldcheck_core::rule::Check;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::{examine_sheets, request, sheet};
use coldcheck_tests::generate::rounds;
use coldcheck_tests::{lines, paths};
use serde_json::{Value, json};
use std::sync::LazyLock;

fn settings() -> Settings {
    let date = Date::read("2027-03-31").expect("a day");
    Settings { profile: None, scope: None, day: Day { date, from_clock: false } }
}

fn report(worker: &mut Worker<'_>, number: u64, line: &str) -> (Answer, Value) {
    let mut out = Vec::new();
    let answer = worker.line(number, line.as_bytes(), &mut out);
    assert_eq!(out.split(|byte| *byte == b'\n').count(), 2, "one line");
    let report = serde_json::from_slice(&out).expect("JSON");
    let error = schema().iter_errors(&report).next().map(|error| error.to_string());
    assert_eq!(error, None, "{report}");
    (answer, report)
}

/// The published form of a line.
fn schema() -> &'static jsonschema::Validator {
    static SCHEMA: LazyLock<jsonschema::Validator> = LazyLock::new(|| {
        let path = paths::workspace().join("host-cli/assets/batch.v1.schema.json");
        let text = std::fs::read_to_string(path).expect("the schema");
        let schema = serde_json::from_str(&text).expect("JSON");
        jsonschema::validator_for(&schema).expect("the schema is sound")
    });
    &SCHEMA
}

/// What `batch` must say of a site, made of what `check` says.
fn expected(number: u64, line: &str) -> Value {
    let sheets = [sheet("line", line)];
    match examine_sheets(&sheets, None) {
        Ok((site, mut diagnosis)) => {
            if !site.declared.waivers.is_empty() {
                diagnosis.waive(&site, settings().day);
            }
            in_short(number, &json::check(&site, &diagnosis), &diagnosis)
        }
        Err(refusal) => {
            let errors = refusal.errors.iter().map(|error| {
                let at = error.origin.map(|origin| refusal.sheets.position(origin).column);
                json!({ "says": error.says, "expected": error.expected, "column": at })
            });
            without_empty(json!({
                "schema": "coldcheck.batch.v1",
                "line": number,
                "errors": errors.take(8).map(without_empty).collect::<Vec<_>>(),
                "more_errors": refusal.errors.len().checked_sub(8).filter(|more| *more > 0),
            }))
        }
    }
}

fn in_short(number: u64, check: &Value, diagnosis: &Diagnosis) -> Value {
    let finding = |one: &Value| {
        without_empty(json!({
            "rule": one["rule"], "severity": one["severity"],
            "places": one["places"], "related": one["related"],
        }))
    };
    let findings: Vec<Value> =
        check["findings"].as_array().expect("a list").iter().map(finding).collect();
    let unchecked = |wanted: fn(&Because) -> bool| {
        let rules = diagnosis.not_checked.iter().filter(|entry| wanted(&entry.because));
        rules.map(|entry| json!(entry.rule.rule().slug)).collect::<Vec<_>>()
    };
    let list = |key: &str, field: &str| {
        let list = check[key].as_array().expect("a list");
        let mut values: Vec<Value> = list.iter().map(|entry| entry[field].clone()).collect();
        values.dedup();
        values
    };
    let waived = check["waived"].as_array().expect("a list").iter().map(|entry| {
        let mut short = finding(&entry["finding"]);
        short.as_object_mut().expect("an object").remove("related");
        short["by"] = entry["by"].clone();
        short["until"] = entry["until"].clone();
        short
    });
    let mut out = without_empty(json!({
        "schema": "coldcheck.batch.v1",
        "line": number,
        "profile": check["profile"],
        "profile_assumed": check["profile_assumed"],
        "scope": check["scope"],
        "verdict": check["verdict"],
        "gaps": list("gaps", "rule"),
        "met": diagnosis.met.len(),
        "undeclared": list("undeclared", "datum"),
        "questions": list("questions", "says"),
        "not_understood": list("not_understood", "text"),
        "waived": waived.collect::<Vec<_>>(),
        "idle_waivers": list("idle_waivers", "rule"),
        "waivers_held_against": check["waivers_held_against"]["date"],
    }));
    out["site"] = check["site"].clone();
    out["findings"] = json!(findings);
    out["not_checked"] = without_empty(json!({
        "missing": unchecked(|because| matches!(because, Because::Missing(_))),
        "undemanded": unchecked(|because| matches!(because, Because::Undemanded(_))),
        "blocked": unchecked(|because| matches!(because, Because::BlockedBy(_))),
    }));
    out
}

/// An object without lists that are empty and without what is null.
fn without_empty(mut value: Value) -> Value {
    let object = value.as_object_mut().expect("an object");
    object.retain(|_, value| !value.is_null() && value.as_array().is_none_or(|l| !l.is_empty()));
    value
}

/// Findings in an order of their own, since the one of `check` goes by the lines of the sheets.
fn sorted(mut report: Value) -> Value {
    if let Some(findings) = report.get_mut("findings").and_then(Value::as_array_mut) {
        findings.sort_by_key(ToString::to_string);
    }
    report
}

/// Holds both ways of reading a line against each other; says whether the fast one took it.
fn ways_agree(worker: &mut Worker<'_>, line: &str) -> bool {
    let (mut fast, mut general) = (Vec::new(), Vec::new());
    worker.line(1, line.as_bytes(), &mut fast);
    worker.line_in_general(1, line.as_bytes(), &mut general);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    assert_eq!(text(fast), text(general), "{line}");
    let Some(body) = worker.fast_body(line.as_bytes()) else { return false };
    let sheets = [sheet("line", line)];
    let site = read_site(&request(&sheets, None)).expect("the fast way takes only what is right");
    assert_eq!(body, site.assembled.body, "{line}");
    true
}

/// Compares one line; says whether it could be read.
fn agree(worker: &mut Worker<'_>, number: u64, line: &str) -> bool {
    ways_agree(worker, line);
    let (answer, report) = report(worker, number, line);
    assert_eq!(sorted(report.clone()), sorted(expected(number, line)), "{line}");
    match answer {
        Answer::Verdict(verdict) => assert_eq!(report["verdict"], verdict.word()),
        Answer::Unread => assert!(report["errors"].is_array()),
    }
    // The worst stand first.
    let rank = |severity: &Value| {
        ["danger", "no-start", "degraded", "note"].iter().position(|word| severity == word)
    };
    let findings = report["findings"].as_array().into_iter().flatten();
    assert!(findings.map(|finding| rank(&finding["severity"])).is_sorted(), "{line}");
    answer != Answer::Unread
}

#[test]
fn groups_with_every_fault_are_told_as_check_tells_them() {
    let settings = settings();
    let mut worker = Worker::new(&settings);
    // A part of them, since `check` takes its time in a debug build.
    let lines: Vec<String> = [2, 3].into_iter().flat_map(lines::of_groups).step_by(23).collect();
    assert!(lines.len() > 90, "{}", lines.len());
    for (number, line) in (1..).zip(&lines) {
        assert!(agree(&mut worker, number, line), "{line}");
    }
}

#[test]
fn sites_with_several_faults_are_told_as_check_tells_them() {
    let settings = settings();
    let mut worker = Worker::new(&settings);
    for (number, line) in (1..).zip(lines::of_sites(0..300)) {
        assert!(agree(&mut worker, number, &line), "{line}");
    }
}

#[test]
fn what_people_write_otherwise_is_told_as_check_tells_it() {
    let settings = settings();
    let mut worker = Worker::new(&settings);
    // Twice, so that the second time everything is known by heart.
    for line in ODD.iter().chain(ODD) {
        agree(&mut worker, 9, line);
    }
}

/// Lines beyond what generators write: other words, doubts, mistakes.
const ODD: &[&str] = &[
    r#"{"unit":[{"name":"unit 1","ac in":"L1->in L; N->in N"},{"name":"unit 2","ac in":"L1->in N; N->in L"}]}"#,
    r#"{"unit":[{"name":"unit 1","address":1,"address":2}]}"#,
    r#"{"unit":[{"name":"unit 1","address":1,"addr":2},{"name":"unit 2"}]}"#,
    r#"{"unit":[{"name":"unit 1"},{"name":"U01","role":"lead"}],"cables":[]}"#,
    r#"{"unit":[{"name":"a b"},{"name":"unit 2"}],"cable":[{"label":"C1","from":"a b","to":"unit 2"}]}"#,
    r#"{"unit":[{"name":"unit 1"},{"name":"unit 2"}],"cable":[{"label":"C1","from":"unit 1 A","to":"unit 3","kind":"link"}]}"#,
    r#"{"unit":[{"name":"unit 1","rolle":"follower"}],"colour":"red"}"#,
    r#"{"unit":[{"name":"unit 1","role":"boss"}]}"#,
    r#"{"unit":[{"name":"unit 1","address":[1]}]}"#,
    r#"{"unit":[{"role":"follower"}]}"#,
    r#"{"unit":{"name":"unit 1"}}"#,
    r#"{"unit":[{"name":"unit 1"}],"profile":"two-port-line","site":"a \"site\"\n"}"#,
    r#"{"unit":[{"name":"unit 1"}],"profile":"Two Port Line","scope":"power"}"#,
    r#"{"unit":[{"name":"unit 1"}],"scope":"kitchen"}"#,
    r#"{"unit":[{"name":"unit 1"}],"list came from":"photograph","rows":3,"cable":[]}"#,
    r#"{"cable":[{"label":"C1","from":"unit 1","to":"unit 2","kind":"link","length":"1.5"}],"max link total":"30 m"}"#,
    r#"{"unit":[{"name":"unit 1"},{"name":"unit 2"}],"cable":[{"label":"C1","from":"unit 1","to":"unit 2","kind":"link"},{"label":"C1","from":"unit 1","to":"unit 2","kind":"link","note":"again"},{"from":"unit 2","to":"-","kind":"link"}],"max link total":"30 m"}"#,
    r#"{"unit":[{"name":"unit 1"}],"cable":[{"label":"T","from":"unit 1","kind":"terminator","note":"120 ohm"}]}"#,
    r#"{"unit":[{"name":"unit 1","role":"coordinator"},{"name":"unit 2","role":"coordinator"}],"waiver":[{"rule":"coordinator-two","place":["unit 1","unit 2"],"reason":"r","by":"Ida Vent","until":"2027-06-30"}]}"#,
    r#"{"unit":[{"name":"unit 1","role":"coordinator"}],"waiver":[{"rule":"coordinator-two","reason":"r","by":"Ida Vent","until":"2027-01-30"}]}"#,
    r#"{"unit":[{"name":"Küche"},{"name":"Bad – 2"}],"cable":[{"label":"ü","from":"Küche","to":"Bad 2","kind":"link"}]}"#,
    r#" { "unit" : [ { "name" : "unit 1" } ] } "#,
    r#"{"unit":[{"name":"unit 1"}]} {}"#,
    r#"{"unit":[{"name":"unit 1"}"#,
    r#"{"unit":[{"name":"unit 1",}]}"#,
    r#"{"unit":[{"name":"unit 1","count":1e1}]}"#,
    r#"{"unit":[{"name":"unit 1","count":null,"term":true}]}"#,
    r#"{"unit":[{"name":"unit 1"}],"sensor":2}"#,
    r#"{"unit":[{"name":"unit 1"}],"sensors":2}"#,
    r#"{"sensors":[{"name":"L1","arrow":"house"}],"unit":[{"name":"unit 1"}]}"#,
    r#"{"unit":[{"name":"unit 1"}],"demands":{"max units":2},"demands":{"sockets":"either"}}"#,
    r#"{"unit":[{"name":"unit 1"}],"demand":{"max units":2},"demands":{"sockets":"either"}}"#,
    r#"{"unit":[{"name":"unit 1"}],"units":[{"name":"unit 2"}]}"#,
    r#"{"unit":[{"name":"pack 1"},{"name":"unit 2"}],"cable":[{"label":"1","from":"pack 1","to":"unit 2","kind":"link"}]}"#,
    r#"{"cable":[{"label":"1","from":"U1","to":"unit 2","kind":"link"}],"unit":[{"name":"unit 1"},{"name":"unit 2"}]}"#,
    r#"{"unit":[{"name":"unit 1"},{"name":"unit 2"}],"cable":[{"label":"a","from":"unit 1","from_port":"the port A","to":"unit 2","to_port":"port","kind":"can","length":"6 ft"},{"label":"10","from":"unit 1","to":"-","kind":"link"},{"label":"9","from":"pack 2 data","to":"unit 1","to_port":"battery","kind":"bms"},{"label":"x1","from":"router","to":"unit 1","to_port":"meter","kind":"meter"}],"max link total":"2 m"}"#,
    r#"{"unit":[{"name":1,"serial":"00017","model":"X-1"},{"name":"unit 2","serial":17,"model":"x 1"}],"pack":[{"name":2,"address":"0x0A","protocol":"b"},{"name":1,"protocol":"a"}],"lead pack":1,"packs set":2,"pv":"roof -> 1; roof -> unit 2; shed -> unit 2"}"#,
    r#"{"unit":[{"name":"unit 1","bank":"A","ac out":"L1->bar L1; N->-","ac in":"straight"},{"name":"unit 2","bank":"a","ac out":"straight","battery lead":"2 m","output breaker":"32 A"}],"bond":"main board (fixed); unit 2 relay (closed on island)"}"#,
    "{}",
];

#[test]
fn images_are_told_as_their_lines_but_for_what_readers_and_sizes_find() {
    let settings = settings();
    let mut worker = Worker::new(&settings);
    let groups = lines::of_groups(3).into_iter().step_by(31);
    for line in groups.chain(lines::of_sites(2000..2100)) {
        let (_, of_line) = report(&mut worker, 1, &line);
        let sheets = [sheet("line", &line)];
        let site = read_site(&request(&sheets, None)).expect("a right line");
        let mut out = Vec::new();
        let bytes = image::write(&site);
        let answer = worker.image(1, &bytes, &mut out);
        let of_image: Value = serde_json::from_slice(&out).expect("JSON");
        let is_of_host = |finding: &Value| {
            let found = RULES.iter().find(|(_, rule)| finding["rule"] == rule.slug);
            found.is_some_and(|(_, rule)| matches!(rule.check, Check::Reader | Check::Sized))
        };
        let findings = of_line["findings"].as_array().expect("a list").iter();
        let wanted: Vec<_> = findings.filter(|finding| !is_of_host(finding)).cloned().collect();
        assert_eq!(of_image["findings"], json!(wanted), "{line}");
        assert_eq!(of_image["site"], of_line["site"]);
        assert_eq!(of_image["undeclared"], of_line["undeclared"], "{line}");
        let Answer::Verdict(verdict) = answer else { panic!("{of_image}") };
        // A note of a reader is no danger, and the questions are counted in the image.
        if wanted.len() == of_line["findings"].as_array().map_or(0, Vec::len) {
            assert_eq!(of_line["verdict"], verdict.word());
        }
        for cut in [0, 3, 15, bytes.len() / 2, bytes.len() - 1] {
            assert_eq!(worker.image(1, &bytes[..cut], &mut Vec::new()), Answer::Unread);
        }
        for bit in (0..bytes.len() * 8).step_by(97) {
            let mut bad = bytes.clone();
            bad[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(worker.image(1, &bad, &mut Vec::new()), Answer::Unread, "bit {bit}");
        }
    }
}

#[test]
fn the_fast_way_takes_plain_lines_and_agrees_with_the_general_one() {
    let settings = settings();
    let mut worker = Worker::new(&settings);
    let sample = |lines: Vec<String>, step| lines.into_iter().step_by(step).collect::<Vec<_>>();
    let groups = [sample(lines::of_groups(2), 9), sample(lines::of_groups(4), 53)].concat();
    let sites: Vec<String> = lines::of_sites(1000..1000 + rounds(200)).collect();
    // What sizes are computed from is left to the general way.
    let (sized, groups): (Vec<_>, Vec<_>) =
        groups.into_iter().partition(|line| line.contains("\"supply system\""));
    assert!(sized.len() > 25, "{}", sized.len());
    assert!(!sized.iter().any(|line| ways_agree(&mut worker, line)));
    for (lines, least) in [(groups, 0.85), (sites, 0.99)] {
        let fast = lines.iter().filter(|line| ways_agree(&mut worker, line)).count();
        #[allow(clippy::cast_precision_loss, reason = "a share of some hundred lines")]
        let share = fast as f64 / lines.len() as f64;
        assert!(share >= least, "{fast} of {} lines", lines.len());
    }
}

/// Rules about where conductors of inputs go.
const TOLD: [&str; 2] = ["line-on-neutral-bar", "input-legs-not-as-output"];

/// What only the host sees of inputs is told alike, at one unit and at all.
#[test]
fn inputs_at_wrong_bars_are_told_in_both_ways() {
    let settings = settings();
    let mut worker = Worker::new(&settings);
    let right = "L1->one; L2->two; N->three; PE->four";
    let exchanged = "L1->three; L2->two; N->one; PE->four";
    for wrong in [
        right,
        "L1->one; L2->one; N->three; PE->four",
        "L1->one; L2->two; L3->one; N->three; PE->four",
        exchanged,
        "L1->one; L2->two; N->two; PE->four",
        "L1->bar L1; L2->bar N; N->three; PE->four",
        "L1->one; L2->two; N->earth bar; PE->four",
    ] {
        for side in ["ac in", "generator in"] {
            for others in [right, wrong] {
                let unit = |name: &str, to: &str| serde_json::json!({ "name": name, "ac out": "straight", side: to });
                let units = [unit("unit 1", others), unit("unit 2", wrong), unit("unit 3", others)];
                let line = serde_json::json!({ "unit": units, "cable": [] }).to_string();
                ways_agree(&mut worker, &line);
                ways_agree(&mut worker, &line.replacen("\"ac out\":\"straight\",", "", 1));
                ways_agree(&mut worker, &line.replace("\"ac out\":\"straight\",", ""));
                let (_, report) = report(&mut worker, 1, &line);
                let found = report["findings"].as_array().into_iter().flatten();
                let mut rules = found.filter_map(|finding| finding["rule"].as_str());
                let is_told = rules.any(|rule| TOLD.contains(&rule));
                // Exchanged at all of them, at bars whose names tell nothing: nobody can know.
                let can_be_told = wrong != right && (others == right || wrong != exchanged);
                assert_eq!(is_told, can_be_told, "{line}: {report:#}");
            }
        }
    }
}
