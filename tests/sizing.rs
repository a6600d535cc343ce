//! Worked examples of the power side: currents, conductors, drops, joints. Those marked `published` stand in a text
//! that was read; the others were worked out by two routes (a formula by hand and an independent
//! solve). Each bears its source; the American code is NFPA 70 in its edition of 2023 unless said
//! otherwise.
#![allow(clippy::float_cmp, reason = "these figures are exact: whole numbers and table cells")]

use coldcheck::sizing::conductor::{
    IecWay, Insulation, Metal, NecWay, Rated, iec_corrected, iec_earth, iec_section, nec_corrected,
    nec_earth, nec_runs,
};
use coldcheck::sizing::current::{
    Code, busbar, design_current, most_at_far_end, next_rating, single_phase, split_phase,
    three_phase,
};
use coldcheck::sizing::drop::{self, Strands};
use coldcheck::sizing::joint::{
    Phasor, neutral, split_phase_neutral, three_phase_neutral, volts_across,
};
use coldcheck_tests::figures::{near, per_metre};

const COPPER_75: NecWay = NecWay {
    metal: Metal::Copper,
    insulation: Rated::C75,
    terminals: Rated::C75,
    ambient: 30.0,
    together: 3,
};

/// The least single conductor that carries a current behind a breaker.
fn nec_size(design: f64, amperes: f64, breaker: f64, way: &NecWay) -> Option<&'static str> {
    let found = nec_runs(design, amperes, breaker, way);
    found.filter(|(runs, _)| *runs == 1).map(|(_, size)| size)
}

/// Breaker, conductor and earth of a continuous current, by the American code.
fn nec(amperes: f64, way: &NecWay) -> (f64, Option<&'static str>, Option<&'static str>) {
    let design = design_current(Code::Nec, amperes, 0.0);
    let breaker = next_rating(Code::Nec, design).expect("a rating");
    (breaker, nec_size(design, amperes, breaker, way), nec_earth(breaker, way.metal))
}

#[test]
fn a1_three_split_phase_units_of_8_kilowatts() {
    let unit = split_phase(8000.0, 240.0);
    near(unit, 33.333, 0.001);
    near(design_current(Code::Nec, unit, 0.0), 41.667, 0.001);
    assert_eq!(nec(unit, &COPPER_75), (45.0, Some("8"), Some("10")));
    let cool = NecWay { insulation: Rated::C60, terminals: Rated::C60, ..COPPER_75 };
    assert_eq!(nec(unit, &cool).1, Some("6"));
    // The trap: 1.25 times 100 A is 125 A and no more.
    let feeder = 3.0 * unit;
    assert_eq!(nec(feeder, &COPPER_75), (125.0, Some("1"), Some("6")));
}

#[test]
fn a2_five_units_of_9_6_kilowatts() {
    let unit = split_phase(9600.0, 240.0);
    assert_eq!((unit, nec(unit, &COPPER_75).0), (40.0, 50.0));
    assert_eq!(nec(5.0 * unit, &COPPER_75), (250.0, Some("250"), Some("4")));
    let aluminium = NecWay { metal: Metal::Aluminium, ..COPPER_75 };
    assert_eq!(nec(5.0 * unit, &aluminium), (250.0, Some("350"), Some("2")));
}

#[test]
fn a3_sixteen_units_of_8_kilowatts() {
    let all = 16.0 * split_phase(8000.0, 240.0);
    near(all, 533.33, 0.01);
    near(design_current(Code::Nec, all, 0.0), 666.67, 0.01);
    assert_eq!(next_rating(Code::Nec, 666.67), Some(700.0));
}

#[test]
fn a4_published_a_continuous_load_of_95_amperes() {
    // A training library on the choice of conductors, 110.14(C).
    assert_eq!(design_current(Code::Nec, 95.0, 0.0), 118.75);
    let (breaker, size, _) = nec(95.0, &COPPER_75);
    assert_eq!((breaker, size), (125.0, Some("1")));
    // The load's own terminal of 60 C asks 2 AWG for the 95 A.
    let cool = NecWay { terminals: Rated::C60, ..COPPER_75 };
    assert_eq!(nec_size(95.0, 95.0, 95.0, &cool), Some("2"));
}

