//! Ohms against worked cases, and the core's whole numbers against the host's equations.
//!
//! `tests/facts/meter_cases.json`: 25 chains and a ring with every reading and pull, a wire at the
//! common, biased pairs; each worked out twice, by ladder arithmetic and by ngspice on separate
//! conductors (worst difference between the two 0.005 %).

use coldcheck::meter::circuit::{Between, Circuit, Pulled, Where};
use coldcheck::meter::fault::{Cut, Fault};
use coldcheck::meter::network::Network;
use coldcheck::meter::topology::{Bias, Topology, Wire};
use coldcheck::meter::values::{Short, Values};
use coldcheck_core::ohms::{Conditions, Doubtful, Leads, Probe, Pull, ohms_under};
use coldcheck_core::place::CableId;
use coldcheck_core::plan::{Demand, Wiring};
use coldcheck_core::sets::NodeId;
use coldcheck_core::units::Milliohms;
use coldcheck_tests::meter::{Link, agree};
use coldcheck_tests::paths;
use coldcheck_tests::program::{out, run_in};
use serde_json::Value;

/// How far a result may be from the published one.
const LIMIT: f64 = 0.001;

fn facts() -> Value {
    let path = paths::tests().join("facts/meter_cases.json");
    let text = std::fs::read_to_string(path).expect("the cases");
    serde_json::from_str(&text).expect("JSON")
}

fn whole(value: f64) -> u32 {
    format!("{value:.0}").parse().expect("a whole number")
}

/// A case with the conditions under which it was worked out.
struct Case {
    link: Link,
    conditions: Conditions,
    faults: Vec<Fault>,
    shorts: [Short; 2],
    /// Whether the faults are in the plan, so that the core can tell the readings too.
    is_declared: bool,
}

impl Case {
    fn of(case: &Value) -> Self {
        let units = usize::try_from(case["units_n"].as_u64().expect("a count")).expect("few");
        let mut link = Link::of(units);
        for (unit, ohms) in
            case["terminator_ohm"].as_array().expect("terminators").iter().enumerate()
        {
            if let Some(ohms) = ohms.as_f64() {
                link.terminate(unit, u16::try_from(whole(ohms)).expect("a terminator"));
            }
        }
        let mut faults = Vec::new();
        let mut shorts = [Short { at: 0.5, ohms: 0.1 }; 2];
        let mut cables: Vec<_> = case["cables"].as_array().expect("cables").iter().collect();
        let ring = case.get("ring_cable");
        cables.extend(ring);
        link.demand(Demand::PairPins, 1 << 16 | 2);
        for (position, cable) in cables.iter().enumerate() {
            let far = if position + 1 < units { position + 1 } else { 0 };
            let length = whole(cable["length_m"].as_f64().expect("a length") * 1000.0);
            let id = link.join(position, far, Some(length));
            match cable["state"].as_str().unwrap_or("ok") {
                "ok" => {}
                "crossover" => link.wire(id, Wiring::CrossoverTwo),
                "rollover" => link.wire(id, Wiring::Rollover),
                "open_pair" => faults.push(Fault::Open { cable: position, cut: Cut::Both }),
                "open_h" => faults.push(Fault::Open { cable: position, cut: Cut::One }),
                "swap_hl" => faults.push(Fault::Swapped { cable: position }),
                "short_pair" => {
                    faults.push(Fault::Shorted { cable: position });
                    shorts[0].at = cable["fault_at_fraction"].as_f64().expect("a share");
                    shorts[0].ohms = cable["fault_ohm"].as_f64().expect("ohms");
                }
                other => panic!("an unknown state: {other}"),
            }
        }
        for extra in case["extra"].as_array().into_iter().flatten() {
            let unit = usize::try_from(extra["unit"].as_u64().expect("a unit")).expect("few") - 1;
            assert_eq!(extra["ohm"].as_f64(), Some(120.0), "what an extra terminator has");
            faults.push(Fault::Extra { point: unit });
        }
        let is_declared = faults.is_empty() && ring.is_none();
        let of_first = |key: &str| cables.first().and_then(|cable| cable[key].as_f64());
        let warmth = 1.0 + 0.00393 * (of_first("temperature_degc").unwrap_or(20.0) - 20.0);
        let conditions = Conditions {
            terminator_permille: 1000,
            node_ohms: case["unit_rdiff_ohm"].as_f64().map(whole),
            conductor: whole(of_first("conductor_ohm_per_km").unwrap_or(0.0) * 1000.0),
            warmth: whole(warmth * 1e6),
            contact: whole(of_first("contact_ohm_each").unwrap_or(0.0) * 1e6),
            unknown_length: 0,
            doubtful: Doubtful::AtEnds,
        };
        Self { link, conditions, faults, shorts, is_declared }
    }

