//! The order of a power-up, and that no way leads past a hold.

use coldcheck::powerup::{Expected, Hold, Refused, Stage, State, Step, progress};
use coldcheck::readings::{Quantity, Reading};
use coldcheck_tests::generate::{Dice, rounds};
use coldcheck_tests::powerup::{
    BARE, CABLES, DANGER, Kind, SOUND, THREE_PHASE, WHOLE, all_right, names, position, reading,
    steps_of,
};

fn sites() -> Vec<(&'static str, Vec<Step>)> {
    let all: [(&str, &[&str]); 3] =
        [("whole", &[WHOLE, CABLES]), ("three phases", &[THREE_PHASE]), ("bare", &[BARE])];
    all.into_iter().map(|(name, texts)| (name, steps_of(texts).1)).collect()
}

#[test]
fn the_order_is_that_of_the_trade() {
    let (_, steps, has_danger) = steps_of(&[WHOLE, CABLES]);
    assert!(!has_danger);
    // common practice, no source
    let order = [
        "locked-off",
        "dead-unit-1",
        "dead-bars",
        "earth-unit-1",
        "bond-opened",
        "own-bar-unit-1-l1",
        "other-bars-unit-1-l1",
        "input-own-unit-1-l1",
        "battery-bars",
        "battery-lead-unit-3",
        "insulation-unit-1",
        "torque-unit-1",
        "bond-closed",
        "made-ready",
        "polarity",
        "battery-difference-pack-2",
        "pre-charge-the-bank",
        "battery-closed-the-bank",
        "alone-unit-1-l1",
        "all-started",
        "read-back-unit-1",
        "link-heard",
        "bar-dead-unit-1-l1",
        "closed-unit-1",
        "between-bar-l1-bar-l2",
        "own-side-unit-2-l1",
        "across-unit-2-l1",
        "circulating-unit-2",
        "own-side-unit-3-l1",
        "across-unit-3-l2",
        "circulating-unit-3",
        "share-unit-1-l1",
        "supply",
        "supply-neutral",
        "input-live-unit-1-l1",
        "input-unit-2-l1",
        "supply-taken",
        "sensor-ct-l1",
        "solar-roof-east",
        "changeover-to-battery",
        "bond-in-position-to-battery",
        "changeover-to-supply",
        "bond-in-position-to-supply",
        "cold-start-1",
    ];
    let places: Vec<usize> = order.iter().map(|id| position(&steps, id)).collect();
    assert!(places.is_sorted(), "{:?}", names(&steps));
    assert!(steps.iter().all(|step| step.behind <= position(&steps, &step.id)));
    assert!(steps.is_sorted_by_key(|step| step.stage));
    let unjudged: Vec<&str> = steps
        .iter()
        .filter(|step| matches!(step.expected, Expected::Unknown(_)))
        .map(|step| step.id.as_str())
        .collect();
    assert!(unjudged.is_empty(), "{unjudged:?}");
}

#[test]
fn bands_follow_from_the_site() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let band = |id: &str| {
        let Expected::Between { low, high, .. } = &steps[position(&steps, id)].expected else {
            panic!("{id}")
        };
        (low.unwrap_or(f64::NAN), high.unwrap_or(f64::NAN))
    };
    let near =
        |one: f64, other: f64| (one.is_nan() && other.is_nan()) || (one - other).abs() < 1e-9;
    for (id, low, high) in [
        // 120 V, 10 % either way (IEC 60038), 5 % across; 60 Hz, 1 %
        ("alone-unit-1-l1", 108.0, 132.0),
        ("across-unit-2-l1", f64::NAN, 6.0),
        ("between-bar-l1-bar-l2", 216.0, 264.0),
        ("hertz-unit-1", 59.4, 60.6),
        ("input-unit-3-l2", f64::NAN, 6.0),
        // 6000 VA on two legs of 120 V are 25 A, and 5 % of that
        ("circulating-unit-2", f64::NAN, 1.25),
        ("polarity", 44.0, 58.0),
        // 50 A through two packs of 20 mohm
        ("battery-difference-pack-2", f64::NAN, 2.0),
        // 5 % of 44 V
        ("pre-charge-the-bank", f64::NAN, 2.2),
        ("solar-roof-west", 10.0, 450.0),
        ("insulation-unit-3", 1e6, f64::NAN),
    ] {
        let (told_low, told_high) = band(id);
        assert!(near(told_low, low) && near(told_high, high), "{id}: {told_low} {told_high}");
    }
    // Three units of 2000 uF behind 100 ohm: five time constants are 3.0 s.
    assert!(steps[position(&steps, "pre-charge-the-bank")].act.contains("wait 3.0 s"));
    let Expected::Share { least, .. } = steps[position(&steps, "share-unit-2-l1")].expected else {
        panic!("a share")
    };
    assert_eq!(least, Some(12.5));
}

