//! `coldcheck drill` as a trainer starts it: what the class gets, what it must not get, files, refusals.

use coldcheck_tests::paths;
use coldcheck_tests::program::{err, folder, out, run};
use serde_json::Value;
use std::fs;
use std::process::Output;

fn drill(arguments: &[&str]) -> Output {
    run(&[&["drill"], arguments].concat())
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

fn validator() -> jsonschema::Validator {
    let path = paths::workspace().join("host-cli/assets/drill.v1.schema.json");
    let schema =
        serde_json::from_str(&fs::read_to_string(path).expect("the schema")).expect("JSON");
    jsonschema::validator_for(&schema).expect("the schema is sound")
}

#[test]
fn every_output_keeps_to_the_published_schema() {
    let validator = validator();
    for arguments in [
        &["--units", "3", "--number", "7", "--kind", "terminator-extra", "plug-loose"][..],
        &["--units", "3", "--class", "2", "--kind", "bms-lead-missing", "ct-arrow-reversed"],
        &["--units", "3", "--kind", "address-duplicate", "--on-paper"],
        &["--units", "3", "--faults", "2", "--kind", "bms-lead-missing", "ct-arrow-reversed"],
    ] {
        let output = drill(&[arguments, &["--format", "json"]].concat());
        let mut told: Value = serde_json::from_str(&out(&output)).expect("JSON");
        let errors: Vec<_> = validator
            .iter_errors(&told)
            .map(|error| format!("{error} at {}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{arguments:?}: {errors:#?}");
        told["answers"][0]["faults"][0]["confirmed_by"] = Value::Null;
        assert!(!validator.is_valid(&told), "a schema that takes anything");
    }
}

#[test]
fn exercises_and_answers_are_files_of_their_own_and_nothing_is_overwritten() {
    let folder = folder("drill");
    let into = folder.join("monday");
    let into = into.to_str().expect("text");
    let arguments =
        ["--units", "3", "--class", "2", "--kind", "bms-lead-missing", "wires-swapped", "-o", into];
    let output = drill(&arguments);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let names: Vec<String> = fs::read_dir(into)
        .expect("a folder")
        .map(|entry| entry.expect("a file").file_name().into_string().expect("text"))
        .collect();
    for wanted in [
        "exercise-01.txt",
        "exercise-01-cables.csv",
        "exercise-01-settings.txt",
        "exercise-02.txt",
        "answer-01-bus.log",
        "answers.txt",
    ] {
        assert!(names.iter().any(|name| name == wanted), "{wanted} is not among {names:?}");
    }
    let read = |name: &str| fs::read_to_string(format!("{into}/{name}")).expect("text");
    let answers = read("answers.txt");
    let places: Vec<&str> =
        answers.lines().filter_map(|line| line.trim().strip_prefix("place:")).collect();
    assert_eq!(places.len(), 2);
    for exercise in ["exercise-01.txt", "exercise-02.txt"] {
        let text = read(exercise);
        assert!(text.contains("This is a drill: for dummy units"), "no caution");
        assert!(text.contains("Before touching anything"), "no usual cautions");
        assert!(!text.contains("Confirmed by"), "{exercise} tells its answer");
        for place in &places {
            let place: Vec<&str> = place.split_whitespace().collect();
            assert!(!text.contains(&place.join(" ")), "{exercise} tells its answer: {place:?}");
        }
    }
    fs::write(format!("{into}/answers.txt"), "notes of the trainer").expect("writable");
    let again = drill(&arguments);
    assert_eq!(code(&again), 2);
    assert_eq!(read("answers.txt"), "notes of the trainer");
    assert_eq!(code(&drill(&[&arguments[..], &["--force"]].concat())), 0);
    assert_eq!(read("answers.txt"), answers, "the same number gives the same");
}

#[test]
fn no_handout_has_the_number_that_tells_the_answer() {
    let folder = folder("drill-number");
    for format in ["text", "html", "json"] {
        let into = folder.join(format);
        let kinds = ["bms-lead-missing", "wires-swapped"];
        let arguments =
            ["--units", "3", "--class", "2", "--number", "7654", "--format", format, "-o"];
        let arguments =
            [&arguments[..], &[into.to_str().expect("text"), "--kind"], &kinds].concat();
        assert_eq!(code(&drill(&arguments)), 0);
        let mut answers = 0;
        for entry in fs::read_dir(&into).expect("a folder") {
            let path = entry.expect("a file").path();
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            let has_number = fs::read_to_string(&path).expect("text").contains("7654");
            assert_eq!(has_number, name.starts_with("answers."), "{format}: {name}");
            answers += usize::from(has_number);
        }
        assert_eq!(answers, 1);
        assert_eq!(into.join("exercises.html").exists(), format == "html");
    }
}

#[test]
fn the_answer_sheet_tells_what_is_told_where_nothing_is_wrong() {
    let text = out(&drill(&["--units", "3", "--kind", "bms-lead-missing"]));
    for usual in [
        "ohms from either wire to the common -> both OL",
        "a plug moved by hand -> the reading stands still",
        "a good cable in place of another -> nothing changes",
    ] {
        assert!(text.contains(usual), "{usual}");
    }
}

#[test]
fn reasons_fit_what_was_done() {
    for (kind, says, never) in [
        ("ct-lead-missing", "lead is fitted", "lead is listed ["),
        ("pv-input-mapping-wrong", "An array without an input of its own", "why:    Two arrays"),
        (
            "unit-identity-swapped",
            "or one stands there that the list does not know",
            "why:    Names",
        ),
    ] {
        let text = out(&drill(&["--units", "3", "--kind", kind]));
        let answer: Vec<&str> =
            text.split("ANSWER").skip(1).flat_map(str::split_whitespace).collect();
        assert!(answer.join(" ").contains(says), "{kind}: {text}");
        assert!(!text.contains(never), "{kind}");
    }
}

#[test]
fn sheets_of_the_class_are_right_unless_they_are_drilled_on_paper() {
    let folder = folder("drill-sheets");
    for (name, more, verdict) in [("plant", &[][..], 0), ("paper", &["--on-paper"][..], 1)] {
        let into = folder.join(name);
        let into = into.to_str().expect("text");
        let kind = "term-missing-one-end";
        let arguments = ["--units", "3", "--kind", kind, "--number", "3", "-o", into];
        assert_eq!(code(&drill(&[&arguments[..], more].concat())), 0);
        let cables = format!("{into}/exercise-01-cables.csv");
        let settings = format!("{into}/exercise-01-settings.txt");
        assert_eq!(code(&run(&["check", &cables, &settings])), verdict, "{name}");
        let log = format!("{into}/answer-01-bus.log");
        assert!(fs::read_to_string(log).expect("a log").contains("can0 7"), "nothing is heard");
    }
}

#[test]
fn what_is_printed_holds_everything_and_fetches_nothing() {
    let output = drill(&["--units", "3", "--kind", "cable-open", "--format", "html"]);
    let html = out(&output);
    let own = "http://www.w3.org/2000/svg";
    assert!(!html.replace(own, "").contains("://"), "an address");
    assert!(!html.contains("<script") && html.contains("default-src 'none'"));
    assert!(html.matches("for dummy units").count() >= 2, "the caution on exercise and answers");
    assert!(html.contains("<svg") && html.contains("Answer sheet"));
}

#[test]
fn text_keeps_to_eighty_columns_but_for_the_sheets() {
    let text = out(&drill(&["--units", "3", "--kind", "unit-silent", "pack-address-duplicate"]));
    let mut in_sheet = false;
    for line in text.lines() {
        in_sheet = match line {
            _ if line.starts_with("--- ") => true,
            _ if line.starts_with("Before touching") => false,
            _ => in_sheet,
        };
        assert!(in_sheet || line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn what_cannot_be_is_refused_in_words() {
    for (arguments, says) in [
        (&["--kind", "adress-duplicate"][..], "address-duplicate"),
        (&["--units", "40"], "2 to 12 units"),
        (&["--faults", "9"], "1 to 3 faults"),
        (&["--profile", "nobodys"], "two-port-line"),
        (&["--kind", "link-ring-open"], "coldcheck drill --list"),
        (&["--profile", "two-port-ring", "--units", "2"], "another number of units"),
        (&["--kind", "wires-swapped", "--on-paper"], "on paper"),
        (&["--class", "99"], "1 to 40"),
        (&["--kind", "ct-arrow-reversed", "--faults", "2"], "all of these are noticed as"),
        (
            &["--units", "3", "--kind", "address-duplicate", "terminator-extra", "--faults", "2"],
            "cannot be drilled at once",
        ),
    ] {
        let output = drill(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        let words: Vec<String> = err(&output).split_whitespace().map(ToOwned::to_owned).collect();
        assert!(words.join(" ").contains(says), "{arguments:?}: {}", err(&output));
    }
}
