//! The commands beside `check`, `explain` and `image`, as a person starts them.

use coldcheck_tests::paths;
use coldcheck_tests::program::{err, folder, out, run, run_in};
use serde_json::Value;
use std::fs;
use std::process::Output;

fn code(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

/// A message without its line breaks.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_new_site_goes_to_standard_output_a_file_or_a_folder() {
    let folder = folder("new");
    let piped = run_in(&folder, &["new", "--units", "3", "--profile", "in-out-line"]);
    assert_eq!(code(&piped), 0);
    assert!(err(&piped).contains("still to be filled in: neutral-earth bond"), "{}", err(&piped));
    let file =
        run_in(&folder, &["new", "--units", "3", "--profile", "in-out-line", "-o", "a.toml"]);
    assert_eq!(code(&file), 0);
    assert_eq!(fs::read_to_string(folder.join("a.toml")).expect("written"), out(&piped));
    let arguments = ["new", "--units", "3", "--form", "sheets", "--out-dir", "deep/site"];
    let sheets = run_in(&folder, &arguments);
    assert_eq!(code(&sheets), 0, "{}", err(&sheets));
    let check = ["check", "deep/site/cables.csv", "deep/site/settings.txt", "--quiet"];
    let report = run_in(&folder, &check);
    assert_eq!(code(&report), 4);
    assert!(out(&report).contains("neutral-earth bond"), "{}", out(&report));
    let communication = run_in(&folder, &[&check[..], &["--scope", "communication"]].concat());
    assert_eq!(code(&communication), 0, "{}", out(&communication));
}

#[test]
fn a_sheet_finds_its_profile_wherever_the_shell_stands() {
    let folder = folder("new-profile");
    let plain = paths::workspace().join("host-cli/profiles/plain.toml");
    let plain = fs::read_to_string(plain).expect("there");
    // What is demanded of units says nothing of the sensors.
    let rated = "\"rated current\" = { is = \"32 A\", from = \"manual, page 2\" }";
    fs::write(folder.join("mine.toml"), format!("{plain}{rated}\n")).expect("writable");
    let arguments =
        ["new", "--units", "3", "--profile", "mine.toml", "--form", "sheets", "--out-dir", "site"];
    assert_eq!(code(&run_in(&folder, &arguments)), 0);
    let settings = fs::read_to_string(folder.join("site/settings.txt")).expect("written");
    assert!(settings.contains("../mine.toml"), "{settings}");
    let outside = run_in(&folder, &["check", "site/cables.csv", "site/settings.txt"]);
    let inside = run_in(&folder.join("site"), &["check", "cables.csv", "settings.txt"]);
    for report in [&outside, &inside] {
        // Nothing is broken; what only the plant can tell is not declared.
        assert_eq!(code(report), 4, "{}{}", out(report), err(report));
    }
}

#[test]
fn a_new_site_overwrites_nothing_unless_asked_to() {
    let folder = folder("new-again");
    fs::write(folder.join("settings.txt"), "precious").expect("writable");
    let arguments = ["new", "--units", "2", "--form", "sheets", "--out-dir", "."];
    let refused = run_in(&folder, &arguments);
    assert_eq!(code(&refused), 2);
    assert!(err(&refused).contains("settings.txt: the file is there"), "{}", err(&refused));
    assert!(!folder.join("cables.csv").exists(), "all files or none");
    assert_eq!(fs::read_to_string(folder.join("settings.txt")).expect("there"), "precious");
    assert_eq!(code(&run_in(&folder, &[&arguments[..], &["--force"]].concat())), 0);
    assert!(folder.join("cables.csv").exists());
    // The profile that it was made from is not lost in any case.
    let plain = paths::workspace().join("host-cli/profiles/plain.toml");
    fs::copy(&plain, folder.join("mine.toml")).expect("writable");
    let arguments = ["new", "--units", "2", "--profile", "mine.toml", "-o", "mine.toml", "--force"];
    let refused = run_in(&folder, &arguments);
    assert_eq!(code(&refused), 2);
    assert!(err(&refused).contains("it would be lost"), "{}", err(&refused));
    assert_eq!(fs::read(folder.join("mine.toml")).expect("there"), fs::read(plain).expect("there"));
}

