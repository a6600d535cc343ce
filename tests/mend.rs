//! The cheapest acts: against brute force, as they are written, and at the command line.

use coldcheck_tests::cases;
use coldcheck_tests::mend::{PARTS, Tally, try_groups, try_one, try_parts};
use coldcheck_tests::mend_sites::{acts, check, mend, outputs, site, site_with};
use coldcheck_tests::paths;
use coldcheck_tests::program::{err, out, run_in};
use serde_json::Value;
use std::fs;
use std::time::Instant;

#[test]
fn no_set_of_acts_is_cheaper_and_what_is_written_is_mended() {
    let mut tally = Tally::default();
    for units in 2..=4 {
        try_groups(units, (601, 400_009), 3_000, &mut tally, |_| ());
    }
    println!("{tally:#?}");
    assert!(tally.wrong.is_empty(), "{:#?}", tally.wrong);
    assert!(tally.given_up.is_empty(), "{:#?}", tally.given_up);
    assert!(tally.answered > 10 && 2 * tally.proven > tally.answered, "{tally:?}");
}

#[test]
fn faults_in_every_part_of_a_site_are_mended_at_the_least_cost() {
    let mut tally = Tally::default();
    for units in 2..=4 {
        try_parts(units, 2, 600, &mut tally);
    }
    println!("{tally:#?}");
    assert!(tally.wrong.is_empty(), "{:#?}", tally.wrong);
    assert!(tally.given_up.is_empty(), "{:#?}", tally.given_up);
    for part in PARTS {
        assert!(tally.parts.get(part).is_some_and(|count| *count >= 3), "{part}: {tally:?}");
    }
    // With so few states brute force gets through the cheap ones; `cargo dev mend` goes farther.
    assert!(4 * tally.proven > tally.answered, "{tally:?}");
}

#[test]
fn the_cases_are_mended_as_far_as_acts_go() {
    let mut tally = Tally::default();
    for case in cases::all() {
        try_one(&case.name, &case.sheets, 100, &mut tally);
    }
    println!("{tally:#?}");
    assert!(tally.wrong.is_empty() && tally.given_up.is_empty(), "{tally:#?}");
    assert!(tally.answered >= 3, "{tally:?}");
}

#[test]
fn a_right_site_has_nothing_to_do() {
    let (told, code) = mend(&site("mend-right", 4, &[]), &[]);
    assert_eq!((code, &told["cost"], &told["answers"]), (0, &0.into(), &Value::Array(vec![])));
}

#[test]
fn a_terminator_that_was_left_behind_is_moved_in_one_act() {
    let changes = [
        ("addr 3, count 4, fw 2.1, term off", "addr 3, count 4, fw 2.1, term on"),
        ("addr 4, count 4, fw 2.1, term on", "addr 4, count 4, fw 2.1, term off"),
    ];
    let (told, code) = mend(&site("mend-terminator", 4, &changes), &[]);
    assert_eq!((code, &told["cost"]), (1, &3.into()));
    assert_eq!(acts(&told, 0), ["move the terminator from U3 to U4: off at U3, on at U4"]);
}

#[test]
fn only_what_is_wrong_is_set_anew() {
    let (told, _) = mend(&site("mend-address", 4, &[("addr 3", "addr 2")]), &[]);
    assert_eq!(acts(&told, 0), ["set the address of U3 to 3"]);
    let (told, _) = mend(&site("mend-count", 4, &[("addr 3, count 4", "addr 3, count 3")]), &[]);
    assert_eq!(acts(&told, 0), ["set the unit count of U3 to 4"]);
}

#[test]
fn a_plug_is_moved_rather_than_a_cable_added() {
    let changes = [("C3,U3,A,U4,B", "C3,U3,service,U4,B")];
    let (told, _) = mend(&site("mend-plug", 4, &changes), &[]);
    assert_eq!(
        acts(&told, 0),
        ["move the plug of cable C3 from socket service of U3 to socket A of U3"]
    );
    let missing = [("C2,U2,A,U3,B,link,2 m\n", "")];
    let (told, _) = mend(&site("mend-cable", 4, &missing), &[]);
    assert_eq!(told["cost"], 8);
    assert_eq!(acts(&told, 0), ["run a new link cable from socket A of U2 to socket B of U3"]);
    let closed = [("P1,", "C9,U4,A,U1,B,link,2 m\nP1,")];
    let (told, _) = mend(&site("mend-ring", 4, &closed), &[]);
    assert_eq!(acts(&told, 0), ["take out cable C9, from socket B of U1 to socket A of U4"]);
}

