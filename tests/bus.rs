//! What the core computes about a shared pair, against published tables and first principles.
//! Every table in `facts/` names its source.

use coldcheck_core::bus::{
    LINE_DELAY_PS_PER_M, Landing, Quanta, far_pin, longest_link, longest_stub,
    longest_stub_for_edge, longest_stubs_together, most_nodes, quanta, through,
};
use coldcheck_core::plan::{Medium, Wiring};
use coldcheck_core::units::{BitsPerSecond, Millimetres, Ohms};
use coldcheck_tests::facts::{Row, table, thousandths, whole};
use proptest::prelude::*;

/// The three limits of CAN, in millimetres: bus, one stub, all stubs.
fn can(rate: u32) -> Option<[u32; 3]> {
    let rate = BitsPerSecond(rate);
    Some(
        [
            longest_link(Medium::Can, rate)?,
            longest_stub(Medium::Can, rate)?,
            longest_stubs_together(Medium::Can, rate)?,
        ]
        .map(|length| length.0),
    )
}

fn rs485(rate: u32) -> Option<u32> {
    longest_link(Medium::Rs485, BitsPerSecond(rate)).map(|length| length.0)
}

/// The next lower length of the series 1, 2.5, 5 in each decade, written out.
fn series_below(length: u64) -> u64 {
    let series = [10, 25, 50, 100, 250, 500, 1000, 2500, 5000, 10_000].map(|metres| metres * 1000);
    *series.iter().rev().find(|member| **member <= length).expect("longer than 10 m")
}

/// From the numbers that the table itself starts from: what is left of the time to the sample
/// point after the line's two ends, in millimetres of line there and back.
fn bound(row: &Row) -> u64 {
    let number = |column| u64::from(thousandths(row, column));
    let sample_ps = number("bit_ns") * number("sample_point") / number("quanta");
    (sample_ps - 2 * number("node_delay_ns")) / u64::from(2 * LINE_DELAY_PS_PER_M / 1000)
}

#[test]
fn every_row_of_the_can_table_is_computed() {
    for row in table("can_lengths.csv") {
        let rate = whole(&row, "bit_rate");
        let published = ["bus_m", "stub_m", "stubs_m"].map(|column| thousandths(&row, column));
        assert_eq!(can(rate), Some(published), "{row:?}");
        let cut = Quanta { bit: whole(&row, "quanta"), sample_point: whole(&row, "sample_point") };
        assert_eq!(quanta(BitsPerSecond(rate)), Some(cut), "{row:?}");
    }
}

#[test]
fn the_bound_from_the_delays_of_the_can_table_cuts_to_the_same_lengths() {
    // Worked example: 33, 58, 115, 290, 610, 1375, 3437.5 and 6875 m.
    let bounds = [33_000, 58_000, 115_000, 290_000, 610_000, 1_375_000, 3_437_500, 6_875_000];
    let rows = table("can_lengths.csv");
    assert_eq!(rows.iter().map(bound).collect::<Vec<_>>(), bounds);
    for row in rows {
        assert_eq!(series_below(bound(&row)), u64::from(thousandths(&row, "bus_m")), "{row:?}");
    }
}

#[test]
fn no_can_bus_is_longer_than_where_longer_ones_are_published() {
    for row in table("can_lengths_longer.csv") {
        let [bus, ..] = can(whole(&row, "bit_rate")).expect("a rate of the table");
        assert!(bus <= thousandths(&row, "bus_m"), "{row:?}");
    }
}

#[test]
fn between_two_rows_a_can_bus_is_as_long_as_at_the_faster_one() {
    let rows = table("can_lengths.csv");
    for pair in rows.windows(2) {
        let [faster, slower] = [0, 1].map(|index: usize| whole(&pair[index], "bit_rate"));
        for rate in [slower + 1, slower.midpoint(faster), faster - 1] {
            let [bus, stub, stubs] = can(rate).expect("inside the table");
            assert_eq!(bus, thousandths(&pair[0], "bus_m"), "{rate} bit/s");
            assert!(stub >= thousandths(&pair[0], "stub_m"), "{rate} bit/s");
            assert!(stubs <= thousandths(&pair[1], "stubs_m"), "{rate} bit/s");
            assert_eq!(stubs, 5 * stub, "{rate} bit/s");
        }
    }
}

