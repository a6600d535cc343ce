//! What an act must never be, and what whoever does it is told.

use coldcheck_tests::mend_sites::{acts, check, mend, outputs, site, site_with};
use coldcheck_tests::program::{err, out, run_in};
use serde_json::Value;
use std::fs;
use std::path::Path;

const RIGHT: &str = "L1->Bar L1; L2->Bar L2; N->bar N; PE->earth bar";

/// Every act of every answer.
fn all_acts(told: &Value) -> Vec<&str> {
    (0..told["answers"].as_array().map_or(0, Vec::len)).flat_map(|at| acts(told, at)).collect()
}

fn cautions_of(act: &Value) -> String {
    let cautions = act["cautions"].as_array().expect("a list").iter().filter_map(Value::as_str);
    cautions.collect::<Vec<_>>().join(" ")
}

/// Writes the first answer down and returns it.
fn written(folder: &Path) -> String {
    let output = run_in(folder, &["mend", "cables.csv", "settings.txt", "--write", "-o", "m.toml"]);
    assert!(folder.join("m.toml").exists(), "{}{}", out(&output), err(&output));
    fs::read_to_string(folder.join("m.toml")).expect("written")
}

#[test]
fn no_leg_goes_to_the_bar_of_the_neutrals_and_no_neutral_to_that_of_a_leg() {
    let faults = [
        ("mend-swap", "L1->bar N; L2->Bar L2; N->Bar L1; PE->earth bar"),
        ("mend-both", "L1->Bar L1; L2->Bar L1; N->bar N; PE->earth bar"),
        ("mend-on-n", "L1->bar N; L2->Bar L2; N->bar N; PE->earth bar"),
        ("mend-n-pe", "L1->Bar L1; L2->Bar L2; N->earth bar; PE->bar N"),
        ("mend-cross", "L1->Bar L2; L2->Bar L1; N->bar N; PE->earth bar"),
    ];
    for (name, fault) in faults {
        for units in [2, 3] {
            let mut lines = vec![RIGHT; units];
            lines[units - 1] = fault;
            let folder = site_with(&format!("{name}-{units}"), units, &outputs(&lines));
            let (told, code) = mend(&folder, &[]);
            let told_acts = all_acts(&told);
            assert_eq!(code, 5, "{name}");
            assert!(!told_acts.is_empty(), "{name} {units}: {told:#}");
            for act in &told_acts {
                let (pole, bar) = (act.contains("join N "), act.ends_with("to bar N"));
                assert!(!act.starts_with("join") || pole == bar, "{name}: {act}");
                assert_eq!(act.contains("join PE "), act.ends_with("earth bar"), "{name}: {act}");
            }
            for answer in told["answers"].as_array().expect("answers") {
                assert_eq!(answer["verdict_after"], "ok", "{name} {units}: {told:#}");
            }
        }
    }
}

#[test]
fn the_leg_goes_to_the_bar_of_its_own_name_first() {
    let crossed = "L1->Bar L2; L2->Bar L1; N->bar N; PE->earth bar";
    let (told, _) = mend(&site_with("mend-own-bar", 2, &outputs(&[RIGHT, crossed])), &[]);
    let wanted = ["join L1 of U2 (ac out) to Bar L1", "join L2 of U2 (ac out) to Bar L2"];
    assert_eq!(acts(&told, 0), wanted);
}

#[test]
fn where_nobody_can_tell_the_neutral_bar_no_conductor_is_moved() {
    let lines = ["L1->bar 7; N->bar 8; PE->earth bar", "L1->bar 8; N->bar 7; PE->earth bar"];
    let (told, code) = mend(&site_with("mend-which-bar", 2, &outputs(&lines)), &[]);
    assert_eq!((code, all_acts(&told).len()), (5, 0), "{told:#}");
    let asked = told["first_say"][0].as_str().expect("a question");
    assert!(asked.contains("which bar is the neutral") && asked.contains("bar 7"), "{asked}");
    // Of three, two tell.
    let three = [lines[0], lines[1], lines[0]];
    let (told, _) = mend(&site_with("mend-which-bar-3", 3, &outputs(&three)), &[]);
    let wanted = ["join L1 of U2 (ac out) to bar 7", "join N of U2 (ac out) to bar 8"];
    assert_eq!(acts(&told, 0), wanted);
    // A name that all conductors contradict tells nothing.
    let odd = "L1->bar N; N->Bar L1; PE->earth bar";
    let crossed = "L1->Bar L1; N->bar N; PE->earth bar";
    let (told, _) = mend(&site_with("mend-odd-names", 3, &outputs(&[odd, odd, crossed])), &[]);
    assert_eq!(all_acts(&told).len(), 0, "{told:#}");
}

