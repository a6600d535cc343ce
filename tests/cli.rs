//! The program as a person starts it: arguments, files, streams, exit codes.

use coldcheck_tests::program::{err, folder, out, program, run, run_in};
use coldcheck_tests::{cases, paths};
use serde_json::Value;
use std::fs;
use std::io::Write;
use std::process::{Command, Stdio};

#[test]
fn text_and_exit_code_of_every_case_are_the_golden_ones() {
    for case in cases::all() {
        let mut arguments = vec!["check", "cables.csv", "settings.txt"];
        if case.scope.is_some() {
            arguments.extend(["--scope", "communication"]);
        }
        let output = run_in(&case.folder, &arguments);
        let golden = fs::read_to_string(case.folder.join("check.txt")).expect("the golden file");
        assert_eq!(out(&output), golden, "{}", case.name);
        let (_, diagnosis) = case.examine().expect("a case can be read");
        let code = i32::from(diagnosis.verdict.exit_code());
        assert_eq!(output.status.code(), Some(code), "{}", case.name);
        assert_eq!(err(&output), "", "{}", case.name);
    }
}

#[test]
fn json_is_one_value_with_its_schema() {
    let output = run(&["check", "cables.csv", "settings.txt", "--format", "json"]);
    let report: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(report["schema"], "coldcheck.check.v1");
    assert_eq!(report["profile_assumed"], true);
}

/// Where there are words to choose from, they are named.
#[test]
fn what_must_be_declared_is_named_with_its_words() {
    let folder = folder("cli-declare");
    fs::write(folder.join("units.txt"), "unit 1 = addr 1\nunit 2 = addr 2\n").expect("writable");
    let told = out(&run_in(&folder, &["check", "units.txt"]));
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("(write: role = coordinator or follower)"), "{told}");
    assert!(told.contains("(write: count = …)"), "{told}");
}

#[test]
fn colour_comes_only_when_it_is_asked_for() {
    let plain = run(&["check", "cables.csv", "settings.txt"]);
    assert!(!out(&plain).contains('\u{1b}'));
    let coloured = run(&["--color", "always", "check", "cables.csv", "settings.txt"]);
    assert!(out(&coloured).contains("\u{1b}[1;31mFIX FIRST:"));
}

#[test]
fn a_file_that_is_there_is_not_overwritten() {
    let folder = folder("output");
    let target = folder.join("report.txt");
    fs::write(&target, "precious").expect("writable");
    let path = target.display().to_string();
    let arguments = ["check", "cables.csv", "settings.txt", "-o", &path];
    let refused = run(&arguments);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("--force"), "{}", err(&refused));
    assert_eq!(fs::read_to_string(&target).expect("still there"), "precious");
    let forced = run(&[&arguments[..], &["--force"]].concat());
    assert_eq!(forced.status.code(), Some(1));
    assert!(fs::read_to_string(&target).expect("there").starts_with("FIX FIRST"));
}

#[test]
fn what_was_read_is_not_overwritten_even_if_asked_to() {
    let folder = folder("own-input");
    let case = paths::tests().join("cases/02-village-clinic");
    for sheet in ["cables.csv", "settings.txt"] {
        fs::copy(case.join(sheet), folder.join(sheet)).expect("writable");
    }
    let plain = paths::workspace().join("host-cli/profiles/plain.toml");
    fs::copy(plain, folder.join("own.toml")).expect("writable");
    // A profile that a sheet names is as precious as one of the command line.
    let settings = fs::read_to_string(folder.join("settings.txt")).expect("there");
    fs::write(folder.join("named.txt"), format!("{settings}\nprofile = own.toml\n"))
        .expect("writable");
    let before = fs::read(folder.join("own.toml")).expect("there");
    for command in ["check", "image", "tidy"] {
        let arguments = [command, "cables.csv", "named.txt", "-o", "own.toml", "--force"];
        let refused = run_in(&folder, &arguments);
        assert_eq!(refused.status.code(), Some(2), "{command}");
        assert!(err(&refused).contains("it would be lost"), "{command}: {}", err(&refused));
        assert_eq!(fs::read(folder.join("own.toml")).expect("still there"), before, "{command}");
    }
    for target in ["cables.csv", "own.toml"] {
        let before = fs::read(folder.join(target)).expect("there");
        for command in ["check", "image"] {
            let arguments = [command, "cables.csv", "settings.txt", "--profile", "own.toml"];
            let refused = run_in(&folder, &[&arguments[..], &["-o", target, "--force"]].concat());
            assert_eq!(refused.status.code(), Some(2), "{command} {target}");
            assert!(err(&refused).contains("it would be lost"), "{}", err(&refused));
            assert_eq!(fs::read(folder.join(target)).expect("still there"), before);
        }
    }
}

