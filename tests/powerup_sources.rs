//! Supply and generator, one after the other, and the bonds that each is left with.

use coldcheck::powerup::{Expected, Hold, State, progress};
use coldcheck::readings::{Amount, Reading};
use coldcheck_tests::powerup::{
    BARE, CABLES, Kind, SOUND, WHOLE, names, position, reading, steps_of, way_down_of,
};

/// A site with supply, changeover and generator, and a relay that makes the bond without the supply.
fn both() -> String {
    let bonds =
        "unit 2 relay (closed on generator, closed on island); main board (closed on supply)";
    let generator = "generator rating = 12 kW\n\
        all units generator in = L1->generator L1; L2->generator L2; N->generator N\n";
    WHOLE.replace("main board (fixed)", bonds) + generator
}

#[test]
fn the_supply_comes_back_when_the_generator_is_gone_and_each_position_has_a_bond() {
    let (_, steps, _) = steps_of(&[&both(), CABLES]);
    let order = [
        "supply-taken",
        "generator-dead",
        "generator-taken",
        "supply-dead",
        "bond-on-generator-unit-2",
        "bond-on-generator-loads",
        "generator-gone",
        "supply-back",
        "bond-off-supply-unit-2",
        "changeover-to-battery",
        "bond-in-position-to-battery",
        "changeover-to-supply",
        "bond-in-position-to-supply",
        "local-code",
        "cold-start-1",
        "generator-ready",
    ];
    let places: Vec<usize> = order.iter().map(|id| position(&steps, id)).collect();
    assert!(places.is_sorted(), "{:?}", names(&steps));
    // Each waits for what stands before it, but for the last three, which wait for no hold between them.
    for pair in order[..order.len() - 2].windows(2) {
        let (before, after) = (position(&steps, pair[0]), position(&steps, pair[1]));
        // Both are read while the generator feeds, in any order.
        let is_state = pair[1] == "bond-on-generator-loads";
        assert!(is_state || steps[after].behind > before, "{pair:?}");
    }
    for id in ["generator-gone", "bond-off-supply-unit-2", "bond-in-position-to-battery"] {
        let step = &steps[position(&steps, id)];
        assert_eq!(step.hold, Hold::Reading, "{id}");
        assert!(matches!(step.expected, Expected::Between { .. }), "{id}: {:?}", step.expected);
    }
    // A generator that still feeds the side is not passed over.
    let gone = |value| {
        let at = position(&steps, "generator-gone");
        let right = |step| reading(step, Kind::Right);
        let mut readings: Vec<Reading> = steps[..=at].iter().filter_map(right).collect();
        readings[at].value = Amount::Number { value, resolution: 1.0 };
        progress(&steps, &readings, SOUND).states[at]
    };
    assert!(gone(1.0).is_passed() && matches!(gone(119.0), State::Failed(_)), "{:?}", gone(119.0));
    // Bars of one name on two sides are two.
    let same = both().replace("->supply ", "->bar ").replace("->generator ", "->bar ");
    let (_, steps, _) = steps_of(&[&same, CABLES]);
    for (id, bar) in [
        ("own-bar-unit-1-l1", "to bar L1."),
        ("input-own-unit-1-l1", "to ac in bar L1."),
        ("generator-own-unit-1-l1", "to generator in bar L1."),
    ] {
        let act = &steps[position(&steps, id)].act;
        assert!(act.ends_with(bar), "{id}: {act}");
    }
    // Without a generator nothing is put back, and a relay that stays closed on the supply is no fault.
    let alone = names(&steps_of(&[WHOLE, CABLES]).1).join(" ");
    for kind in
        ["supply-back", "supply-dead", "generator-gone", "generator-ready", "bond-off-supply"]
    {
        assert!(!alone.contains(kind), "{kind}");
    }
}

#[test]
fn neutrals_of_inputs_are_read_dead_and_no_unit_feeds_its_own_input() {
    let (_, steps, _) = steps_of(&[&both(), CABLES]);
    for (id, place) in [
        ("input-own-unit-1-n", "unit 1 input N to supply N"),
        ("input-others-unit-3-n", "unit 3 input N to live bars and earth"),
        ("generator-own-unit-2-n", "unit 2 generator input N to generator N"),
    ] {
        assert_eq!(steps[position(&steps, id)].place, place);
    }
    let fed_back = position(&steps, "fed-back");
    let order = ["joined-unit-3", "warm", "supply", "supply-taken", "generator"];
    let at = |id: &str| names(&steps).iter().position(|name| *name == id);
    let places = order.map(|id| at(id).map(|place| place < fed_back));
    assert_eq!(places[1..], [Some(true), Some(false), Some(false), Some(false)], "{places:?}");
    assert!(steps[at("supply").expect("a step")].behind > fed_back);
    // Where nothing feeds from outside, nothing is fed back.
    let bare = steps_of(&[BARE]).1;
    assert!(!names(&bare).contains(&"fed-back"));
}