#[test]
fn a5_published_a_solar_inverter_of_32_amperes() {
    // Open course notes on solar circuits.
    assert_eq!(design_current(Code::Nec, 32.0, 0.0), 40.0);
    assert_eq!(nec(32.0, &COPPER_75).1, Some("8"));
}

#[test]
fn a6_six_conductors_at_45_degrees() {
    let way = NecWay { insulation: Rated::C90, ambient: 45.0, together: 6, ..COPPER_75 };
    near(nec_corrected("3", &way).expect("a size"), 80.04, 0.001);
}

#[test]
fn a7_six_single_phase_units_on_three_phases() {
    // 208Y/120.
    assert_eq!(single_phase(6000.0, 120.0), 50.0);
    near(three_phase(36_000.0, 208.0), 99.93, 0.005);
    assert_eq!(next_rating(Code::Nec, design_current(Code::Nec, 100.0, 0.0)), Some(125.0));
}

#[test]
fn a8_published_sources_at_the_far_end_of_a_busbar() {
    // A training site on 705.12, test (2).
    assert_eq!(most_at_far_end(200.0, 200.0), 32.0);
    assert!(busbar(200.0, 200.0, &[32.0], 200.0).far_end);
    assert!(!busbar(200.0, 200.0, &[32.1], 200.0).far_end);
}

#[test]
fn a9_four_sources_are_too_much_for_a_busbar() {
    let tests = busbar(200.0, 200.0, &[32.0; 4], 4.0 * 40.0);
    assert!(!tests.anywhere && !tests.far_end && tests.sum_of_breakers);
}

#[test]
fn a10_a_unit_of_8_kilowatts_in_a_hot_room() {
    // IEC 60364-5-52:2009, Tables B.52.2 and B.52.14 (the factor of PVC from memory).
    near(single_phase(8000.0, 230.0), 34.78, 0.005);
    assert_eq!(next_rating(Code::Iec, 34.78), Some(40.0));
    let way = IecWay { insulation: Insulation::Pvc, loaded: 2, in_conduit: true, ambient: 40.0 };
    near(iec_corrected(6.0, &way).expect("a section"), 35.67, 0.001);
    near(iec_corrected(10.0, &way).expect("a section"), 49.59, 0.001);
    assert_eq!(iec_section(40.0, &way), Some(10.0));
    assert_eq!([10.0, 25.0, 50.0].map(iec_earth), [10.0, 16.0, 25.0]);
}

#[test]
fn a11_a_three_phase_group_of_24_kilovolt_amperes() {
    // IEC 60364-5-52:2009, Table B.52.5, method C.
    near(three_phase(24_000.0, 400.0), 34.64, 0.005);
    let way = IecWay { insulation: Insulation::Xlpe, loaded: 3, in_conduit: false, ambient: 30.0 };
    assert_eq!(iec_section(40.0, &way), Some(4.0));
}

#[test]
fn b_voltage_drops() {
    let loss = drop::two_wire(2.0, per_metre("2/0"), 200.0);
    near(loss / 200.0 * 1000.0, 1.26903, 0.00001);
    near(loss, 0.25381, 0.00001);
    near(loss / 48.0 * 100.0, 0.529, 0.0005);

    let cool = drop::iec_resistance(35.0, Strands::Flexible).expect("a section") / 1000.0;
    near(drop::two_wire(2.0, cool, 1000.0), 2.216, 0.0005);
    let warm = drop::from_20(cool, 75.0, Metal::Copper);
    near(drop::two_wire(2.0, warm, 1000.0), 2.69499, 0.00001);

    let feet = |feet: f64| feet / 1000.0 * drop::KILOFOOT_METRES;
    let loss = drop::two_wire(feet(80.0), per_metre("1"), 100.0);
    near(loss, 2.464, 0.0005);
    near(loss / 240.0 * 100.0, 1.027, 0.0005);

    near(drop::two_wire(feet(100.0), per_metre("12"), 16.0), 6.336, 0.0005);

    let per_metre_at_70 = drop::from_20(
        drop::iec_resistance(6.0, Strands::Fixed).expect("a section") / 1000.0,
        70.0,
        Metal::Copper,
    );
    near(drop::two_wire(30.0, per_metre_at_70, 32.0), 7.076, 0.0005);
}

