//! What is seen where somebody looks, at the plant or on paper.

mod panel;
mod paper;

use super::act::Act;
use super::plant::Plant;
use super::{listen, ohms};
use crate::fault::unit_name;
use crate::field::Field;
use crate::meter::fault::{Cut, Fault as Wires};
use crate::site_file::{Entry, List, SiteFile, Table};
use coldcheck_core::plan::Terminator;
use panel::{Panel, Part};

/// The outcome of an act.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    /// What of it tells faults apart: alike for two faults that this act does not tell apart.
    pub label: String,
    /// What a person reads.
    pub shown: String,
}

impl Seen {
    pub(super) fn plain(says: impl Into<String>) -> Self {
        let shown = says.into();
        Self { label: shown.clone(), shown }
    }
}

/// What an act shows at a plant.
pub fn seen(plant: &Plant<'_>, act: &Act) -> Seen {
    match act {
        Act::Ohms(unit) => ohms::all_plugged(plant, *unit),
        Act::Pull(cable, unit) => ohms::pulled(plant, cable, *unit),
        Act::Common(unit) => ohms::to_common(plant, *unit),
        Act::Listen => listen::listen(plant),
        Act::Pins(cable) => pins(plant, cable),
        Act::Move(cable) => moved(plant, cable),
        Act::Exchange(cable) => exchanged(plant, cable),
        Act::Row(label) => Seen::plain(paper::row(plant, label)),
        Act::Heading => Seen::plain(paper::heading(plant)),
        Act::Section(name) => Seen::plain(paper::section(plant, name)),
        Act::TopLines => Seen::plain(paper::top_lines(plant)),
        Act::OtherSheets => Seen::plain(paper::others(plant)),
        Act::Settings(_)
        | Act::Plate(_)
        | Act::Sockets(_)
        | Act::Terminals(_)
        | Act::BatterySide(_)
        | Act::Cable(_)
        | Act::Pack(_)
        | Act::Sensor(_)
        | Act::Device(_)
        | Act::Board
        | Act::Battery
        | Act::Roof
        | Act::Demands => compared(plant, act),
    }
}

type Facts = Vec<(String, String)>;

/// All facts at a place; what of them is otherwise than planned is what tells.
fn compared(plant: &Plant<'_>, act: &Act) -> Seen {
    let planned = facts(plant.planned(), plant, act);
    let mut there = facts(plant.file(), plant, act);
    if let Act::Sockets(unit) = act {
        by_wires(plant, &unit_name(*unit), &mut there);
    }
    let other = |fact: &&(String, String)| !planned.contains(fact);
    let mut differs: Vec<String> = there.iter().filter(other).map(told).collect();
    differs.extend(planned.iter().filter_map(|fact| gone(fact, &planned, &there)));
    let shown: Vec<String> = there.iter().map(told).collect();
    let shown = if shown.is_empty() { "nothing is there".to_owned() } else { shown.join("; ") };
    let label = if differs.is_empty() { AS_LISTED.to_owned() } else { differs.join("; ") };
    Seen { label, shown }
}

/// A planned fact that is gone with nothing in its place: of two cables in one kind of socket, one.
fn gone(fact: &(String, String), planned: &Facts, there: &Facts) -> Option<String> {
    let (key, value) = fact;
    let of = |all: &Facts| all.iter().filter(|(own, _)| own == key).count();
    let is_replaced = there.iter().any(|other| other.0 == *key && !planned.contains(other));
    match of(there) {
        0 => Some(format!("{key}: nothing")),
        left if left < of(planned) && !is_replaced && !there.contains(fact) => {
            Some(format!("{key}: no {value}"))
        }
        _ => None,
    }
}

/// What tells nothing.
const AS_LISTED: &str = "as listed";

fn told((key, value): &(String, String)) -> String {
    if key.is_empty() { value.clone() } else { format!("{key}: {value}") }
}

