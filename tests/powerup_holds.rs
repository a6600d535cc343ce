//! What a reading must say to pass a hold, and what makes a proof say nothing any more.

use coldcheck::powerup::{Expected, Hold, Refused, Stage, State, Step, Today, progress};
use coldcheck::readings::{Amount, Moment, Quantity, Reading};
use coldcheck_tests::powerup::{
    BARE, CABLES, Kind, SOUND, THREE_PHASE, WHOLE, all_right, names, position, reading, steps_of,
};

/// A site with a generator, a relay that makes the bond on it, and no supply.
const GENERATOR: &str = "\
supply system = split-phase 120/240 V
generator rating = 12 kW
neutral-earth bond = unit 2 relay (closed on generator, closed on island)
unit 1 = coordinator, addr 1, count 2, frequency 60 Hz
unit 2 = follower, addr 2, count 2, frequency 60 Hz
all units ac out = straight
all units generator in = L1->generator L1; L2->generator L2; N->generator N
";

/// Three single-phase units, each with its own supply phase.
const PHASES: &str = "\
profile = three-phase-sets
supply system = three-phase 230/400 V
rated power = 5000 VA
neutral-earth bond = main board (fixed)
unit 1 = coordinator, addr 1, count 4, phase L1
unit 2 = coordinator, addr 2, count 4, phase L2
unit 3 = coordinator, addr 3, count 4, phase L3
unit 4 = follower, addr 4, count 4, phase L1
unit 1 ac in = L1->supply L1; N->supply N
unit 2 ac in = L1->supply L2; N->supply N
unit 3 ac in = L1->supply L3; N->supply N
unit 4 ac in = L1->supply L1; N->supply N
";

fn with(step: &Step, value: Amount) -> Reading {
    let like = reading(step, Kind::Right).or_else(|| reading(step, Kind::Reason));
    Reading { value, quantity: step.quantity, ..like.expect("a reading") }
}

/// The readings of a whole power-up, with one step's last value another.
fn whole_but(steps: &[Step], id: &str, value: Amount) -> State {
    let at = position(steps, id);
    let mut readings: Vec<Reading> =
        steps[..at].iter().filter_map(|step| reading(step, Kind::Right)).collect();
    readings.push(with(&steps[at], value));
    progress(steps, &readings, SOUND).states[at]
}

#[test]
fn a_bond_is_taken_out_for_the_dead_tests_and_put_back_last() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let at = |id| position(&steps, id);
    for id in ["own-bar-unit-1-l1", "other-bars-unit-3-n", "battery-bars", "insulation-unit-2"] {
        assert!(at("bond-opened") < at(id) && at(id) < at("bond-closed"), "{id}");
    }
    let last_hard = steps
        .iter()
        .rposition(|step| step.stage == Stage::Dead && step.hold == Hold::Reading)
        .expect("there are hard holds");
    assert_eq!(steps[last_hard].id, "bond-closed");
    // Whatever is behind it waits for it, and for all to be put back.
    assert!(steps[at("polarity")].behind > at("made-ready"));
    assert!(steps[at("made-ready")].behind > at("bond-closed"));
    // One that the sheets have open stays so.
    let main = "neutral-earth bond = main board (fixed)";
    let two = WHOLE.replace(main, &format!("{main}; generator frame (open)"));
    let (_, steps, _) = steps_of(&[&two, CABLES]);
    for id in ["bond-opened", "bond-closed"] {
        let act = &steps[position(&steps, id)].act;
        assert!(act.contains("the bond at main board") && !act.contains("generator"), "{act}");
    }
}

#[test]
fn one_bank_has_one_switch_and_the_leads_of_every_unit_are_proven_dead() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    assert_eq!(steps.iter().filter(|step| step.kind == "polarity").count(), 1);
    for unit in 1..=3 {
        let lead = &steps[position(&steps, &format!("battery-lead-unit-{unit}"))];
        assert_eq!((lead.hold, lead.stage), (Hold::Reading, Stage::Dead));
    }
    let each = "battery banks = one a unit\n".to_owned() + WHOLE;
    let (_, steps, _) = steps_of(&[&each, CABLES]);
    assert_eq!(steps.iter().filter(|step| step.kind == "polarity").count(), 3);
    assert!(!steps.iter().any(|step| step.kind == "battery-lead"), "{:?}", names(&steps));
}

