//! The sensor test against sampled waves by numpy: what is named is true, and what is true is never
//! excluded.

use coldcheck::sensors::{
    Answer, Channel, Import, Left, Legs, Next, Ratio, Shown, Silence, Test, Wiring, solve,
};
use coldcheck::value::{Supply, System};
use coldcheck_tests::program::{err, folder, out, run_in};
use coldcheck_tests::{paths, python};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fs;
use std::process::Command;

#[derive(Deserialize)]
struct Case {
    system: String,
    volts: f64,
    kind: String,
    import: i32,
    states: Vec<State>,
    tests: Vec<Taken>,
}

#[derive(Debug, Deserialize)]
struct State {
    leg: usize,
    reversed: bool,
    reference: usize,
    times: f64,
}

#[derive(Deserialize)]
struct Taken {
    clamp: Vec<f64>,
    loaded: Vec<bool>,
    power_factor: f64,
    shown: Vec<Screen>,
}

#[derive(Deserialize)]
struct Screen {
    watts: f64,
    amperes: f64,
}

/// The ratio that is set, and what a sensor is rated for.
const SET: f64 = 40.0;
const RATED: f64 = 200.0;

fn cases(seed: u32) -> Vec<Case> {
    python::SHARING.set_up().expect("Python");
    let output = Command::new(python::SHARING.python())
        .arg(paths::tests().join("facts/sensors/phasors.py"))
        .arg(seed.to_string())
        .output()
        .expect("Python runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

fn legs(case: &Case) -> Legs {
    let system = match case.system.as_str() {
        "single" => System::SinglePhase,
        "split" => System::SplitPhase,
        _ => System::ThreePhase,
    };
    let to_neutral = if system == System::SplitPhase { 120_000 } else { 230_000 };
    let legs = Legs::of(Supply { system, to_neutral, between_lines: to_neutral * 2 });
    assert!((legs.volts - case.volts).abs() < 1e-9);
    legs
}

fn channels(count: usize) -> Vec<Channel> {
    let own = |own| Channel {
        name: format!("CT L{}", own + 1),
        own,
        ratio_set: Some(SET),
        rating: Some(RATED),
    };
    (0..count).map(own).collect()
}

fn tests(case: &Case, has_amperes: bool) -> Vec<Test> {
    let shown = |shown: &Screen| Shown {
        watts: Some(shown.watts),
        amperes: has_amperes.then_some(shown.amperes),
    };
    let of = |taken: &Taken| Test {
        clamp: taken.clamp.clone(),
        loaded: taken.loaded.clone(),
        power_factor: taken.power_factor,
        shown: taken.shown.iter().map(shown).collect(),
    };
    case.tests.iter().map(of).collect()
}

fn is_true(left: &Left, state: &State, import: i32) -> bool {
    let wiring = Wiring { leg: state.leg, reversed: state.reversed, reference: state.reference };
    let is_wrong = (state.times - 1.0).abs() > 1e-9;
    let ratio = match left.ratio {
        Ratio::Right => !is_wrong,
        Ratio::Open => left.times.0 <= state.times && state.times <= left.times.1,
        Ratio::Wrong { times, fitted } => {
            is_wrong
                && left.times.0 <= state.times
                && state.times <= left.times.1
                && fitted.is_none_or(|fitted| {
                    (times / state.times - 1.0).abs() < 0.1
                        && (fitted * state.times / SET - 1.0).abs() < 0.05
                })
        }
    };
    (left.import == Import::Plus) == (import == 1) && left.ways.contains(&wiring) && ratio
}

/// What is true is among what is left, and what is named is true.
#[test]
#[ignore = "needs Python from the registry; `cargo dev test` sets it up"]
fn no_way_to_sit_is_named_that_is_not_so() {
    let mut count: BTreeMap<(String, &str), [u32; 3]> = BTreeMap::new();
    for case in cases(5) {
        let legs = legs(&case);
        let channels = channels(legs.count());
        let stated = if case.import == 1 { Import::Plus } else { Import::Minus };
        for (has_amperes, import) in [(true, Some(stated)), (true, None), (false, None)] {
            let answer = solve(&legs, &channels, &tests(&case, has_amperes), import);
            for (at, state) in case.states.iter().enumerate() {
                let is_left = answer.left[at].iter().any(|left| is_true(left, state, case.import));
                assert!(is_left, "{} {} {state:?} {:?}", case.system, case.kind, answer.left[at]);
                assert_ne!(answer.silent[at], Silence::Sure);
                let [all, named, asked] = count
                    .entry((format!("{} {}", case.system, case.kind), kind(has_amperes, import)))
                    .or_default();
                *all += 1;
                if answer.left[at].len() == 1 {
                    *named += 1;
                } else {
                    *asked += 1;
                    // What is open is told by a reading that is named.
                    assert!(answer.next.is_some(), "{state:?}");
                }
            }
        }
    }
    println!("system, loads, given: channels, down to one way, more ways left and a reading named");
    for ((loads, given), [all, named, asked]) in &count {
        println!("{loads:<24} {given:<28} {all:>6} {named:>6} {asked:>6}");
    }
    // With each leg loaded alone, amperes read and the sign of import known, all are down to one.
    for system in ["single each", "split each", "three each with motors"] {
        let [all, named, _] = count[&(system.to_owned(), kind(true, Some(Import::Plus)))];
        assert_eq!(all, named, "{system}");
    }
}

const fn kind(has_amperes: bool, import: Option<Import>) -> &'static str {
    match (has_amperes, import) {
        (true, Some(_)) => "amperes, sign of import",
        (true, None) => "amperes, sign unknown",
        (false, _) => "watts alone, sign unknown",
    }
}

fn split() -> Legs {
    Legs { volts: 120.0, angles: vec![0.0, 180.0] }
}

fn test(clamp: [f64; 2], watts: [f64; 2]) -> Test {
    Test {
        clamp: clamp.to_vec(),
        loaded: clamp.iter().map(|amperes| *amperes > 5.0).collect(),
        power_factor: 1.0,
        shown: watts.iter().map(|watts| Shown { watts: Some(*watts), amperes: None }).collect(),
    }
}

fn first(answer: &Answer, channel: usize) -> (usize, bool, Ratio) {
    let left = &answer.left[channel][0];
    (left.leg(), left.ways[0].reversed, left.ratio)
}

/// Worked examples of the handbook sheet, section 5, table E (own computation there).
#[test]
fn worked_examples_come_out() {
    let channels = channels(2);
    let both = [test([50.0, 0.0], [6000.0, 0.0]), test([0.0, 50.0], [0.0, 6000.0])];
    let right = solve(&split(), &channels, &both, Some(Import::Plus));
    assert!(right.is_sure(&channels) && right.next.is_none(), "{right:?}");
    assert!(!right.has_fault(&channels));
    // E2: legs exchanged, L1 50 A and L2 10 A: -1200 and -6000.
    let swapped = [test([50.0, 0.0], [0.0, -6000.0]), test([0.0, 50.0], [-6000.0, 0.0])];
    let answer = solve(&split(), &channels, &swapped, Some(Import::Plus));
    assert_eq!((first(&answer, 0).0, first(&answer, 1).0), (1, 0));
    assert_eq!(answer.left[0][0].ways[0], Wiring { leg: 1, reversed: false, reference: 0 });
    // E2: exchanged and both reversed looks right in the sum, and is found leg by leg.
    let hidden = [test([50.0, 0.0], [0.0, 6000.0]), test([0.0, 50.0], [6000.0, 0.0])];
    let answer = solve(&split(), &channels, &hidden, Some(Import::Plus));
    let reversed = Wiring { leg: 1, reversed: true, reference: 0 };
    assert!(answer.left[0][0].likely(0).any(|wiring| wiring == reversed), "{answer:?}");
    // E8: set 200:5, clamp 75 A, half of it shown: 400:5 is fitted.
    let half = [test([75.0, 0.0], [4500.0, 0.0]), test([0.0, 75.0], [0.0, 9000.0])];
    let answer = solve(&split(), &channels, &half, Some(Import::Plus));
    let Ratio::Wrong { times, fitted } = first(&answer, 0).2 else { panic!("{answer:?}") };
    assert!((times - 0.5).abs() < 0.01 && fitted == Some(80.0), "{times} {fitted:?}");
    // What is no standard ratio is no ratio error.
    let odd = [test([75.0, 0.0], [8000.0, 0.0]), test([0.0, 75.0], [0.0, 9000.0])];
    let answer = solve(&split(), &channels, &odd, Some(Import::Plus));
    assert!(answer.left[0].is_empty(), "{:?}", answer.left[0]);
}

#[test]
fn a_sign_alone_says_nothing_of_direction() {
    let channels = channels(2);
    for sign in [1.0, -1.0] {
        let alike =
            [test([50.0, 0.0], [sign * 6000.0, 0.0]), test([0.0, 50.0], [0.0, sign * 6000.0])];
        let answer = solve(&split(), &channels, &alike, None);
        assert_eq!(answer.next, Some(Next::SignOfImport), "{answer:?}");
        assert_eq!(answer.left[0].len(), 2);
        // The way without a fault stands first.
        assert_eq!(answer.left[0][0].faults(0), 0);
    }
    // One of two that differ is reversed, whatever import is shown as.
    let unlike = [test([50.0, 0.0], [6000.0, 0.0]), test([0.0, 50.0], [0.0, -6000.0])];
    let answer = solve(&split(), &channels, &unlike, None);
    assert!(answer.left.iter().all(|left| left.len() == 2), "{answer:?}");
}

#[test]
fn what_no_load_tells_apart_is_to_be_looked_at() {
    let channels = channels(2);
    let reversed = [test([50.0, 0.0], [-6000.0, 0.0]), test([0.0, 50.0], [0.0, 6000.0])];
    let answer = solve(&split(), &channels, &reversed, Some(Import::Plus));
    assert!(!answer.is_sure(&channels));
    assert_eq!((answer.left[0].len(), answer.left[0][0].likely(0).count()), (1, 2));
    assert_eq!(answer.next, Some(Next::Look));
}

#[test]
fn small_loads_and_silent_channels_are_told() {
    let channels = channels(2);
    let small = [test([6.0, 0.0], [720.0, 0.0]), test([0.0, 12.0], [0.0, 1440.0])];
    let answer = solve(&split(), &channels, &small, Some(Import::Plus));
    // 6 A are below 5 % of 200 A; 12 A below the 20 % from which a ratio is told.
    assert_eq!(answer.too_small, [(0, 0), (0, 1)]);
    assert_eq!(first(&answer, 1).2, Ratio::Open);
    let Some(Next::Load { least: Some(least), .. }) = answer.next else { panic!("{answer:?}") };
    assert!((least - 40.0).abs() < 1e-9, "{least}");
    let dead = [test([50.0, 0.0], [0.0, 0.0]), test([0.0, 50.0], [0.0, 6000.0])];
    let answer = solve(&split(), &channels, &dead, Some(Import::Plus));
    assert_eq!(answer.silent, [Silence::Sure, Silence::No]);
    // With one leg loaded, it may sit on the other one, or show nothing at all: nothing is sure.
    let half = [test([50.0, 0.0], [0.0, 0.0])];
    let answer = solve(&split(), &channels[..1], &half, Some(Import::Plus));
    assert_eq!(answer.silent, [Silence::Perhaps]);
    assert!(!answer.left[0].is_empty() && !answer.is_sure(&channels[..1]));
    let Some(Next::Load { leg: 1, .. }) = answer.next else { panic!("{answer:?}") };
}

const SITE: &str = "\
supply system = split-phase 120/240 V
unit 1 = coordinator, addr 1
unit 2 = follower, addr 2
ct L1 rating = 200 A
ct L2 rating = 200 A
ct ratio set = 40:1
";

const FIRST: &str = "L1=50.2; L2=0.3; CT L1=6010 W 50 A; CT L2=10 W 0 A";
const SECOND: &str = "L1=0.2; L2=48; CT L1=0 W 0 A; CT L2=5.7 kW 47.8 A";

/// Arguments, the exit code, and words of the answer.
type Run = (&'static [&'static str], i32, &'static [&'static str]);

