//! What a gateway hears at the plant, held against the list by the rules of what is heard.
//!
//! Who is reached from the gateway follows from the link as a circuit; what the controller says of
//! itself follows the table of causes in tests/facts (from memory where that says so).

use super::bench::Link;
use super::look::Seen;
use super::plant::{Plant, number_of};
use crate::diagnosis::{Diagnosis, HeardLog, diagnose_heard, stage};
use crate::engine::plan;
use crate::fault::heard::{LASTS_MS, Traffic};
use crate::hearing::Hearing;
use crate::log::Reader;
use crate::meter::fault::{Cut, Fault as Wires};
use crate::meter::topology::{Fitted, Wire};
use coldcheck_core::rules::RuleId;

/// What the controller says when it has left the bus, and when it counts too many bad frames.
const OFF: (u32, [u8; 8]) = (0x2000_0040, [0; 8]);
const PASSIVE: (u32, [u8; 8]) = (0x2000_0004, [0, 0x10, 0, 0, 0, 0, 0, 0]);

/// The log of twelve seconds.
pub fn log(plant: &Plant<'_>) -> String {
    traffic(plant).candump()
}

fn traffic(plant: &Plant<'_>) -> Traffic {
    let mut traffic = plant.voices();
    traffic.voices.retain(|voice| voice.until_ms > 0);
    if plant.has_other_speed() || plant.counts_errors {
        traffic.controller = Some(PASSIVE);
    }
    let Some(link) = plant.link() else { return traffic };
    let reached = reached(plant, link);
    let here: Vec<u16> = reached.iter().filter_map(|at| number_of(&link.points[*at])).collect();
    let planned = &plant.bench.traffic.voices;
    // Right voices stand in the order of the units' numbers, and so do those of the plant that are
    // theirs; strangers are heard from wherever they are.
    let lost: Vec<u32> = (1..)
        .zip(planned)
        .filter(|(unit, _)| !here.contains(unit))
        .map(|(_, voice)| voice.serial)
        .collect();
    traffic.voices.retain(|voice| !lost.contains(&voice.serial));
    for wires in &plant.wires {
        let is_dead = match *wires {
            Wires::Shorted { cable } => touches(link, cable, &reached),
            Wires::Grounded { point, .. } => reached.contains(&point),
            Wires::Open { cut: Cut::One, .. } | Wires::Swapped { .. } => {
                traffic.controller = Some(PASSIVE);
                false
            }
            Wires::Loose { cable, .. } => {
                fall_silent(plant, link, cable, &mut traffic);
                false
            }
            Wires::Open { cut: Cut::Both, .. }
            | Wires::Missing { .. }
            | Wires::Extra { .. }
            | Wires::Moved { .. }
            | Wires::Ring { .. } => false,
        };
        if is_dead {
            traffic.voices.clear();
            traffic.controller = Some(OFF);
        }
    }
    if terminators(plant, link, &reached) == 0 {
        traffic.voices.clear();
        traffic.controller = Some(OFF);
    }
    traffic
}

/// Everything beyond a cable falls silent after a while.
fn fall_silent(plant: &Plant<'_>, link: &Link, cable: usize, traffic: &mut Traffic) {
    let near = reached_without(plant, link, Some(cable));
    let near: Vec<u16> = near.iter().filter_map(|at| number_of(&link.points[*at])).collect();
    for (unit, planned) in (1..).zip(&plant.bench.traffic.voices) {
        let own = traffic.voices.iter_mut().find(|own| own.serial == planned.serial);
        if let Some(own) = own.filter(|_| !near.contains(&unit)) {
            own.until_ms = LASTS_MS / 2 + 1500;
        }
    }
}

fn touches(link: &Link, cable: usize, points: &[usize]) -> bool {
    link.topology
        .cables
        .get(cable)
        .is_some_and(|lead| lead.ends.iter().any(|end| points.contains(end)))
}

/// Points to which frames come from the gateway and back.
fn reached(plant: &Plant<'_>, link: &Link) -> Vec<usize> {
    reached_without(plant, link, None)
}

