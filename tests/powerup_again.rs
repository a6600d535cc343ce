//! What a change of the sheets does to a power-up that is under way.

use coldcheck::powerup::{Progress, Refused, State, Step, progress};
use coldcheck::readings::Reading;
use coldcheck_tests::powerup::{
    CABLES, CHANGED, Kind, SOUND, WHOLE, all_right, position, reading, steps_of,
};

/// A change by name, old text, new text, what opens again, and what does not.
type Change =
    (&'static str, &'static str, &'static str, &'static [&'static str], &'static [&'static str]);

/// What a change of the sheets opens again, and what it leaves.
#[test]
fn a_changed_sheet_opens_the_steps_that_it_touches() {
    let table: [Change; 7] = [
        (
            "an address",
            "unit 2 = follower, addr 2",
            "unit 2 = follower, addr 4",
            &["read-back-unit-2", "link-heard", "cold-start-1"],
            &[
                "dead-unit-1",
                "earth-unit-2",
                "read-back-unit-1",
                "across-unit-2-l1",
                "battery-lead-unit-2",
            ],
        ),
        (
            "firmware of one",
            "addr 3, count 3, fw 2.14",
            "addr 3, count 3, fw 2.15",
            &["read-back-unit-1", "read-back-unit-3", "link-heard"],
            &["dead-unit-1", "earth-unit-3", "across-unit-3-l1", "solar-roof-east"],
        ),
        (
            "an array",
            "roof west -> unit 2",
            "roof west -> unit 3",
            &["dead-unit-1", "dead-bars", "solar-roof-west"],
            &["earth-unit-2", "battery-lead-unit-3", "read-back-unit-2"],
        ),
        (
            "a bond",
            "main board (fixed)",
            "sub board (fixed, behind the changeover)",
            &["dead-unit-1", "bond-closed", "bond-opened", "changeover-to-battery"],
            &["earth-unit-1", "battery-lead-unit-1", "across-unit-2-l1"],
        ),
        (
            "a pack",
            "pack 2 resistance = 20 mohm",
            "pack 2 resistance = 30 mohm",
            &["dead-unit-1", "battery-difference-pack-2", "pre-charge-the-bank"],
            &["earth-unit-1", "across-unit-2-l1", "sensor-ct-l1"],
        ),
        (
            "a sensor",
            "ct L2 rating = 200 A",
            "ct L2 rating = 400 A",
            &["sensor-ct-l2"],
            &["sensor-ct-l1", "across-unit-2-l1", "bond-closed"],
        ),
        (
            "a name alone",
            "orchard pump house",
            "orchard pumps",
            &[],
            &["dead-unit-1", "cold-start-1"],
        ),
    ];
    let (_, before, _) = steps_of(&[WHOLE, CABLES]);
    let readings = all_right(&before);
    for (name, old, new, again, stays) in table {
        let text = WHOLE.replacen(old, new, 1);
        assert_ne!(text, WHOLE, "{name}");
        let (_, steps, _) = steps_of(&[&text, CABLES]);
        let told = progress(&steps, &readings, CHANGED);
        // What stands behind a hold that is open again waits; its own reading is told by its basis.
        let is_again = |id: &str| {
            let at = position(&steps, id);
            steps[at].basis != before[position(&before, id)].basis
        };
        for id in again {
            assert!(is_again(id), "{name}: {id}");
        }
        for id in stays {
            assert!(!is_again(id), "{name}: {id}");
        }
        if let Some(first) = again.first() {
            let state = told.states[position(&steps, first)];
            assert!(!state.is_passed(), "{name}: {state:?}");
        } else {
            assert!(told.is_done(), "{name}");
        }
        // With the first ones read again, the rest stands where it stood.
        let told = retaken(&before, &steps, &readings);
        assert!(told.is_done() && told.refused.is_empty(), "{name}: {told:?}");
    }
}

/// Whoever locks everything off again has opened the battery and stopped the units.
#[test]
fn what_was_switched_on_is_done_anew_behind_every_lock() {
    let (_, steps, _) = steps_of(&[WHOLE, CABLES]);
    let mut readings = all_right(&steps);
    let all = readings.len();
    let take = |id: &str| reading(&steps[position(&steps, id)], Kind::Right).expect("a reading");
    readings.push(take("locked-off"));
    let told = progress(&steps, &readings, SOUND);
    let undone = [
        "made-ready",
        "pre-charge-the-bank",
        "battery-closed-the-bank",
        "all-started",
        "bar-dead-unit-1-l1",
        "closed-unit-1",
        "own-side-unit-2-l1",
        "bar-side-unit-2-l1",
        "across-unit-2-l1",
        "circulating-unit-3",
        "supply-taken",
    ];
    for id in undone {
        let state = told.states[position(&steps, id)];
        assert!(!state.is_passed(), "{id}: {state:?}");
    }
    let earth = told.states[position(&steps, "earth-unit-1")];
    assert!(matches!(earth, State::Behind { .. }), "{earth:?}");
    // Nothing is live before all is proven dead and put back; then the rest stands where it stood.
    let live =
        progress(&steps, &[&readings[..], &[take("battery-closed-the-bank")]].concat(), SOUND);
    assert!(matches!(live.refused[..], [(at, Refused::OutOfTurn(_))] if at == all + 1));
    let dead = steps.iter().filter(|step| step.id.starts_with("dead-"));
    readings.extend(dead.map(|step| take(&step.id)));
    let again = steps.iter().filter(|step| step.is_undone_by_lock());
    readings.extend(again.map(|step| take(&step.id)));
    let told = progress(&steps, &readings, SOUND);
    assert!(told.is_done() && told.refused.is_empty(), "{:?}", told.refused);
}

/// Where it stands when every step that is new or open again is taken under the new sheets, and no
/// other.
fn retaken(before: &[Step], steps: &[Step], readings: &[Reading]) -> Progress {
    let is_new =
        |step: &Step| !before.iter().any(|old| old.id == step.id && old.basis == step.basis);
    let is_locked = steps.iter().any(|step| step.id == "locked-off" && is_new(step));
    let is_old = |step: &&Step| is_new(step) || is_locked && step.is_undone_by_lock();
    let mut readings = readings.to_vec();
    for step in steps.iter().filter(is_old) {
        let mut again = reading(step, Kind::Right).expect("it can be judged");
        CHANGED.hash.clone_into(&mut again.sheets);
        readings.push(again);
    }
    progress(steps, &readings, CHANGED)
}

/// The whole site with one unit more.
fn one_more() -> String {
    WHOLE.replace("count 3", "count 4").replace(
        "fw 2.14, term on, bank A, mode parallel, frequency 60 Hz\nall",
        "fw 2.14, term off, bank A, mode parallel, frequency 60 Hz\nall",
    ) + "unit 4 = follower, addr 4, count 4, fw 2.14, term on, bank A, mode parallel, frequency \
           60 Hz\nunit 4 ac out = straight\nunit 4 ac in = L1->supply L1; L2->supply L2; N->supply N\n"
}

#[test]
fn a_unit_more_or_less_opens_its_steps_and_leaves_those_of_the_others() {
    let more = one_more();
    let longer = format!("{CABLES}P3,unit 3 B,unit 4 A,link\n");
    let (few, many) = ([WHOLE, CABLES], [more.as_str(), longer.as_str()]);
    for (name, old, new, is_gone) in [("more", few, many, false), ("less", many, few, true)] {
        let (_, before, _) = steps_of(&old);
        let (_, steps, _) = steps_of(&new);
        let readings = all_right(&before);
        let told = retaken(&before, &steps, &readings);
        assert!(told.is_done(), "{name}: {:?}", told.states);
        // Readings of steps that are gone are no mistake of anybody.
        assert!(told.refused.iter().all(|(_, why)| *why == Refused::Gone), "{name}");
        assert_eq!(told.refused.is_empty(), !is_gone, "{name}");
        // Phasing rests on the link, which another unit makes another one.
        let kept = ["own-bar-unit-2-l1", "earth-unit-1", "battery-lead-unit-3", "alone-unit-2-l2"];
        for id in kept {
            let basis = |steps: &[Step]| steps[position(steps, id)].basis.clone();
            assert_eq!(basis(&before), basis(&steps), "{name}: {id}");
        }
    }
}

/// A hold that is open again keeps what is behind it closed, also for whoever was past it before.
#[test]
fn nothing_is_taken_past_a_hold_that_is_open_again() {
    let (_, before, _) = steps_of(&[WHOLE, CABLES]);
    let (_, steps, _) =
        steps_of(&[&WHOLE.replace("roof west -> unit 2", "roof west -> unit 3"), CABLES]);
    let mut readings = all_right(&before);
    let locked = position(&steps, "locked-off");
    let across = position(&steps, "across-unit-2-l1");
    let mut early = reading(&steps[across], Kind::Right).expect("it can be judged");
    CHANGED.hash.clone_into(&mut early.sheets);
    readings.push(early);
    let told = progress(&steps, &readings, CHANGED);
    assert!(matches!(told.states[locked], State::Again(_)), "{:?}", told.states[locked]);
    assert!(matches!(told.states[across], State::Behind { .. }));
    let last = readings.len() - 1;
    let why = told.refused.iter().find(|(at, _)| *at == last).map(|(_, why)| *why);
    assert!(matches!(why, Some(Refused::OutOfTurn(_))), "{why:?}");
}

#[test]
fn spelling_order_and_direction_open_nothing() {
    let (_, before, _) = steps_of(&[WHOLE, CABLES]);
    let spelled = WHOLE.replace("unit 2 =", "UNIT-2 =").replace("pack 2 ", "Pack 2 ");
    let lines: Vec<&str> = spelled.lines().rev().collect();
    let turned = "cable,from,to,kind\np2,Unit 3 A,UNIT-2 b,link\nP1,unit 2 A,unit 1 B,link\n";
    let (_, steps, _) = steps_of(&[&lines.join("\n"), turned]);
    for step in &steps {
        let old = &before[position(&before, &step.id)];
        assert_eq!(old.basis, step.basis, "{}", step.id);
    }
}
