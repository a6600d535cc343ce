//! What a trainer tells: readings and claim agree at every place, and the gateway's log says the same.

use coldcheck::diagnosis::diagnose_heard;
use coldcheck::drill::act::Act;
use coldcheck::drill::ask::Ask;
use coldcheck::drill::bench::Bench;
use coldcheck::drill::catalogue::benches;
use coldcheck::drill::cause::{Cause, What};
use coldcheck::drill::class::Class;
use coldcheck::drill::exercise::Drill;
use coldcheck::drill::listen;
use coldcheck::drill::look::seen;
use coldcheck::drill::plant::Plant;
use coldcheck::drill::score::{Did, against, score};
use coldcheck::drill::show::{Break, broken, view};
use coldcheck::engine::plan;
use coldcheck::hearing::Hearing;
use coldcheck::log::Reader;
use std::collections::{BTreeMap, BTreeSet};

/// The first bench of each profile.
fn some_benches() -> Vec<Bench> {
    let mut known = BTreeSet::new();
    benches(4).filter(|bench| known.insert(bench.right.layout.profile)).collect()
}

/// Units of which the log has nothing, as `hear` counts them.
fn silent(plant: &Plant<'_>) -> Vec<String> {
    let site = &plant.bench.link.site;
    let plan = plan(site).expect("a plan");
    let mut hearing = Hearing::of(&plan, Reader::new("bus.log", None));
    hearing.push(listen::log(plant).as_bytes()).expect("a log");
    hearing.finish().expect("a log");
    let table = diagnose_heard(site, &hearing).expect("a diagnosis").heard.expect("a table");
    (1..)
        .zip(&table.rows)
        .take(4)
        .filter(|(_, row)| row.frames == 0)
        .map(|(at, _)| format!("{at}"))
        .collect()
}

fn whole_numbers(text: &str) -> Vec<String> {
    let words = text.split(|letter: char| !letter.is_ascii_digit());
    words.filter(|word| !word.is_empty()).map(ToOwned::to_owned).collect()
}

#[test]
fn a_right_bench_in_the_show_is_heard_as_declared() {
    for bench in some_benches() {
        let heard = view(&broken(&bench, &[])).heard;
        assert!(heard.is_empty(), "{}: {heard:?}", bench.right.layout.profile);
        // A terminator too many, or one too few, is counted as a drill counts it.
        let flipped = view(&broken(&bench, &[Break::Flip(2)])).heard;
        let has_switch = bench.right.layout.profile == "plain";
        assert!(!has_switch || !flipped.is_empty(), "{flipped:?}");
    }
}

#[test]
fn readings_told_and_claim_agree_at_every_place() {
    let mut looked: BTreeMap<&str, usize> = BTreeMap::new();
    for bench in some_benches() {
        let right = Plant::right(&bench);
        let is_of_link = |cause: &&Cause| !matches!(cause.what, What::Declared(_));
        for cause in bench.causes.iter().filter(is_of_link) {
            let plant = Plant::with(&bench, &[cause]).expect("it can be made");
            let told = seen(&plant, &Act::Listen).shown;
            // Whoever the log does not have is not heard in what is told either.
            let silent = silent(&plant);
            let says_all = ["Nothing at all is heard", "has left the bus", "nobody confirms"];
            let is_all = silent.len() == 4 && says_all.iter().any(|says| told.contains(says));
            if !silent.is_empty() && !is_all {
                let numbers = whole_numbers(&told);
                for unit in &silent {
                    assert!(
                        numbers.contains(unit),
                        "{cause:?}: {silent:?} are silent, told is {told}"
                    );
                }
                *looked.entry("silent").or_default() += 1;
            }
            // The number that is heard is the number on the plate.
            for part in told.split("Serial number ").skip(1) {
                let numbers = whole_numbers(part);
                let unit: u16 = numbers[1].parse().expect("a unit");
                let plate = seen(&plant, &Act::Plate(unit)).shown;
                assert!(
                    plate.contains(&format!("serial: {}", numbers[0])),
                    "{cause:?}: {told}; {plate}"
                );
                *looked.entry("serial").or_default() += 1;
            }
            // And the number of units that is heard is the one on the display.
            if cause.kind == "count-heard-differs" {
                let numbers = whole_numbers(&told);
                let shows = (1..=4).any(|unit| {
                    let display = seen(&plant, &Act::Settings(unit)).shown;
                    numbers.iter().any(|number| {
                        number != "4" && display.contains(&format!("count: {number};"))
                    })
                });
                assert!(shows, "{cause:?}: {told}");
                *looked.entry("count").or_default() += 1;
            }
            // A claim about a terminator is one that a meter or an eye confirms.
            if cause.done.contains("terminator") {
                let acts = Act::at_plant(&bench)
                    .into_iter()
                    .filter(|act| matches!(act, Act::Ohms(_) | Act::Pull(..) | Act::Sockets(_)));
                let mut acts = acts.map(|act| seen(&plant, &act).label != seen(&right, &act).label);
                assert!(
                    acts.any(|differs| differs),
                    "{cause:?}: every reading is that of a right plant"
                );
                *looked.entry("terminator").or_default() += 1;
            }
        }
    }
    for looked_at in ["silent", "serial", "count", "terminator"] {
        assert!(looked.get(looked_at).is_some_and(|times| *times > 3), "{looked:?}");
    }
}

