//! The kit's bit timing against recorded answers of python-can 4.6.1 and published worked
//! examples; then the core's lengths of a CAN bus against the kit's bit timing.

use std::fs;

use coldcheck_core::bus::longest_link;
use coldcheck_core::plan::Medium;
use coldcheck_core::units::BitsPerSecond;
use coldcheck_tests::bit_timing::{BitTiming, quanta_for, round_trip_ps, tolerance};
use coldcheck_tests::facts::{table, thousandths, whole};
use coldcheck_tests::paths;
use serde_json::Value;

/// The recorded answers; the file itself names package, version and formula.
fn recorded(list: &str) -> Vec<Value> {
    let text = fs::read_to_string(paths::tests().join("facts/bit_timing_cases.json"));
    let mut all: Value = serde_json::from_str(&text.expect("the facts")).expect("JSON");
    assert_eq!(
        (all["package"].as_str(), all["version"].as_str()),
        (Some("python-can"), Some("4.6.1"))
    );
    serde_json::from_value(all[list].take()).expect("a list")
}

fn number(from: &Value, key: &str) -> i64 {
    from[key].as_i64().unwrap_or_else(|| panic!("{key} of {from} is no whole number"))
}

/// A number in the file's decimals, in so many parts.
fn scaled(from: &Value, key: &str, parts: f64) -> i64 {
    let value = from[key].as_f64().unwrap_or_else(|| panic!("{key} of {from} is no number"));
    format!("{:.0}", value * parts).parse().expect("a small number")
}

fn register(from: &Value, key: &str) -> u8 {
    let digits = from[key].as_str().and_then(|text| text.strip_prefix("0x")).expect("0x…");
    u8::from_str_radix(digits, 16).expect("a byte")
}

/// The timing that the input of a case asks for, by whichever way it asks.
fn timing(input: &Value) -> Option<BitTiming> {
    let clock_hz = number(input, "f_clock_hz");
    if input.get("sample_point_percent").is_some() {
        let permille = scaled(input, "sample_point_percent", 10.0);
        BitTiming::from_sample_point(clock_hz, number(input, "bitrate_bit_per_s"), permille)
    } else if input.get("btr0_hex").is_some() {
        BitTiming::from_registers(
            clock_hz,
            register(input, "btr0_hex"),
            register(input, "btr1_hex"),
        )
    } else {
        BitTiming {
            clock_hz,
            prescaler: number(input, "brp"),
            segment_1: number(input, "tseg1_tq"),
            segment_2: number(input, "tseg2_tq"),
            jump: number(input, "sjw_tq"),
        }
        .checked()
    }
}

/// The longest bus in whole metres on which clocks may be off by more than this, in millionths of
/// a percent.
fn longest_metres(timing: BitTiming, above: i64) -> i64 {
    let fits = |metres: &i64| timing.tolerance(250, metres * 1_000) > above;
    (0..10_000).take_while(fits).last().expect("no length at all")
}

#[test]
fn the_recorded_timings_are_chosen() {
    let cases = recorded("cases");
    assert_eq!(cases.len(), 10);
    for case in &cases {
        let timing = timing(&case["input"]).unwrap_or_else(|| panic!("no timing for {case}"));
        let output = &case["output"];
        let ours = [timing.prescaler, timing.segment_1, timing.segment_2, timing.jump];
        let keys = ["brp", "tseg1_tq", "tseg2_tq", "sjw_tq"];
        assert_eq!(ours, keys.map(|key| number(output, key)), "{case}");
        assert_eq!(timing.bit(), number(output, "nominal_bit_tq"), "{case}");
        assert_eq!(timing.quantum_ns(), number(output, "tq_ns_rounded"), "{case}");
        let rate = timing.clock_hz / (timing.prescaler * timing.bit());
        assert_eq!(rate, number(output, "bitrate_bit_per_s"), "{case}");
        assert_eq!(
            timing.sample_point_ppb(),
            scaled(output, "sample_point_percent", 1e7),
            "{case}"
        );
        let registers = ["btr0_hex", "btr1_hex"].map(|key| i64::from(register(output, key)));
        assert_eq!(timing.registers(), registers, "{case}");
    }
}