#[test]
fn b4_a_split_phase_feeder_with_unequal_legs() {
    let ohms = drop::nec_resistance("3", Metal::Copper).expect("a size") / 10.0;
    let end = drop::split_phase(120.0, ohms, 60.0, 35.0);
    near(ohms, 0.0245, 1e-9);
    near(end.neutral, 25.0, 1e-9);
    near(end.first, 117.9175, 1e-6);
    near(end.second, 119.755, 1e-6);
    near(end.between, 237.6725, 1e-6);
}

#[test]
fn b7_a_resistance_at_another_temperature() {
    // From the 75 C of NFPA 70, Chapter 9 Table 8 by way of 20 C (IEC 60287-1-1) to 40 C.
    let at_75 = drop::nec_resistance("4/0", Metal::Copper).expect("a size");
    let at_20 = at_75 / drop::from_20(1.0, 75.0, Metal::Copper);
    near(drop::from_20(at_20, 40.0, Metal::Copper), 0.05392, 0.000_005);
}

#[test]
fn resistances_of_the_table_follow_from_the_diameters() {
    // ASTM B258: d = 0.005 in * 92^((36 - n) / 39); copper of 10.371 ohm cmil/ft at 20 C and two
    // per cent for stranding, both from memory. No row is off by more than 0.6 per cent.
    for (size, number) in [
        ("14", 14.0),
        ("12", 12.0),
        ("10", 10.0),
        ("8", 8.0),
        ("6", 6.0),
        ("4", 4.0),
        ("3", 3.0),
        ("2", 2.0),
        ("1", 1.0),
        ("1/0", 0.0),
        ("2/0", -1.0),
        ("3/0", -2.0),
        ("4/0", -3.0),
    ] {
        let mils = 5.0 * 92f64.powf((36.0 - number) / 39.0);
        let at_20 = 10.371 / (mils * mils) * 1000.0 * 1.02;
        let formula = drop::from_20(at_20, 75.0, Metal::Copper);
        let table = drop::nec_resistance(size, Metal::Copper).expect("a size");
        near(table / formula, 1.0, 0.006);
    }
}

#[test]
fn d1_volts_across_a_joint() {
    for (degrees, volts) in
        [(1.0, 2.094), (10.0, 20.917), (30.0, 62.117), (120.0, 207.846), (180.0, 240.0)]
    {
        near(volts_across(120.0, degrees), volts, 0.0005);
    }
}

#[test]
fn d2_to_d4_currents_in_the_neutral() {
    let phasor = |amperes, degrees| Phasor { amperes, degrees };
    near(split_phase_neutral(phasor(40.0, 0.0), phasor(25.0, 0.0)), 15.0, 1e-9);
    near(split_phase_neutral(phasor(40.0, 0.0), phasor(25.0, -30.0)), 22.202, 0.0005);
    near(three_phase_neutral([10.0, 8.0, 6.0]), 3.464, 0.0005);
    // The trap: a published answer of 15.1 A had lost two minus signs.
    assert!((three_phase_neutral([10.0, 8.0, 6.0]) - 15.1).abs() > 10.0);
    near(three_phase_neutral([20.0, 20.0, 0.0]), 20.0, 1e-9);
    near(neutral(&[]), 0.0, 0.0);
}
