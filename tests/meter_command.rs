//! `coldcheck meter` as a person starts it: its page, its answers, its schema, its refusals.

use coldcheck_tests::golden::meter_goldens;
use coldcheck_tests::paths;
use coldcheck_tests::program::{err, folder, out, run_in};
use serde_json::Value;
use std::fs;
use std::path::PathBuf;
use std::process::Output;

const DEMO: [&str; 2] = ["cables.csv", "settings.txt"];

fn demo() -> PathBuf {
    paths::workspace().join("host-cli/demo/terrace-right")
}

fn meter(arguments: &[&str]) -> Output {
    run_in(&demo(), &[&["meter"], &DEMO[..], arguments].concat())
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

fn json(arguments: &[&str]) -> Value {
    let output = meter(&[arguments, &["--format", "json"]].concat());
    serde_json::from_str(&out(&output)).unwrap_or_else(|error| panic!("{error}: {}", err(&output)))
}

fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn plans_and_outcomes_are_as_they_were_read_last() {
    let changed: Vec<String> = meter_goldens()
        .iter()
        .filter(|golden| !golden.agrees())
        .map(|golden| golden.difference())
        .collect();
    assert!(
        changed.is_empty(),
        "{}\n`cargo dev bless`, then read the difference",
        changed.join("\n")
    );
}

#[test]
fn the_plan_of_an_ordinary_site_fits_one_page() {
    let output = meter(&[]);
    let text = out(&output);
    assert_eq!(code(&output), 0);
    assert!(text.lines().count() <= 60, "{} lines", text.lines().count());
    assert!(text.lines().all(|line| line.chars().count() <= 80));
    // Volts stand before the first ohm, and the cautions at the end.
    let at = |what: &str| text.find(what).unwrap_or_else(|| panic!("{what}: {text}"));
    assert!(at("VOLTS FIRST") < at("Ohms between") && at("Before touching anything") > at("Then:"));
}

#[test]
fn every_output_keeps_to_the_published_schema() {
    let path = paths::workspace().join("host-cli/assets/meter.v1.schema.json");
    let schema =
        serde_json::from_str(&fs::read_to_string(path).expect("the schema")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    let both = ["--read", "unit 1=119", "--read", "unit 4=119"];
    for arguments in [
        &[][..],
        &["--read", "unit 1=60.1"],
        &both,
        &["--read", "unit 1=0.4 V"],
        &["--read", "unit 1=60", "--read", "unit 4=1", "--read", "unit 2=300"],
        &["--read", "unit 1=0.00V"],
    ] {
        let mut told = json(arguments);
        let errors: Vec<_> = validator
            .iter_errors(&told)
            .map(|error| format!("{error} at {}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{arguments:?}: {errors:#?}");
        told["shape"] = "safe".into();
        assert!(!validator.is_valid(&told), "a schema that takes anything");
    }
}

#[test]
fn readings_decide_the_exit_code() {
    let with = |readings: &[&str]| {
        let arguments: Vec<&str> = readings.iter().flat_map(|one| ["--read", *one]).collect();
        code(&meter(&arguments))
    };
    assert_eq!(with(&["unit 1=60.2", "unit 4=60"]), 0);
    assert_eq!(with(&["unit 1=119", "unit 4=119"]), 1);
    assert_eq!(with(&["unit 1=60", "unit 4=1", "unit 2=300"]), 1);
    assert_eq!(with(&["unit 1=0.2V", "unit 1=60.2"]), 5);
    assert_eq!(with(&["unit 1=0.00 V", "unit 1=60.2"]), 0);
    assert_eq!(with(&["unit 9=60"]), 2);
}

#[test]
fn one_reading_that_goes_with_no_other_is_named() {
    let right = [
        "unit 1=60",
        "unit 1=120@pull T1",
        "plug T1=120@pull T1",
        "unit 4=60",
        "plug T3=120@pull T3",
    ];
    let read = |slip: &str| {
        let all = right.iter().chain([&slip]);
        json(&all.flat_map(|one| ["--read", *one]).collect::<Vec<_>>())["outcome"].clone()
    };
    assert_eq!(read("unit 4=120@pull T3")["result"], "fits-declared");
    let told = read("unit 4=12@pull T3");
    assert_eq!(told["result"], "nothing-fits", "{told}");
    assert_eq!(told["odd"]["place"], "unit 4@pull T3");
    assert_eq!(told["odd"]["others_fit"][0]["faults"], Value::Array(Vec::new()), "{told}");
    // Of too few, or where any of several may be the one, none is named.
    let few =
        json(&["--read", "unit 1=60", "--read", "plug T1=120@pull T1", "--read", "unit 4=12"]);
    assert_eq!(
        (&few["outcome"]["result"], &few["outcome"]["odd"]),
        (&"nothing-fits".into(), &Value::Null)
    );
    let two = ["unit 1=60", "unit 1=120@pull T1", "unit 4=12@pull T3", "plug T3=300@pull T3"];
    let two = json(&two.iter().flat_map(|one| ["--read", *one]).collect::<Vec<_>>());
    assert_eq!(
        (&two["outcome"]["result"], &two["outcome"]["odd"]),
        (&"nothing-fits".into(), &Value::Null)
    );
}

#[test]
fn a_danger_in_the_sheets_stands_above_the_plan() {
    let folder = folder("meter-danger");
    for sheet in DEMO {
        fs::copy(demo().join(sheet), folder.join(sheet)).expect("a demo");
    }
    let settings = fs::read_to_string(folder.join("settings.txt")).expect("there");
    let changed = settings.replacen("= follower", "= coordinator", 1);
    assert_ne!(settings, changed);
    fs::write(folder.join("settings.txt"), changed).expect("writable");
    let output = run_in(&folder, &[&["meter"], &DEMO[..]].concat());
    assert_eq!(code(&output), 5);
    assert!(out(&output).starts_with("STOP: the sheets hold 1 danger."), "{}", out(&output));
    assert!(out(&output).contains("VOLTS FIRST"));
}

#[test]
fn the_next_reading_leads_to_the_one_fault() {
    let first = json(&["--read", "unit 1=119", "--read", "unit 4=118.9"]);
    assert_eq!(first["outcome"]["result"], "points-to-fault");
    let kinds = |told: &Value| -> Vec<String> {
        let fits = told["outcome"]["fits"].as_array().expect("groups");
        fits.iter()
            .map(|group| group["faults"][0].as_str().unwrap_or("declared").to_owned())
            .collect()
    };
    assert_eq!(kinds(&first).len(), 2, "{first:#}");
    let next: Vec<&str> = first["outcome"]["next"]["places"]
        .as_array()
        .expect("a next reading")
        .iter()
        .map(|place| place.as_str().expect("a place"))
        .collect();
    assert_eq!(next, ["unit 2@pull T2", "plug T2@pull T2"], "halfway");
    // The second cable is open: nothing behind its loose plug, one terminator into its socket.
    let told = json(&[
        "--read",
        "unit 1=119",
        "--read",
        "unit 4=118.9",
        "--pull",
        "T2",
        "--read",
        "unit 2=119.5",
        "--read",
        "plug T2=>2M",
        "--read",
        "unit 1=119@plugged",
    ]);
    assert_eq!(kinds(&told), ["cable-open"], "{told:#}");
    assert_eq!(told["outcome"]["fits"][0]["count"], 1);
}

#[test]
fn a_readings_file_is_read_beside_the_command_line_and_only_under_its_own_sheets() {
    let folder = folder("meter-readings");
    for sheet in DEMO {
        fs::copy(demo().join(sheet), folder.join(sheet)).expect("a demo");
    }
    let hash = json(&[])["sheets"].as_str().expect("a hash").to_owned();
    let line = |value: &str, hash: &str| {
        format!(
            "{{\"time\":\"2027-03-01T09:12\",\"by\":\"RK\",\"instrument\":\"m\",\"place\":\"unit 1\",\
             \"quantity\":\"pair ohms\",\"value\":\"{value}\",\"unit\":\"ohm\",\"sheets\":\"{hash}\"}}\n"
        )
    };
    let told = |text: &str| {
        fs::write(folder.join("r.jsonl"), text).expect("writable");
        let last = ["--readings", "r.jsonl", "--read", "unit 4=119", "--format", "json"];
        let output = run_in(&folder, &[&["meter"], &DEMO[..], &last].concat());
        let value: Value = serde_json::from_str(&out(&output)).expect("JSON");
        value
    };
    let both = told(&line("119", &hash));
    assert_eq!(both["outcome"]["readings"].as_array().map(Vec::len), Some(2));
    let stale = told(&line("119", "0123456789abcdef"));
    assert_eq!(stale["outcome"]["readings"].as_array().map(Vec::len), Some(1));
    assert!(stale["remarks"][0].as_str().expect("a remark").contains("under other sheets"));
    // A sheet that is changed makes every reading of before one of another site.
    let cables = fs::read_to_string(folder.join("cables.csv")).expect("there");
    fs::write(folder.join("cables.csv"), format!("{cables}# moved\n")).expect("writable");
    let changed = told(&line("119", &hash));
    assert_eq!(changed["outcome"]["readings"].as_array().map(Vec::len), Some(1));
}

#[test]
fn what_cannot_be_read_is_said_with_its_place() {
    for (arguments, says) in [
        (&["--read", "unit 9=60"][..], "`unit 9`: no unit or device on the link"),
        (&["--read", "unit 1"], "has no `=`"),
        (&["--read", "unit 1=-3"], "below zero: there may be volts"),
        (&["--read", "unit 1=sixty"], "is no reading"),
        (&["--read", "T1=60"], "its loose plug is `plug T1`"),
        (&["--read", "plug T9=60"], "no link cable of this site has that name"),
        (&["--read", "unit 1=60@pull T1 at unit 4"], "has no end there"),
        (&["--read", "plug T1=60@pull T2"], "another cable is out"),
        (&["--read", "unit 1=60", "--accuracy", "exact"], "such as 1%+2"),
        (&["--bias", "unit 1=few"], "no ohms"),
        (&["--readings", "nowhere.jsonl"], "cannot be read"),
    ] {
        let output = meter(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        let said = words(&err(&output));
        assert!(said.contains(says), "{arguments:?}: {said}");
        assert_eq!(out(&output), "", "{arguments:?}");
    }
    let folder = folder("meter-hostile");
    let hostile = "{\"time\":\"2027-03-01T09:12\",\"by\":\"RK\",\"instrument\":\"m\",\"place\":\"unit 1\",\
        \"quantity\":\"pair ohms\",\"value\":1e999,\"unit\":\"ohm\",\"sheets\":\"0123456789abcdef\"}\n";
    fs::write(folder.join("r.jsonl"), hostile).expect("writable");
    let path = folder.join("r.jsonl").display().to_string();
    let output = meter(&["--readings", &path]);
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("r.jsonl:1:"), "{}", err(&output));
}

#[test]
fn a_site_without_a_link_cable_gets_no_plan() {
    let folder = folder("meter-no-link");
    fs::write(folder.join("s.txt"), "unit 1 = coordinator\nunit 2 = follower\n").expect("writable");
    let output = run_in(&folder, &["meter", "s.txt"]);
    assert_eq!(code(&output), 2);
    assert!(words(&err(&output)).contains("lists a link cable"), "{}", err(&output));
}

/// A folder with the demonstration, and its hash.
fn copied(name: &str, change: impl Fn(&str, String) -> String) -> (PathBuf, String) {
    let folder = folder(name);
    for sheet in DEMO {
        let text = fs::read_to_string(demo().join(sheet)).expect("a demo");
        fs::write(folder.join(sheet), change(sheet, text)).expect("writable");
    }
    let plan = json_in(&folder, &[]);
    let hash = plan["sheets"].as_str().expect("a hash").to_owned();
    (folder, hash)
}

fn json_in(folder: &std::path::Path, arguments: &[&str]) -> Value {
    let output =
        run_in(folder, &[&["meter"], &DEMO[..], arguments, &["--format", "json"]].concat());
    serde_json::from_str(&out(&output)).unwrap_or_else(|error| panic!("{error}: {}", err(&output)))
}

/// A table of readings: time, place, quantity, value, unit.
fn table(folder: &std::path::Path, hash: &str, rows: &[[&str; 5]]) {
    let mut text = "time,by,instrument,place,quantity,value,unit,sheets\n".to_owned();
    for [time, place, quantity, value, unit] in rows {
        let line = ["2027-03-01 ", time, ",RK,m,", place, ",", quantity, ",", value, ",", unit];
        text.extend(line.into_iter().chain([",", hash, "\n"]));
    }
    fs::write(folder.join("r.csv"), text).expect("writable");
}

#[test]
fn the_newest_reading_of_a_place_counts() {
    let (folder, hash) = copied("meter-newest", |_, text| text);
    let told = |rows: &[[&str; 5]]| {
        table(&folder, &hash, rows);
        json_in(&folder, &["--readings", "r.csv"])
    };
    let fed = ["09:00", "unit 1 A", "pair volts", "12.1", "V"];
    let dead = ["09:20", "unit 1 B", "pair volts", "0.00", "V"];
    let before = ["09:21", "unit 1", "pair ohms", "119", "ohm"];
    let after = ["09:40", "unit 1", "pair ohms", "60.2", "ohm"];
    let far = ["09:41", "unit 4", "pair ohms", "60.3", "ohm"];
    // Whatever the order of the lines.
    for rows in [[fed, dead, before, after, far], [far, after, before, dead, fed]] {
        let told = told(&rows);
        assert_eq!(told["outcome"]["result"], "fits-declared", "{told:#}");
        assert_eq!(told["outcome"]["readings"].as_array().map(Vec::len), Some(2));
        let remark = told["remarks"][0].as_str().expect("a remark");
        assert_eq!(remark, "2 readings left out: a newer one was taken at the same place");
    }
    let again = ["09:50", "unit 1", "pair volts", "3.2", "V"];
    assert_eq!(told(&[fed, dead, after, far, again])["outcome"]["result"], "live");
    // The command line is newer than any file.
    table(&folder, &hash, &[before, far]);
    let by_hand = json_in(&folder, &["--readings", "r.csv", "--read", "unit 1=60.2"]);
    assert_eq!(by_hand["outcome"]["result"], "fits-declared");
}

#[test]
fn only_readings_of_the_pair_of_the_link_are_taken() {
    let (folder, hash) = copied("meter-others", |_, text| text);
    let rows = [
        ["09:00", "unit 1 battery", "pair ohms", "60", "ohm"],
        ["09:01", "unit 1 battery", "volts", "51.9", "V"],
        ["09:02", "roof", "ohms", "0.3", "ohm"],
        ["09:03", "unit 1", "volts", "230", "V"],
        ["09:04", "unit 1", "ohms", "3", "ohm"],
        ["09:05", "unit 1 A", "pair ohms", "60.2", "ohm"],
    ];
    table(&folder, &hash, &rows);
    let told = json_in(&folder, &["--readings", "r.csv"]);
    let taken = told["outcome"]["readings"].as_array().expect("readings");
    assert_eq!((taken.len(), &taken[0]["shown"]), (1, &Value::from("60.2")));
    assert_eq!(told["outcome"]["result"], "fits-declared");
    let remark = told["remarks"][0].as_str().expect("a remark");
    assert_eq!(remark, "5 readings left out: not of the pair of the link");
    let output = meter(&["--read", "unit 1 battery=60"]);
    assert_eq!(code(&output), 2);
    assert!(words(&err(&output)).contains("not made for the link"), "{}", err(&output));
}

#[test]
fn volts_are_asked_for_before_ohms() {
    let places = |arguments: &[&str]| {
        let told = json(arguments);
        let volts = &told["outcome"]["volts_first"]["places"];
        volts.as_array().cloned().unwrap_or_default()
    };
    let ohms = ["--read", "unit 1=60.1", "--read", "plug T3=119@pull T3"];
    assert_eq!(places(&ohms), ["unit 1=VOLTS V", "plug T3=VOLTS V"]);
    let text = out(&meter(&ohms));
    let at = |what: &str| text.find(what).unwrap_or_else(|| panic!("{what}: {text}"));
    assert!(at("Volts first") < at("Fits") && at("Volts first") < at("Next"));
    let volts = ["--read", "unit 1=0.00V", "--read", "plug T3=0 V@pull T3"];
    assert_eq!(places(&[&ohms[..], &volts[..]].concat()), Vec::<Value>::new());
    assert!(!out(&meter(&[&ohms[..], &volts[..]].concat())).contains("Volts first"));
}

#[test]
fn continuity_is_told_by_the_pins_of_each_lead() {
    let blind = |name: &str, demands: &str, wiring: [&str; 3]| {
        let (folder, _) = copied(name, |sheet, text| {
            if sheet == "settings.txt" {
                return format!("{text}{demands}");
            }
            let cell = |row: usize| match row.checked_sub(1) {
                None => "wiring",
                Some(row) => wiring.get(row).copied().unwrap_or(""),
            };
            let rows = text.lines().enumerate();
            rows.map(|(row, line)| [line, ",", cell(row), "\n"].concat()).collect()
        });
        let told = json_in(&folder, &[]);
        let all = told["cannot_see"].as_array().expect("what ohms cannot see").clone();
        let own = all.iter().find(|one| one["id"] == "wires-swapped").expect("swapped wires");
        own["instead"].as_str().expect("words").to_owned()
    };
    let pins = "pins of the pair = 1, 2\n";
    let straight = blind("meter-straight", pins, [""; 3]);
    assert!(straight.ends_with("pin 1 to 1, 2 to 2, not 1 to 2"), "{straight}");
    let rolled = format!("{pins}lead wiring = rollover\n");
    let all = blind("meter-rolled", &rolled, [""; 3]);
    assert!(all.ends_with("pin 1 to 8, 2 to 7, not 1 to 7"), "{all}");
    let mixed = blind("meter-mixed", pins, ["straight", "straight", "rollover"]);
    assert!(
        mixed.ends_with(
            "cable T1 and cable T2: pin 1 to 1, 2 to 2, not 1 to 2; cable T3: pin 1 to 8, 2 to 7, \
             not 1 to 7"
        ),
        "{mixed}"
    );
}
