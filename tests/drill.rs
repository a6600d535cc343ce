//! Drills: every fault can be drilled, every answer is confirmed, and the ideal search finds it.

use coldcheck::drill::answer::{By, confirm};
use coldcheck::drill::ask::Ask;
use coldcheck::drill::bench::Bench;
use coldcheck::drill::catalogue::benches;
use coldcheck::drill::cause::{Cause, What};
use coldcheck::drill::class::Class;
use coldcheck::drill::exercise::Drill;
use coldcheck::drill::plant::Plant;
use coldcheck::drill::puzzle::Puzzle;
use coldcheck::drill::score::{Did, is_right, score};
use coldcheck::drill::words::kinds;
use coldcheck::engine::plan;
use coldcheck::meter::circuit::{Between, Circuit};
use coldcheck::meter::expect::stations;
use coldcheck::meter::fault::{Fault, Kind};
use coldcheck::meter::fit::{Shown, Taken};
use coldcheck::meter::rank::rank;
use coldcheck_core::rule::Severity;
use coldcheck_tests::drill::follow;
use std::collections::BTreeMap;

/// Numbers in each run; `cargo dev drill` follows 1,000.
const NUMBERS: u64 = 12;

#[test]
fn a_drill_followed_by_the_ideal_search_ends_at_its_fault() {
    let tally = follow(0..NUMBERS, |_| ());
    assert!(tally.wrong.is_empty(), "{:#?}", tally.wrong);
    assert!(tally.none.is_empty(), "no drill for {:?}", tally.none);
}

/// Benches on which all kinds come up: some need three units, some more than nine.
fn all_benches() -> impl Iterator<Item = Bench> {
    [4, 3, 10].into_iter().flat_map(benches)
}

#[test]
fn every_kind_of_fault_is_confirmed_at_every_place() {
    let mut left: Vec<&str> = kinds().collect();
    let mut by: BTreeMap<&str, Vec<By>> = BTreeMap::new();
    for bench in all_benches() {
        if left.is_empty() {
            break;
        }
        let own: Vec<&Cause> =
            bench.causes.iter().filter(|cause| left.contains(&cause.kind)).collect();
        for cause in own {
            let plant = Plant::with(&bench, &[cause]).expect("it can be made");
            let confirmed = confirm(&plant, cause);
            let confirmed = confirmed.unwrap_or_else(|| panic!("nobody confirms {cause:?}"));
            assert!(!confirmed.says.is_empty());
            by.entry(cause.kind).or_default().push(confirmed.by);
        }
        left.retain(|kind| !by.contains_key(kind));
    }
    assert!(left.is_empty(), "cannot be drilled: {left:?}");
    // What ohms never show is heard, and the other faults of the wires are read.
    for kind in ["wires-swapped", "pair-split"] {
        assert!(by[kind].iter().all(|by| *by == By::Compare), "{kind}");
    }
    for kind in Kind::ALL.into_iter().filter(|kind| *kind != Kind::Swapped) {
        assert!(by[kind.word()].iter().all(|by| *by == By::Meter), "{}", kind.word());
    }
}

#[test]
fn the_meter_plan_ranks_the_drilled_fault_of_the_wires_in_front() {
    let bench = benches(4).next().expect("a bench");
    let link = &bench.link;
    let plan = plan(&link.site).expect("a plan");
    let spots: Vec<_> =
        stations(&link.topology).iter().flat_map(|station| station.spots()).collect();
    let mut ranked = 0;
    for cause in &bench.causes {
        let What::Wires(wires) = cause.what else { continue };
        // Ohms between the two wires never show these.
        let is_blind = matches!(wires, Fault::Swapped { .. } | Fault::Grounded { .. });
        // On a line, one open wire reads as both, and both stand in the ranking.
        if is_blind || wires.kind() == Kind::OneWireOpen {
            continue;
        }
        let read = |spot: &_| {
            let spot: &coldcheck::meter::fit::Spot = spot;
            let circuit = Circuit::of(&link.topology, &link.usual, &[wires], spot.pulled);
            let ohms = circuit.ohms(spot.place, Between::Pair);
            let shown =
                if ohms > 1e7 { Shown::Above(1e7) } else { Shown::Ohms(ohms, 0.005 * ohms) };
            Taken { spot: *spot, shown }
        };
        let taken: Vec<Taken> = spots.iter().map(read).collect();
        let ranking = rank(&plan, &link.topology, &taken);
        let own = |one: &coldcheck::meter::rank::Ranked| one.hypothesis.faults == [wires];
        assert!(ranking.front().iter().any(own), "{cause:?}");
        ranked += 1;
    }
    assert!(ranked > 20, "{ranked}");
}