#[test]
fn the_first_unit_of_each_phase_joins_a_dead_bar_and_the_others_are_measured_across() {
    let (_, steps, _) = steps_of(&[THREE_PHASE]);
    for id in ["bar-dead-unit-2-l", "between-bar-l1-bar-l3", "rotation", "bond-live-unit-1"] {
        position(&steps, id);
    }
    assert!(!steps.iter().any(|step| step.kind == "across"), "{:?}", names(&steps));
    let six = THREE_PHASE.to_owned()
        + "unit 4 = follower, addr 4, count 6, phase L1\nunit 5 = follower, addr 5, count 6, phase L2\n";
    let (_, steps, _) = steps_of(&[&six]);
    position(&steps, "across-unit-4-l");
    position(&steps, "across-unit-5-l");
}

#[test]
fn right_readings_in_order_pass_everything_that_can_be_judged() {
    for (name, steps) in sites() {
        let readings = all_right(&steps);
        let told = progress(&steps, &readings, SOUND);
        // A hard hold that nobody can judge cannot be passed; another can be left by a reason.
        let is_judged = |step: &Step| !matches!(step.expected, Expected::Unknown(_));
        let can_be = steps.iter().all(|step| step.hold != Hold::Reading || is_judged(step));
        assert_eq!(told.is_done(), can_be, "{name}: {told:?}");
        if can_be {
            assert_eq!(told.refused, [], "{name}");
        }
    }
}

