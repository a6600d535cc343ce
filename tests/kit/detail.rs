//! A third sheet for a generated site: every further fact and demand that rules look at, so that
//! what a check costs is measured with its rules at work.

use crate::cases::sheet;
use coldcheck::read::RawSheet;
use std::fmt::Write;

/// What the profile `plain` leaves open, stated as a right site would.
const DEMANDS: &str = "\
medium = can
bit rate = 500 kbit/s
sockets = A to B
max units = 32
max stub = 2 m
terminator value = 120 ohm
address range = 1-100
lead wiring = straight
wired pins = 1, 2, 3
common pin = 3
model alike = yes
settings alike = frequency, charge voltage, charge limit
charge limit is for = bank
sensors = 2
sensors sit on = supply side
arrow must point to = house
packs fitted = 2
packs set = 2
lead pack = 1
capacity set = 10 kWh
supply breaker = 63 A
pack 1 address = 1
pack 2 address = 2
pack 1 protocol = frame set 2
pack 2 protocol = frame set 2
pack 1 charge limit = 50 A
pack 2 charge limit = 50 A
pack 1 capacity = 5 kWh
pack 2 capacity = 5 kWh
pv = roof south -> unit 1; roof west -> unit 2
";

/// Everything further about a site of so many units.
///
/// # Panics
/// Never: text grows as it must.
pub fn detail(units: usize) -> RawSheet {
    let mut text = DEMANDS.to_owned();
    for unit in 1..=units {
        for fact in [
            "firmware = 2.14".to_owned(),
            "model = six".to_owned(),
            format!("serial = {}", 7000 + unit),
            "mode = parallel".to_owned(),
            "link bit rate = 500 kbit/s".to_owned(),
            "serial format = 19200 8N1".to_owned(),
            "frequency = 50 Hz".to_owned(),
            "charge voltage = 54.4 V".to_owned(),
            "charge limit = 80 A".to_owned(),
            "battery type = data link".to_owned(),
            "battery protocol = frame set 2".to_owned(),
            "terminator ohms = 120 ohm".to_owned(),
        ] {
            writeln!(text, "unit {unit} {fact}").expect("text grows");
        }
    }
    for leg in ["L1", "L2"] {
        for fact in [
            "arrow = house",
            "ratio on part = 2000:1",
            "ratio set = 2000:1",
            "place = supply side",
            "rating = 100 A",
        ] {
            writeln!(text, "CT {leg} {fact}").expect("text grows");
        }
        writeln!(text, "CT {leg} input = {leg}\nCT {leg} voltage reference = {leg}")
            .expect("text grows");
    }
    sheet("detail", &text)
}
