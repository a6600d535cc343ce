//! What a change of the sheets does to a power-up that is under way.

use coldcheck::powerup::{Step, progress};
use coldcheck_tests::powerup::{CABLES, Kind, WHOLE, all_right, position, reading, steps_of};

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
                "polarity-unit-2",
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
            &["earth-unit-2", "polarity-unit-3", "read-back-unit-2"],
        ),
        (
            "a bond",
            "main board (fixed)",
            "sub board (fixed, behind the changeover)",
            &["dead-unit-1", "bond-closed", "bond-opened", "changeover-to-battery"],
            &["earth-unit-1", "polarity-unit-1", "across-unit-2-l1"],
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
        let told = progress(&steps, &readings, false);
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
        let mut readings = readings.clone();
        let changed: Vec<&Step> =
            steps.iter().filter(|step| !before.iter().any(|old| old.basis == step.basis)).collect();
        readings.extend(changed.iter().filter_map(|step| reading(step, Kind::Right)));
        assert!(progress(&steps, &readings, false).is_done(), "{name}: {changed:?}");
    }
}