#[test]
fn an_input_with_two_poles_on_one_bar_is_never_left_so() {
    let input = |fault: &str| {
        let right = "L1->supply L1; L2->supply L2; N->supply N; PE->earth bar";
        let lines = [right, right, fault];
        let lines = (1..).zip(lines).map(|(unit, line)| format!("U{unit} ac in = {line}\n"));
        outputs(&[RIGHT; 3]) + &lines.collect::<String>()
    };
    let fault = "L1->supply L2; L2->supply N; N->supply N; PE->earth bar";
    let (told, _) = mend(&site_with("mend-input", 3, &input(fault)), &[]);
    let wanted = ["join L1 of U3 (ac in) to supply L1", "join L2 of U3 (ac in) to supply L2"];
    assert_eq!(acts(&told, 0), wanted, "{told:#}");
}

#[test]
fn a_bar_with_one_conductor_is_a_bar_too() {
    let earths = ["L1->Bar L1; N->bar N; PE->e1", "L1->Bar L1; N->bar N; PE->e2"];
    let folder = site_with("mend-earths", 2, &outputs(&earths));
    let (told, _) = mend(&folder, &[]);
    let first = acts(&told, 0);
    assert!(
        first == ["join PE of U1 (ac out) to e2"] || first == ["join PE of U2 (ac out) to e1"],
        "{told:#}"
    );
    assert_eq!(told["answers"][0]["verdict_after"], "ok");
    written(&folder);
    assert_eq!(check(&folder, &["m.toml", "--assume-done"]).1, 0);
    // A unit without any earth goes to the bar where the other one is alone.
    let none = ["L1->Bar L1; N->bar N; PE->earth bar", "L1->Bar L1; N->bar N"];
    let (told, _) = mend(&site_with("mend-no-earth", 2, &outputs(&none)), &[]);
    assert_eq!(acts(&told, 0), ["join PE of U2 (ac out) to earth bar"]);
}

#[test]
fn a_danger_stands_everywhere_until_its_act_is_confirmed() {
    let folder = site("mend-stands", 3, &[("U2 = follower", "U2 = coordinator")]);
    let text = written(&folder);
    let (told, code) = check(&folder, &["m.toml"]);
    // It asks for the act; the first line says what stands until then.
    assert_eq!((code, &told["verdict"]), (3, &"ask".into()));
    assert_eq!(told["after_confirming"], "ok");
    let danger = &told["dangers_to_confirm"][0];
    assert_eq!(danger["rule"], "coordinator-two");
    let says = danger["says"].as_str().expect("words");
    assert!(says.contains("set U2 as follower"), "{says}");
    let checked = out(&run_in(&folder, &["check", "m.toml"]));
    let first = checked.split("\n\n").next().unwrap_or_default().replace('\n', " ");
    assert!(first.starts_with("ASK:") && first.contains("A danger stands until"), "{checked}");
    assert!(first.contains("Keep the") && first.contains("power off"), "{checked}");
    let all = |arguments: &[&str]| {
        let output = run_in(&folder, arguments);
        (out(&output) + &err(&output), output.status.code())
    };
    let (says, code) = all(&["powerup", "m.toml"]);
    assert!(code == Some(5) && says.contains("set U2 as follower"), "powerup: {code:?} {says}");
    let (says, code) = all(&["meter", "m.toml"]);
    assert!(code == Some(5) && says.contains("set U2 as follower"), "meter: {code:?} {says}");
    for command in ["report", "draw"] {
        let (says, _) = all(&[command, "m.toml", "-o", "-"]);
        assert!(says.contains("A danger stands until"), "{command}");
    }
    let (says, _) = all(&["image", "m.toml", "-o", "plan.bin"]);
    assert!(says.contains("ask") && says.contains("coordinator-two"), "image: {says}");
    // Taken as done, and once it is confirmed, it stands no more.
    assert_eq!(check(&folder, &["m.toml", "--assume-done"]).1, 0);
    let confirmed = text
        .replace("seen = \"\"", "seen = \"read back\"")
        .replace("by = \"\"", "by = \"RK\"")
        .replace("time = \"\"", "time = \"2027-03-01 09:12\"");
    fs::write(folder.join("done.toml"), confirmed).expect("writable");
    assert_eq!(check(&folder, &["done.toml"]).1, 0);
    // What is no danger asks, and no more.
    let folder = site("mend-no-stand", 3, &[("addr 3,", "addr 2,")]);
    written(&folder);
    assert_eq!(check(&folder, &["m.toml"]).1, 3);
}

