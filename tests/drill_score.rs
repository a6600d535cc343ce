//! `coldcheck drill --score`, `--fault` and `--places`: a fault of one's choice, and a learner's record.

use coldcheck::drill::ask::Ask;
use coldcheck::drill::exercise::{Drill, bench_of};
use coldcheck::drill::record;
use coldcheck::drill::score::{Did, score};
use coldcheck_tests::paths;
use coldcheck_tests::program::{err, folder, out, run};
use serde_json::Value;
use std::fmt::Write;
use std::fs;

fn drill(arguments: &[&str]) -> std::process::Output {
    run(&[&["drill"], arguments].concat())
}

/// The ideal search as a trainer writes it down.
fn ideal(drill: &Drill) -> String {
    let mut text = "# the ideal search\ndead\n\n".to_owned();
    for answer in drill.answers() {
        for (act, _) in &answer.way {
            // The link is powered to be listened to.
            let _ = writeln!(text, "{}\n DEAD ", act.short().to_uppercase());
        }
        let _ = writeln!(text, "claim {}", answer.cause.id());
    }
    text
}

#[test]
fn an_ideal_search_has_all_points_and_each_slip_costs_its_own() {
    let guess = "a wrong claim of its own";
    for number in 1..9 {
        let ask = Ask { units: 3, number, ..Ask::default() };
        let drill = Drill::make(&ask).expect("a drill");
        let text = ideal(&drill);
        let did = record::read(&drill, &text).expect("a record");
        let best = score(&drill, &did);
        assert!(best.solved && best.points == 10, "{number}: {best:?}\n{text}");

        let wrong = drill.bench.causes.iter().find(|cause| {
            drill.answers().iter().all(|answer| {
                let is_own = std::ptr::eq(answer.cause, *cause);
                !is_own && answer.alike.iter().all(|alike| alike.id() != cause.id())
            })
        });
        let wrong = format!("claim {}\n{text}", wrong.expect(guess).id());
        let told = score(&drill, &record::read(&drill, &wrong).expect("a record"));
        assert!(told.wrong == 1 && told.points <= 8, "{number}: {told:?}");

        let only_claims: String = text
            .lines()
            .filter(|line| line.starts_with("claim"))
            .fold(String::new(), |all, line| all + line + "\n");
        let told = score(&drill, &record::read(&drill, &only_claims).expect("a record"));
        assert!(told.solved && told.guessed == 1 && told.points <= 5, "{number}: {told:?}");
    }
}

#[test]
fn every_fault_is_named_by_its_kind_and_the_words_of_its_place() {
    let bench = bench_of(&Ask { units: 3, ..Ask::default() }).expect("a bench");
    for cause in &bench.causes {
        let by_place = record::fault(&bench, &format!("{} {}", cause.kind, cause.done));
        let same: Vec<_> = bench
            .causes
            .iter()
            .filter(|other| other.kind == cause.kind && other.done == cause.done)
            .collect();
        match by_place {
            Ok(found) => assert_eq!(found.id(), cause.id()),
            // Where two have the same words, or one has those of the other and more.
            Err(refused) => assert!(refused.expected.contains(&cause.id()) || same.len() > 5),
        }
        assert_eq!(record::fault(&bench, &cause.id()).expect("a fault").id(), cause.id());
    }
}

#[test]
fn a_fault_of_ones_choice_is_made_at_its_place() {
    for (fault, place) in [
        ("address-duplicate unit 2 unit 1", "Unit 2 is set to the address of unit 1."),
        ("wires-swapped C2", "The two wires of cable C2 are exchanged."),
        ("ct-arrow-reversed/1", "CT L1"),
    ] {
        let output = drill(&["--units", "3", "--fault", fault]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        let text = out(&output);
        let answer = text.split("ANSWER").nth(1).expect("an answer");
        assert!(answer.contains(place), "{fault}: {answer}");
    }
    let listed = out(&drill(&["--units", "3", "--places", "--kind", "wires-swapped"]));
    assert_eq!(listed.lines().count(), 2, "{listed}");
    assert!(listed.contains("wires-swapped/2 ") && listed.contains("cable C2"), "{listed}");
}

#[test]
fn a_record_is_told_line_by_line_and_keeps_to_the_schema() {
    let folder = folder("drill-score");
    let record = folder.join("anna.txt");
    let drawn =
        Drill::by_hand(&Ask { units: 3, ..Ask::default() }, &["wires-swapped/2".to_owned()]);
    fs::write(&record, ideal(&drawn.expect("a drill"))).expect("writable");
    let record = record.to_str().expect("text");
    let own = ["--units", "3", "--fault", "wires-swapped/2", "--score", record];
    let text = out(&drill(&own));
    assert!(text.contains("Solved: 10 of 10 points"), "{text}");
    assert!(
        text.contains("claimed wires-swapped/2: the two wires of cable C2 are exchanged -> right")
    );
    assert!(text.contains("for dummy units"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");

    let html = out(&drill(&[&own[..], &["--format", "html"]].concat()));
    assert!(html.contains("Solved: 10 of 10 points") && !html.contains("<script"));

    let told: Value =
        serde_json::from_str(&out(&drill(&[&own[..], &["--format", "json"]].concat())))
            .expect("JSON");
    let schema = paths::workspace().join("host-cli/assets/drill.v1.schema.json");
    let schema = serde_json::from_str(&fs::read_to_string(schema).expect("it")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    let errors: Vec<String> = validator.iter_errors(&told).map(|it| it.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(told["score"]["points"], 10);
}

#[test]
fn a_record_that_cannot_be_meant_names_its_line() {
    let drawn = Drill::make(&Ask { units: 3, ..Ask::default() }).expect("a drill");
    for (text, line, says) in [
        ("", 1, "nothing was done"),
        ("# nothing\n\n", 1, "nothing was done"),
        ("dead\nohms at unit 9", 2, "`ohms at unit 9` is nothing that can be done here"),
        ("dead\n\nclaim", 3, "nothing is claimed"),
        ("claim wires-swaped C1", 1, "this bench has no fault `wires-swaped`"),
        ("claim wires-swapped C9", 1, "no `wires-swapped` of this bench has a place `c9`"),
        ("claim wires-swapped", 1, "may be one of several"),
        ("claim wires-swapped/9", 1, "this bench has no `wires-swapped/9`"),
        ("\u{1F600}\u{0}", 1, "is nothing that can be done here"),
    ] {
        let (place, refused) = record::read(&drawn, text).expect_err(text);
        assert!(refused.says.contains(says), "{text}: {refused}");
        assert_eq!(text[..place.start].lines().count() + 1, line.max(1), "{text}: {place:?}");
        assert!(refused.expected.len() > 5);
    }
    // At once, whatever was pasted, and without repeating it.
    let pasted = "x ".repeat(1_900_000);
    let (_, refused) = record::read(&drawn, &pasted).expect_err("no act");
    assert!(refused.to_string().len() < 400, "{}", refused.to_string().len());
    let long = "dead\n".repeat(2000);
    assert!(record::read(&drawn, &long).expect_err("too long").1.expected.contains("1000 lines"));
    assert_eq!(record::read(&drawn, "Proved dead\r\n").expect("a record"), [Did::ProvedDead]);

    let folder = folder("drill-record");
    let file = folder.join("anna.txt");
    fs::write(&file, "dead\nlisten to it\n").expect("writable");
    let file = file.to_str().expect("text");
    let output = drill(&["--units", "3", "--score", file]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("anna.txt:2:1"), "{}", err(&output));
}
