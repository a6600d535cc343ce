//! Answers are cheapest, say what they are worth, and are written down whole.

use coldcheck::engine::examine;
use coldcheck::mend::judge::Goal;
use coldcheck::mend::search::{Found, search};
use coldcheck::mend::told::{Beyond, GaveUp};
use coldcheck::mend::{Model, Told, mend as mending};
use coldcheck::render::terminal::{self, Style};
use coldcheck_core::rules::RuleId;
use coldcheck_tests::cases;
use coldcheck_tests::mend_sites::{acts, check, mend, site, site_with};
use coldcheck_tests::program::{err, folder, out, run_in};
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

fn write(folder: &Path, more: &[&str]) -> (String, String, Option<i32>) {
    let own = ["mend", "cables.csv", "settings.txt", "--write", "-o", "m.toml", "--force"];
    let output = run_in(folder, &[&own, more].concat());
    (out(&output), err(&output), output.status.code())
}

#[test]
fn a_plug_that_holds_the_socket_of_another_makes_room() {
    let link = ("C1,U1,A,U2,B", "C1,U1,battery,U2,B");
    let to_2 = ("P1,pack 1,data,U1", "P1,pack 1,data,U2");
    for units in [2, 3] {
        let (told, _) = mend(&site(&format!("mend-room-{units}"), units, &[link, to_2]), &[]);
        assert_eq!(told["cost"], 6, "{told:#}");
        assert_eq!(
            acts(&told, 0),
            [
                "move the plug of cable C1 from socket battery of U1 to socket A of U1",
                "move the plug of cable P1 from socket battery of U2 to socket battery of U1",
            ]
        );
    }
    let at_1 = ("P1,pack 1,data,U1,battery", "P1,pack 1,data,U1,A");
    let (told, _) = mend(&site("mend-exchange", 2, &[link, at_1]), &[]);
    assert_eq!(acts(&told, 0), ["exchange the plugs in sockets A and battery of U1"]);
    let at_2 = ("P1,pack 1,data,U1,battery", "P1,pack 1,data,U2,A");
    let service = ("C2,U2,A", "C2,U2,service");
    let (told, _) = mend(&site("mend-room-three", 3, &[link, at_2, service]), &[]);
    assert_eq!(told["cost"], 9, "{told:#}");
    let none = ("P1,pack 1,data,U1,battery,battery,2 m\n", "");
    let folder = site("mend-room-new", 2, &[link, none]);
    let path = folder.join("settings.txt");
    let settings = fs::read_to_string(&path).expect("there");
    fs::write(&path, settings + "pack 1 capacity = 5 kWh\n").expect("writable");
    let (told, _) = mend(&folder, &[]);
    assert_eq!(told["cost"], 11, "{told:#}");
}

#[test]
fn a_battery_type_that_must_be_alike_is_set_on_all_units() {
    let with = |name: &str, lines: &str| {
        let folder = site(name, 2, &[]);
        let path = folder.join("settings.txt");
        let settings = fs::read_to_string(&path).expect("there");
        let others = "all units = frequency 50 Hz, AC voltage 230 V, charge voltage 56 V, \
                      cut-off voltage 44 V, grid profile rural\n";
        let text = format!("{settings}\n{others}{lines}");
        fs::write(&path, text).expect("writable");
        mend(&folder, &[]).0
    };
    let told =
        with("mend-battery-type", "all units = battery type volts only, charge limit 50 A\n");
    assert_eq!(told["cost"], 4, "{told:#}");
    assert_eq!(acts(&told, 0).len(), 2);
    let lines = "U1 battery type = volts only\nU2 battery type = data link\n\
                 all units = charge limit 50 A\n";
    let told = with("mend-battery-type-one", lines);
    assert_eq!(told["cost"], 2, "{told:#}");
    // Two settings of one kind bear on two rules: both copies of each are kept alike.
    let told = with(
        "mend-charge-limit",
        "all units = battery type data link\n\
                 U1 charge limit = 50 A\nU2 charge limit = 60 A\n",
    );
    assert_eq!(told["cost"], 2, "{told:#}");
}

#[test]
fn new_cables_run_between_neighbours_in_sockets_as_the_others_have() {
    let gone = [("C2,U2,A,U3,B,link,2 m\n", ""), ("C3,U3,A,U4,B,link,2 m\n", "")];
    let (told, _) = mend(&site("mend-neighbours", 4, &gone), &[]);
    assert_eq!(
        acts(&told, 0),
        [
            "run a new link cable from socket A of U2 to socket B of U3",
            "run a new link cable from socket A of U3 to socket B of U4",
        ]
    );
}

#[test]
fn every_new_cable_has_a_label_of_its_own() {
    let gone = [("C2,U2,A,U3,B,link,2 m\n", ""), ("C3,U3,A,U4,B,link,2 m\n", ""), ("C1,", "N1,")];
    let folder = site("mend-labels", 4, &gone);
    write(&folder, &[]);
    let text = fs::read_to_string(folder.join("m.toml")).expect("written");
    let mut labels: Vec<&str> =
        text.lines().filter(|line| line.starts_with("label = \"N")).collect();
    labels.sort_unstable();
    assert_eq!(labels, ["label = \"N1\"", "label = \"N2\"", "label = \"N3\""]);
    assert_eq!(check(&folder, &["m.toml", "--assume-done"]).1, 0);
}

