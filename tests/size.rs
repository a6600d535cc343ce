//! `coldcheck size`: that no number is missing in silence, what is shown without a code, settings, the
//! guide, and the program itself.

use coldcheck_tests::cases::{examine_sheets, sheet};
use coldcheck_tests::generate::Dice;
use coldcheck_tests::paths;
use coldcheck_tests::program::{err, out, program};
use coldcheck_tests::size_examples::{SPLIT, units};
use coldcheck_tests::sizes::{self, json, number};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::process::{Command, Stdio};

/// Every id, computed or not; one with nothing missing is told as such.
fn ids(report: &Value) -> BTreeSet<String> {
    let list = |key: &str| report[key].as_array().expect("a list").clone();
    let computed = list("quantities").into_iter().map(|one| one["id"].clone());
    let not = list("not_computed").into_iter().map(|one| {
        assert!(!one["missing"].as_array().expect("a list").is_empty(), "{one:#}");
        one["id"].clone()
    });
    computed.chain(not).map(|id| id.as_str().expect("an id").to_owned()).collect()
}

#[test]
fn a_number_that_is_not_shown_is_listed_with_what_it_lacks() {
    let sheets = sizes::all().into_iter().find(|(name, _)| name == "sixteen-units").expect("it").1;
    let text = |extension: &str| {
        let sheet = sheets.iter().find(|sheet| sheet.name.ends_with(extension)).expect("a sheet");
        String::from_utf8(sheet.bytes.clone()).expect("text")
    };
    let extra =
        "CT L1 ratio on part = 2000:1\nCT L1 ratio set = 2000:1\npre-charge resistor = 9 ohm\n";
    let lines = format!("{}{extra}", text("txt"));
    let lines: Vec<&str> = lines.lines().collect();
    let examined = |kept: &[&str]| {
        let settings = coldcheck::read::RawSheet {
            name: "settings.txt".to_owned(),
            bytes: kept.join("\n").into_bytes(),
        };
        let units = sheets.iter().find(|sheet| sheet.name.ends_with("csv")).expect("units").clone();
        let (site, found) = sizes::of_sheets(&[settings, units]);
        coldcheck::render::json::sizes::sizes(&site, &found)
    };
    let whole = examined(&lines);
    let all = ids(&whole);
    assert!(all.len() > 40, "{all:?}");
    let computed = |report: &Value| report["quantities"].as_array().expect("a list").len();
    let mut dice = Dice::new(11);
    for round in 0..150 {
        let mut kept = lines.clone();
        // What belongs to sensors is only there with a sensor.
        kept.retain(|line| line.starts_with("CT") || dice.roll(3) > 0);
        let report = examined(&kept);
        let own = ids(&report);
        let lost: Vec<_> = all.difference(&own).collect();
        assert!(lost.is_empty(), "round {round}: {lost:?} are neither shown nor listed");
        assert!(computed(&report) <= computed(&whole) + 40, "round {round}");
        for one in report["not_computed"].as_array().expect("a list") {
            let id = &one["id"];
            let shown = report["quantities"].as_array().expect("a list").iter();
            let twice = shown.filter(|other| other["id"] == *id && other["where"] == one["where"]);
            assert_eq!(twice.count(), 0, "{id} is shown and missing");
        }
    }
}

#[test]
fn without_a_code_only_what_hangs_on_none_is_computed() {
    let sheets = sizes::all().into_iter().find(|(name, _)| name == "no-code").expect("it").1;
    let (site, found) = sizes::of_sheets(&sheets);
    let report = coldcheck::render::json::sizes::sizes(&site, &found);
    assert_eq!(report["code"], Value::Null);
    assert!((number(&report, "feeder.current") - 200.0).abs() < 1e-9);
    let missing = |id: &str| sizes::lacking(&report, id).contains(&"code");
    for id in ["unit.breaker", "unit.conductor", "battery.fuse", "busbar.load"] {
        assert!(missing(id), "{id}");
    }
}

#[test]
fn a_sixteen_unit_site_takes_at_most_twenty_lines() {
    let (_, sheets) =
        sizes::all().into_iter().find(|(name, _)| name == "sixteen-units").expect("it");
    let text = sheets.iter().find(|sheet| sheet.name.ends_with("txt")).expect("the power side");
    let text = String::from_utf8(text.bytes.clone()).expect("text");
    assert!(text.lines().count() <= 20, "{}", text.lines().count());
    let (site, found) = sizes::of_sheets(&sheets);
    assert_eq!(site.declared.units.len(), 16);
    assert!(found.findings.is_empty(), "{:?}", found.findings);
    assert!(site.declared.not_understood.is_empty(), "{:?}", site.declared.not_understood);
    // The guide shows this very sheet.
    let guide = fs::read_to_string(paths::workspace().join("host-cli/guide/installer.md"))
        .expect("the guide");
    assert!(guide.contains(text.trim_end()), "the guide shows another power side");
}

