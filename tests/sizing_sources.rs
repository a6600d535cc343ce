//! Worked examples of the power side: battery, sensors, solar strings. Those marked `published` stand in a text
//! that was read; the others were worked out by two routes (a formula by hand and an independent
//! solve). Each bears its source; the American code is NFPA 70 in its edition of 2023 unless said
//! otherwise.
#![allow(clippy::float_cmp, reason = "these figures are exact: whole numbers and table cells")]

use coldcheck::sizing::battery;
use coldcheck::sizing::conductor::Metal;
use coldcheck::sizing::current::{Code, design_current, next_rating};
use coldcheck::sizing::drop;
use coldcheck::sizing::sensor::{self, Fitted};
use coldcheck::sizing::sharing::{Network, over_paths, unevenness};
use coldcheck::sizing::solar;
use coldcheck_tests::figures::{near, per_metre};
use coldcheck_tests::paths;

#[test]
fn c_currents_of_the_battery_side() {
    // C1 is published: a course of 2010 after an open text on suggested practices.
    near(battery::current(2500.0, 22.0, 0.85), 133.69, 0.005);
    near(1.25 * battery::current(2500.0, 22.0, 0.85), 167.11, 0.005);
    for (watts, volts, efficiency, amperes, design, rating) in [
        (8000.0, 48.0, 0.94, 177.305, 221.631, 225.0),
        (11_000.0, 44.8, 0.93, 264.017, 330.021, 350.0),
    ] {
        let current = battery::current(watts, volts, efficiency);
        near(current, amperes, 0.0005);
        near(design_current(Code::Nec, current, 0.0), design, 0.0005);
        assert_eq!(next_rating(Code::Nec, design), Some(rating));
    }
}

#[test]
fn c4_units_of_equal_power_behind_unequal_leads() {
    for (metres, amperes, volts) in [(1.5, 177.933, 47.8306), (4.0, 178.999, 47.5457)] {
        let ohms = drop::two_wire(metres, per_metre("2/0"), 1.0);
        let (at_unit, current) =
            battery::at_equal_power(48.0, ohms, 8000.0 / 0.94).expect("it can be carried");
        near(current, amperes, 0.0005);
        near(at_unit, volts, 0.00005);
    }
    assert_eq!(battery::at_equal_power(48.0, 1.0, 1000.0), None);
}

#[test]
fn c5_and_c6_strings_of_equal_voltage_behind_unequal_leads() {
    let loops: Vec<f64> = [1.0, 2.0, 4.0]
        .iter()
        .map(|metres| drop::two_wire(*metres, per_metre("2/0"), 1.0))
        .collect();
    for (ohms, wanted) in loops.iter().zip([0.6345, 1.2690, 2.5381]) {
        near(ohms * 1000.0, wanted, 0.0001);
    }
    let shares = over_paths(300.0, &loops).expect("paths with a resistance");
    for (share, wanted) in shares.iter().zip([171.429, 85.714, 42.857]) {
        near(*share, wanted, 0.0005);
    }
    let fixed: Vec<f64> = loops.iter().map(|ohms| ohms + 0.0005).collect();
    let shares = over_paths(300.0, &fixed).expect("paths with a resistance");
    for (share, wanted) in shares.iter().zip([148.902, 95.494, 55.605]) {
        near(*share, wanted, 0.0005);
    }
    near(unevenness(&shares), 1.489, 0.0005);
    assert_eq!(over_paths(300.0, &[0.001, 0.0]), None);
}

/// Four batteries of 1 mohm beside each other, their poles linked; 100 A are taken from the first
/// positive pole and return to a negative one. The current of each battery.
fn ladder(link_ohms: f64, returns_to: usize) -> Vec<f64> {
    // Nodes 0 to 3 are the negative poles, 4 to 7 the positive ones.
    let mut network = Network::new(8);
    for battery in 0..4 {
        network.resistance(battery, battery + 4, 0.001);
        network.current(battery + 4, 12.0 / 0.001);
        network.current(battery, -12.0 / 0.001);
    }
    for battery in 0..3 {
        network.resistance(battery, battery + 1, link_ohms);
        network.resistance(battery + 4, battery + 5, link_ohms);
    }
    network.current(4, -100.0);
    network.current(returns_to, 100.0);
    let volts = network.solve().expect("it hangs together");
    (0..4).map(|battery| (12.0 - (volts[battery + 4] - volts[battery])) / 0.001).collect()
}

#[test]
fn c7_published_a_ladder_of_batteries() {
    // A solution in a public forum, solved again.
    for (link, returns_to, wanted) in [
        (0.001, 3, [37.5, 12.5, 12.5, 37.5]),
        (0.0001, 3, [27.273, 22.727, 22.727, 27.273]),
        (0.001, 0, [73.214, 19.643, 5.357, 1.786]),
    ] {
        for (current, wanted) in ladder(link, returns_to).iter().zip(wanted) {
            near(*current, wanted, 0.0005);
        }
    }
}

#[test]
fn c8_a_fault_at_the_end_of_a_path() {
    let bank = battery::in_parallel(0.008, 4);
    near(battery::fault_current(51.2, bank, 0.001), 17_067.0, 0.5);
    near(battery::fault_current(51.2, bank, 0.0), 25_600.0, 0.5);
}