#[test]
fn packs_are_compared_unless_there_is_but_one() {
    let of = |more: &str| {
        let text = BARE.to_owned() + more;
        let (_, steps, _) = steps_of(&[&text]);
        steps.iter().filter(|step| step.kind == "battery-difference").count()
    };
    for (more, count) in [
        ("", 1),
        ("packs fitted = 1\n", 0),
        ("packs fitted = 4\n", 1),
        ("pack 1 addr = 1\n", 1),
        ("packs fitted = 1\npack 1 addr = 1\n", 0),
        ("pack 1 addr = 1\npack 2 addr = 2\n", 1),
        ("pack 1 addr = 1\npack 2 addr = 2\npack 3 addr = 3\n", 2),
        // Two of four have names: one comparison by name, and one for the rest.
        ("packs fitted = 4\npack 1 addr = 1\npack 2 addr = 2\n", 2),
    ] {
        assert_eq!(of(more), count, "{more}");
    }
}

#[test]
fn supply_conductors_are_compared_where_they_meet_and_only_alive() {
    let (_, steps, _) = steps_of(&[PHASES]);
    let inputs: Vec<&str> =
        steps.iter().filter(|step| step.kind == "input").map(|step| step.id.as_str()).collect();
    // Units 1 and 4 share a phase; between the others stand 400 V, as they should.
    assert_eq!(inputs, ["input-unit-4-l"]);
    let step = &steps[position(&steps, "input-unit-4-l")];
    assert!(step.act.contains("supply L1") && step.act.contains("unit 1"), "{}", step.act);
    for unit in 1..=4 {
        let alive = position(&steps, &format!("input-live-unit-{unit}-l"));
        assert!(alive < position(&steps, "input-unit-4-l"));
        assert_eq!(steps[alive].hold, Hold::Reading);
        position(&steps, &format!("input-own-unit-{unit}-l"));
    }
}

#[test]
fn a_generator_has_its_own_steps_and_a_relay_is_proven_at_its_unit() {
    let (_, steps, _) = steps_of(&[GENERATOR]);
    for id in [
        "generator",
        "generator-hertz",
        "generator-live-unit-1-l2",
        "generator-input-unit-2-l1",
        "generator-taken",
        "bond-on-generator-unit-2",
    ] {
        position(&steps, id);
    }
    let relay: Vec<&Step> = steps.iter().filter(|step| step.kind == "bond-live").collect();
    assert_eq!(relay.iter().map(|step| step.id.as_str()).collect::<Vec<_>>(), ["bond-live-unit-2"]);
    // A leg at full volts to earth: a neutral that floats near earth proves nothing.
    let Expected::Between { low, .. } = relay[0].expected else { panic!("a band") };
    assert_eq!(low, Some(108.0));
    assert!(!steps.iter().any(|step| step.kind == "supply"));
}

#[test]
fn more_than_an_instrument_shows_passes_no_volts() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    for id in
        ["dead-unit-1", "polarity", "solar-roof-east", "across-unit-2-l1", "own-side-unit-2-l1"]
    {
        for value in [Amount::OverRange, Amount::Above(1.0), Amount::Above(20.0)] {
            let state = whole_but(&steps, id, value.clone());
            assert!(matches!(state, State::Failed(_)), "{id} {value:?}: {state:?}");
        }
    }
    for id in ["insulation-unit-1", "other-bars-unit-1-l1", "bond-opened"] {
        assert!(whole_but(&steps, id, Amount::OverRange).is_passed(), "{id}");
    }
    let (_, bare, _) = steps_of(&[BARE]);
    let volts = |value| Amount::Number { value, resolution: 1.0 };
    assert!(whole_but(&bare, "polarity", volts(48.0)).is_passed());
    for wrong in [-48.0, 0.0, 1600.0] {
        assert!(!whole_but(&bare, "polarity", volts(wrong)).is_passed(), "{wrong}");
    }
}