#[test]
fn what_could_not_be_written_fails() {
    let folder = site("mend-unwritable", 3, &[("addr 3,", "addr 2,")]);
    let path = "no/such/folder/m.toml";
    let output = run_in(&folder, &["mend", "cables.csv", "settings.txt", "--write", "-o", path]);
    assert_eq!(output.status.code(), Some(2), "{}", out(&output));
    assert!(err(&output).contains("cannot be written"), "{}", err(&output));
}

#[test]
fn units_that_only_cables_name_are_written_out() {
    let folder = folder("mend-only-cables");
    fs::write(
        folder.join("cables.csv"),
        "label,from,to,kind\nC1,U1 A,U2 B,link\nC2,U2 A,U3 B,link\nP1,pack 1,U2 battery,battery\n",
    )
    .expect("writable");
    fs::write(
        folder.join("settings.txt"),
        "scope=communication\nall units count = 3\nall units terminator = off\n",
    )
    .expect("writable");
    let (told, _) = mend(&folder, &[]);
    assert_eq!(acts(&told, 0).len(), 2, "{told:#}");
    let (_, says, _) = write(&folder, &[]);
    let text = fs::read_to_string(folder.join("m.toml")).unwrap_or_else(|_| panic!("{says}"));
    assert_eq!(text.matches("[[unit]]").count(), 3, "{text}");
    assert_eq!(text.matches("terminator = \"on\"").count(), 2, "{text}");
    let (done, _) = check(&folder, &["m.toml", "--assume-done"]);
    let rules = done["findings"].as_array().expect("findings").iter();
    let rules: Vec<&Value> = rules.map(|finding| &finding["rule"]).collect();
    assert!(!rules.contains(&&json!("term-missing-both-ends")), "{rules:?}");
}

#[test]
fn a_site_that_declares_too_little_is_not_called_done() {
    let (told, code) = mend(&site_with("mend-incomplete", 3, ""), &[]);
    assert_eq!((code, &told["verdict"]), (4, &"incomplete".into()));
    let says = told["says"].as_str().expect("words");
    assert!(says.contains("Declare what is missing"), "{says}");
    assert_ne!(told["to_declare"], json!([]));
}

#[test]
fn nothing_to_write_is_said_and_fails() {
    let folder = site("mend-nothing", 3, &[]);
    let (says, besides, code) = write(&folder, &[]);
    assert_eq!(code, Some(2));
    assert!(says.contains("NOTHING TO DO") && besides.contains("nothing was written"), "{besides}");
    assert!(!folder.join("m.toml").exists());
    // One that is to do keeps the exit code of `check`.
    let folder = site("mend-no-act", 3, &[("addr 2, count 3, fw 2.1", "addr 2, count 3, fw 2.2")]);
    let (_, besides, code) = write(&folder, &[]);
    assert_eq!(code, Some(1));
    assert!(besides.contains("nothing was written"), "{besides}");
}

