//! Examples of battery, sensors and strings.

use super::Wanted::Near;
use super::{Example, OWN, SPLIT, example, units};

#[allow(clippy::too_many_lines, reason = "a table: each entry is one example")]
pub(super) fn battery_and_sensors() -> Vec<Example> {
    let of = |power: &str, volts: &str, efficiency: &str| {
        format!(
            "code = NEC\nrated power = {power}\nbattery = min voltage {volts}, efficiency {efficiency}\n"
        )
    };
    let unequal = "conductor metal = copper\nall units battery conductor = 2/0 AWG\n\
                   unit 1 battery lead = 1 m\nunit 2 battery lead = 2 m\nunit 3 battery lead = 4 m\n";
    let bank = "max battery voltage = 51.2 V\npacks fitted = 4\npack resistance = 8 mohm\n";
    let meter = "CT L1 = \nCT L1 secondary = 5 A\nCT L1 lead length = 50 ft\nCT L1 lead size = 14 AWG\n\
                 CT L1 meter resistance = 20 mohm\nCT L1 burden = 10 VA\n";
    vec![
        example(
            "C1",
            "published: a course of 2010 after an open text on suggested practices",
            &[&of("2500 W", "22 V", "85 %"), &units(1)],
            vec![("battery.current", Near(133.69, 0.005)), ("battery.design", Near(167.11, 0.005))],
        ),
        example(
            "C2",
            OWN,
            &[&of("8000 W", "48 V", "94 %"), &units(1)],
            vec![
                ("battery.current", Near(177.305, 0.0005)),
                ("battery.design", Near(221.631, 0.0005)),
                ("battery.fuse", Near(225.0, 0.0)),
            ],
        ),
        example(
            "C3",
            OWN,
            &[&of("11 kW", "44.8 V", "93 %"), &units(1)],
            vec![
                ("battery.current", Near(264.017, 0.0005)),
                ("battery.design", Near(330.021, 0.0005)),
                ("battery.fuse", Near(350.0, 0.0)),
            ],
        ),
        example(
            "C4",
            OWN,
            &[
                &of("8000 W", "48 V", "94 %"),
                &units(1),
                "conductor metal = copper\n",
                "all units = battery conductor 2/0 AWG, battery lead 1.5 m\n",
            ],
            vec![
                ("battery.lead-current", Near(177.933, 0.0005)),
                ("battery.lead-volts", Near(47.8306, 0.00005)),
            ],
        ),
        example(
            "C5",
            OWN,
            &[&of("4800 W", "48 V", "100 %"), &units(3), unequal],
            vec![("battery.unevenness", Near(1.7143, 0.0001))],
        ),
        example(
            "C8",
            OWN,
            &[&units(1), bank, "battery path resistance = 1 mohm\n"],
            vec![
                ("battery.resistance", Near(0.002, 1e-12)),
                ("battery.fault", Near(17_066.7, 0.1)),
            ],
        ),
        example(
            "C8, bolted at the bus",
            OWN,
            &[&units(1), bank],
            vec![("battery.fault", Near(25_600.0, 1e-6))],
        ),
        example(
            "E7",
            OWN,
            &[&units(1), "CT L1 ratio set = 100:5\nCT L1 ratio on part = 200:5\n"],
            vec![("sensor.shown", Near(0.5, 1e-9))],
        ),
        example(
            "E9",
            OWN,
            &[SPLIT, &units(5), "rated power = 9.6 kVA\nCT L1 ratio on part = 400:5\n"],
            vec![("sensor.secondary", Near(2.5, 1e-9))],
        ),
        example(
            "E10",
            OWN,
            &[&units(1), meter.trim_start_matches("CT L1 = \n")],
            vec![("sensor.burden", Near(8.35, 0.001))],
        ),
        example(
            "E10 at 1 A",
            OWN,
            &[&units(1), &meter.trim_start_matches("CT L1 = \n").replace("5 A", "1 A")],
            vec![("sensor.burden", Near(0.334, 0.0001))],
        ),
        example(
            "pre-charge",
            "own: 3 units of 20 mF at 58 V, 25 ohm",
            &[
                &units(3),
                "input capacitance = 20000 uF\nmax battery voltage = 58 V\n",
                "pre-charge resistor = 25 ohm\n",
            ],
            vec![("precharge.energy", Near(100.92, 1e-6)), ("precharge.time", Near(4.5, 1e-9))],
        ),
    ]
}

pub(super) fn solar() -> Vec<Example> {
    vec![
        example(
            "F1",
            "published: open course notes on solar components",
            &[
                &units(1),
                "module = voc 49.5 V, coefficient -0.27 %/K, kind silicon\n",
                "array = strings 11, coldest day -10 C\nsolar input max voltage = 600 V\n",
            ],
            vec![
                ("module.cold-volts", Near(54.178, 0.0005)),
                ("module.most", Near(11.0, 0.0)),
                ("string.cold-volts", Near(595.96, 0.005)),
                ("module.cold-volts-table", Near(56.43, 0.001)),
            ],
        ),
        example(
            "F1 by the table alone",
            "published: open course notes on solar components",
            &[
                &units(1),
                "module = voc 49.5 V, kind silicon\ncoldest day = -10 C\n",
                "solar input max voltage = 600 V\n",
            ],
            vec![("module.most", Near(10.0, 0.0))],
        ),
        example(
            "F2",
            "published: a note on sizing arrays",
            &[
                &units(1),
                "module = voc 49.5 V, coefficient -0.28 %/K\ncoldest day = -5 C\n",
                "solar input max voltage = 1000 V\n",
            ],
            vec![("module.cold-volts", Near(53.658, 0.0005)), ("module.most", Near(18.0, 0.0))],
        ),
        example(
            "F3",
            "published: an open lesson that corrects a course",
            &[&units(1), "module = voc 38.9 V, kind silicon\ncoldest day = -20 C\nstrings = 2\n"],
            vec![("string.cold-volts-table", Near(91.80, 0.005))],
        ),
    ]
}