    /// What host and, where it can, core say of a reading.
    fn readings(&self, place: Where, pulled: Option<Pulled>) -> Vec<f64> {
        let plan = self.link.plan();
        let topology = Topology::of(&plan);
        let mut values = Values::of(&self.conditions, &topology);
        values.shorts = self.shorts;
        let circuit = Circuit::of(&topology, &values, &self.faults, pulled);
        let mut readings = vec![circuit.ohms(place, Between::Pair)];
        let small = |position: usize| u8::try_from(position).expect("few");
        if self.is_declared {
            let probe = Probe {
                leads: match place {
                    Where::Point(point) => Leads::Point(NodeId(small(point))),
                    Where::Plug => Leads::LoosePlug,
                },
                pull: pulled.map(|pulled| Pull {
                    cable: CableId(small(pulled.cable)),
                    at: NodeId(small(pulled.at)),
                }),
            };
            let told = ohms_under(&plan, probe, &self.conditions).expect("a line");
            readings.push(in_ohms(told));
        }
        readings
    }
}

fn in_ohms(told: Milliohms) -> f64 {
    if told == Milliohms::OPEN { f64::INFINITY } else { f64::from(told.0) / 1000.0 }
}

#[test]
fn every_worked_case_agrees_in_core_and_host() {
    let facts = facts();
    let (mut told, mut by_core) = (0, 0);
    for case in facts["cases"].as_array().expect("cases") {
        let id = case["id"].as_str().expect("an id");
        let own = Case::of(case);
        let mut hold = |place, pulled, expected: &Value, what: String| {
            // Nothing is open in the published figures but what is above a megohm.
            let expected = expected.as_f64().unwrap_or(f64::INFINITY);
            let readings = own.readings(place, pulled);
            by_core += usize::from(readings.len() > 1);
            for (who, reading) in ["host", "core"].iter().zip(&readings) {
                told += 1;
                assert!(
                    agree(*reading, expected, LIMIT),
                    "{id} {what}, {who}: {reading}, {expected}"
                );
            }
        };
        for reading in case["reading_all_plugged"].as_array().expect("readings") {
            let unit = usize::try_from(reading["unit"].as_u64().expect("a unit")).expect("few") - 1;
            hold(Where::Point(unit), None, &reading["hand_ohm"], format!("at {unit}"));
        }
        for reading in case["reading_one_cable_pulled"].as_array().into_iter().flatten() {
            let cable =
                usize::try_from(reading["cable"].as_u64().expect("a cable")).expect("few") - 1;
            let pulled = Some(Pulled { cable, at: cable });
            let what = format!("cable {cable} pulled");
            let into_port = &reading["into_port_hand_ohm"];
            hold(Where::Point(cable), pulled, into_port, format!("{what}, port"));
            hold(
                Where::Plug,
                pulled,
                &reading["into_loose_plug_hand_ohm"],
                format!("{what}, plug"),
            );
        }
    }
    // All that the file holds, and most of it twice.
    assert_eq!((told, by_core), (323 + 230, 230));
}

#[test]
fn a_wire_at_the_common_shows_between_wire_and_common_only() {
    let facts = facts();
    let case = &facts["cases_three_wire"][0];
    let mut link = Link::of(4);
    for unit in [0, 3] {
        link.terminate(unit, 120);
    }
    for unit in 0..3 {
        link.join(unit, unit + 1, Some(2000));
    }
    let topology = Topology::of(&link.plan());
    let conditions = Conditions {
        node_ohms: None,
        contact: 0,
        conductor: 84_210,
        ..Conditions::typical(&link.plan())
    };
    let values = Values::of(&conditions, &topology);
    let faults = [Fault::Grounded { point: 1, wire: Wire::High, milliohms: 100 }];
    let circuit = Circuit::of(&topology, &values, &faults, None);
    let places = [Between::Pair, Between::Common(Wire::High), Between::Common(Wire::Low)];
    for (between, reading) in places.into_iter().zip(case["readings"].as_array().expect("three")) {
        let expected = reading["hand_ohm"].as_f64().expect("ohms");
        let told = circuit.ohms(Where::Point(0), between);
        assert!(agree(told, expected, LIMIT), "{reading}: {told}");
    }
}