#[test]
fn e1_and_e2_sensors_fitted_wrong() {
    let right = Fitted::default();
    let reversed = Fitted { reversed: [true, false], ..right };
    let swapped = Fitted { swapped: true, ..right };
    let both = Fitted { swapped: true, reversed: [true, true] };
    let sum =
        |legs: [f64; 2], fitted| sensor::shown_power(legs[0], legs[1], fitted).iter().sum::<f64>();
    for (legs, wanted) in [
        ([6000.0, 6000.0], [12_000.0, 0.0, -12_000.0, 12_000.0]),
        ([6000.0, 1200.0], [7200.0, -4800.0, -7200.0, 7200.0]),
    ] {
        for (fitted, wanted) in [right, reversed, swapped, both].into_iter().zip(wanted) {
            near(sum(legs, fitted), wanted, 1e-9);
        }
    }
    assert_eq!(sensor::shown_power(6000.0, 1200.0, both), [1200.0, 6000.0]);
    // E5: one leg exports what the other imports: nothing shows.
    assert_eq!(sensor::shown_power(-3000.0, 3000.0, swapped), [-3000.0, 3000.0]);
}

#[test]
fn e7_to_e11_ratio_and_burden() {
    near(sensor::shown_part(100.0 / 5.0, 200.0 / 5.0), 0.5, 1e-9);
    near(sensor::shown_part(200.0 / 5.0, 100.0 / 5.0), 2.0, 1e-9);
    near(sensor::true_ratio(40.0, 75.0, 37.5), 80.0, 1e-9);
    near(sensor::secondary(sensor::least_rating(5.0 * 40.0, 150.0), 80.0), 2.5, 1e-9);
    let lead = drop::nec_resistance("14", Metal::Copper).expect("a size") * 0.1;
    near(sensor::burden(5.0, lead, 0.0), 7.85, 0.0005);
    near(sensor::burden(5.0, lead, 0.02), 8.35, 0.0005);
    near(sensor::burden(1.0, lead, 0.02), 0.334, 0.0005);
    // E11 is published, in a chart of burdens: 1.75 VA are left for 60 ft of lead.
    let of = |size: &str, degrees: f64| {
        let at_75 = drop::nec_resistance(size, Metal::Copper).expect("a size") * 0.06;
        let at_20 = at_75 / drop::from_20(1.0, 75.0, Metal::Copper);
        sensor::burden(5.0, drop::from_20(at_20, degrees, Metal::Copper), 0.0)
    };
    assert!(of("10", 20.0) < 1.75 && of("10", 75.0) > 1.75 && of("12", 20.0) > 1.75);
    // IEC 61869-2:2012, Tables 201 to 203.
    assert_eq!(sensor::class_error("0.5", 5.0), Some(1.5));
    assert_eq!(sensor::class_error("0.5S", 1.0), Some(1.5));
}

#[test]
fn f_strings_on_the_coldest_day() {
    // All three published: open notes and an example on 690.7.
    near(solar::cold_by_percent(49.5, -0.27, -10.0), 54.178, 0.0005);
    assert_eq!(solar::most_modules(600.0, 54.178), Some(11));
    near(11.0 * solar::cold_by_percent(49.5, -0.27, -10.0), 595.96, 0.005);
    assert_eq!(solar::cold_factor(-10.0), Some(1.14));
    assert_eq!(solar::most_modules(600.0, 49.5 * 1.14), Some(10));
    near(solar::cold_by_percent(49.5, -0.28, -5.0), 53.658, 0.0005);
    assert_eq!(solar::most_modules(1000.0, 53.658), Some(18));
    near(2.0 * 38.9 * solar::cold_factor(-20.0).expect("a row"), 91.80, 0.005);
    // At the edges: whole degrees, nothing to add in the warm, no row in the deep cold.
    for (degrees, factor) in [
        (25.0, Some(1.0)),
        (24.0, Some(1.02)),
        (-0.5, Some(1.12)),
        (-40.0, Some(1.25)),
        (-41.0, None),
    ] {
        assert_eq!(solar::cold_factor(degrees), factor, "{degrees}");
    }
    near(solar::input_current(&[10.0, 10.0]), 25.0, 0.0);
    assert_eq!(solar::fewest_modules(125.0, 30.0), Some(5));
}

#[test]
fn strings_agree_with_the_library_of_solar_cells() {
    // `facts/pv_cases.json`: pvlib 0.16.1, modules of the table that comes with it.
    let text = std::fs::read_to_string(paths::tests().join("facts/pv_cases.json"));
    let facts: serde_json::Value = serde_json::from_str(&text.expect("the facts")).expect("JSON");
    let cases = facts["cases"].as_array().expect("cases");
    assert!(cases.len() >= 6);
    for case in cases {
        let number = |value: &serde_json::Value| value.as_f64().expect("a number");
        let parameters = &case["parameters"];
        let open = number(&parameters["v_oc_ref_v"]);
        let slope = number(&parameters["beta_oc_v_per_k"]);
        let degrees = number(&case["cell_temperature_c"]);
        let modules = number(&case["modules_in_series"]);
        let linear = modules * solar::cold_by_volts(open, slope, degrees);
        let expected = &case["expected"];
        near(linear, number(&expected["voc_string_cold_linear_v"]), 0.1);
        // The straight line lies within 1.5 % of the model of the diode.
        near(linear / number(&expected["voc_string_cold_pvlib_cec_v"]), 1.0, 0.015);
        if let Some(table) = expected["voc_string_cold_table_v"].as_f64() {
            let factor = solar::cold_factor(degrees).expect("a row");
            near(modules * open * factor, table, 0.1);
        }
    }
}