/// Terminators and cables that are seen at another place than declared, or that nobody listed.
fn by_wires(plant: &Plant<'_>, unit: &str, facts: &mut Facts) {
    let link = &plant.bench.link;
    let is_here = |point: usize| link.points.get(point).is_some_and(|name| name == unit);
    for wires in &plant.wires {
        if let Wires::Moved { from, to } = *wires
            && (is_here(from) || is_here(to))
        {
            let key = Field::Terminator.key();
            facts.retain(|(own, fact)| own != key && !fact.starts_with(PLUG));
            let word = if is_here(to) { Terminator::On } else { Terminator::Off }.word();
            facts.push((key.to_owned(), word.to_owned()));
        }
        if let Wires::Ring { a, b } = *wires
            && (is_here(a) || is_here(b))
        {
            facts.push(("free socket".to_owned(), UNLISTED.to_owned()));
        }
    }
}

/// A cable that no list has.
const UNLISTED: &str = "a cable that is not on the list";
/// A plug that terminates.
const PLUG: &str = "a terminator plug";

fn facts(file: &SiteFile, plant: &Plant<'_>, act: &Act) -> Facts {
    let of = |list: List, name: &str| {
        let key = if list == List::Cable { "label" } else { "name" };
        file.tables.iter().find(|table| table.list == list && table.value(key) == name)
    };
    let unit = |unit: u16, panel: Panel| -> Facts {
        let table = of(List::Unit, &unit_name(unit));
        table.map_or_else(Vec::new, |table| kept(&table.entries, |key| Panel::of(key) == panel))
    };
    match act {
        Act::Settings(own) => unit(*own, Panel::Settings),
        Act::Plate(own) => unit(*own, Panel::Plate),
        Act::Terminals(own) => unit(*own, Panel::Terminals),
        Act::BatterySide(own) => unit(*own, Panel::Battery),
        Act::Sockets(own) => {
            let mut all = unit(*own, Panel::Sockets);
            all.extend(plugs(file, plant, &unit_name(*own)));
            all
        }
        Act::Cable(label) => match of(List::Cable, label) {
            Some(table) => cable(table),
            None => vec![(String::new(), NO_CABLE.to_owned())],
        },
        Act::Pack(name) => thing(of(List::Pack, name)),
        Act::Sensor(name) => sensor(file, name, of(List::Sensor, name)),
        Act::Device(name) => thing(of(List::Device, name)),
        Act::Board => kept(&file.group, |key| Part::of(key) == Part::Board),
        Act::Battery => kept(&file.group, |key| Part::of(key) == Part::Battery),
        Act::Roof => kept(&file.group, |key| Part::of(key) == Part::Roof),
        Act::Demands => kept(&file.group, |key| Part::of(key) == Part::Papers),
        Act::Row(_)
        | Act::Heading
        | Act::Section(_)
        | Act::TopLines
        | Act::OtherSheets
        | Act::Pins(_)
        | Act::Move(_)
        | Act::Exchange(_)
        | Act::Ohms(_)
        | Act::Pull(..)
        | Act::Common(_)
        | Act::Listen => Vec::new(),
    }
}

const NO_CABLE: &str = "there is no such cable";

fn kept(entries: &[Entry], is_kept: impl Fn(&str) -> bool) -> Facts {
    let kept = entries.iter().filter(|entry| is_kept(&entry.key));
    kept.map(|entry| (entry.key.clone(), entry.value.clone().unwrap_or_default())).collect()
}

fn thing(table: Option<&Table>) -> Facts {
    let entries = table.map_or(&[][..], |table| table.entries.as_slice());
    kept(entries, |key| key != "name")
}

/// A sensor; of a lead that is not fitted there is nothing to see.
fn sensor(file: &SiteFile, name: &str, table: Option<&Table>) -> Facts {
    let mut facts = thing(table);
    let cables = file.tables.iter().filter(|table| table.list == List::Cable);
    let has_lead = |cable: &Table| ["from", "to"].iter().any(|end| cable.value(end) == name);
    if !cables.into_iter().any(has_lead) {
        facts.retain(|(key, _)| !key.starts_with("lead"));
        facts.push(("lead".to_owned(), "none is fitted".to_owned()));
    }
    facts
}

fn cable(table: &Table) -> Facts {
    let hidden = ["label", Field::Wiring.key(), Field::Pins.key(), "kind"];
    let mut facts = vec![(String::new(), table.ends().join(" to "))];
    facts.extend(kept(&table.entries, |key| !hidden.contains(&key) && !Table::ENDS.contains(&key)));
    facts
}