#[test]
fn what_was_seen_begins_with_yes_and_a_no_behind_it_is_none() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    for (words, is_right) in [
        ("yes", true),
        ("Yes: all three", true),
        ("OK", true),
        ("no", false),
        ("not yet", false),
        ("yes, but no lock at the generator", false),
        ("locked", false),
        ("", false),
    ] {
        let state = whole_but(&steps, "locked-off", Amount::Seen(words.to_owned()));
        assert_eq!(state.is_passed(), is_right, "{words}");
    }
}

#[test]
fn shares_are_those_of_one_bar() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let share = |leg: usize, unit: usize| position(&steps, &format!("share-unit-{unit}-l{leg}"));
    let mut readings = all_right(&steps);
    // Leg 1 carries twice what leg 2 does, and within each all take the same.
    for (leg, amperes) in [(1, 30.0), (2, 15.0)] {
        for unit in 1..=3 {
            let at = share(leg, unit);
            let own =
                |one: &&mut Reading| one.step.as_ref().is_some_and(|s| s.text == steps[at].id);
            let reading = readings.iter_mut().find(own).expect("there is one");
            reading.value = Amount::Number { value: amperes, resolution: 0.1 };
        }
    }
    let told = progress(&steps, &readings, SOUND);
    for leg in 1..=2 {
        for unit in 1..=3 {
            assert!(told.states[share(leg, unit)].is_passed(), "{leg} {unit}");
        }
    }
    // Alone at its phase, a unit has nobody to share with.
    let (_, steps, _) = steps_of(&[THREE_PHASE]);
    assert!(!steps.iter().any(|step| step.kind == "share"), "{:?}", names(&steps));
}

#[test]
fn nothing_is_held_against_what_nobody_states() {
    let (_, steps, _) = steps_of(&[BARE]);
    let at = steps
        .iter()
        .position(|step| matches!(step.expected, Expected::Unknown(_)))
        .expect("a bare site leaves much unsaid");
    let mut readings: Vec<Reading> = all_right(&steps[..at]);
    readings.push(with(&steps[at], Amount::Number { value: 120.0, resolution: 1.0 }));
    let told = progress(&steps, &readings, SOUND);
    assert_eq!(told.refused.last().map(|(_, why)| *why), Some(Refused::NotJudged(at)));
    assert_eq!(told.states[at], State::Open);
}

fn at_time(mut reading: Reading, time: &str) -> Reading {
    reading.time = Moment::read(time).expect("a time");
    reading
}

#[test]
fn a_proof_of_dead_grows_old() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let earth = position(&steps, "earth-unit-1");
    let right = |at: usize| reading(&steps[at], Kind::Right).expect("it can be judged");
    let morning: Vec<Reading> =
        (0..earth).map(|at| at_time(right(at), "2027-03-01T07:00")).collect();
    for (time, passes) in [("2027-03-01T14:59", true), ("2027-03-01T15:01", false)] {
        let mut readings = morning.clone();
        readings.push(at_time(right(earth), time));
        let now = Moment::read(time);
        let told = progress(&steps, &readings, Today { now, ..SOUND });
        assert_eq!(told.states[earth].is_passed(), passes, "{time}");
        let first = position(&steps, "dead-unit-1");
        assert_eq!(matches!(told.states[first], State::Stale(_)), !passes, "{time}");
        assert_eq!(told.refused.is_empty(), passes);
    }
    // Proven again, it goes on.
    let mut readings = morning;
    for at in 1..=earth {
        readings.push(at_time(right(at), "2027-03-01T15:30"));
    }
    let now = Moment::read("2027-03-01T15:31");
    let told = progress(&steps, &readings, Today { now, ..SOUND });
    assert!(told.states[earth].is_passed(), "{:?}", told.states[earth]);
}