#[test]
fn what_no_act_mends_is_said_and_the_rest_is_mended() {
    let changes = [("addr 3, count 4, fw 2.1", "addr 2, count 4, fw 2.2")];
    let (told, code) = mend(&site("mend-firmware", 4, &changes), &[]);
    assert_eq!(code, 1);
    assert_eq!(told["beyond"][0]["rule"], "firmware-mixed");
    assert_eq!(acts(&told, 0), ["set the address of U3 to 3"]);
    assert_eq!(told["answers"][0]["left"], serde_json::json!(["firmware-mixed"]));
}

#[test]
fn three_faults_on_sixteen_units_take_less_than_a_second() {
    let changes = [
        ("C8,U8,A,U9,B,link,2 m\n", ""),
        ("addr 5,", "addr 6,"),
        ("addr 16, count 16, fw 2.1, term on", "addr 16, count 16, fw 2.1, term off"),
    ];
    let folder = site("mend-sixteen", 16, &changes);
    let start = Instant::now();
    let (told, _) = mend(&folder, &[]);
    let seconds = start.elapsed().as_secs_f64();
    assert_eq!((&told["cost"], acts(&told, 0).len()), (&12.into(), 3), "{told:#}");
    println!("{seconds:.3} s");
    // Without optimisation it takes twenty times as long.
    assert!(seconds < if cfg!(debug_assertions) { 20.0 } else { 1.0 }, "{seconds}");
}