/// What sticks in the sockets of a unit.
fn plugs(file: &SiteFile, plant: &Plant<'_>, unit: &str) -> Facts {
    let mut plugs = Vec::new();
    for table in file.tables.iter().filter(|table| table.list == List::Cable) {
        let label = table.value("label");
        let is_listed = plant.bench.right.thing(List::Cable, label).is_some();
        let name = match (table.value("kind"), is_listed) {
            ("terminator", _) => PLUG.to_owned(),
            (_, true) => format!("cable {label}"),
            (_, false) => UNLISTED.to_owned(),
        };
        for [thing, port] in [["from", "from_port"], ["to", "to_port"]] {
            if table.value(thing) == unit {
                let port = table.value(port);
                let socket =
                    if is_listed { format!("socket {port}") } else { "free socket".into() };
                plugs.push((socket, name.clone()));
            }
        }
    }
    plugs.sort();
    plugs
}

/// The pins of a cable: what the print says, and what is wrong inside.
fn pins(plant: &Plant<'_>, label: &str) -> Seen {
    let table = plant
        .file()
        .tables
        .iter()
        .find(|one| one.list == List::Cable && one.value("label") == label);
    let Some(table) = table else { return Seen::plain(NO_CABLE) };
    let keys = [Field::Wiring.key(), Field::Pins.key()];
    let mut says: Vec<String> =
        kept(&table.entries, |key| keys.contains(&key)).iter().map(told).collect();
    let here = |cable: usize| plant.bench.link.cables.get(cable).is_some_and(|own| own == label);
    for wires in plant.wires.iter().filter(|wires| cable_of(**wires).is_some_and(here)) {
        if let Wires::Open { cut, .. } = *wires {
            says.push(
                match cut {
                    Cut::Both => "no wire goes through",
                    Cut::One => "one wire of the pair does not go through",
                }
                .to_owned(),
            );
        } else if let Wires::Swapped { .. } = *wires {
            says.push("the first wire of the pair comes out where the second should".to_owned());
        } else if let Wires::Shorted { .. } = *wires {
            says.push("the two wires of the pair are joined".to_owned());
        }
    }
    Seen::plain(says.join("; "))
}

/// The cable that a fault is in.
const fn cable_of(wires: Wires) -> Option<usize> {
    match wires {
        Wires::Open { cable, .. }
        | Wires::Loose { cable, .. }
        | Wires::Swapped { cable }
        | Wires::Shorted { cable } => Some(cable),
        Wires::Missing { .. }
        | Wires::Extra { .. }
        | Wires::Moved { .. }
        | Wires::Ring { .. }
        | Wires::Grounded { .. } => None,
    }
}

fn moved(plant: &Plant<'_>, label: &str) -> Seen {
    let link = &plant.bench.link;
    let here = |cable: usize| link.cables.get(cable).is_some_and(|own| own == label);
    let jumps = plant.wires.iter().find_map(|wires| {
        let Wires::Loose { cable, at } = *wires else { return None };
        here(cable).then_some(at)
    });
    match jumps.and_then(|at| link.points.get(at)) {
        Some(point) => Seen::plain(format!("the reading jumps as the plug in {point} is moved")),
        None => Seen::plain("the reading stands still"),
    }
}

fn exchanged(plant: &Plant<'_>, label: &str) -> Seen {
    let link = &plant.bench.link;
    let here = |cable: usize| link.cables.get(cable).is_some_and(|own| own == label);
    let by_wires = plant.wires.iter().any(|wires| cable_of(*wires).is_some_and(here));
    let keys =
        [Field::Wiring.key(), Field::Pins.key(), Field::Construction.key(), Field::Screen.key()];
    let other = |key: &str| {
        let of = |group: &crate::fault::Group| {
            group.thing(List::Cable, label).and_then(|cable| cable.get(key).map(ToOwned::to_owned))
        };
        of(&plant.group) != of(plant.reference())
    };
    let is_it = by_wires
        || plant.split.iter().any(|cable| here(*cable))
        || plant.group.thing(List::Cable, label).is_some() && keys.into_iter().any(other);
    Seen::plain(if is_it { "with the other cable all is well" } else { "nothing changes" })
}