/// For every hard hold: everything else right, and it alone left by a reason, wrong, or not at all.
#[test]
fn nothing_behind_a_hard_hold_passes_without_its_reading() {
    let mut tried = 0;
    for (name, steps) in sites() {
        for (at, hold) in steps.iter().enumerate().filter(|(_, step)| step.hold == Hold::Reading) {
            for kind in [Some(Kind::Reason), Some(Kind::Wrong), None] {
                let readings: Vec<Reading> = steps
                    .iter()
                    .filter_map(|step| {
                        if step.id == hold.id {
                            return reading(step, kind?);
                        }
                        reading(step, Kind::Right).or_else(|| reading(step, Kind::Reason))
                    })
                    .collect();
                let told = progress(&steps, &readings, SOUND);
                assert!(!told.states[at].is_passed(), "{name} {}", hold.id);
                for (step, state) in
                    steps.iter().zip(&told.states).filter(|(step, _)| step.behind > at)
                {
                    assert!(!state.is_passed(), "{name}: {} passed past {}", step.id, hold.id);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 3000, "{tried}");
}

/// Steps in any order, with readings of any kind: what is passed stands on holds that are passed by
/// readings, as plain bookkeeping beside the program has it.
#[test]
fn no_order_of_steps_leads_past_a_hold() {
    let mut dice = Dice::new(20_270_301);
    let rounds = rounds(60);
    let (mut passed, mut refused) = (0, 0);
    for (name, steps) in sites() {
        for _ in 0..rounds {
            let mut readings = Vec::new();
            // What the last reading of each step said when it was taken.
            let mut book: Vec<Option<Kind>> = vec![None; steps.len()];
            // When, by position, each step was last taken, and the last one that was live.
            let (mut when, mut live) = (vec![0; steps.len()], 0);
            // The last one that showed that something was not off.
            let mut not_off = 0;
            let mut next = 0;
            for _ in 0..steps.len() * 2 {
                // Mostly onwards, now and then anywhere.
                let at = if dice.roll(4) == 0 { dice.roll(steps.len()) } else { next };
                let kind = match dice.roll(12) {
                    0 => Kind::Wrong,
                    1 => Kind::Reason,
                    _ => Kind::Right,
                };
                let Some(reading) = reading(&steps[at], kind) else { continue };
                readings.push(reading);
                let holds = |hold: usize| {
                    steps[hold].hold == Hold::None
                        || matches!(book[hold], Some(Kind::Right | Kind::Reason))
                };
                // Back on the dead plant, a proof of dead counts only if nothing was live since.
                let is_proof = |hold: usize| steps[hold].kind == "dead";
                let holds = |hold: usize| {
                    let is_dead = steps[at].stage == Stage::Dead;
                    let is_disproved = steps[hold].stage == Stage::Off && when[hold] < not_off;
                    holds(hold)
                        && !is_disproved
                        && !(is_dead && is_proof(hold) && when[hold] < live)
                };
                let is_hard = steps[at].hold == Hold::Reading;
                // A number that nobody can judge is refused, and what was told before stands.
                let is_judged = !matches!(steps[at].expected, Expected::Unknown(_));
                let may = (0..steps[at].behind).all(holds)
                    && !(kind == Kind::Reason && is_hard)
                    && (is_judged || kind == Kind::Reason);
                if may {
                    when[at] = readings.len();
                    if !matches!(steps[at].stage, Stage::Off | Stage::Dead) {
                        live = readings.len();
                    }
                    if steps[at].stage == Stage::Off && kind == Kind::Wrong {
                        not_off = readings.len();
                    }
                    book[at] = Some(kind);
                    next = if at == next { (next + 1) % steps.len() } else { next };
                } else {
                    refused += 1;
                }
            }
            let told = progress(&steps, &readings, SOUND);
            for (at, state) in told.states.iter().enumerate() {
                if !state.is_passed() {
                    continue;
                }
                passed += 1;
                assert!(
                    matches!(book[at], Some(Kind::Right | Kind::Reason)),
                    "{name}: {}",
                    steps[at].id
                );
                for hold in 0..steps[at].behind {
                    let is_right = book[hold] == Some(Kind::Right);
                    let is_passed = match steps[hold].hold {
                        Hold::Reading => is_right && matches!(told.states[hold], State::Passed(_)),
                        Hold::Reason => is_right || book[hold] == Some(Kind::Reason),
                        Hold::None => true,
                    };
                    assert!(is_passed, "{name}: {} stands on {}", steps[at].id, steps[hold].id);
                }
            }
        }
    }
    assert!(passed > 1000 && refused > 1000, "{passed} {refused}");
}

#[test]
fn a_danger_stops_everything_behind_the_dead_tests() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let told = progress(&steps, &all_right(&steps), DANGER);
    for (step, state) in steps.iter().zip(&told.states) {
        if matches!(step.stage, Stage::Off | Stage::Dead) {
            assert!(state.is_passed(), "{}", step.id);
        } else {
            assert_eq!(*state, State::Stopped, "{}", step.id);
        }
    }
    assert!(told.refused.iter().all(|(_, why)| *why == Refused::Danger));
}

#[test]
fn shares_are_judged_together_and_only_at_load() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let share = |amperes: [f64; 3]| {
        let mut readings = all_right(&steps);
        for (unit, amperes) in amperes.into_iter().enumerate() {
            let id = format!("share-unit-{}-l1", unit + 1);
            let is_it =
                |reading: &&mut Reading| reading.step.as_ref().is_some_and(|step| step.text == id);
            let reading = readings.iter_mut().find(is_it).expect("there is one");
            reading.value = coldcheck::readings::Amount::Number { value: amperes, resolution: 0.1 };
        }
        let told = progress(&steps, &readings, SOUND);
        [1, 2, 3].map(|unit| told.states[position(&steps, &format!("share-unit-{unit}-l1"))].word())
    };
    assert_eq!(share([20.0, 20.5, 19.5]), ["passed"; 3]);
    // The mean is 20: 22.0 is 110 %, 22.2 is more.
    assert_eq!(share([22.0, 19.0, 19.0]), ["passed"; 3]);
    assert_eq!(share([22.2, 18.9, 18.9])[0], "failed");
    // Below half of the rated 25 A a share says nothing.
    assert_eq!(share([12.0, 12.0, 12.0]), ["failed"; 3]);
}

#[test]
fn every_step_says_what_to_do_and_rests_on_something() {
    for (name, steps) in sites() {
        let mut ids = names(&steps);
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), steps.len(), "{name}");
        for step in &steps {
            let words = [&step.act, step.why, step.otherwise, &step.place];
            assert!(words.iter().all(|words| !words.is_empty()), "{step:?}");
            assert!(!step.touches.is_empty() && step.basis.len() == 16, "{step:?}");
            assert!(
                step.id.bytes().all(|sign| sign.is_ascii_alphanumeric() || sign == b'-'),
                "{step:?}"
            );
            // A band has an end, and says who says so.
            if let Expected::Between { low, high, source } = &step.expected {
                assert!(low.or(*high).is_some(), "{step:?}");
                assert!(source.len() > 5, "{step:?}");
            }
            let is_seen = matches!(step.expected, Expected::Seen(_));
            assert_eq!(is_seen, step.quantity == Quantity::Seen, "{step:?}");
            // These have no override.
            let hard = [
                "dead",
                "bar-dead",
                "polarity",
                "across",
                "own-side",
                "bar-side",
                "battery-difference",
                "battery-lead",
                "input-live",
                "earth",
                "bond-closed",
                "bond-opened",
                "bond-live",
                "bond-on-generator",
                "bond-in-position",
                "bond-off-supply",
                "generator-gone",
                "input",
                "solar",
            ];
            assert_eq!(
                step.hold == Hold::Reading,
                hard.contains(&step.kind.as_str()),
                "{}",
                step.id
            );
        }
    }
}