#[test]
fn a_site_that_there_is_not_is_refused_with_its_limits() {
    for (arguments, says) in [
        (&["--units", "17", "--profile", "two-port-line"][..], "a number from 2 to 16"),
        (&["--units", "2", "--profile", "two-port-ring"], "a number from 3 to 16"),
        (&["--units", "1"], "a number from 2 to 32"),
        (&["--units", "33"], "a site has 1 to 32 units"),
        (&["--units", "3", "--profile", "grand"], "no profile has this name"),
        (&["--units", "3", "--form", "sheets"], "--out-dir DIR"),
    ] {
        let output = run(&[&["new"][..], arguments].concat());
        assert_eq!(code(&output), 2, "{arguments:?}");
        assert!(words(&err(&output)).contains(says), "{arguments:?}: {}", err(&output));
        assert_eq!(out(&output), "", "{arguments:?}");
    }
}

#[test]
fn a_tidied_site_goes_to_its_file_and_a_doubtful_one_nowhere() {
    let folder = folder("tidy");
    let target = folder.join("site.toml").display().to_string();
    let written = run(&["tidy", "cables.csv", "settings.txt", "-o", &target]);
    assert_eq!(code(&written), 0, "{}", err(&written));
    let again = run(&["tidy", &target]);
    assert_eq!(out(&again), fs::read_to_string(&target).expect("written"));
    let refused = run(&["tidy", "cables.csv", "settings.txt", "-o", &target]);
    assert_eq!(code(&refused), 2);
    let case = paths::tests().join("cases/09-saw-mill");
    let other = folder.join("other.toml");
    let path = other.display().to_string();
    let doubtful = run_in(&case, &["tidy", "cables.csv", "settings.txt", "-o", &path]);
    assert_eq!(code(&doubtful), 3);
    assert!(err(&doubtful).starts_with("ASK: 1 question"), "{}", err(&doubtful));
    assert!(!other.exists(), "nothing is written");
    assert_eq!(out(&doubtful), "");
}

#[test]
fn profiles_are_listed_shown_and_checked() {
    let list = out(&run(&["profile", "list"]));
    for name in ["plain", "two-port-line", "two-port-ring", "in-out-line", "three-phase-sets"] {
        assert!(list.lines().any(|line| line.split(' ').next() == Some(name)), "{name}: {list}");
        let shown = out(&run(&["profile", "show", name]));
        for part in ["Sockets of a unit", "Demands:", "from: ", "Must be declared:", "Left open"] {
            assert!(shown.contains(part), "{name}: {part}");
        }
        let json = run(&["profile", "show", name, "--format", "json"]);
        let value: Value = serde_json::from_slice(&json.stdout).expect("JSON");
        assert_eq!(value["schema"], "coldcheck.profile.v1");
        let stated = value["demands"].as_array().expect("demands").len();
        let open = value["open"].as_array().expect("open demands").len();
        // Every demand is either stated or open; the sockets have a list of their own.
        assert_eq!(stated + open + 1, coldcheck_core::plan::Demand::ALL.len(), "{name}");
        let sources = value["demands"].as_array().expect("demands").iter();
        assert!(
            sources
                .clone()
                .all(|demand| demand["from"].as_str().is_some_and(|from| !from.is_empty()))
        );
        let checked = run(&["profile", "check", name]);
        assert_eq!(code(&checked), 0);
        assert!(out(&checked).contains("is sound"), "{}", out(&checked));
        for text in [&list, &shown, &out(&checked)] {
            assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
        }
    }
}

#[test]
fn a_wrong_profile_is_refused_with_all_that_is_wrong() {
    let folder = folder("profile");
    let plain = paths::workspace().join("host-cli/profiles/plain.toml");
    let text = fs::read_to_string(plain).expect("there");
    let wrong =
        text.replace("\"line\"", "\"star\"").replace("class = \"meter\"", "class = \"wifi\"");
    fs::write(folder.join("mine.toml"), &wrong).expect("writable");
    let output = run_in(&folder, &["profile", "check", "mine.toml"]);
    assert_eq!(code(&output), 2);
    for says in ["wifi is no class", "star is not understood", "line or ring", "mine.toml:"] {
        assert!(err(&output).contains(says), "{says}: {}", err(&output));
    }
    assert_eq!(out(&output), "");
    let absent = run_in(&folder, &["profile", "show", "absent.toml"]);
    assert_eq!(code(&absent), 2);
    assert!(err(&absent).contains("it cannot be read"), "{}", err(&absent));
}

#[test]
fn a_report_in_sarif_is_one_value_with_its_version() {
    let output = run(&["check", "cables.csv", "settings.txt", "--format", "sarif"]);
    assert_eq!(code(&output), 1, "the exit code is that of the verdict");
    let log: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(log["version"], "2.1.0");
}