#[test]
fn limits_never_grow_with_the_rate_and_end_where_nothing_is_published() {
    let mut rates: Vec<u32> = (1..=10_000_000).step_by(13).collect();
    rates.extend([999_999, 1_000_000, 1_000_001, 9_999_999, 10_000_000, 10_000_001]);
    rates.sort_unstable();
    for pair in rates.windows(2) {
        let [slower, faster] = [pair[0], pair[1]];
        assert_eq!(can(faster).is_some(), faster <= 1_000_000, "{faster} bit/s");
        if let (Some(longer), Some(shorter)) = (can(slower), can(faster)) {
            assert!((0..3).all(|index| shorter[index] <= longer[index]), "{faster} bit/s");
        }
        assert_eq!(rs485(faster).is_some(), faster <= 10_000_000, "{faster} bit/s");
        if let (Some(longer), Some(shorter)) = (rs485(slower), rs485(faster)) {
            assert!(shorter <= longer, "{faster} bit/s");
            assert!(u64::from(shorter) * u64::from(faster) <= 100_000_000_000, "{faster} bit/s");
        }
    }
    for rate in [0, u32::MAX] {
        assert_eq!((can(rate), rs485(rate)), (None, None));
    }
    assert_eq!((can(1), rs485(1)), (can(10_000), Some(1_200_000)));
}

#[test]
fn every_row_of_the_rs485_table_is_computed_and_none_is_exceeded() {
    for row in table("rs485_lengths.csv") {
        let limit = rs485(whole(&row, "bit_rate")).expect("a rate of the table");
        assert_eq!(limit, thousandths(&row, "by_rule_m"), "{row:?}");
        assert!(limit <= thousandths(&row, "printed_m"), "{row:?}");
    }
}

#[test]
fn a_stub_for_an_edge_gives_the_printed_feet_at_the_printed_speed() {
    // 1 / (0.78 x 299,792,458 m/s) is 4,276.5 ps a metre; a foot is 304.8 mm.
    for row in table("rs485_stubs.csv") {
        let rise = whole(&row, "rise_ns");
        let stub = longest_stub_for_edge(rise, 4_276).expect("a speed");
        assert_eq!(stub.0 * 10 / 3048, whole(&row, "stub_ft"), "{row:?}");
        assert!(longest_stub_for_edge(rise, LINE_DELAY_PS_PER_M) < Some(stub), "{row:?}");
    }
    let (rate, none) = (BitsPerSecond(9600), None);
    assert_eq!(longest_stub_for_edge(100, 0), none);
    assert_eq!(longest_stub(Medium::Rs485, rate), none);
    assert_eq!(longest_stubs_together(Medium::Rs485, rate), none);
    // Slower than any edge: the stub comes out shorter than it may be, never longer.
    let slow = longest_stub_for_edge(u32::MAX, LINE_DELAY_PS_PER_M);
    assert_eq!(slow, Some(Millimetres(u32::MAX / LINE_DELAY_PS_PER_M)));
}

/// Load of two terminators and the nodes, as a fraction.
fn load(terminator: u64, node: u64, nodes: u64) -> [u64; 2] {
    [terminator * node, 2 * node + nodes * terminator]
}

#[test]
fn the_measure_of_loads_gives_the_published_ones() {
    for row in table("bus_loads.csv") {
        let number = |column| u64::from(whole(&row, column));
        let [top, bottom] = load(number("terminator_ohms"), number("node_ohms"), number("nodes"));
        let hundredths = (top * 100 + bottom / 2) / bottom;
        assert_eq!(hundredths * 10, u64::from(thousandths(&row, "load_ohms")), "{row:?}");
    }
}

#[test]
fn published_node_counts_are_computed() {
    for row in table("most_nodes.csv") {
        let medium = if row["medium"] == "can" { Medium::Can } else { Medium::Rs485 };
        let most = most_nodes(medium, Ohms(120), whole(&row, "wire_to_wire_ohms"));
        assert_eq!(most, whole(&row, "nodes"), "{row:?}");
    }
}