#[test]
fn what_one_unit_has_otherwise_stands_in_place_of_the_line_for_all() {
    let lines = "all units = output lead 6 m, output conductor 8 AWG\nunit 2 output lead = 9 m\n";
    let text = format!("{SPLIT}rated power = 8 kVA\nconductor metal = copper\n{}{lines}", units(3));
    let report = json(&text);
    let drops = sizes::quantities(&report, "unit.drop-volts");
    let of = |place: usize| (&drops[place]["where"]["units"], drops[place]["value"].as_f64());
    assert_eq!(*of(0).0, serde_json::json!(["unit 1", "unit 3"]));
    assert_eq!(*of(1).0, serde_json::json!(["unit 2"]));
    assert!((of(1).1.expect("volts") / of(0).1.expect("volts") - 1.5).abs() < 1e-9);
    let disagree = |texts: &[&str]| {
        let raw = |(at, text): (usize, &&str)| sheet(&format!("{at}.txt"), text);
        let sheets: Vec<_> = texts.iter().enumerate().map(raw).collect();
        let (_, diagnosis) = examine_sheets(&sheets, None).expect("it is read");
        diagnosis.findings.iter().any(|finding| finding.rule.rule().slug == "sheets-disagree")
    };
    assert!(!disagree(&[&text]));
    // Two lines for all that differ are a contradiction as ever.
    assert!(disagree(&[&format!("{text}all units output lead = 7 m\n")]));
    // So is a line for all in another sheet, and one that would hold for no unit.
    let own = "unit 1 output lead = 9 m\nunit 2 output lead = 9 m\nunit 3 output lead = 9 m\n";
    let start = text.replace(lines, "");
    assert!(!disagree(&[&format!("{start}{own}")]));
    assert!(disagree(&[&format!("{start}{own}"), "all units output lead = 7 m\n"]));
    assert!(disagree(&[&format!("{start}{own}all units output lead = 7 m\n")]));
    assert!(!disagree(&[&format!("{start}{own}"), "all units output lead = 9 m\n"]));
}

#[test]
fn settings_are_what_is_demanded_else_what_is_declared() {
    let sheet = "unit 1 = coordinator, addr 1, count 2, mode single\n\
                 unit 2 = follower, addr 2, count 3\nunit 3 = follower, addr 3, count 3\n\
                 unit 1 frequency = 60 Hz\nCT L1 ratio set = 1000:1\nsensor ratio = 2000:1\n";
    let report = json(sheet);
    let setting = |of: &str, key: &str| {
        let dials = report["settings"].as_array().expect("a list");
        let dial = dials.iter().find(|dial| dial["of"] == of).expect("a dial");
        let settings = dial["settings"].as_array().expect("a list");
        let found = settings.iter().find(|one| one["setting"] == key).expect("a setting");
        [&found["value"], &found["by"], &found["declared"]].map(Clone::clone)
    };
    let told = |value: &str, by: &str, declared: Option<&str>| {
        [value.into(), by.into(), declared.map_or(Value::Null, Into::into)]
    };
    assert_eq!(setting("unit 1", "count"), told("3", "demanded", Some("2")));
    assert_eq!(setting("unit 1", "mode"), told("parallel", "demanded", Some("single")));
    assert_eq!(setting("unit 2", "mode"), told("parallel", "demanded", None));
    assert_eq!(setting("unit 2", "role"), told("follower", "declared", None));
    assert_eq!(setting("unit 3", "frequency"), told("60 Hz", "as the others", None));
    assert_eq!(setting("unit 2", "terminator"), [Value::Null, "open".into(), Value::Null]);
    assert_eq!(setting("CT L1", "ratio set"), told("2000:1", "demanded", Some("1000:1")));
    let agree = report["must_agree"].as_array().expect("a list");
    assert!(agree.iter().any(|key| key == "frequency"), "{agree:?}");
}

#[test]
fn the_program_ends_with_0_whatever_it_finds_and_with_2_if_it_cannot_read() {
    let run = |arguments: &[&str], sheet: &str| {
        let mut child = Command::new(program())
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program");
        let mut input = child.stdin.take().expect("its input");
        input.write_all(sheet.as_bytes()).expect("it reads");
        drop(input);
        child.wait_with_output().expect("it ends")
    };
    let bar = [
        SPLIT,
        &units(4),
        "rated power = 7.68 kVA\nbusbar = rating 200 A, main 200 A, breakers 240 A\n",
    ];
    let output = run(&["size", "-"], &bar.concat());
    assert_eq!((output.status.code(), err(&output).as_str()), (Some(0), ""));
    let told = out(&output);
    for words in
        ["[busbar-overloaded]", "360 A", "NFPA 70", "second-hand", "Local code", "Settings"]
    {
        assert!(told.contains(words), "{words}: {told}");
    }
    let output = run(&["size", "-", "--format", "json"], &bar.concat());
    let report: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(report["schema"], "coldcheck.size.v1");
    let output = run(&["size", "-"], "unit 1 = coordinator\nambient = warm\n");
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("a temperature such as 40 C"), "{}", err(&output));
}