#[test]
fn what_is_written_waits_until_a_person_confirms_each_act() {
    let changes = [("U2 = follower", "U2 = coordinator"), ("addr 3,", "addr 2,")];
    let folder = site("mend-write", 3, &changes);
    // A danger: the sheet is never simply changed.
    let output =
        run_in(&folder, &["mend", "cables.csv", "settings.txt", "--write", "-o", "mended.toml"]);
    assert_eq!(output.status.code(), Some(5), "{}", err(&output));
    assert!(out(&output).starts_with("this site"), "{}", out(&output));
    assert!(out(&output).contains("Before touching anything"));
    let (asked, code) = check(&folder, &["mended.toml"]);
    assert_eq!(
        (code, &asked["verdict"], &asked["after_confirming"]),
        (3, &"ask".into(), &"ok".into())
    );
    assert_eq!(asked["to_do"].as_array().map(Vec::len), Some(2));
    let (assumed, code) = check(&folder, &["mended.toml", "--assume-done"]);
    assert_eq!((code, &assumed["verdict"]), (0, &"ok".into()), "{assumed:#}");
    assert!(assumed["to_do"][0]["assumed"] == true && assumed["to_do"][0]["confirmed"] == false);
    // One act confirmed is not all; a time that is none is an error.
    let text = fs::read_to_string(folder.join("mended.toml")).expect("written");
    let confirmed = |count: usize, time: &str| {
        let text = text
            .replacen("seen = \"\"", "seen = \"read back: as it should be\"", count)
            .replacen("by = \"\"", "by = \"RK\"", count)
            .replacen("time = \"\"", &format!("time = \"{time}\""), count);
        fs::write(folder.join("confirmed.toml"), text).expect("writable");
    };
    confirmed(1, "2027-03-01 09:12");
    assert_eq!(check(&folder, &["confirmed.toml"]).1, 3);
    confirmed(2, "2027-03-01 09:12");
    let (done, code) = check(&folder, &["confirmed.toml"]);
    assert_eq!((code, &done["to_do"][1]["confirmed"]), (0, &true.into()));
    assert!(done.get("after_confirming").is_none());
    confirmed(1, "yesterday");
    let output = run_in(&folder, &["check", "confirmed.toml"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("is no time"), "{}", err(&output));
    // What waits for a person is not mended further, and not lost by `tidy`.
    let output = run_in(&folder, &["mend", "mended.toml"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(out(&output).contains("ASK:"), "{}", out(&output));
    confirmed(2, "2027-03-01 09:12");
    let output = run_in(&folder, &["tidy", "confirmed.toml"]);
    assert!(out(&output).matches("[[to_do]]").count() == 2, "{}{}", out(&output), err(&output));
}

#[test]
fn a_conductor_is_rejoined_and_the_bar_keeps_its_name() {
    let right = "L1->Bar L1; L2->Bar L2; N->bar N; PE->earth bar";
    let mended = |name: &str, of_2: &str, of_3: &str| {
        let folder = site_with(name, 3, &outputs(&[right, of_2, of_3]));
        let (told, _) = mend(&folder, &[]);
        let written = ["mend", "cables.csv", "settings.txt", "--write", "-o", "m.toml"];
        let output = run_in(&folder, &written);
        assert_eq!(output.status.code(), Some(5), "{}", err(&output));
        let (done, code) = check(&folder, &["m.toml", "--assume-done"]);
        assert_eq!(code, 0, "{done:#}");
        let file = fs::read_to_string(folder.join("m.toml")).expect("written");
        assert_eq!(file.matches(right).count(), 3, "{file}");
        told
    };
    let crossed = "L1->Bar L2; L2->Bar L1; N->bar N; PE->earth bar";
    let told = mended("mend-legs", crossed, right);
    assert_eq!(
        acts(&told, 0),
        ["join L1 of U2 (ac out) to Bar L1", "join L2 of U2 (ac out) to Bar L2"]
    );
    let told = mended("mend-earth", right, "L1->Bar L1; L2->Bar L2; N->bar N");
    assert_eq!(acts(&told, 0), ["join PE of U3 (ac out) to earth bar"]);
    assert_eq!(told["cost"], 4);
}

#[test]
fn a_danger_says_what_to_do_besides() {
    let folder = site("mend-danger", 3, &[("U2 = follower", "U2 = coordinator")]);
    let (told, code) = mend(&folder, &[]);
    let act = &told["answers"][0]["acts"][0];
    assert_eq!((code, &act["says"]), (5, &"set U2 as follower".into()));
    let besides = act["with_it"].as_str().expect("words");
    assert!(besides.contains("Keep every output breaker open"), "{besides}");
    let (told, _) = mend(&site("mend-no-danger", 3, &[("addr 3,", "addr 2,")]), &[]);
    assert!(told["answers"][0]["acts"][0]["with_it"].is_null());
}

#[test]
fn a_question_comes_first() {
    let folder = site("mend-asks", 3, &[("C2,U2,A,U3,B", "C2,U2,A,U1,A")]);
    let (told, code) = mend(&folder, &[]);
    assert_eq!((code, &told["asks"], &told["answers"]), (3, &true.into(), &Value::Array(vec![])));
    // Which it is stands there.
    let asked = told["asked"][0].as_str().expect("a question");
    assert!(told["says"].as_str().expect("words").contains(asked), "{told:#}");
}

#[test]
fn every_answer_keeps_to_the_published_schema() {
    let path = paths::workspace().join("host-cli/assets/mend.v1.schema.json");
    let schema =
        serde_json::from_str(&fs::read_to_string(path).expect("the schema")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    let sites = [
        site("mend-schema-right", 3, &[]),
        site("mend-schema-faulty", 3, &[("addr 3,", "addr 2,"), ("fw 2.1", "fw 2.2")]),
        site("mend-schema-asks", 3, &[("C2,U2,A,U3,B", "C2,U2,A,U1,A")]),
    ];
    for folder in sites {
        let (mut told, _) = mend(&folder, &["--explain"]);
        let errors: Vec<_> = validator
            .iter_errors(&told)
            .map(|error| format!("{error} at {}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{errors:#?}");
        told["verdict"] = "safe".into();
        assert!(!validator.is_valid(&told), "a schema that takes anything");
    }
}

#[test]
fn the_proof_is_told_on_demand() {
    let folder =
        site("mend-explain", 4, &[("addr 3,", "addr 2,"), ("C2,U2,A,U3,B,link,2 m\n", "")]);
    let output = run_in(&folder, &["mend", "cables.csv", "settings.txt", "--explain"]);
    let text = out(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "link-broken takes 8 at the least",
        "address-duplicate takes 2 at the least",
        "no act mends two of these, so that all take 10 at the least",
        "that is what the answer costs: no set is cheaper",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(out(&output).lines().all(|line| line.chars().count() <= 80), "{}", out(&output));
}
