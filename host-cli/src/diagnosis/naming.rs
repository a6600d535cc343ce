//! Places in the person's own words.

use super::subject;
use crate::declared::{End, Subject};
use crate::engine::Site;
use crate::field::Field;
use crate::source::{Origin, Sheets};
use coldcheck_core::place::{Place, UnitId};
use coldcheck_core::plan::{CableKind, Datum};

/// A place with the person's word for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NamedPlace {
    /// The whole group.
    Group,
    /// A unit, or a part of it.
    Unit {
        /// Its name as first written.
        name: String,
        /// The number in its name.
        number: Option<u16>,
        /// The socket, if the place is one.
        port: Option<String>,
        /// Whether the place is its terminator.
        terminator: bool,
    },
    /// A cable.
    Cable(String),
    /// A sensor with its leg.
    Sensor {
        /// Its name.
        name: String,
        /// Its leg.
        leg: Option<&'static str>,
    },
    /// A pack.
    Pack(String),
    /// Another device.
    Device(String),
}

impl NamedPlace {
    /// Makes a unit a socket of it.
    pub(super) fn set_port(&mut self, socket: &str) {
        if let Self::Unit { port, .. } = self {
            *port = Some(socket.to_owned());
        }
    }

    /// The place in a sentence.
    pub fn phrase(&self) -> String {
        match self {
            Self::Group => "the group".to_owned(),
            Self::Unit { name, port: Some(port), .. } => format!("socket {port} of {name}"),
            Self::Unit { name, .. }
            | Self::Sensor { name, .. }
            | Self::Cable(name)
            | Self::Pack(name)
            | Self::Device(name) => name.clone(),
        }
    }
}

/// The person's word for a place.
pub(super) fn name(site: &Site, place: Place) -> NamedPlace {
    let Some(subject) = subject(site, place) else { return NamedPlace::Group };
    let declared = &site.declared;
    match subject {
        Subject::Group => NamedPlace::Group,
        Subject::Unit(unit) => NamedPlace::Unit {
            name: declared.units[unit].name.clone(),
            number: declared.units[unit].number,
            port: place.port().map(|port| site.profile.port_name(port).to_owned()),
            terminator: matches!(place, Place::Terminator(_)),
        },
        Subject::Cable(cable) => NamedPlace::Cable(declared.cables[cable].label.clone()),
        Subject::Sensor(sensor) => {
            let (thing, leg) = &declared.sensors[sensor];
            NamedPlace::Sensor { name: thing.name.clone(), leg: leg.map(|leg| leg.word()) }
        }
        Subject::Pack(pack) => NamedPlace::Pack(declared.packs[pack].name.clone()),
        Subject::Device(device) => NamedPlace::Device(declared.devices[device].0.name.clone()),
    }
}

/// Where in the sheets a place is to be shown, for a finding about this datum: the cells of the
/// socket, else the facts that state the datum, else where the thing is named.
pub(super) fn origins(site: &Site, place: Place, shows: Datum) -> Vec<Origin> {
    let declared = &site.declared;
    let Some(subject) = subject(site, place) else { return Vec::new() };
    if let Place::Port(unit, port) = place {
        let unit = site.assembled.map.unit(unit);
        let cells: Vec<_> = ends(site)
            .filter(|(end, _)| {
                matches!(end, End::Unit(at, Some(own)) if unit == Some(*at) && *own == port)
            })
            .flat_map(|(_, origins)| by_line(&declared.sheets, origins))
            .collect();
        if !cells.is_empty() {
            return cells;
        }
    }
    let mut facts: Vec<Origin> = Field::ALL
        .iter()
        .filter(|field| field.datum() == Some(shows))
        .flat_map(|field| declared.origins(subject, *field))
        .collect();
    if let Place::Terminator(unit) = place {
        facts.extend(plugs(site, unit));
    }
    if !facts.is_empty() {
        return facts;
    }
    let first = |origins: &[Origin]| origins.first().copied().into_iter().collect();
    match subject {
        Subject::Group => Vec::new(),
        Subject::Unit(unit) => first(&declared.units[unit].origins),
        Subject::Cable(cable) => cable_origins(&declared.cables[cable], shows),
        Subject::Sensor(sensor) => first(&declared.sensors[sensor].0.origins),
        Subject::Pack(pack) => first(&declared.packs[pack].origins),
        Subject::Device(device) => first(&declared.devices[device].0.origins),
    }
}

/// Rows that list a terminator plug at the unit.
fn plugs(site: &Site, unit: UnitId) -> Vec<Origin> {
    let unit = site.assembled.map.unit(unit);
    let at_unit = |end: &End| matches!(end, End::Unit(at, _) if Some(*at) == unit);
    site.declared
        .cables
        .iter()
        .filter(|cable| cable.kind == Some(CableKind::Terminator) && cable.ends.iter().any(at_unit))
        .flat_map(|cable| cable_origins(cable, Datum::Terminator))
        .collect()
}

fn cable_origins(cable: &crate::declared::Cable, shows: Datum) -> Vec<Origin> {
    if shows == Datum::Length && !cable.lengths.is_empty() {
        return cable.lengths.iter().flat_map(|(_, origins)| origins.iter().copied()).collect();
    }
    if cable.label_origins.is_empty() { cable.origins.clone() } else { cable.label_origins.clone() }
}

fn ends(site: &Site) -> impl Iterator<Item = (&End, &Vec<Origin>)> {
    site.declared.cables.iter().flat_map(|cable| cable.ends.iter().zip(&cable.end_origins))
}

/// The cells of one end, those of one line as one stretch: unit and socket stand side by side. An
/// end may stand in several lines, or sheets.
fn by_line(sheets: &Sheets, origins: &[Origin]) -> Vec<Origin> {
    let mut lines: Vec<Origin> = Vec::new();
    for origin in origins {
        let goes_on = lines.last_mut().filter(|line| {
            let text = sheets.get(line.sheet).map_or("", |sheet| sheet.text.as_str());
            let between = text.get(line.start..origin.start);
            line.sheet == origin.sheet && between.is_some_and(|text| !text.contains('\n'))
        });
        match goes_on {
            Some(line) => line.end = line.end.max(origin.end),
            None => lines.push(*origin),
        }
    }
    lines
}