#[test]
fn whoever_does_an_act_is_told_its_cautions() {
    let arrows = "arrow must point to = house\nct L1 arrow = street\nct L2 arrow = house\n";
    let folder =
        site("mend-sensor", 3, &[("U1 = coordinator", &format!("{arrows}U1 = coordinator"))]);
    let (told, _) = mend(&folder, &[]);
    let act = &told["answers"][0]["acts"][0];
    assert_eq!(act["act"], "turn-sensor", "{told:#}");
    let never = "Never open the secondary of a current transformer";
    assert!(cautions_of(act).contains(never) && cautions_of(act).contains("proven dead"));
    let moved = [("S1,CT L1,,U1,CT", "S1,CT L1,,U2,CT"), ("S2,CT L2,,U1,CT", "S2,CT L2,,U2,CT")];
    let folder = site("mend-sensor-lead", 3, &moved);
    let (told, _) = mend(&folder, &[]);
    let leads = told["answers"][0]["acts"].as_array().expect("acts");
    assert!(leads.iter().all(|act| cautions_of(act).contains(never)), "{told:#}");
    let text = written(&folder);
    let head: Vec<&str> = text.lines().take_while(|line| line.starts_with('#')).collect();
    let head = head.join(" ");
    assert!(head.contains("Before touching anything") && head.contains(never), "{head}");
    let lead = [("P1,pack 1,data,U1", "P1,pack 1,data,U2")];
    let (told, _) = mend(&site("mend-battery-lead", 3, &lead), &[]);
    let act = &told["answers"][0]["acts"][0];
    assert!(cautions_of(act).contains("proven dead"), "{told:#}");
    let crossed = "L1->Bar L2; L2->Bar L1; N->bar N; PE->earth bar";
    let (told, _) = mend(&site_with("mend-leg", 3, &outputs(&[RIGHT, RIGHT, crossed])), &[]);
    for act in told["answers"][0]["acts"].as_array().expect("acts") {
        let cautions = cautions_of(act);
        assert!(cautions.contains("proven dead") && cautions.contains("Keep the power off"));
    }
    // A rule that is no danger and wants the power off.
    let gear =
        [("C2,U2,A,U3,B,link,2 m\n", "C2,U2,A,router,,link,2 m\nC9,router,,U3,B,link,2 m\n")];
    let (told, _) = mend(&site("mend-gear", 3, &gear), &[]);
    let acts = told["answers"][0]["acts"].as_array().expect("acts").iter();
    let mut of_gear = acts.filter(|act| act["mends"].to_string().contains("network-gear-in-link"));
    assert!(of_gear.all(|act| cautions_of(act).contains("Keep the power off")), "{told:#}");
}

#[test]
fn with_the_file_on_standard_output_the_acts_go_to_the_other_one() {
    let folder = site("mend-stream", 3, &[("U2 = follower", "U2 = coordinator")]);
    let output = run_in(&folder, &["mend", "cables.csv", "settings.txt", "--write", "-o", "-"]);
    assert_eq!(output.status.code(), Some(5));
    assert!(out(&output).starts_with("# Written by `coldcheck mend`"), "{}", out(&output));
    assert!(out(&output).contains("[[to_do]]") && !out(&output).contains("STOP, THEN MEND"));
    let says = err(&output);
    assert!(
        says.contains("STOP, THEN MEND") && says.contains("Before touching anything"),
        "{says}"
    );
}