fn reached_without(plant: &Plant<'_>, link: &Link, without: Option<usize>) -> Vec<usize> {
    let from = crate::fault::unit_name(plant.bench.listens_at());
    let mut found: Vec<usize> = link.point(&from).into_iter().collect();
    let straight = [Some(Wire::High), Some(Wire::Low)];
    let carries = |position: usize| {
        let is_whole = |wires: &Wires| !matches!(*wires, Wires::Open { cable, .. } | Wires::Swapped { cable } if cable == position);
        without != Some(position)
            && link.topology.cables[position].lands == straight
            && plant.wires.iter().all(is_whole)
    };
    let mut at = 0;
    while let Some(point) = found.get(at).copied() {
        at += 1;
        for cable in link.topology.cables_at(point).filter(|cable| carries(*cable)) {
            for end in link.topology.cables[cable].ends {
                if !found.contains(&end) {
                    found.push(end);
                }
            }
        }
    }
    found
}

/// Whether a link that holds together has not as many terminators as it should: what is sent comes back
/// from its ends, or is pulled down, and bad frames are counted.
pub(super) fn echoes(plant: &Plant<'_>) -> bool {
    let loaded = |plant: &Plant<'_>| {
        let link = plant.link()?;
        let reached = reached(plant, link);
        (reached.len() == link.points.len()).then(|| terminators(plant, link, &reached))
    };
    loaded(plant).is_some_and(|count| loaded(&Plant::right(plant.bench)) != Some(count))
}

/// Terminators that load the part of the link that the gateway is on. Those that switch themselves
/// count, since nobody can tell.
fn terminators(plant: &Plant<'_>, link: &Link, reached: &[usize]) -> usize {
    let own = |point: &usize| {
        let fitted = &link.topology.points[*point].terminators;
        fitted.iter().filter(|one| one.fitted != Fitted::Unknown).count()
    };
    let mut count: usize = reached.iter().map(own).sum();
    for wires in &plant.wires {
        let (gone, come) = match *wires {
            Wires::Missing { point } => (Some(point), None),
            Wires::Extra { point } => (None, Some(point)),
            Wires::Moved { from, to } => (Some(from), Some(to)),
            Wires::Open { .. }
            | Wires::Loose { .. }
            | Wires::Swapped { .. }
            | Wires::Shorted { .. }
            | Wires::Ring { .. }
            | Wires::Grounded { .. } => (None, None),
        };
        let is_here = |point: Option<usize>| point.is_some_and(|point| reached.contains(&point));
        count = (count + usize::from(is_here(come))).saturating_sub(usize::from(is_here(gone)));
    }
    // A ring has no end to terminate.
    if link.topology.is_tree() || count > 0 { count } else { 1 }
}

/// What is said of a log that was heard beside the sheets as planned.
pub(super) fn compared(plant: &Plant<'_>) -> Option<Diagnosis> {
    let site = &plant.bench.link.site;
    let plan = plan(site).ok()?;
    let mut hearing = Hearing::of(&plan, Reader::new("bus.log", None));
    hearing.push(log(plant).as_bytes()).ok()?;
    hearing.finish().ok()?;
    diagnose_heard(site, &hearing).ok()
}

/// Sentences about what is heard otherwise than declared, as `hear` tells of the same log: its
/// findings, and who is not heard where no finding says so.
pub fn findings(plant: &Plant<'_>) -> Vec<String> {
    let Some(diagnosis) = compared(plant) else { return Vec::new() };
    let heard = diagnosis.findings.iter().filter(|finding| stage(finding.rule) == "heard");
    let names_them = heard
        .clone()
        .any(|finding| [RuleId::UnitSilent, RuleId::NothingHeard].contains(&finding.rule));
    let silent = diagnosis.heard.as_ref().filter(|_| !names_them).and_then(HeardLog::silent);
    heard.map(|finding| finding.says.clone()).chain(silent).collect()
}

pub(super) fn listen(plant: &Plant<'_>) -> Seen {
    if plant.heard.is_empty() && !plant.counts_errors && traffic(plant) == plant.bench.traffic {
        return Seen::plain(ALL_HEARD);
    }
    let found = findings(plant);
    Seen::plain(if found.is_empty() { ALL_HEARD.to_owned() } else { found.join("; ") })
}

const ALL_HEARD: &str = "every unit is heard as declared, and no bad frame is counted";
