//! Changed cases for every reader, the image and the check: nothing may panic, hang or break a
//! property. `cargo dev fuzz` tries the same bodies with libFuzzer.

use coldcheck_tests::fuzz::{TARGETS, mutate::mutated, target};
use coldcheck_tests::generate::Dice;
use coldcheck_tests::paths;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

/// Changed inputs for each one of a corpus; more by the variable `COLDCHECK_SMOKE`.
const ROUNDS: usize = 3;
/// No input takes longer, even in a debug build on a busy machine.
const MOST_TIME: Duration = Duration::from_secs(10);

/// Tries the corpus as it is and changed.
fn smoke(name: &str) {
    let target = target(name);
    let rounds =
        std::env::var("COLDCHECK_SMOKE").ok().and_then(|text| text.parse().ok()).unwrap_or(ROUNDS);
    let corpus = (target.corpus)();
    assert!(!corpus.is_empty());
    let mut dice = Dice::new(1);
    let mut failed = Vec::new();
    for (position, input) in corpus.iter().enumerate() {
        for round in 0..=rounds {
            let tried = if round == 0 {
                input.clone()
            } else {
                let other = &corpus[dice.roll(corpus.len())];
                mutated(input, other, &mut dice, target.most_bytes)
            };
            let start = Instant::now();
            let outcome = catch_unwind(AssertUnwindSafe(|| (target.body)(&tried)));
            if outcome.is_err() || start.elapsed() > MOST_TIME {
                let text = String::from_utf8_lossy(&tried).into_owned();
                failed.push(format!("input {position}, round {round}:\n{text}"));
            }
        }
    }
    assert!(failed.is_empty(), "{name}: {} inputs\n{}", failed.len(), failed.join("\n"));
}

/// The programs are built by `cargo dev fuzz` alone: each is this list's body and nothing else.
#[test]
fn every_target_has_a_program() {
    let manifest = paths::tests().join("fuzz/Cargo.toml");
    let manifest = std::fs::read_to_string(manifest).expect("there");
    let mut programs: Vec<_> = manifest
        .split("[[bin]]")
        .skip(1)
        .filter_map(|program| program.split('"').nth(1).map(str::to_owned))
        .collect();
    let mut targets: Vec<_> = TARGETS.iter().map(|target| target.name.to_owned()).collect();
    programs.sort();
    targets.sort();
    assert_eq!(programs, targets);
}

#[test]
fn cable_lists() {
    smoke("cable_list");
}

#[test]
fn settings_lists() {
    smoke("settings");
}

#[test]
fn site_files_in_toml() {
    smoke("site_toml");
}

#[test]
fn site_files_in_json() {
    smoke("site_json");
}

#[test]
fn lines_of_batch() {
    smoke("batch_line");
}

#[test]
fn sheets_of_every_kind_together() {
    smoke("mixed");
}

#[test]
fn profiles() {
    smoke("profile");
}

#[test]
fn images() {
    smoke("image");
}

#[test]
fn plans() {
    smoke("plan");
}

#[test]
fn logs() {
    smoke("log");
}

#[test]
fn readings() {
    smoke("readings");
}

#[test]
fn lines_of_adapters() {
    smoke("slcan");
}

#[test]
fn every_target_is_tried() {
    let own = include_str!("smoke.rs");
    for target in TARGETS {
        assert!(own.contains(&format!("smoke(\"{}\")", target.name)), "{}", target.name);
    }
}

/// Inputs that broke a property once, each in a file named after its target, as hexadecimal.
#[test]
fn what_was_found_once() {
    let folder = paths::tests().join("found");
    let mut count = 0;
    for file in std::fs::read_dir(folder).expect("the folder").flatten() {
        let path = file.path();
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let (target_name, _) = name.split_once('-').unwrap_or((&name, ""));
        let digits: String =
            std::fs::read_to_string(&path).expect("text").split_whitespace().collect();
        let byte = |at: usize| u8::from_str_radix(&digits[at..at + 2], 16).expect("two digits");
        let input: Vec<u8> = (0..digits.len()).step_by(2).map(byte).collect();
        (target(target_name).body)(&input);
        count += 1;
    }
    assert!(count > 0);
}