/// Two lines of one phase are right to neutral, each.
#[test]
fn lines_of_a_source_are_read_to_each_other_before_it_is_closed() {
    let (_, steps, _) = steps_of(&[&both(), CABLES]);
    for (lines, after) in
        [("supply-lines", "input-live-unit-1-l1"), ("generator-lines", "generator-live-unit-1-l1")]
    {
        let (at, after) = (position(&steps, lines), position(&steps, after));
        assert!(at < after && steps[after].behind > at, "{lines}");
        let Expected::Between { low, high, .. } = steps[at].expected else {
            panic!("{:?}", steps[at].expected);
        };
        assert_eq!((low, high), (Some(216.0), Some(264.0)), "{lines}: of 240 V");
    }
    // One line has no other.
    let single = both()
        .replace("split-phase 120/240 V", "single-phase 230 V")
        .replace("; L2->supply L2", "")
        .replace("; L2->generator L2", "")
        .replace("; L2->bar L2", "");
    let single = steps_of(&[&single, CABLES]).1;
    assert!(!names(&single).iter().any(|name| name.ends_with("-lines")), "{:?}", names(&single));
}

/// A changeover has something to change over to, even where no sheet says of what.
#[test]
fn a_changeover_alone_is_no_reason_to_leave_out_what_is_fed_back() {
    let alone = format!("{BARE}\nchangeover switches the neutral = yes\n");
    assert!(names(&steps_of(&[&alone]).1).contains(&"fed-back"));
}

/// What the list does not measure is named, at every site.
#[test]
fn tests_that_local_code_asks_for_are_on_the_list() {
    for sheets in [&[BARE][..], &[WHOLE, CABLES]] {
        let (_, steps, _) = steps_of(sheets);
        let step = &steps[position(&steps, "local-code")];
        for word in ["residual-current", "fault loop", "electrode"] {
            assert!(step.act.contains(word), "{}", step.act);
        }
        assert_eq!(step.hold, Hold::Reason);
    }
}

#[test]
fn the_way_down_opens_and_locks_input_breakers() {
    let down = way_down_of(&[&both(), CABLES]);
    let open = "Open the input breakers of the units, then the supply in front of them.";
    assert!(down.acts.iter().any(|one| one.act == open), "{:?}", down.acts);
    for unit in ["unit 1", "unit 2", "unit 3"] {
        let place = format!("output, input and generator input breakers of {unit}");
        assert!(down.isolation.contains(&place), "{place}: {:?}", down.isolation);
    }
    // A generator that starts by itself starts as soon as the supply goes.
    let acts: Vec<bool> = down.acts.iter().map(|one| one.act.contains("from automatic")).collect();
    let supply = down.acts.iter().position(|one| one.act == open);
    assert!(acts.iter().position(|own| *own) < supply, "{:?}", down.acts);
    let bare = way_down_of(&[BARE]);
    assert!(!bare.isolation.iter().any(|place| place.contains("input")), "{:?}", bare.isolation);
}

/// A wrong link that reads as it is declared is no right one.
#[test]
fn the_pair_is_not_passed_while_the_link_is_wrong() {
    let pair = |settings: &str| {
        let (_, steps, _) = steps_of(&[settings, CABLES]);
        let of_pair = steps.into_iter().filter(|step| step.kind == "pair");
        of_pair.map(|step| matches!(step.expected, Expected::Unknown(_))).collect::<Vec<_>>()
    };
    assert!(!pair(WHOLE).is_empty() && pair(WHOLE).iter().all(|is_unknown| !is_unknown));
    let third = WHOLE.replacen("term off", "term on", 1);
    assert_ne!(third, WHOLE);
    assert!(!pair(&third).is_empty() && pair(&third).iter().all(|is_unknown| *is_unknown));
}

/// A conductor that is found at the wrong bar, where the sheets have it, is no right one.
#[test]
fn a_unit_at_wrong_bars_is_not_judged_by_its_sheet() {
    let unknown = |settings: &str| -> Vec<String> {
        let (_, steps, _) = steps_of(&[settings, CABLES]);
        let bars = ["own-bar", "other-bars", "input-own", "input-others"];
        let of_bars = steps.iter().filter(|step| bars.contains(&step.kind.as_str()));
        let mut units: Vec<String> = of_bars
            .filter(|step| matches!(step.expected, Expected::Unknown(_)))
            .filter_map(|step| step.id.split("unit-").nth(1)?.split('-').next().map(str::to_owned))
            .collect();
        units.dedup();
        units.sort();
        units.dedup();
        units
    };
    assert_eq!(unknown(WHOLE), [""; 0]);
    let crossed = |unit: u8, ends: &str| format!("{WHOLE}unit {unit} ac out = except {ends}\n");
    assert_eq!(unknown(&crossed(3, "L1<->L2")), ["3"], "beside the others");
    assert_eq!(unknown(&crossed(2, "L1<->N")), ["2"], "by the bar's name");
    // What is not heard by the sheets is not heard, whatever the screens say.
    let heard = |settings: &str| {
        let (_, steps, _) = steps_of(&[settings, CABLES]);
        matches!(steps[position(&steps, "link-heard")].expected, Expected::Unknown(_))
    };
    assert!(!heard(WHOLE) && heard(&WHOLE.replacen("term off", "term on", 1)));
}

#[test]
fn the_battery_is_heard_where_its_data_lead_ends() {
    let heard = |cables: &str| {
        let (_, steps, _) = steps_of(&[WHOLE, cables]);
        let names = names(&steps);
        names
            .into_iter()
            .filter(|name| name.starts_with("battery-heard"))
            .map(str::to_owned)
            .collect()
    };
    let none: Vec<String> = heard(CABLES);
    assert!(none.is_empty());
    let lead = format!("{CABLES}B1,pack 1,unit 2 battery,battery\n");
    assert_eq!(heard(&lead), ["battery-heard-unit-2"]);
}