#[test]
fn what_the_search_gave_up_on_is_not_called_impossible() {
    let folder =
        site("mend-too-far", 4, &[("addr 3,", "addr 2,"), ("C2,U2,A,U3,B,link,2 m\n", "")]);
    let sheets = ["cables.csv", "settings.txt"]
        .map(|name| cases::sheet(name, &fs::read_to_string(folder.join(name)).expect("there")));
    let request = cases::request(&sheets, None);
    let (site, diagnosis) = examine(&request).expect("sound");
    let model = Model::of(&site).expect("a plan");
    // The cheapest set costs 10. Wherever the search is cut short, no more is excluded than that.
    for most in 1..40 {
        match search(&model, &Goal::default(), most).found {
            Found::TooFar(below) => assert!(below <= 10, "{most}: {below}"),
            Found::Cheapest { cost, .. } => assert_eq!(cost, 10),
            other @ (Found::Nothing | Found::NoAct(_) | Found::Impossible) => {
                panic!("{most}: {other:?}")
            }
        }
    }
    let mut told = mending(&site, &request, &diagnosis).expect("an answer");
    assert_eq!(told.cost, 10);
    told.answers.clear();
    let words = |told: &Told| {
        let style = Style { colour: false, quiet: false };
        let text = terminal::mend::text(&site, told, false, style);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let gave_up = Some(GaveUp { below: 9, judged: 20 });
    told.given_up = gave_up;
    let says = words(&told);
    assert!(says.contains("NOT FOUND: no set of acts costs less than 9"), "{says}");
    told.given_up = None;
    let rule = RuleId::LinkBroken;
    told.beyond = vec![Beyond { rule, says: "The line is broken".to_owned(), gave_up }];
    let says = words(&told);
    assert!(says.contains("NOT FOUND:") && says.contains("costs less than 9"), "{says}");
    told.beyond[0].gave_up = None;
    assert!(words(&told).contains("NO ACT:"));
}

#[test]
fn ways_that_are_not_told_are_counted() {
    // Every unit has the address of another: any of them may change.
    let same = [("addr 2,", "addr 1,"), ("addr 4,", "addr 3,"), ("addr 6,", "addr 5,")];
    let (told, _) = mend(&site("mend-ways", 6, &same), &[]);
    let ways = told["ways"].as_u64().expect("a number");
    assert!(ways > 3, "{told:#}");
    let says = told["says"].as_str().expect("words");
    assert!(says.contains(&format!("{ways} ways")), "{says}");
}

#[test]
fn each_act_names_the_rules_that_are_broken_without_it() {
    // One address taken by three: none of two acts mends it alone.
    let same =
        [("addr 2,", "addr 1,"), ("addr 3,", "addr 1,"), ("U4 = follower", "U4 = coordinator")];
    let (told, _) = mend(&site("mend-together", 4, &same), &[]);
    for act in told["answers"][0]["acts"].as_array().expect("acts") {
        let says = act["says"].as_str().expect("words");
        let wanted = if says.contains("address") { "address-duplicate" } else { "coordinator-two" };
        assert_eq!(act["mends"], json!([wanted]), "{says}");
    }
    // A lead and the plug that made room for it.
    let room = [("C1,U1,A,U2,B", "C1,U1,battery,U2,B"), ("P1,pack 1,data,U1", "P1,pack 1,data,U2")];
    let (told, _) = mend(&site("mend-together-room", 3, &room), &[]);
    let mends: Vec<&Value> = (0..2).map(|at| &told["answers"][0]["acts"][at]["mends"]).collect();
    assert_eq!(mends, [&json!(["link-in-service-port"]), &json!(["bms-lead-on-follower"])]);
}

#[test]
fn what_a_waiver_lets_stand_is_left_unless_it_is_asked_for() {
    let folder =
        site("mend-waiver", 3, &[("addr 3,", "addr 2,"), ("addr 2, count 3", "addr 2, count 2")]);
    let output = run_in(&folder, &["tidy", "cables.csv", "settings.txt"]);
    let waiver = "\n[[waiver]]\nrule = \"count-setting-differs\"\nplace = \"U2\"\nreason = \"counts \
                  itself out\"\nby = \"RK\"\nuntil = \"2099-01-01\"\n";
    fs::write(folder.join("site.toml"), out(&output) + waiver).expect("writable");
    let told = |more: &[&str]| -> (Value, Option<i32>) {
        let output = run_in(&folder, &[&["mend", "site.toml", "--format", "json"], more].concat());
        (serde_json::from_str(&out(&output)).expect("JSON"), output.status.code())
    };
    let before = check(&folder, &["site.toml"]).1;
    let (kept, code) = told(&[]);
    assert_eq!(code, Some(before));
    assert!(acts(&kept, 0).iter().all(|act| !act.contains("count")), "{kept:#}");
    assert_eq!(kept["waived"], json!(["count-setting-differs"]));
    let (all, code) = told(&["--also-waived"]);
    assert_eq!(code, Some(before));
    assert!(acts(&all, 0).contains(&"set the unit count of U2 to 3"), "{all:#}");
    // Past its last day it lets nothing stand.
    let (past, _) = told(&["--date", "2100-01-01"]);
    assert!(acts(&past, 0).contains(&"set the unit count of U2 to 3"), "{past:#}");
    let output = run_in(&folder, &["mend", "site.toml", "--write", "-o", "m.toml"]);
    assert!(folder.join("m.toml").exists(), "{}", err(&output));
    let (done, code) = check(&folder, &["m.toml", "--assume-done"]);
    assert_eq!((code, done["waived"].as_array().map(Vec::len)), (0, Some(1)), "{done:#}");
}

#[test]
fn a_waiver_at_a_cable_that_is_taken_out_ends_with_it() {
    let folder = site("mend-waiver-ends", 4, &[("P1,", "C9,U4,A,U1,B,link,2 m\nP1,")]);
    let output = run_in(&folder, &["tidy", "cables.csv", "settings.txt"]);
    let waiver = "\n[[waiver]]\nrule = \"link-too-long\"\nplace = \"C9\"\nreason = \"laid long \
                  ago\"\nby = \"RK\"\nuntil = \"2099-01-01\"\n";
    fs::write(folder.join("site.toml"), out(&output) + waiver).expect("writable");
    let output = run_in(&folder, &["mend", "site.toml", "--write", "-o", "m.toml"]);
    let text =
        fs::read_to_string(folder.join("m.toml")).unwrap_or_else(|_| panic!("{}", err(&output)));
    assert!(!text.contains("[[waiver]]") && text.contains("the waiver of link-too-long at C9"));
    assert_eq!(check(&folder, &["m.toml", "--assume-done"]).1, 0);
}
