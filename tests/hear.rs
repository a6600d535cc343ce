//! `coldcheck hear` as a person starts it.

use coldcheck_tests::program::{err, folder, out, program, run_in};
use serde_json::Value;
use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

const SITE: &str = "site = Two by the wall\nscope = communication\ndialect = canopen\n\
    unit 1 = coordinator, addr 1, count 3, fw 2.14, term on\n\
    unit 2 = follower, addr 2, count 3, fw 2.14, term off\n\
    unit 3 = follower, addr 3, count 3, fw 2.14, term on\n";
const CABLES: &str = "cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,2 m\n\
    C2,unit 2 A,unit 3 B,link,2 m\nB1,pack 1 data,unit 1 battery,battery,1 m\n\
    S1,CT L1,unit 1 CT,ct,4 m\nS2,CT L2,unit 1 CT,ct,4 m\n";

/// Heartbeats of these nodes for so many seconds.
fn beats(interface: &str, nodes: &[u8], seconds: std::ops::Range<u32>) -> String {
    let line = |second: u32, node: u8| format!("({second}.{node}00000) {interface} 70{node}#05\n");
    seconds.flat_map(|second| nodes.iter().map(move |node| line(second, *node))).collect()
}

/// A folder with the sheets, their image and a log.
fn place(name: &str, log: &str) -> PathBuf {
    let place = folder(name);
    for (file, text) in [("site.txt", SITE), ("cables.csv", CABLES), ("bus.log", log)] {
        fs::write(place.join(file), text).expect("writable");
    }
    place
}

fn code(output: &Output) -> Option<i32> {
    output.status.code()
}