#[test]
fn waivers_are_held_against_the_day_that_is_printed() {
    let folder = paths::tests().join("waived");
    let on = |arguments: &[&str]| {
        words(&out(&run_in(&folder, &[&["check", "site.toml", "--quiet"][..], arguments].concat())))
    };
    assert!(
        on(&["--date", "2027-06-30"])
            .contains("Waived, and not counted (waivers held against 2027-06-30)")
    );
    assert!(!on(&["--date", "2027-07-01"]).contains("Waived, and not counted"));
    let today = on(&[]);
    assert!(today.contains("waivers held against today, 20"), "{today}");
}

#[test]
fn strict_is_a_finding_for_what_lacks_data() {
    let folder = folder("strict");
    let sheet = "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n";
    fs::write(folder.join("s.txt"), sheet).expect("writable");
    assert_eq!(code(&run_in(&folder, &["check", "s.txt"])), 4);
    let strict = run_in(&folder, &["check", "s.txt", "--strict", "--quiet"]);
    assert_eq!(code(&strict), 1);
    assert!(words(&out(&strict)).contains("because the check is strict: - "), "{}", out(&strict));
}

#[test]
fn completions_and_manual_come_from_the_definition_of_the_command_line() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let output = run(&["completions", shell]);
        assert_eq!(code(&output), 0, "{shell}");
        for word in ["tidy", "strict", "out-dir"] {
            assert!(out(&output).contains(word), "{shell}: {word}");
        }
    }
    let page = out(&run(&["man"]));
    assert!(page.contains(".TH coldcheck 1") && page.contains("Exit codes:"), "{page}");
    let page = out(&run(&["man", "profile", "show"]));
    assert!(page.contains("coldcheck profile show"), "{page}");
    let wrong = run(&["man", "chek"]);
    assert_eq!(code(&wrong), 2);
    assert!(err(&wrong).contains("check, perhaps"), "{}", err(&wrong));
}

#[test]
fn a_program_without_the_page_says_how_to_get_it() {
    let folder = folder("page");
    let output = run_in(&folder, &["page", "-o", "coldcheck.html"]);
    assert_eq!(code(&output), 2);
    assert!(words(&err(&output)).contains("cargo dev page && cargo build"), "{}", err(&output));
    assert!(!folder.join("coldcheck.html").exists());
}

#[test]
fn a_profile_is_printed_as_a_file_that_is_sound() {
    let folder = folder("profile-file");
    for name in ["plain", "two-port-ring", "three-phase-sets"] {
        let printed = run(&["profile", "show", name, "--format", "file"]);
        fs::write(folder.join("mine.toml"), &printed.stdout).expect("writable");
        let checked = run_in(&folder, &["profile", "check", "mine.toml"]);
        assert_eq!(code(&checked), 0, "{name}: {}", err(&checked));
        let again = run_in(&folder, &["profile", "show", "mine.toml", "--format", "file"]);
        assert_eq!(again.stdout, printed.stdout, "{name}");
    }
    // So is the one in the guide.
    let guide = fs::read_to_string(paths::workspace().join("host-cli/guide/profiles.md"));
    let guide = guide.expect("there");
    let whole = guide.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next());
    fs::write(folder.join("mine.toml"), whole.expect("an example")).expect("writable");
    let checked = run_in(&folder, &["profile", "check", "mine.toml"]);
    assert_eq!(code(&checked), 0, "{}", err(&checked));
}

#[test]
fn every_schema_can_be_printed() {
    let names = out(&run(&["schema"]));
    let assets = fs::read_dir(paths::workspace().join("host-cli/assets")).expect("there");
    let files = assets.filter(|file| {
        let path = file.as_ref().expect("readable").path();
        path.to_string_lossy().ends_with(".schema.json")
    });
    assert_eq!(names.lines().count(), files.count());
    for name in names.split([',', '\n']).map(str::trim).filter(|name| !name.is_empty()) {
        let printed = run(&["schema", name]);
        let schema: Value = serde_json::from_slice(&printed.stdout).expect("JSON");
        assert!(jsonschema::validator_for(&schema).is_ok(), "{name}");
    }
    let wrong = run(&["schema", "tea"]);
    assert_eq!(code(&wrong), 2);
    assert!(err(&wrong).contains("check"), "{}", err(&wrong));
}

/// What a drill may hide, and no sheet shows, can be explained to a class as well.
#[test]
fn faults_that_no_sheet_shows_are_explained() {
    let told = words(&out(&run(&["explain", "pair-split"])));
    assert!(told.contains("no sheet shows it") && told.contains("prove:"), "{told}");
    assert_eq!(code(&run(&["explain", "pair-spilt"])), 2);
}
