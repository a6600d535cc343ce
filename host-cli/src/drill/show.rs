//! A fault made before everybody's eyes: what check, meter and gateway say of it, beside the site as
//! it should be.

use super::bench::{Bench, read};
use super::plant::{Plant, number_of};
use super::{listen, ohms};
use crate::diagnosis::diagnose;
use crate::draw::{Drawing, Parts, Width, draw};
use crate::fault::unit_name;
use crate::field::Field;
use crate::meter::fault::Fault as Wires;
use crate::site_file::List;
use coldcheck_core::plan::Terminator;

/// What is done to a plant that was right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Break {
    /// A link cable is pulled out, and so it is listed.
    Pull(String),
    /// The two wires of a link cable are exchanged, which no list shows.
    Swap(String),
    /// The terminator of a unit is switched.
    Flip(u16),
    /// A unit is given another address.
    Renumber(u16, u16),
}

/// What three ways of looking say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct View {
    /// What the check finds: severity and sentence.
    pub findings: Vec<(&'static str, String)>,
    /// What a meter shows at each unit.
    pub ohms: Vec<(String, String)>,
    /// What is heard otherwise than declared.
    pub heard: Vec<String>,
}

/// The plant after some acts; those that cannot be done are left out.
pub fn broken<'b>(bench: &'b Bench, acts: &[Break]) -> Plant<'b> {
    let mut plant = Plant::right(bench);
    for act in acts {
        match act {
            Break::Pull(cable) => {
                plant.group.remove(List::Cable, cable);
            }
            Break::Swap(_) => {}
            Break::Flip(unit) => flip(&mut plant, *unit),
            Break::Renumber(unit, address) => {
                plant.group.set_unit(*unit, Field::Address, &address.to_string());
                plant.group.set_unit(*unit, Field::Switches, &switches(*address));
            }
        }
    }
    // Where a cable is out, the link has other positions.
    let swapped: Vec<usize> = acts
        .iter()
        .filter_map(|act| match act {
            Break::Swap(cable) => plant.link()?.cable(cable),
            Break::Pull(_) | Break::Flip(_) | Break::Renumber(..) => None,
        })
        .collect();
    for cable in swapped {
        let swap = Wires::Swapped { cable };
        // Twice is as it was.
        match plant.wires.iter().position(|wires| *wires == swap) {
            Some(at) => drop(plant.wires.remove(at)),
            None => plant.wires.push(swap),
        }
    }
    plant.counts_errors = listen::echoes(&plant);
    plant
}

/// The site as it is now, what is found of it marked; where no list shows it, what is heard.
pub fn drawing(plant: &Plant<'_>, width: Width) -> Option<Drawing> {
    let site = read(plant.listed_sheets())?;
    let listed = diagnose(&site).ok()?;
    let heard = if listed.findings.is_empty() { listen::compared(plant) } else { None };
    Some(draw(&site, heard.as_ref().unwrap_or(&listed), width, Parts::Picture))
}

fn flip(plant: &mut Plant<'_>, unit: u16) {
    let is_on = plant.group.of_unit(unit, Field::Terminator) != Terminator::Off.word();
    let word = if is_on { Terminator::Off } else { Terminator::On }.word();
    plant.group.set_unit(unit, Field::Terminator, word);
    let plugs: Vec<String> = plant
        .group
        .things(List::Cable)
        .filter(|cable| {
            cable.get("kind") == Some("terminator") && cable.get("from") == Some(&unit_name(unit))
        })
        .map(|cable| cable.name.clone())
        .collect();
    for plug in plugs {
        plant.group.remove(List::Cable, &plug);
    }
}

/// Address switches as the groups of the library have them: six, the first one counting one.
fn switches(address: u16) -> String {
    (0..6).map(|bit| if address >> bit & 1 == 0 { '0' } else { '1' }).collect()
}

/// What is said of a plant.
pub fn view(plant: &Plant<'_>) -> View {
    let diagnosis = read(plant.listed_sheets()).and_then(|site| diagnose(&site).ok());
    let findings = diagnosis.map_or_else(Vec::new, |diagnosis| {
        let told = diagnosis.findings.iter();
        told.map(|finding| (finding.severity.word(), finding.says.clone())).collect()
    });
    let units = plant.bench.link.points.iter();
    let ohms = units
        .filter_map(|name| Some((name.clone(), ohms::at_unit(plant, number_of(name)?))))
        .collect();
    View { findings, ohms, heard: listen::findings(plant) }
}
