//! `coldcheck powerup` as a person starts it: readings that survive a crash, exit codes, schema.

use coldcheck::readings;
use coldcheck_tests::paths;
use coldcheck_tests::powerup::{CABLES, WHOLE};
use coldcheck_tests::program::{err, folder, out, program, run_in};
use serde_json::Value;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Output, Stdio};

const SHEETS: [&str; 2] = ["settings.txt", "cables.csv"];
const WHO: [&str; 4] = ["--by", "RK", "--instrument", "meter 2"];
const FILE: [&str; 2] = ["--readings", "day.jsonl"];

fn site(name: &str) -> std::path::PathBuf {
    let folder = folder(name);
    fs::write(folder.join(SHEETS[0]), WHOLE).expect("writable");
    fs::write(folder.join(SHEETS[1]), CABLES).expect("writable");
    folder
}

fn powerup(folder: &Path, arguments: &[&str]) -> Output {
    run_in(folder, &[&["powerup"], &SHEETS[..], arguments].concat())
}

fn take(folder: &Path, readings: &[&str]) -> Output {
    let readings: Vec<&str> = readings.iter().flat_map(|one| ["--take", *one]).collect();
    powerup(folder, &[&FILE[..], &WHO, &readings].concat())
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

fn json(folder: &Path) -> Value {
    let output = powerup(folder, &[&FILE[..], &["--format", "json"]].concat());
    serde_json::from_str(&out(&output)).unwrap_or_else(|error| panic!("{error}: {}", err(&output)))
}

fn state(told: &Value, id: &str) -> String {
    let steps = told["steps"].as_array().expect("steps");
    let step = steps.iter().find(|step| step["id"] == id).unwrap_or_else(|| panic!("{id}"));
    step["state"].as_str().expect("a word").to_owned()
}

const DEAD: [&str; 5] = [
    "locked-off=yes",
    "dead-unit-1=0.1 V",
    "dead-unit-2=0.0",
    "dead-unit-3=-0.2",
    "dead-bars=120 mV",
];

#[test]
fn readings_are_written_down_and_the_exit_code_says_where_it_stands() {
    let folder = site("powerup-take");
    assert_eq!(code(&powerup(&folder, &[])), 0);
    assert_eq!(code(&powerup(&folder, &FILE)), 4);
    assert!(!folder.join("day.jsonl").exists(), "nothing was read yet");
    assert_eq!(code(&take(&folder, &DEAD)), 4);
    assert_eq!(code(&take(&folder, &["earth-unit-1=4.1"])), 1);
    let told = json(&folder);
    assert_eq!(state(&told, "dead-bars"), "passed");
    assert_eq!(state(&told, "earth-unit-1"), "failed");
    assert_eq!(state(&told, "earth-unit-2"), "open");
    assert_eq!(state(&told, "polarity"), "waits");
    // The newest reading counts, and the old one stays in the file.
    assert_eq!(code(&take(&folder, &["earth-unit-1=0.2"])), 4);
    let text = fs::read_to_string(folder.join("day.jsonl")).expect("there");
    assert_eq!(text.lines().count(), 7);
    assert_eq!(state(&json(&folder), "earth-unit-1"), "passed");
    // A sheet changes: whoever changed a bond worked on the plant.
    let changed = WHOLE.replace("main board (fixed)", "generator frame (fixed)");
    fs::write(folder.join(SHEETS[0]), changed).expect("writable");
    let told = json(&folder);
    assert_eq!(
        (state(&told, "locked-off"), state(&told, "dead-unit-1")),
        ("open-again".to_owned(), "read-and-waits".to_owned())
    );
    assert_eq!(fs::read_to_string(folder.join("day.jsonl")).expect("there"), text);
}

#[test]
fn what_does_not_count_is_refused_and_not_written() {
    let folder = site("powerup-refused");
    let refused = |arguments: &[&str], says: &str| {
        let before = fs::read(folder.join("day.jsonl")).unwrap_or_default();
        let output = powerup(&folder, &[&FILE[..], arguments].concat());
        assert_eq!(code(&output), 2, "{arguments:?}");
        let told = err(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(says), "{arguments:?}: {told}");
        assert_eq!(fs::read(folder.join("day.jsonl")).unwrap_or_default(), before);
    };
    let with = |arguments: &[&'static str]| [&WHO[..], arguments].concat();
    refused(&with(&["--take", "polarity=52"]), "locked-off must be passed first");
    assert_eq!(code(&take(&folder, &["locked-off=yes"])), 4);
    refused(&with(&["--reason", "dead-unit-1=it looks dead"]), "only a reading passes this step");
    refused(&with(&["--take", "dead-unit-9=0"]), "no step `dead-unit-9`");
    refused(&with(&["--take", "dead-unit-1=zero"]), "no reading");
    refused(&with(&["--take", "dead-unit-1=0.1 ohm"]), "no unit of volts");
    refused(&with(&["--take", "dead-unit-1"]), "no `=`");
    refused(&["--instrument", "m", "--take", "dead-unit-1=0"], "nobody says it");
    refused(&["--by", "RK", "--take", "dead-unit-1=0"], "nobody says it");
    let output = powerup(
        &folder,
        &["--readings", "-", "--by", "RK", "--instrument", "m", "--take", "dead-unit-1=0"],
    );
    assert_eq!(code(&output), 2);
    // A sheet is no readings file, and stays as it is.
    let output = powerup(
        &folder,
        &[
            "--readings",
            "settings.txt",
            "--by",
            "RK",
            "--instrument",
            "m",
            "--take",
            "dead-unit-1=0",
        ],
    );
    assert_eq!(code(&output), 2);
    assert_eq!(fs::read_to_string(folder.join(SHEETS[0])).expect("there"), WHOLE);
}

#[test]
fn a_danger_stands_first_and_stops_what_is_live() {
    let folder = site("powerup-danger");
    let crossed = WHOLE.to_owned() + "unit 3 ac out = except L1<->L2\n";
    fs::write(folder.join(SHEETS[0]), crossed).expect("writable");
    let output = powerup(&folder, &[]);
    assert_eq!(code(&output), 5);
    assert!(out(&output).starts_with("STOP:"), "{}", out(&output));
    assert_eq!(code(&take(&folder, &DEAD)), 5);
    let told = json(&folder);
    assert_eq!(state(&told, "dead-bars"), "passed");
    assert_eq!(state(&told, "across-unit-2-l1"), "stopped");
}

/// The program is killed after each answer in turn: what was answered is in the file, and the next
/// start goes on behind it.
#[test]
fn a_guide_that_is_killed_at_any_step_loses_nothing() {
    let folder = site("powerup-killed");
    let answers = ["yes", "0.1", "0.2", "0.0", "0.1", "0.3", "0.2 ohm", "0.1", "OL", "0.2"];
    for (position, answer) in answers.iter().enumerate() {
        let mut child = Command::new(program())
            .current_dir(&folder)
            .args([&["powerup"], &SHEETS[..], &FILE, &WHO, &["--guide"]].concat())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program can be started");
        let mut to = child.stdin.take().expect("a pipe");
        let mut from = BufReader::new(child.stdout.take().expect("a pipe"));
        writeln!(to, "{answer}").expect("it listens");
        to.flush().expect("it listens");
        // It says that the step is passed only when the reading is on the disk.
        let mut told = String::new();
        while !told.contains("passed:") {
            let before = told.len();
            from.read_line(&mut told).expect("text");
            assert!(told.len() > before, "{position}: {told}");
            assert!(!told.contains("NOT AS EXPECTED"), "{position}: {told}");
        }
        child.kill().expect("it runs");
        child.wait().expect("it ended");
        let text = fs::read_to_string(folder.join("day.jsonl")).expect("there");
        assert_eq!(text.lines().count(), position + 1, "{text}");
        let told = json(&folder);
        let passed = told["steps"].as_array().expect("steps").iter();
        assert_eq!(passed.filter(|step| step["state"] == "passed").count(), position + 1);
    }
}

/// The file cut off at every byte: complete lines count, the torn one is said, and the next reading
/// can be put behind it.
#[test]
fn a_file_that_is_cut_off_at_any_byte_is_read_and_goes_on() {
    let folder = site("powerup-torn");
    take(&folder, &DEAD);
    let file = folder.join("day.jsonl");
    let whole = fs::read(&file).expect("there");
    for length in 0..=whole.len() {
        let bytes = whole[..length].to_vec();
        let lines = String::from_utf8_lossy(&bytes).matches('\n').count();
        let is_torn = bytes.last().is_some_and(|last| *last != b'\n');
        // All but its end is a whole line.
        let is_whole = bytes.last() == Some(&b'}');
        let sheet = coldcheck::read::RawSheet { name: "day.jsonl".to_owned(), bytes };
        let read =
            readings::read(&sheet).unwrap_or_else(|(_, errors)| panic!("{length}: {errors:?}"));
        assert_eq!(read.list.len(), lines + usize::from(is_whole), "{length}");
        assert_eq!(read.cut_off.len(), usize::from(is_torn && !is_whole), "{length}");
    }
    // A file that is not there is nothing to report on.
    let output = run_in(&folder, &["report", SHEETS[0], SHEETS[1], "--readings", "dya.jsonl"]);
    assert_eq!(code(&output), 2);
    for length in [whole.len() - 1, whole.len() - 2, whole.len() - 60, 5] {
        fs::write(&file, &whole[..length]).expect("writable");
        let before = json(&folder);
        let next = before["next"].as_str().expect("a step").to_owned();
        let value = if next == "locked-off" { "yes" } else { "0.1" };
        let output = take(&folder, &[&format!("{next}={value}")]);
        assert_eq!(code(&output), 4, "{length}: {}", err(&output));
        let text = fs::read(&file).expect("there");
        assert!(text.starts_with(&whole[..length]), "nothing in the file is changed");
        assert_eq!(state(&json(&folder), &next), "passed", "{length}");
    }
    // A line that is broken in the middle of a file was not cut off: it is an error with its line.
    fs::write(&file, [&whole[..40], b"\n", &whole[..]].concat()).expect("writable");
    let output = powerup(&folder, &FILE);
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("day.jsonl:1:"), "{}", err(&output));
}

#[test]
fn every_output_keeps_to_the_published_schema() {
    let path = paths::workspace().join("host-cli/assets/powerup.v1.schema.json");
    let schema =
        serde_json::from_str(&fs::read_to_string(path).expect("the schema")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    let folder = site("powerup-schema");
    for readings in [&[][..], &DEAD, &["earth-unit-1=9", "earth-unit-2=0.1"]] {
        if !readings.is_empty() {
            take(&folder, readings);
        }
        let mut told = json(&folder);
        let errors: Vec<_> = validator
            .iter_errors(&told)
            .map(|error| format!("{error} at {}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{errors:#?}");
        told["steps"][0]["state"] = "safe".into();
        assert!(!validator.is_valid(&told), "a schema that takes anything");
    }
}

/// What was wrong and read again stays in the whole report, and is marked on the one page.
#[test]
fn the_report_has_every_reading_also_the_wrong_ones() {
    let folder = site("powerup-report");
    take(&folder, &DEAD);
    take(&folder, &["earth-unit-1=3 kohm"]);
    take(&folder, &["earth-unit-1=0.2"]);
    let page = |more: &[&str]| {
        let arguments = [&["report"], &SHEETS[..], &FILE, more].concat();
        let output = run_in(&folder, &arguments);
        assert!(err(&output).is_empty(), "{}", err(&output));
        out(&output)
    };
    let whole = page(&["-o", "-"]);
    let table = whole.split_once("Every reading, in order").expect("the table").1;
    let rows: Vec<&str> = table.split("<tr>").filter(|row| row.contains("earth-unit-1")).collect();
    assert_eq!(rows.len(), 2, "{table}");
    assert!(rows[0].contains("3000 ohm") && rows[0].contains("<td>NO</td>"), "{}", rows[0]);
    assert!(rows[1].contains("0.2 ohm") && rows[1].contains("<td>yes</td>"), "{}", rows[1]);
    assert!(rows.iter().all(|row| row.contains("RK") && row.contains("meter 2")));
    let one = page(&["-o", "-", "--one-page"]);
    assert!(one.contains("(before: 3000)") && !one.contains("Every reading, in order"));
}

#[test]
fn the_text_fits_the_page_and_ends_with_the_way_down() {
    let folder = site("powerup-text");
    take(&folder, &[&DEAD[..], &["earth-unit-1=9"]].concat());
    for arguments in [&FILE[..], &["--way-down"]] {
        let text = out(&powerup(&folder, arguments));
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
        for words in ["THE WAY DOWN", "isolator of roof east", "Before touching anything"] {
            assert!(text.contains(words), "{arguments:?}: {words}");
        }
    }
    let text = out(&powerup(&folder, &FILE));
    assert!(text.contains("NOT AS EXPECTED") && text.contains("Follow the earth conductor"));
}