#[test]
fn what_cannot_be_read_is_named_and_ends_with_two() {
    let folder = folder("unreadable");
    fs::write(folder.join("empty.csv"), "").expect("writable");
    fs::write(folder.join("large.csv"), vec![b'x'; 5 * 1024 * 1024]).expect("writable");
    fs::write(folder.join("image.png"), b"\x89PNG\r\n\x1a\n\0\0\0").expect("writable");
    fs::create_dir(folder.join("folder")).expect("writable");
    for (file, says) in [
        ("absent.csv", "it cannot be read"),
        ("empty.csv", "the file is empty"),
        ("large.csv", "larger than 4 MiB"),
        ("image.png", "the picture cannot be read"),
        ("folder", "this is a folder"),
    ] {
        let output = run_in(&folder, &["check", file]);
        assert_eq!(output.status.code(), Some(2), "{file}");
        let message = err(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(message.contains(file) && message.contains(says), "{file}: {message}");
        assert_eq!(out(&output), "", "{file}");
    }
}

#[test]
fn wrong_usage_ends_with_two() {
    for arguments in [
        &["check", "--format", "xml"][..],
        &["chek"],
        &["explain"],
        &["check"],
        &["explain", "link-broken", "--format", "sarif"],
        &["profile", "show", "plain", "--format", "sarif"],
        &["check", "settings.txt", "--date", "31.3.2027"],
        &["new", "--units", "0"],
        &["new", "--units", "33"],
        &["new"],
        &["completions", "tea"],
    ] {
        assert_eq!(run(arguments).status.code(), Some(2), "{arguments:?}");
    }
}

#[test]
fn a_sheet_can_come_from_standard_input() {
    let folder = paths::tests().join("cases/02-village-clinic");
    let mut child = Command::new(program())
        .current_dir(&folder)
        .args(["check", "-", "settings.txt", "--scope", "communication"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program can be started");
    let list = fs::read(folder.join("cables.csv")).expect("the case");
    child.stdin.take().expect("piped").write_all(&list).expect("it reads");
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    let mut child = Command::new(program())
        .args(["explain", "--all", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program can be started");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(err(&output), "");
}

#[test]
fn explain_proposes_the_nearest_rule() {
    let output = run(&["explain", "adress-duplicate"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("address-duplicate"), "{}", err(&output));
    let output = run(&["explain", "address-duplicate"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).contains("Units share one address"));
    assert!(out(&output).lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn an_image_goes_to_its_file_and_comes_back_in_words() {
    let folder = folder("image");
    let path = folder.join("plan.bin").display().to_string();
    let written = run(&["image", "cables.csv", "settings.txt", "-o", &path]);
    assert_eq!(written.status.code(), Some(0), "{}", err(&written));
    let shown = run(&["image", "--show", &path]);
    assert_eq!(shown.status.code(), Some(0));
    assert!(out(&shown).contains("can 1, coordinator, address 1"), "{}", out(&shown));
    let refused = run(&["image", "--show", "cables.csv"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("not a plan image"), "{}", err(&refused));
}

#[test]
fn an_unknown_profile_is_told_which_there_are() {
    let output = run(&["check", "cables.csv", "settings.txt", "--profile", "grand"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("two-port-line"), "{}", err(&output));
    let named = run(&["check", "cables.csv", "settings.txt", "--profile", "two-port-line"]);
    assert!(out(&named).contains("profile two-port-line;"), "{}", out(&named));
}

#[test]
fn help_has_examples_and_exit_codes() {
    let help = out(&run(&["--help"]));
    assert!(help.contains("Exit codes:") && help.contains("Examples:"), "{help}");
    for command in [
        "check",
        "explain",
        "image",
        "new",
        "tidy",
        "profile",
        "profile list",
        "profile show",
        "profile check",
        "completions",
        "man",
    ] {
        let words: Vec<&str> = command.split(' ').chain(["--help"]).collect();
        let help = out(&run(&words));
        assert!(help.contains("Example"), "{command}");
        assert!(help.lines().all(|line| line.chars().count() <= 80), "{command}:\n{help}");
    }
}