/// A log that is too short to tell who is silent is no proof that nobody is.
#[test]
fn a_short_log_without_a_unit_is_incomplete() {
    let heard = |nodes: &[u8], seconds| {
        let place = place("hear-short", &beats("can0", nodes, 0..seconds));
        let told = run_in(&place, &["hear", "site.txt", "cables.csv", "bus.log", "-q"]);
        out(&told).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let short = heard(&[1, 2], 2);
    assert!(short.starts_with("INCOMPLETE:") && short.contains("not heard: unit 3"), "{short}");
    assert!(heard(&[1, 2], 12).starts_with("FIX FIRST:"));
    assert!(heard(&[1, 2, 3], 2).starts_with("OK:"));
}

#[test]
fn sheets_and_image_hear_the_same() {
    let place = place("hear-image", &beats("can0", &[1, 2], 0..12));
    let image = run_in(&place, &["image", "site.txt", "cables.csv", "-o", "plan.bin", "--force"]);
    assert_eq!(code(&image), Some(0), "{}", err(&image));
    let report = |files: &[&str]| {
        let output = run_in(&place, &[&["hear"], files, &["--format", "json"]].concat());
        assert_eq!(code(&output), Some(1), "{}", err(&output));
        serde_json::from_slice::<Value>(&output.stdout).expect("JSON")
    };
    let sheets = report(&["site.txt", "cables.csv", "bus.log"]);
    let image = report(&["plan.bin", "bus.log"]);
    assert_eq!(sheets["stages"], serde_json::json!(["sheets", "link", "heard"]));
    assert_eq!(image["stages"], serde_json::json!(["link", "heard"]));
    for key in ["verdict", "heard", "site"] {
        assert_eq!(sheets[key], image[key], "{key}");
    }
    let essence = |report: &Value| {
        let finding = &report["findings"][0];
        let [rule, places, related, says] =
            ["rule", "places", "related", "says"].map(|key| finding[key].clone());
        (report["findings"].as_array().map(Vec::len), rule, places, related, says)
    };
    assert_eq!(essence(&sheets), essence(&image));
    assert_eq!(image["findings"][0]["rule"], "unit-silent");
    assert_eq!(image["findings"][0]["related"][0]["cable"], "C2");
    assert_eq!(image["heard"]["addresses"][1]["unit"], "unit 2");
    assert_eq!(image["heard"]["addresses"][1]["period_ms"], 1000);
    assert_eq!(image["heard"]["addresses"][2]["frames"], 0);
}

#[test]
fn a_serial_with_letters_is_not_compared_and_the_report_says_so() {
    // The identity object as a unit answers it: serial number 5555.
    let log = beats("can0", &[1, 2, 3], 0..9) + "(9.5) can0 581#43181004B3150000\n";
    let place = place("hear-letters", &log);
    let hear = |serial: &str| {
        let site = SITE.replace("addr 1, count 3,", &format!("addr 1, count 3, serial {serial},"));
        fs::write(place.join("site.txt"), site).expect("writable");
        let output = run_in(&place, &["hear", "site.txt", "cables.csv", "bus.log"]);
        out(&output).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(hear("1001").contains("Serial number 5555 answers for unit 1"));
    let words = hear("VK001");
    let says = "what is declared as serial number of unit 1 is no number that the bus can carry";
    assert!(words.contains(says), "{words}");
}

#[test]
fn one_of_several_interfaces_is_asked_for() {
    let log = beats("can0", &[1, 2, 3], 0..9) + &beats("can1", &[9], 9..12);
    let place = place("hear-interfaces", &log);
    let hear = |further: &[&str]| {
        run_in(&place, &[&["hear", "site.txt", "cables.csv", "bus.log"], further].concat())
    };
    let output = hear(&[]);
    assert_eq!(code(&output), Some(2));
    assert!(err(&output).contains("of several interfaces: can0, can1"), "{}", err(&output));
    assert_eq!(code(&hear(&["--interface", "can0"])), Some(0));
    assert_eq!(code(&hear(&["--interface", "can1"])), Some(1));
    assert_eq!(code(&hear(&["--interface", "can2"])), Some(2));
}

#[test]
fn wrong_usage_is_an_error_that_says_what_is_right() {
    let place = place("hear-usage", &beats("can0", &[1, 2, 3], 0..9));
    fs::write(place.join("letter.txt"), "Dear all,\nthe plant is on.\n").expect("writable");
    fs::write(place.join("cut.bin"), b"COLD\x02\0\0\0\x90\x01\0\0").expect("writable");
    for (arguments, says) in [
        (&["bus.log"][..], "it is not said which file it is"),
        (&["site.txt", "letter.txt"], "letter.txt:1"),
        (&["site.txt", "nowhere.log"], "cannot be read"),
        (&["-", "-"], "named twice"),
        (&["cut.bin", "bus.log"], "the image is cut short"),
        (&["cut.bin", "site.txt", "bus.log"], "this is a plan image"),
        (&["site.txt", "bus.log", "--dialect", "frame-map"], "lists no frame"),
        (&["site.txt", "bus.log", "--for", "never"], "a number of seconds"),
        (&["site.txt", "--live", "nothing0"], "nothing0"),
        (&["site.txt", "bus.log", "--live", "can0", "--interface", "can0"], "cannot be used with"),
        (&["site.txt", "bus.log", "-o", "bus.log", "--force"], "it would be lost"),
    ] {
        let output = run_in(&place, &[&["hear"], arguments].concat());
        assert_eq!(code(&output), Some(2), "{arguments:?}: {}", err(&output));
        let words = err(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(says), "{arguments:?}: {words}");
        assert_eq!(out(&output), "", "{arguments:?}");
    }
}

#[test]
fn a_dialect_that_nobody_demands_is_said_and_can_be_given() {
    let place = place("hear-dialect", &beats("can0", &[1, 2, 3], 0..9));
    fs::write(place.join("site.txt"), SITE.replace("dialect = canopen\n", "")).expect("writable");
    let sheets = ["hear", "site.txt", "cables.csv", "bus.log"];
    let output = run_in(&place, &sheets);
    let words = out(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("nobody says how the units make themselves known"), "{words}");
    let output = run_in(&place, &[&sheets[..], &["--dialect", "canopen"]].concat());
    assert!(out(&output).contains("Heard in CANopen"), "{}", out(&output));
    assert!(out(&output).contains("3 of 3 units"), "{}", out(&output));
    let frame_map = SITE.replace("canopen", "frame map");
    fs::write(place.join("site.txt"), frame_map).expect("writable");
    let output = run_in(&place, &sheets);
    assert_eq!(code(&output), Some(3), "a frame map without frames is asked about");
    assert!(out(&output).contains("site.txt:3"), "{}", out(&output));
}

#[test]
fn every_report_carries_the_cautions_and_keeps_to_the_page() {
    let name = "a unit with a name that is longer than any column could be made for it";
    let log = "noise that is no line of a log, and long enough that it has to be cut somewhere\n"
        .to_owned()
        + &beats("can0", &[1, 2, 3, 9], 0..9)
        + "(9.5) can0 20000004#0020\n";
    let place = place("hear-wide", &log);
    fs::write(place.join("site.txt"), format!("{SITE}name {name} = unit 2\n")).expect("writable");
    let output = run_in(&place, &["hear", "site.txt", "cables.csv", "bus.log"]);
    let text = out(&output);
    assert!(text.contains("prove dead with a"), "{text}");
    assert!(text.contains("1 line does not fit candump"), "{text}");
    assert!(text.contains("(stranger)") && text.contains("became passive"), "{text}");
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn findings_that_come_and_go_are_told_with_their_time() {
    let place = place("hear-follow", "");
    let mut child = Command::new(program())
        .current_dir(&place)
        .args(["hear", "site.txt", "cables.csv", "-", "--follow", "--quiet"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut input = child.stdin.take().expect("a pipe");
    input.write_all(beats("can0", &[1, 2], 0..5).as_bytes()).expect("it reads");
    input.write_all(beats("can0", &[1, 2, 3], 5..20).as_bytes()).expect("it reads");
    drop(input);
    let output = child.wait_with_output().expect("it ends with its input");
    let text = out(&output);
    let told: Vec<_> = text.lines().take_while(|line| !line.is_empty()).collect();
    assert_eq!(
        told,
        [
            "    4.0 s  found: no-start: Not heard: unit 3; look first at C2 [unit-silent]",
            "    6.0 s  gone: no-start: Not heard: unit 3; look first at C2 [unit-silent]",
        ],
        "{text}"
    );
    assert_eq!(code(&output), Some(0));
}

#[test]
fn a_file_that_grows_is_listened_to_until_the_time_is_up() {
    let place = place("hear-grows", &beats("can0", &[1, 2], 0..5));
    let child = Command::new(program())
        .current_dir(&place)
        .args(["hear", "site.txt", "cables.csv", "bus.log", "--follow", "--for", "3"])
        .args(["--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    std::thread::sleep(std::time::Duration::from_millis(700));
    let mut log = fs::OpenOptions::new().append(true).open(place.join("bus.log")).expect("there");
    log.write_all(beats("can0", &[1, 2, 3], 5..20).as_bytes()).expect("writable");
    let output = child.wait_with_output().expect("it ends");
    let report: Value = serde_json::from_slice(&output.stdout).expect("nothing but JSON");
    assert_eq!(report["heard"]["units_heard"], 3);
    assert!(err(&output).contains("gone: no-start"), "{}", err(&output));
}

/// Frames that came through hide those that did not: the verdict's line says so.
#[test]
fn errors_in_the_log_stand_beside_an_ok() {
    let quiet = beats("can0", &[1, 2, 3], 0..12);
    let noise = "(11.950000) can0 20000088#0000000000000000\n".repeat(5);
    let heard = |log: &str| {
        let place = place("hear-noise", log);
        out(&run_in(&place, &["hear", "site.txt", "cables.csv", "bus.log", "-q"]))
    };
    assert!(!heard(&quiet).contains("On the bus"), "{}", heard(&quiet));
    let told = heard(&format!("{quiet}{noise}"));
    let words = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.starts_with("OK:") && words.contains("On the bus 5 errors were counted"),
        "{words}"
    );
}

/// One stranger and one unit that was not heard yet may still be two.
#[test]
fn a_stranger_is_nobody_else_before_silence_is_known() {
    let rules = |seconds| {
        let place = place("hear-stranger", &beats("can0", &[1, 2, 7], 0..seconds));
        let told = run_in(&place, &["hear", "site.txt", "cables.csv", "bus.log", "-q"]);
        let other = out(&told).contains("[unit-under-other-address]");
        (other, out(&told).contains("[stranger-heard]"))
    };
    assert_eq!(rules(2), (false, true));
    assert_eq!(rules(12), (true, false));
}