/// Each node of 5 kΩ from either wire to the common (ISO 11898-2, read second-hand), terminators
/// between the wires.
#[test]
fn a_right_link_reads_more_to_the_common_than_the_limit_that_is_printed() {
    let demo = paths::workspace().join("host-cli/demo/terrace-right");
    let told = out(&run_in(&demo, &["meter", "cables.csv", "settings.txt", "--format", "json"]));
    let told: Value = serde_json::from_str(&told).expect("JSON");
    let blind = told["cannot_see"].as_array().expect("what ohms cannot see");
    let own = blind.iter().find(|one| one["id"] == "wire-to-common").expect("the common");
    let words = own["instead"].as_str().expect("words");
    let (_, limit) = words.rsplit_once("above ").expect("a limit");
    let limit: f64 = limit.trim_end_matches(" ohm").parse().expect("ohms");
    let mut network = Network::default();
    let common = network.node();
    let wires = [network.node(), network.node()];
    for _ in 0..4 {
        for wire in wires {
            network.resistor(wire, common, 5000.0);
        }
    }
    for _ in 0..2 {
        network.resistor(wires[0], wires[1], 120.0);
    }
    let least = network.ohms(wires[0], common);
    assert!(limit <= least && least < 1.05 * limit, "{limit}, {least}");
}

#[test]
fn a_biased_pair_idles_at_the_published_volts() {
    for case in facts()["rs485_bias_cases"].as_array().expect("cases") {
        let number = |key: &str| case[key].as_f64();
        let mut network = Network::default();
        let (rail, a, b, ground) = (network.node(), network.node(), network.node(), network.node());
        let bias = number("bias_each_ohm").expect("ohms");
        network.resistor(rail, a, bias);
        network.resistor(b, ground, bias);
        network.resistor(a, b, number("terminator_1_ohm").expect("ohms"));
        network.resistor(a, b, number("terminator_2_ohm").expect("ohms"));
        if let Some(load) = number("line_to_common_each_ohm") {
            network.resistor(a, ground, load);
            network.resistor(b, ground, load);
        }
        let volts = network.volts(rail, ground).expect("joined");
        let share = (volts[a] - volts[b]) / volts[rail];
        let told = share * number("supply_v").expect("volts");
        let expected = number("idle_vab_ngspice_v").expect("volts");
        assert!(agree(told, expected, LIMIT), "{}: {told}, {expected}", case["id"]);
    }
}

#[test]
fn bias_resistors_lower_the_reading_only_where_the_rails_are_one() {
    let facts = facts();
    let cases = facts["rs485_power_off_cases"].as_array().expect("cases");
    let mut link = Link::of(2);
    link.terminate(0, 120);
    link.terminate(1, 120);
    link.join(0, 1, Some(0));
    let mut topology = Topology::of(&link.plan());
    topology.bias = vec![Bias { point: 0, ohms: 680.0 }];
    let conditions =
        Conditions { node_ohms: None, contact: 0, ..Conditions::typical(&link.plan()) };
    let mut values = Values::of(&conditions, &topology);
    for (rails, case) in [1.0, 0.0].into_iter().zip(cases) {
        values.rails = rails;
        let told = Circuit::of(&topology, &values, &[], None).ohms(Where::Point(1), Between::Pair);
        assert!(agree(told, case["hand_ohm"].as_f64().expect("ohms"), LIMIT), "{case}: {told}");
    }
}

/// What must be read is no guess: a reading outside its band is never called a fit.
#[test]
fn a_reading_outside_of_what_it_must_be_is_no_fit() {
    let folder = coldcheck_tests::program::folder("meter-outside");
    let cables = "cable,from,to,kind\nC1,unit 1 A,unit 2 B,link\nC2,unit 2 A,unit 3 B,link\n";
    let settings = "unit 1 = coordinator, addr 1, count 3, term on\n\
        unit 2 = follower, addr 2, count 3, term off\nunit 3 = follower, addr 3, count 3, term on\n";
    std::fs::write(folder.join("c.csv"), cables).expect("writable");
    std::fs::write(folder.join("s.txt"), settings).expect("writable");
    let read = |ohms: &str| {
        let output = run_in(&folder, &["meter", "c.csv", "s.txt", "--read", ohms]);
        (output.status.code(), out(&output).contains("FITS:"), out(&output).contains("  outside"))
    };
    assert_eq!(read("unit 1=60"), (Some(0), true, false));
    for ohms in ["unit 1=40", "unit 1=40.0", "unit 1=43"] {
        assert_eq!(read(ohms), (Some(1), false, true), "{ohms}");
    }
}
