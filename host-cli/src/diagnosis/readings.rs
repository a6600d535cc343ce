//! What the readers found goes into the report, each finding under its rule.

use super::findings::{Note, Words};
use crate::assemble::position_of;
use crate::declared::{At, Reading, Subject};
use crate::engine::Site;
use coldcheck_core::links::Links;
use coldcheck_core::place::{CableId, DeviceId, PackId, Place, SensorId, UnitId};
use coldcheck_core::plan::{Datum, Demand, Plan, Scope};
use coldcheck_core::report::{Report, Sink};
use coldcheck_core::rule::Check;
use coldcheck_core::rules::{RULES, RuleId, report_reading};

/// Writes what the readers found, before the checks run.
pub(super) fn report_readings(site: &Site, plan: &Plan<'_>, report: &mut Report<'_>) -> Words {
    let mut words = Words::default();
    for (rule, words_of_rule) in RULES {
        if !matches!(words_of_rule.check, Check::Reader) {
            continue;
        }
        report_reading(*rule, report, |sink| {
            for reading in site.declared.readings.iter().filter(|reading| reading.rule == *rule) {
                write(site, reading, sink, &mut words);
            }
            if *rule == RuleId::LabelUnknownUnit && !site.declared.lists_units {
                sink.open(Datum::UnitList);
            }
            if *rule == RuleId::LengthMissing {
                let written = |cable| {
                    let declared = site.assembled.map.cable(cable);
                    declared.is_some_and(|cable| site.declared.cables[cable].has_length())
                };
                lengths_missing(plan, site.declared.lists_cables, &written, sink);
            }
            if site.declared.unread.iter().any(|(unread, _)| unread == rule) {
                sink.open(words_of_rule.shows);
            }
        });
    }
    words
}

fn write(site: &Site, reading: &Reading, sink: &mut Sink<'_, '_>, words: &mut Words) {
    let socket = reading.at.iter().find_map(|at| match at {
        At::Socket(_, socket) => Some(socket.clone()),
        At::Subject(_) => None,
    });
    let of = |list: &[At]| list.iter().map(|at| place(site, at)).collect::<Vec<_>>();
    let (mut at, mut near) = (of(&reading.at), of(&reading.near));
    if reading.rule == RuleId::CableIdRepeated {
        // The cables are alike; the order of the plan says which stands for them.
        at.append(&mut near);
        at.sort();
        near = at.split_off(reading.at.len());
    }
    let named = at.first().map(|place| super::naming::name(site, *place).phrase());
    let finding = sink.add();
    for place in at {
        finding.at(place);
    }
    for place in near {
        finding.near(place);
    }
    let text = match (reading.rule, named) {
        (RuleId::CableIdRepeated, Some(label)) => label,
        _ => reading.value.clone().unwrap_or_default(),
    };
    finding.value(words.add(Note {
        text,
        origins: reading.origins.clone(),
        socket,
        ..Note::default()
    }));
    if let Some(wanted) = &reading.wanted {
        finding.wanted(words.add(Note { text: wanted.clone(), ..Note::default() }));
    }
}

/// Link cables without a length, where the length is limited: the same cables for which
/// `link-too-long` stays open. What is written and not understood is asked about already.
pub(crate) fn lengths_missing(
    plan: &Plan<'_>,
    lists_cables: bool,
    written: &dyn Fn(CableId) -> bool,
    sink: &mut Sink<'_, '_>,
) {
    let demands = plan.demands;
    if demands.max_link_total().is_none() && demands.max_cable().is_none() {
        sink.undemanded(Demand::MaxLinkTotal);
        return;
    }
    if !lists_cables {
        sink.open(Datum::CableList);
        return;
    }
    if !plan.group.scope().covers(Scope::COMMUNICATION) {
        return;
    }
    let links = Links::build(plan);
    let line = links.line_cables();
    let mut missing = line.iter().filter(|cable| !written(*cable)).peekable();
    if missing.peek().is_some() {
        // Where lengths must be declared, that is said already.
        let finding = if demands.must_declare().contains(Datum::Length) {
            sink.open(Datum::Length)
        } else {
            sink.add()
        };
        for cable in missing {
            finding.at(Place::Cable(cable));
        }
    }
}

/// The plan's place of what a reader speaks of.
fn place(site: &Site, at: &At) -> Place {
    let map = &site.assembled.map;
    let found = match at {
        At::Subject(Subject::Group) => None,
        At::Subject(Subject::Unit(unit)) | At::Socket(unit, _) => {
            position_of(&map.units, *unit).map(|id| Place::Unit(UnitId(id)))
        }
        At::Subject(Subject::Cable(cable)) => map.cable_id(*cable).map(Place::Cable),
        At::Subject(Subject::Pack(pack)) => {
            position_of(&map.packs, *pack).map(|id| Place::Pack(PackId(id)))
        }
        At::Subject(Subject::Sensor(sensor)) => {
            position_of(&map.sensors, *sensor).map(|id| Place::Sensor(SensorId(id)))
        }
        At::Subject(Subject::Device(device)) => {
            position_of(&map.devices, *device).map(|id| Place::Device(DeviceId(id)))
        }
    };
    found.unwrap_or(Place::Group)
}
