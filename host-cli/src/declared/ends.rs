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

/// One end as it is written: the cell that names it, a cell for its socket, and the profile that
/// knows the sockets.
struct Written<'w> {
    cell: &'w Cell,
    name: Folded,
    port: Option<&'w Cell>,
    profile: &'w Profile,
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
        let written = Written { cell, name: Folded::of(&cell.text), port, profile };
        if port.is_none() && is_open(&written.name) {
            return Some(End::Open);
        }
        let end = self.unit_end(&written).or_else(|| self.other_end(&written)).or_else(|| {
            // Where no other sheet lists the units, a name with a number makes one.
            if self.lists_units { None } else { self.new_unit_end(&written) }
        });
        Some(end.unwrap_or_else(|| {
            self.unknown_units.push(UnknownUnit {
                cable,
                name: cell.text.clone(),
                nearest: self.nearest_unit(&cell.text),
                origin: cell.origin,
            });
            End::Unknown
        }))
    }

    /// A pack, a sensor or another device.
    fn other_end(&mut self, written: &Written<'_>) -> Option<End> {
        written.name.cuts().find_map(|(head, _)| {
            let named = named_part(written.cell, &head);
            if let Some(key) = pack_key(&head) {
                return Some(End::Pack(self.pack(&named, key)));
            }
            if let Some(Meaning::Sensor(leg)) = sensor(&head) {
                return Some(End::Sensor(self.sensor(&named, leg)));
            }
            let (kind, key) = device_key(&head)?;
            Some(End::Device(self.device(&named, kind, key)))
        })
    }

    /// The longest beginning that is a known unit; the rest is its socket.
    fn unit_end(&mut self, written: &Written<'_>) -> Option<End> {
        let cuts = || written.name.cuts();
        let known = cuts().find_map(|(head, rest)| Some((self.find_unit(&head)?, head, rest)));
        let (unit, head, rest) = known.or_else(|| {
            let (head, rest, unit) = cuts().find_map(|(head, rest)| {
                self.unit_by_number(&head).map(|unit| (head, rest, unit))
            })?;
            let name = self.units[unit].name.clone();
            self.ask(
                written.cell.origin,
                format!(
                    "is \u{201c}{head}\u{201d} the unit called {name}? It is the only one with \
                     this number"
                ),
                format!("write {name}, or say: name {head} = {name}"),
            );
            Some((unit, head, rest))
        })?;
        let named = named_part(written.cell, &head);
        self.units[unit].also_named(&named.text, named.origin);
        Some(End::Unit(unit, self.socket(written, &rest)))
    }

    fn new_unit_end(&mut self, written: &Written<'_>) -> Option<End> {
        let (head, rest) = written
            .name
            .cuts()
            .filter(|(head, _)| head.tokens().len() <= 2 && head.number().is_some())
            .last()?;
        let key = self.key_of(&head);
        let unit = self.unit(&named_part(written.cell, &head), &key);
        Some(End::Unit(unit, self.socket(written, &rest)))
    }

    /// The socket that the words behind the unit's name, or a cell of its own, name.
    fn socket(&mut self, written: &Written<'_>, rest: &Folded) -> Option<PortId> {
        let own = written.port.map(|port| Folded::of(&port.text));
        let words = own.as_ref().unwrap_or(rest);
        // A filler can be a socket's own name: `in` beside `out`.
        let is_filler = |word: &&&str| written.profile.port(&Folded::of(word)).is_none();
        let fillers: Vec<&str> = PORT_FILLERS.iter().filter(is_filler).copied().collect();
        let bare = words.without(&fillers);
        if bare.is_empty() {
            return None;
        }
        let explained = [words, &bare]
            .into_iter()
            .find_map(|said| self.names.sockets.iter().find(|(word, _)| word == said))
            .map(|(_, meant)| meant.clone());
        let profile = written.profile;
        let found = match &explained {
            Some(meant) => profile.port(meant),
            None => profile.port(words).or_else(|| profile.port(&bare)),
        };
        if found.is_none() {
            let place = written.port.unwrap_or(written.cell);
            self.ask(
                place.origin,
                format!(
                    "\u{201c}{}\u{201d} names no socket that the profile {} knows",
                    place.text, profile.name
                ),
                format!(
                    "write one of {}; or, in a settings list, say which of them it is: \
                     socket {} = …",
                    crate::phrase::all_of(&profile.port_names()),
                    explained.unwrap_or(bare),
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