#[test]
fn the_command_answers_in_words_and_under_its_schema() {
    let folder = folder("sensors");
    fs::write(folder.join("site.txt"), SITE).expect("writable");
    let path = paths::workspace().join("host-cli/assets/sensors.v1.schema.json");
    let schema =
        serde_json::from_str(&fs::read_to_string(path).expect("the schema")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is sound");
    let runs: [Run; 5] = [
        (&["--test", FIRST, "--test", SECOND, "--import", "plus"], 0, &["READS RIGHT"]),
        (&["--test", FIRST, "--test", SECOND], 4, &["OPEN", "what this screen shows"]),
        (&["--test", FIRST, "--import", "plus"], 4, &["a load on L2 alone, a heater, 40 A"]),
        (
            &["--test", FIRST, "--test", SECOND, "--import", "minus"],
            1,
            &["NOT RIGHT", "the wrong way round", "look at the arrow"],
        ),
        (
            &["--test", "L1=48; L2=0; CT L1=2880 W; CT L2=0 W", "--import", "plus"],
            1,
            &["0.50 times the truth", "a part of ratio 80"],
        ),
    ];
    for (arguments, code, says) in runs {
        let all = [&["sensors", "site.txt"], arguments].concat();
        let output = run_in(&folder, &all);
        assert_eq!(output.status.code(), Some(code), "{arguments:?}: {}", err(&output));
        let text = out(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        for words in says {
            assert!(text.contains(words), "{arguments:?}: {words}: {text}");
        }
        assert!(text.contains("Never open the secondary"));
        assert!(out(&output).lines().all(|line| line.chars().count() <= 80));
        let output = run_in(&folder, &[&all[..], &["--format", "json"]].concat());
        let mut told = serde_json::from_str(&out(&output)).expect("JSON");
        let errors: Vec<String> =
            validator.iter_errors(&told).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
        told["result"] = "safe".into();
        assert!(!validator.is_valid(&told), "a schema that takes anything");
    }
    let refused = run_in(&folder, &["sensors", "site.txt", "--test", "L1=5"]);
    assert_eq!(refused.status.code(), Some(2));
    fs::write(folder.join("bare.txt"), "unit 1 = coordinator, addr 1\n").expect("writable");
    let refused = run_in(&folder, &["sensors", "bare.txt", "--test", FIRST]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(err(&refused).contains("supply system"), "{}", err(&refused));
}
