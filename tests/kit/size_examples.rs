//! The worked examples of the power side as sheets, each with what must come of it. Those marked
//! `published` stand in a text that was read; the others were worked out by two routes. NEC is NFPA 70 in
//! its edition of 2023.

mod direct;

use std::fmt::Write;

/// A split-phase supply by the American code.
pub const SPLIT: &str = "code = NEC\nsupply system = split-phase 120/240 V\n";
const COPPER_75: &str =
    "conductor = metal copper, insulation 75 C, terminals 75 C, ambient 30 C, together 3\n";

/// So many units, the first one leading.
pub fn units(count: usize) -> String {
    (1..=count).fold(String::new(), |mut text, unit| {
        let role = if unit == 1 { "coordinator" } else { "follower" };
        let _ = writeln!(text, "unit {unit} = {role}, addr {unit}, count {count}");
        text
    })
}

/// What an example wants of a quantity.
#[derive(Debug)]
pub enum Wanted {
    /// A number, within a tolerance.
    Near(f64, f64),
    /// A word of the trade.
    Text(&'static str),
}
use Wanted::{Near, Text};

/// An example: its name, its source, its sheet, and the quantities that must come of it.
#[derive(Debug)]
pub struct Example {
    /// Its name.
    pub name: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// Its sheet.
    pub sheet: String,
    /// Quantities, by their ids.
    pub wanted: Vec<(&'static str, Wanted)>,
}

fn example(
    name: &'static str,
    source: &'static str,
    sheet: &[&str],
    wanted: Vec<(&'static str, Wanted)>,
) -> Example {
    Example { name, source, sheet: sheet.concat(), wanted }
}

const OWN: &str = "worked out by a formula by hand and by an independent solve";

#[allow(clippy::too_many_lines, reason = "a table: each line is one example")]
fn ac() -> Vec<Example> {
    let three = units(3);
    let five = units(5);
    let sized = "all units = output breaker 45 A, output conductor 8 AWG\n\
                 feeder = breaker 125 A, conductor 1 AWG, length 80 ft\n";
    let cool = "conductor = metal copper, insulation 75 C, terminals 60 C, ambient 30 C, \
                together 3\n";
    let aluminium = "conductor = metal aluminium, insulation 75 C, terminals 75 C, ambient 30 C, \
                     together 3\nfeeder = breaker 250 A, conductor 350 kcmil\n";
    let phases = (1..=6).fold(String::new(), |mut text, unit| {
        let _ = writeln!(text, "unit {unit} = addr {unit}, phase L{}", (unit - 1) % 3 + 1);
        text
    });
    vec![
        example(
            "A1",
            OWN,
            &[SPLIT, COPPER_75, &three, "rated power = 8 kVA\n", sized],
            vec![
                ("unit.current", Near(33.333, 0.001)),
                ("unit.design", Near(41.667, 0.001)),
                ("unit.breaker", Near(45.0, 0.0)),
                ("unit.conductor", Text("8 AWG")),
                ("unit.ampacity", Near(50.0, 0.0)),
                ("unit.earth", Text("10 AWG")),
                // The trap: 1.25 times 100 A is 125 A and no more.
                ("feeder.current", Near(100.0, 1e-9)),
                ("feeder.design", Near(125.0, 0.0)),
                ("feeder.breaker", Near(125.0, 0.0)),
                ("feeder.conductor", Text("1 AWG")),
                ("feeder.ampacity", Near(130.0, 0.0)),
                ("feeder.earth", Text("6 AWG")),
                // B3: 80 ft of 1 AWG at 100 A.
                ("feeder.drop-volts", Near(2.464, 0.0005)),
                ("feeder.drop", Near(1.027, 0.0005)),
            ],
        ),
        example(
            "A1 with terminals of 60 C",
            OWN,
            &[SPLIT, cool, &three, "rated power = 8 kVA\n"],
            vec![("unit.conductor", Text("6 AWG"))],
        ),
        example(
            "A2",
            OWN,
            &[
                SPLIT,
                COPPER_75,
                &five,
                "rated power = 9.6 kVA\nfeeder = breaker 250 A\n",
                "feeder conductor = 250 kcmil\n",
            ],
            vec![
                ("unit.current", Near(40.0, 0.0)),
                ("unit.breaker", Near(50.0, 0.0)),
                ("feeder.breaker", Near(250.0, 0.0)),
                ("feeder.conductor", Text("250 kcmil")),
                ("feeder.earth", Text("4 AWG")),
            ],
        ),
        example(
            "A2 in aluminium",
            OWN,
            &[SPLIT, aluminium, &five, "rated power = 9.6 kVA\n"],
            vec![
                ("feeder.conductor", Text("350 kcmil")),
                ("feeder.ampacity", Near(250.0, 0.0)),
                ("feeder.earth", Text("2 AWG")),
            ],
        ),
        example(
            "A3",
            OWN,
            &[SPLIT, &units(16), "rated power = 8 kVA\n"],
            vec![
                ("feeder.current", Near(533.33, 0.01)),
                ("feeder.design", Near(666.67, 0.01)),
                ("feeder.breaker", Near(700.0, 0.0)),
            ],
        ),
        example(
            "A4",
            "published: a training library on the choice of conductors, 110.14(C)",
            &[SPLIT, COPPER_75, &units(1), "rated power = 22.8 kVA\n"],
            vec![
                ("unit.design", Near(118.75, 0.0)),
                ("unit.breaker", Near(125.0, 0.0)),
                ("unit.conductor", Text("1 AWG")),
            ],
        ),
        example(
            "A5",
            "published: open course notes on solar circuits (7.6 kW at 240 V)",
            &[SPLIT, COPPER_75, &units(1), "rated power = 7.68 kVA\n"],
            vec![
                ("unit.current", Near(32.0, 0.0)),
                ("unit.breaker", Near(40.0, 0.0)),
                ("unit.conductor", Text("8 AWG")),
            ],
        ),
        example(
            "A6",
            OWN,
            &[
                SPLIT,
                &units(1),
                "rated power = 8 kVA\nconductor = metal copper, insulation 90 C\n",
                "conductor = terminals 75 C, ambient 45 C, together 6\n",
                "all units output conductor = 3 AWG\n",
            ],
            vec![("unit.ampacity", Near(80.04, 0.0))],
        ),
        example(
            "A7",
            OWN,
            &["code = NEC\nsupply system = three-phase 120/208 V\nrated power = 6 kVA\n", &phases],
            vec![
                ("unit.current", Near(50.0, 0.0)),
                ("feeder.current", Near(100.0, 0.0)),
                ("feeder.breaker", Near(125.0, 0.0)),
            ],
        ),
        example(
            "A8",
            "published: lessons for electricians on 705.12",
            &[SPLIT, &units(1), "rated power = 7.68 kVA\nbusbar = rating 200 A, main 200 A\n"],
            vec![("busbar.most-at-far-end", Near(32.0, 0.0))],
        ),
        example(
            "A9",
            OWN,
            &[SPLIT, &units(4), "rated power = 7.68 kVA\nbusbar = rating 200 A, main 200 A\n"],
            vec![("busbar.load", Near(360.0, 0.0))],
        ),
        example(
            "A10",
            OWN,
            &[
                "code = IEC\nsupply system = single-phase 230 V\nrated power = 8 kVA\n",
                &units(1),
                "conductor = metal copper, insulation PVC, laid conduit, ambient 40 C, together 2\n",
                "all units output conductor = 6 mm2\n",
            ],
            vec![
                ("unit.current", Near(34.78, 0.005)),
                ("unit.breaker", Near(40.0, 0.0)),
                ("unit.conductor", Text("10 mm2")),
                ("unit.ampacity", Near(35.67, 1e-9)),
            ],
        ),
        example(
            "A11",
            OWN,
            &[
                "code = IEC\nsupply system = three-phase 400 V\nrated power = 24 kVA\n",
                &units(1),
                "unit 1 ac out = L1->bar L1; L2->bar L2; L3->bar L3; N->bar N; PE->earth bar\n",
                "conductor = metal copper, insulation XLPE, laid clipped direct, ambient 30 C\n",
                "conductors together = 3\n",
            ],
            vec![
                ("unit.current", Near(34.64, 0.005)),
                ("unit.breaker", Near(40.0, 0.0)),
                ("unit.conductor", Text("4 mm2")),
            ],
        ),
        example(
            "B5",
            OWN,
            &[
                "supply system = single-phase 120 V\nrated power = 1.92 kVA\n",
                &units(1),
                "conductor metal = copper\nall units = output conductor 12 AWG, output lead 100 ft\n",
            ],
            vec![("unit.drop-volts", Near(6.336, 1e-6)), ("unit.drop", Near(5.28, 1e-6))],
        ),
        example(
            "B6",
            OWN,
            &[
                "supply system = single-phase 230 V\nrated power = 7.36 kVA\n",
                &units(1),
                "conductor = metal copper, insulation PVC\n",
                "all units = output conductor 6 mm2, output lead 30 m\n",
            ],
            vec![("unit.drop-volts", Near(7.076, 0.0005)), ("unit.drop", Near(3.08, 0.005))],
        ),
        example(
            "D2",
            OWN,
            &[SPLIT, &units(1), "load = L1 40 A, L2 25 A\n"],
            vec![("neutral.current", Near(15.0, 1e-9))],
        ),
        example(
            "D4",
            "own; a published forum answer says 15.1 A, with two minus signs lost",
            &["supply system = three-phase 400 V\n", &units(1), "load = L1 10 A, L2 8 A, L3 6 A\n"],
            vec![("neutral.current", Near(3.464, 0.0005))],
        ),
    ]
}

/// Every example.
pub fn all() -> Vec<Example> {
    ac().into_iter().chain(direct::battery_and_sensors()).chain(direct::solar()).collect()
}