proptest! {
    #[test]
    fn one_node_more_would_load_a_driver_too_much(terminator in 0u16.., node in 1u32..300_000) {
        for (medium, lowest) in [(Medium::Can, 45), (Medium::Rs485, 54)] {
            let most = u64::from(most_nodes(medium, Ohms(terminator), node));
            let enough = |nodes| {
                let [top, bottom] = load(terminator.into(), node.into(), nodes);
                top >= lowest * bottom
            };
            let unit_loads = |nodes| medium == Medium::Can || nodes * 24_000 <= 32 * u64::from(node);
            // A product that saturates leaves more nodes than any plan can hold.
            let saturated = u64::from(node) * u64::from(terminator) > u64::from(u32::MAX);
            prop_assert!(most == 0 || enough(most) && unit_loads(most));
            prop_assert!(!(enough(most + 1) && unit_loads(most + 1)) || saturated && most > 300);
        }
    }

    #[test]
    fn nothing_panics(rate: u32, ohms: u16, number: u32, pins: [u8; 2]) {
        for medium in [Medium::Can, Medium::Rs485] {
            let rate = BitsPerSecond(rate);
            let link = longest_link(medium, rate);
            let stub = longest_stub(medium, rate);
            prop_assert!(stub <= longest_stubs_together(medium, rate) && stub <= link);
            most_nodes(medium, Ohms(ohms), number);
        }
        for (_, wiring) in WIRINGS {
            let known = pins.iter().all(|pin| (1..=8).contains(pin)) && pins[0] != pins[1];
            prop_assert_eq!(through(wiring, pins).is_some(), known);
        }
        longest_stub_for_edge(rate, number);
    }
}

#[test]
fn extreme_resistances_give_more_nodes_than_a_plan_holds_or_none() {
    for medium in [Medium::Can, Medium::Rs485] {
        assert!(most_nodes(medium, Ohms(u16::MAX), u32::MAX) > 1_200);
        assert!(most_nodes(medium, Ohms(120), u32::MAX) > 1_200);
        for (terminator, node) in [(0, 40_000), (120, 0), (0, 0), (90, u32::MAX), (1, u32::MAX)] {
            assert_eq!(most_nodes(medium, Ohms(terminator), node), 0, "{terminator} {node}");
        }
    }
}

/// Leads of the tables, by their columns' words.
const WIRINGS: [(&str, Wiring); 4] = [
    ("straight", Wiring::Straight),
    ("crossover two", Wiring::CrossoverTwo),
    ("crossover four", Wiring::CrossoverFour),
    ("rollover", Wiring::Rollover),
];

#[test]
fn leads_are_wired_as_the_tables_say_and_the_same_from_either_end() {
    let rows = table("lead_pins.csv");
    assert_eq!(rows.len(), WIRINGS.len());
    for (row, (word, wiring)) in rows.iter().zip(WIRINGS) {
        assert_eq!(row["wiring"], word);
        for pin in 1..=8 {
            let far = far_pin(wiring, pin).expect("a pin");
            assert_eq!(u32::from(far), whole(row, &pin.to_string()), "{row:?}");
            assert_eq!(far_pin(wiring, far), Some(pin), "{row:?}");
        }
        for pin in [0, 9, 16, u8::MAX] {
            assert_eq!(far_pin(wiring, pin), None);
        }
    }
    assert_eq!(far_pin(Wiring::Special, 1), None);
}

#[test]
fn pairs_land_as_the_table_says() {
    for row in table("lead_pairs.csv") {
        let pair = ["first", "second"].map(|pin| row[pin].parse().expect("a pin"));
        for (column, wiring) in WIRINGS {
            let landing = match row[column].as_str() {
                "in place" => Landing::InPlace,
                "swapped" => Landing::Swapped,
                "open" => Landing::Open,
                other => panic!("{other}"),
            };
            assert_eq!(through(wiring, pair), Some(landing), "{row:?} {column}");
        }
    }
    // One wire in place and the other astray is open too; wires that keep to the pair are not.
    assert_eq!(through(Wiring::CrossoverTwo, [3, 4]), Some(Landing::Open));
    assert_eq!(through(Wiring::CrossoverTwo, [1, 3]), Some(Landing::Swapped));
    assert_eq!(through(Wiring::Special, [4, 5]), None);
    assert_eq!(through(Wiring::Straight, [4, 4]), None);
}
