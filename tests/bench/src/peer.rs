//! A plain program for the same job: serde_json for the line, the petgraph judge of the tests for
//! the rules, serde_json for the report.
//!
//! It judges 31 rules and tells the broken ones with their places. It tells neither severity nor
//! verdict, nor what was not checked for want of data, reads no other words than the generator
//! writes, and refuses nothing.

use crate::rows::{CableRow, SiteRow, Word};
use coldcheck_tests::oracle::site::{
    Cable, Demands, End, Kind, Leaders, Pairing, Shape, Site, Socket, Terminator, Unit,
};
use coldcheck_tests::oracle::{Judgment, Places, judge};
use serde::Serialize;
use serde::ser::{SerializeMap, SerializeSeq, Serializer};

/// Judges a line and writes one about it.
pub fn line(number: u64, line: &[u8], out: &mut Vec<u8>) {
    let row: SiteRow<'_> = serde_json::from_slice(line).expect("a generated line");
    let site = site(&row);
    let judged = judge(&site);
    let broken = judged.iter().filter_map(|(rule, judgment)| match judgment {
        Judgment::Broken(places) => Some((*rule, places.unwrap_or_default())),
        Judgment::Undemanded | Judgment::Met | Judgment::NotBroken => None,
    });
    let findings: Vec<Finding<'_>> = broken
        .map(|(rule, places)| Finding { rule, places: Named { row: &row, places } })
        .collect();
    let undemanded = judged.iter().filter(|(_, judgment)| *judgment == Judgment::Undemanded);
    let report = Report {
        line: number,
        profile: row.profile,
        findings,
        undemanded: undemanded.map(|(rule, _)| *rule).collect(),
        met: judged.iter().filter(|(_, judgment)| *judgment == Judgment::Met).count(),
    };
    serde_json::to_writer(&mut *out, &report).expect("memory takes everything");
    out.push(b'\n');
}

#[derive(Serialize)]
struct Report<'r> {
    line: u64,
    profile: &'r str,
    findings: Vec<Finding<'r>>,
    undemanded: Vec<&'r str>,
    met: usize,
}

#[derive(Serialize)]
struct Finding<'r> {
    rule: &'r str,
    places: Named<'r>,
}

/// Places by their names.
struct Named<'r> {
    row: &'r SiteRow<'r>,
    places: Places,
}

impl Serialize for Named<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        struct Place<'p>(&'static str, &'p str);
        impl Serialize for Place<'_> {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                let mut map = serializer.serialize_map(Some(1))?;
                map.serialize_entry(self.0, self.1)?;
                map.end()
            }
        }
        let mut list = serializer.serialize_seq(None)?;
        for (position, unit) in self.row.unit.iter().enumerate() {
            if self.places.units & (1 << position) != 0 {
                list.serialize_element(&Place("unit", unit.name))?;
            }
        }
        for (position, cable) in self.row.cable.iter().enumerate() {
            if self.places.cables & (1 << position) != 0 {
                list.serialize_element(&Place("cable", cable.label))?;
            }
        }
        list.end()
    }
}

fn site(row: &SiteRow<'_>) -> Site {
    let demands = &row.demands;
    Site {
        demands: Demands {
            shape: if demands.shape == "ring" { Shape::Ring } else { Shape::Line },
            terminated: demands.terminators_at == "both ends",
            pairing: demands.sockets.map(|words| match words {
                "either" => Pairing::Either,
                "A to B" => Pairing::Across,
                _ => Pairing::Alike,
            }),
            address_range: demands.address_range.and_then(|range| {
                let (low, high) = range.split_once('-')?;
                Some((low.parse().ok()?, high.parse().ok()?))
            }),
            contiguous: demands.contiguous.is_some(),
            coordinator_address: number(demands.coordinator_address)
                .and_then(|address| u16::try_from(address).ok()),
            coordinator_at_end: demands.coordinator_place.is_some(),
            leaders: if demands.coordinators == "one" {
                Leaders::One
            } else {
                Leaders::OneEachPhase
            },
            count_at_coordinator: demands.count_on == "coordinator",
            max_units: number(demands.max_units).and_then(|units| usize::try_from(units).ok()),
            battery_link_each: demands.battery_at == "each unit",
        },
        units: row
            .unit
            .iter()
            .map(|unit| Unit {
                leads: unit.role == "coordinator",
                address: number(Some(unit.address)).and_then(|address| u16::try_from(address).ok()),
                count: unit.count,
                terminator: match unit.terminator {
                    "off" => Terminator::Off,
                    "on" => Terminator::On,
                    "built in" => Terminator::BuiltIn,
                    _ => Terminator::Automatic,
                },
                serial: unit.serial.and_then(|serial| serial.parse().ok()),
                phase: unit.phase.map_or(1, |phase| phase.as_bytes()[1] - b'0'),
            })
            .collect(),
        cables: row.cable.iter().map(cable).collect(),
    }
}

fn number(word: Option<Word<'_>>) -> Option<u32> {
    match word? {
        Word::Number(number) => Some(number),
        Word::Text(_) => None,
    }
}

fn cable(row: &CableRow<'_>) -> Cable {
    Cable {
        ends: [end(row.from, row.from_port), end(row.to, row.to_port)],
        kind: match row.kind {
            "link" => Kind::Link,
            "battery" => Kind::Battery,
            _ => Kind::Sensor,
        },
    }
}

fn end(name: &str, port: Option<&str>) -> End {
    let (word, number) = name.split_once(' ').expect("generated names have a number");
    let position = |number: &str| number.parse::<usize>().expect("a number") - 1;
    match word {
        "unit" => End::Unit(position(number), port.map(socket)),
        "splitter" => End::Splitter(position(number)),
        "gateway" => End::Gateway(position(number)),
        "pack" => End::Pack(position(number)),
        _ => End::Sensor(number.as_bytes()[1] - b'0'),
    }
}

fn socket(name: &str) -> Socket {
    match name {
        "A" => Socket::A,
        "B" => Socket::B,
        "battery" => Socket::Battery,
        "CT" => Socket::Sensor,
        "meter" => Socket::Meter,
        _ => Socket::Service,
    }
}