#[test]
fn the_recorded_tolerances_and_longest_buses_are_computed() {
    let mut compared = 0;
    for case in recorded("cases") {
        let timing = timing(&case["input"]).expect("a timing");
        for bus in case["oscillator_tolerance"].as_array().expect("a list") {
            let (delay, length) =
                (scaled(bus, "node_loop_delay_ns", 1.0), scaled(bus, "bus_length_m", 1e3));
            let propagation = timing.propagation(delay, length);
            assert_eq!(propagation, number(bus, "prop_seg_tq_used"), "{case}");
            assert_eq!(timing.segment_1 - propagation, number(bus, "phase_seg1_tq_left"), "{case}");
            let expected = scaled(bus, "oscillator_tolerance_percent", 1e6);
            assert_eq!(timing.tolerance(delay, length), expected, "{case}");
            compared += 1;
        }
        for (above, key) in [(0, "0.0"), (100_000, "0.1")] {
            let key = format!("longest_bus_m_tolerance_above_{key}_percent_loop_250ns");
            assert_eq!(longest_metres(timing, above), number(&case["scan"], &key), "{case}");
        }
    }
    assert_eq!(compared, 22);
}

#[test]
fn edge_inputs_are_answered_or_refused_as_recorded() {
    let cases = recorded("edge_cases");
    assert_eq!(cases.len(), 4);
    for case in cases {
        let timing = timing(&case["input"]);
        assert_eq!(timing.is_none(), case["raises"] == "ValueError", "{case}");
        if let Some(timing) = timing {
            let ours = [timing.prescaler, timing.segment_1, timing.segment_2];
            let keys = ["brp", "tseg1_tq", "tseg2_tq"];
            assert_eq!(ours, keys.map(|key| number(&case["output"], key)), "{case}");
        }
    }
}

#[test]
fn worked_examples_come_out_as_printed() {
    for row in table("bit_timing_examples.csv") {
        let given = |column: &str| !row[column].is_empty();
        let number = |column: &str| i64::from(whole(&row, column));
        // A line of so many nanoseconds at 5 ns a metre.
        let time = || round_trip_ps(number("node_delay_ns"), number("line_ns") * 200);
        if given("round_trip_ns") {
            assert_eq!(time(), number("round_trip_ns") * 1_000, "{row:?}");
        }
        if given("quantum_ns") {
            assert_eq!(quanta_for(time(), number("quantum_ns")), number("propagation"), "{row:?}");
        }
        if given("tolerance_percent") {
            let segments = ["bit", "phase_1", "phase_2", "jump"];
            let [bit, phase_1, phase_2, jump] = segments.map(number);
            // Printed figures are cut after the second decimal.
            let ours = tolerance(bit, phase_1, phase_2, jump) / 10_000;
            assert_eq!(ours * 10, i64::from(thousandths(&row, "tolerance_percent")), "{row:?}");
        }
    }
}

/// The longest bus that the core gives, in millimetres.
fn core_length(rate: u32) -> i64 {
    longest_link(Medium::Can, BitsPerSecond(rate)).expect("a rate of the table").0.into()
}

#[test]
fn to_500_kbit_per_s_the_lengths_of_the_core_leave_room_for_clocks_that_drift() {
    // The recorded answers for 16 quanta and 87.5 %: 100, 250 and 550 m.
    for (rate, metres) in [(500_000, 100), (250_000, 250), (125_000, 550)] {
        let timing = BitTiming::from_sample_point(16_000_000, i64::from(rate), 875);
        assert_eq!(longest_metres(timing.expect("a timing"), 0), metres, "{rate} bit/s");
        assert!(core_length(rate) <= metres * 1_000, "{rate} bit/s");
    }
    for row in table("can_lengths.csv").iter().skip(2) {
        let rate = whole(row, "bit_rate");
        // Sixteen quanta of 1/16 bit each from a clock of 16 ticks a bit: any rate can be tried.
        let clock_hz = i64::from(rate) * 16;
        let timing = BitTiming { clock_hz, prescaler: 1, segment_1: 13, segment_2: 2, jump: 2 };
        assert!(timing.tolerance(250, core_length(rate)) > 240_000, "{row:?}");
    }
}

#[test]
fn above_500_kbit_per_s_a_whole_quantum_of_phase_is_not_left() {
    // Known and said in the core: the published 25 m at 1 Mbit/s needs nodes of 210 ns, and leaves
    // less than one of eight quanta. So a gateway's own timing must be checked there.
    let eight = BitTiming::from_sample_point(8_000_000, 1_000_000, 750).expect("a timing");
    assert_eq!(eight.tolerance(210, core_length(1_000_000)), 0);
    assert_eq!(eight.segment_1 - eight.propagation(210, core_length(1_000_000)), -1);
    let left_ps = 750_000 - round_trip_ps(210, core_length(1_000_000));
    assert!(left_ps > 0 && left_ps < eight.quantum_ns() * 1_000);
}