#[test]
fn a_list_does_not_show_what_it_cannot_show() {
    let bench = benches(4).next().expect("a bench");
    for cause in bench.causes.iter().filter(|cause| matches!(cause.what, What::Wires(_))) {
        let plant = Plant::with(&bench, &[cause]).expect("it can be made");
        assert_eq!(plant.listed().site_file(), bench.right_file, "{cause:?}");
        let puzzle = bench.causes.iter().position(|own| own.id() == cause.id());
        assert!(Puzzle::of(&bench, puzzle.expect("its own"), true).is_none(), "{cause:?} on paper");
    }
}

#[test]
fn the_same_number_gives_the_same_drill() {
    let told = |number: u64| {
        let drill = Drill::make(&Ask { number, ..Ask::default() }).expect("a drill");
        let causes: Vec<String> = drill.causes().map(|cause| cause.done.clone()).collect();
        (drill.bench.right.layout.clone(), causes, drill.at_most(), drill.exercise().sheets)
    };
    for number in [1, 7, u64::MAX] {
        let (one, two) = (told(number), told(number));
        assert_eq!((one.0, one.1, one.2), (two.0, two.1, two.2));
        let bytes = |sheets: Vec<coldcheck::read::RawSheet>| {
            sheets.into_iter().map(|sheet| sheet.bytes).collect::<Vec<_>>()
        };
        assert_eq!(bytes(one.3), bytes(two.3));
    }
}

#[test]
fn a_class_has_different_drills_of_like_difficulty() {
    let ask = Ask { units: 3, number: 5, ..Ask::default() };
    let class = Class::make(&ask, 6).expect("a class");
    let done: Vec<Vec<String>> = class
        .drills
        .iter()
        .map(|drill| drill.causes().map(|cause| format!("{} {}", cause.kind, cause.done)).collect())
        .collect();
    assert_eq!(done.len(), 6);
    for (at, one) in done.iter().enumerate() {
        assert!(!done[at + 1..].contains(one), "{one:?} twice");
    }
    assert!(class.spread.1 - class.spread.0 <= 2, "{:?}", class.spread);
    let alone = &class.drills[3];
    let again = Drill::make(&alone.ask).expect("by its own number");
    assert_eq!(
        again.causes().map(Cause::id).collect::<Vec<_>>(),
        alone.causes().map(Cause::id).collect::<Vec<_>>()
    );
}

#[test]
fn readings_claims_and_dangers_are_weighed() {
    let ask = Ask { kinds: vec!["coordinator-two".to_owned()], number: 3, ..Ask::default() };
    let drill = Drill::make(&ask).expect("a drill");
    let answer = drill.answers().remove(0);
    assert_eq!(answer.severity(), Severity::Danger);
    let id = answer.cause.id();
    let way = answer.way.iter().map(|(act, _)| Did::Read(act.short()));
    let solved: Vec<Did> =
        [Did::ProvedDead].into_iter().chain(way).chain([Did::Claimed(id.clone())]).collect();
    let best = score(&drill, &solved);
    assert!(best.solved && best.points == 10 && best.missed.is_empty(), "{best:?}");
    // Ohms on a plant that nobody proved dead; then nothing is claimed.
    let careless = score(&drill, &[Did::Read("ohms at unit 1".to_owned())]);
    assert_eq!((careless.solved, careless.points, careless.missed.len()), (false, 0, 2));
    let other = drill.bench.causes.iter().find(|cause| !is_right(&drill, &cause.id()));
    let wrong = Did::Claimed(other.expect("another fault").id());
    let late = score(&drill, &[wrong, Did::Claimed(id)]);
    assert!(
        late.solved && late.wrong == 1 && late.missed.len() == 1 && late.points < 5,
        "{late:?}"
    );
}