/// Something was live since: whoever goes back to a dead test proves dead again first.
#[test]
fn nobody_goes_back_to_a_dead_test_on_an_old_proof() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let polarity = position(&steps, "polarity");
    let mut readings: Vec<Reading> = all_right(&steps[..=polarity]);
    let torque = position(&steps, "torque-unit-2");
    let wrong = reading(&steps[torque], Kind::Wrong).expect("a reading");
    readings.push(wrong.clone());
    let told = progress(&steps, &readings, SOUND);
    let proof = position(&steps, "dead-unit-1");
    assert_eq!(told.refused, [(readings.len() - 1, Refused::OutOfTurn(proof))]);
    // With the proof made again it counts, and what is behind it shows what was read of it.
    let again = (proof..=position(&steps, "dead-bars"))
        .map(|at| reading(&steps[at], Kind::Right).expect("a reading"));
    readings.extend(again);
    readings.push(wrong);
    let told = progress(&steps, &readings, SOUND);
    assert!(matches!(told.states[torque], State::Failed(_)));
    assert!(
        matches!(told.states[polarity], State::Behind { hold, .. } if hold == torque),
        "{:?}",
        told.states[polarity]
    );
    assert!(!told.states[polarity].is_passed() && told.states[polarity].reading().is_some());
}

/// Something is live that must be dead: whatever was proven off or dead before says nothing any more.
#[test]
fn a_live_reading_on_the_dead_plant_takes_back_every_proof_before_it() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let at = |id: &str| position(&steps, id);
    let (bars, earth) = (at("dead-bars"), at("earth-unit-1"));
    let right = |at: usize| reading(&steps[at], Kind::Right).expect("it can be judged");
    for locked in [Kind::Right, Kind::Reason] {
        let lock = reading(&steps[0], locked).expect("a reading");
        let mut readings = vec![lock.clone()];
        readings.extend((1..bars).map(right));
        readings.push(with(&steps[bars], Amount::Number { value: 48.0, resolution: 0.1 }));
        let told = progress(&steps, &readings, SOUND);
        assert!(matches!(told.states[bars], State::Failed(_)), "{:?}", told.states[bars]);
        assert!(matches!(told.states[0], State::Disproved(_)), "{:?}", told.states[0]);
        assert!(told.states[..bars].iter().all(|state| !state.is_passed()), "{:?}", told.states);
        assert_eq!(told.next(&steps), Some(0), "it begins with locking off");
        // Typing a small number instead passes nothing.
        readings.push(right(bars));
        let told = progress(&steps, &readings, SOUND);
        assert_eq!(told.refused, [(readings.len() - 1, Refused::OutOfTurn(0))]);
        assert!(!told.states[bars].is_passed());
        // Locked again, each place is to be proven again, and nothing dead is tested before.
        readings.push(lock.clone());
        readings.push(right(bars));
        readings.push(right(earth));
        let told = progress(&steps, &readings, SOUND);
        assert!(told.states[bars].is_passed());
        let stale = |state: &State| matches!(state, State::Disproved(_));
        assert!(told.states[1..bars].iter().all(stale), "{:?}", told.states);
        assert_eq!(told.refused.last(), Some(&(readings.len() - 1, Refused::OutOfTurn(1))));
        readings.extend((1..bars).map(right));
        readings.push(right(earth));
        let told = progress(&steps, &readings, SOUND);
        assert!(told.states[..=earth].iter().all(|state| state.is_passed()), "{:?}", told.states);
    }
}

#[test]
fn every_band_that_is_asked_for_stands_in_the_table() {
    let table = include_str!("../host-cli/assets/powerup/bands.csv");
    let rows: Vec<&str> = table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .filter_map(|line| line.split(',').next())
        .collect();
    let mut folders = vec![coldcheck_tests::paths::workspace().join("host-cli/src/powerup")];
    let mut asked = std::collections::BTreeSet::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("the folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(path).expect("a text");
            for part in text.split("band(\"").skip(1) {
                asked.extend(part.split('"').next().map(ToOwned::to_owned));
            }
        }
    }
    assert!(asked.len() > 10, "{asked:?}");
    for name in &asked {
        assert!(rows.contains(&name.as_str()), "no band `{name}`");
    }
    for row in rows {
        assert!(asked.contains(row), "nobody asks for `{row}`");
    }
}

#[test]
fn a_reading_has_the_quantity_of_its_step() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let mut reading = reading(&steps[1], Kind::Right).expect("a reading");
    reading.quantity = Quantity::Ohms;
    let first = coldcheck_tests::powerup::reading(&steps[0], Kind::Right).expect("a reading");
    let told = progress(&steps, &[first, reading], SOUND);
    assert_eq!(told.refused, [(1, Refused::OtherQuantity)]);
}
