//! Where a cable end is: which unit and socket, pack, sensor or other device.

use super::names::{Meaning, device_key, pack_key, sensor};
use super::{Declared, UnknownUnit};
use crate::fold::Folded;
use crate::profile::Profile;
use crate::source::Cell;
use crate::vocabulary::{OPEN_ENDS, PORT_FILLERS};
use coldcheck_core::place::PortId;

/// What a cable end is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    /// A unit, by position, and its socket.
    Unit(usize, Option<PortId>),
    /// A pack, by position.
    Pack(usize),
    /// A sensor, by position.
    Sensor(usize),
    /// Another device, by position.
    Device(usize),
    /// Nothing.
    Open,
    /// Not known: the sheet does not say, or names what is not there.
    Unknown,
}

impl Declared {
    /// Understands one end of the cable that will get this position; `None` if the sheet leaves
    /// it blank.
    pub(super) fn end(
        &mut self,
        cable: usize,
        cell: Option<&Cell>,
        port: Option<&Cell>,
        profile: &Profile,
    ) -> Option<End> {
        let port = port.filter(|port| !port.is_empty());
        let cell = cell.filter(|cell| !cell.is_empty() && cell.text != "?")?;
        let name = Folded::of(&cell.text);
        if port.is_none() && is_open(&name) {
            return Some(End::Open);
        }
        Some(self.named_end(cable, cell, port, profile))
    }

    fn named_end(
        &mut self,
        cable: usize,
        cell: &Cell,
        port: Option<&Cell>,
        profile: &Profile,
    ) -> End {
        let name = Folded::of(&cell.text);
        if let Some(end) = self.unit_end(cell, &name, port, profile) {
            return end;
        }
        for (head, _) in name.cuts() {
            let named = named_part(cell, &head);
            if let Some(key) = pack_key(&head) {
                return End::Pack(self.pack(&named, key));
            }
            if let Some(Meaning::Sensor(leg)) = sensor(&head) {
                return End::Sensor(self.sensor(&named, leg));
            }
            if let Some((kind, key)) = device_key(&head) {
                return End::Device(self.device(&named, kind, key));
            }
        }
        if !self.lists_units
            && let Some(end) = self.new_unit_end(cell, &name, port, profile)
        {
            return end;
        }
        self.unknown_units.push(UnknownUnit {
            cable,
            name: cell.text.clone(),
            nearest: self.nearest_unit(&cell.text),
            origin: cell.origin,
        });
        End::Unknown
    }

    /// The longest beginning that is a known unit; the rest is its socket.
    fn unit_end(
        &mut self,
        cell: &Cell,
        name: &Folded,
        port: Option<&Cell>,
        profile: &Profile,
    ) -> Option<End> {
        let (unit, head, rest) = name
            .cuts()
            .find_map(|(head, rest)| Some((self.find_unit(&head)?, head, rest)))
            .or_else(|| {
                let (head, rest, unit) = name
                    .cuts()
                    .find_map(|(head, rest)| self.unit_by_number(&head).map(|unit| (head, rest, unit)))?;
                self.ask(
                    cell.origin,
                    format!(
                        "is \u{201c}{head}\u{201d} the unit called {}? It is the only one with this \
                         number",
                        self.units[unit].name
                    ),
                    format!("write {}, or say: name {head} = {}", self.units[unit].name, self.units[unit].name),
                );
                Some((unit, head, rest))
            })?;
        let named = named_part(cell, &head);
        self.units[unit].also_named(&named.text, named.origin);
        let socket = self.socket(cell, &rest, port, profile);
        Some(End::Unit(unit, socket))
    }

    /// Where no other sheet lists the units, a name with a number makes one.
    fn new_unit_end(
        &mut self,
        cell: &Cell,
        name: &Folded,
        port: Option<&Cell>,
        profile: &Profile,
    ) -> Option<End> {
        let (head, rest) = name
            .cuts()
            .filter(|(head, _)| head.tokens().len() <= 2 && head.number().is_some())
            .last()?;
        let named = named_part(cell, &head);
        let key = self.key_of(&head);
        let unit = self.unit(&named, &key);
        let socket = self.socket(cell, &rest, port, profile);
        Some(End::Unit(unit, socket))
    }

    /// The socket that the words behind the unit's name, or a cell of its own, name.
    fn socket(
        &mut self,
        cell: &Cell,
        rest: &Folded,
        port: Option<&Cell>,
        profile: &Profile,
    ) -> Option<PortId> {
        let own = port.map(|port| Folded::of(&port.text));
        let words = own.as_ref().unwrap_or(rest);
        let bare = words.without(PORT_FILLERS);
        if bare.is_empty() {
            return None;
        }
        let explained = [words, &bare]
            .into_iter()
            .find_map(|said| self.names.sockets.iter().find(|(word, _)| word == said))
            .map(|(_, meant)| meant.clone());
        let meant = explained.unwrap_or(bare);
        let found = profile.port(&meant);
        if found.is_none() {
            let place = port.unwrap_or(cell);
            self.ask(
                place.origin,
                format!(
                    "\u{201c}{}\u{201d} names no socket that the profile {} knows",
                    place.text, profile.name
                ),
                format!(
                    "write one of {}; or, in a settings list, say which of them it is: \
                     socket {meant} = …",
                    crate::phrase::all_of(&profile.port_names()),
                ),
            );
        }
        found
    }
}

fn is_open(name: &Folded) -> bool {
    OPEN_ENDS.iter().any(|word| name.is(word))
}

/// The part of a cell that is a thing's name, as written.
pub(super) fn named_part(cell: &Cell, name: &Folded) -> Cell {
    let end = cell
        .text
        .char_indices()
        .filter(|(_, character)| character.is_alphanumeric())
        .map(|(index, character)| index + character.len_utf8())
        .rfind(|end| cell.text.get(..*end).is_some_and(|head| name.is(head)));
    cell.part(0..end.unwrap_or(cell.text.len()))
}