#[test]
fn one_fault_is_one_claim() {
    for bench in some_benches() {
        let mut told = BTreeSet::new();
        for cause in &bench.causes {
            assert!(told.insert((cause.kind, &cause.done)), "{cause:?} twice");
        }
        let is_ring = |cause: &&Cause| ["ring-closed", "link-ring-closed"].contains(&cause.kind);
        let at_plant = bench.causes.iter().filter(is_ring).filter(|cause| !cause.is_paper());
        assert!(at_plant.map(|cause| cause.kind).collect::<BTreeSet<_>>().len() <= 1);
    }
}

#[test]
fn a_claim_that_no_reading_supports_costs_half_and_what_speaks_against_one_is_told() {
    let ask = Ask { kinds: vec!["cable-open".to_owned()], number: 3, ..Ask::default() };
    let drill = Drill::make(&ask).expect("a drill");
    let answer = drill.answers().remove(0);
    let claim = Did::Claimed(answer.cause.id());
    let blind = score(&drill, std::slice::from_ref(&claim));
    assert_eq!((blind.solved, blind.guessed, blind.points), (true, 1, 5), "{blind:?}");
    // Whoever listens powers the link, so it is proven dead anew before each reading.
    let way = answer.way.iter().flat_map(|(act, _)| [Did::ProvedDead, Did::Read(act.short())]);
    let did: Vec<Did> = way.chain([claim.clone()]).collect();
    let sound = score(&drill, &did);
    assert_eq!((sound.guessed, sound.points), (0, 10), "{sound:?}");
    // What a place shows that is as it should be is no support.
    let idle = score(&drill, &[Did::Read("roof and strings".to_owned()), claim]);
    assert_eq!(idle.guessed, 1, "{idle:?}");
    let rivals = &drill.puzzles[0].rivals;
    let wrong = rivals.iter().map(|at| drill.bench.causes[*at].id());
    let wrong: Vec<String> = wrong
        .filter(|id| {
            *id != answer.cause.id() && !answer.alike.iter().any(|cause| cause.id() == *id)
        })
        .collect();
    for id in wrong {
        assert_eq!(against(&drill, &[], &id), None);
        let says = against(&drill, &did, &id).expect("the ideal search rules out every other");
        assert!(says.contains("speaks against it"), "{says}");
    }
}

#[test]
fn a_class_takes_like_readings_and_is_spread_over_the_plant() {
    let ask = Ask { units: 3, number: 1, ..Ask::default() };
    let class = Class::make(&ask, 6).expect("a class");
    let readings: Vec<u32> = class.drills.iter().map(Drill::readings).collect();
    let (least, most) = (readings.iter().min().expect("six"), readings.iter().max().expect("six"));
    assert!(most - least <= 1, "{readings:?}");
    assert_eq!(class.taken, (*least, *most));
    let mut parts: BTreeMap<&str, usize> = BTreeMap::new();
    for part in class.drills.iter().flat_map(Drill::parts) {
        *parts.entry(part).or_default() += 1;
    }
    assert!(parts.values().all(|count| *count <= 2), "{parts:?}");
}

/// A link cable that is wired otherwise carries no pair, and a lead that sits at another unit is gone
/// where the list has it.
#[test]
fn what_is_wired_or_plugged_otherwise_shows_where_it_is_looked_for() {
    let mut looked = BTreeMap::new();
    for bench in some_benches() {
        let right = Plant::right(&bench);
        let differs = |plant: &Plant<'_>, wanted: fn(&Act) -> bool| {
            let acts = Act::at_plant(&bench).into_iter().filter(wanted);
            acts.filter(|act| seen(plant, act).label != seen(&right, act).label).count()
        };
        for cause in &bench.causes {
            let plant = || Plant::with(&bench, &[cause]).expect("it can be made");
            let is_of_link = cause.done.contains("cable C") || cause.done.contains("cable P");
            if cause.kind == "lead-wrong-pinout" && is_of_link {
                let plant = plant();
                assert_eq!(differs(&plant, |act| matches!(act, Act::Pins(_))), 1, "{cause:?}");
                // A ring is still joined without one of its cables.
                if !bench.right.layout.profile.contains("ring") {
                    assert_eq!(differs(&plant, |act| *act == Act::Listen), 1, "{cause:?}");
                    assert!(differs(&plant, |act| matches!(act, Act::Ohms(_))) > 0, "{cause:?}");
                }
                *looked.entry("pinout").or_insert(0) += 1;
            }
            if ["ct-on-follower", "bms-lead-on-follower"].contains(&cause.kind) {
                let sockets = differs(&plant(), |act| matches!(act, Act::Sockets(_)));
                assert_eq!(sockets, 2, "{cause:?}");
                *looked.entry(cause.kind).or_insert(0) += 1;
            }
        }
    }
    assert!(looked.len() == 3 && looked.values().all(|times| *times > 3), "{looked:?}");
}
