//! What a name means that a person gives beside the sheets: of a place to measure at.

use super::Declared;
use super::ends::{MOST_WORDS, known_socket};
use crate::fold::Folded;
use crate::profile::Profile;
use coldcheck_core::place::PortId;

/// A place that is named apart from the sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spoken {
    /// A unit, by position, and its socket.
    Unit(usize, Option<PortId>),
    /// Another device, by position.
    Device(usize),
    /// A cable, by position.
    Cable(usize),
}

impl Declared {
    /// The place that a name means; `None` if nothing of the site has it.
    pub fn spoken(&self, name: &str, profile: &Profile) -> Option<Spoken> {
        let name = Folded::of(name);
        if name.is_empty() || name.count() > MOST_WORDS {
            return None;
        }
        let unit = name.cuts().find_map(|(head, rest)| {
            let unit = self.find_unit(&head)?;
            if rest.is_empty() {
                return Some(Spoken::Unit(unit, None));
            }
            let explained = self.names.sockets.iter().find(|(word, _)| *word == rest);
            let socket = known_socket(explained.map_or(&rest, |(_, meant)| meant), profile)?;
            Some(Spoken::Unit(unit, Some(socket)))
        });
        unit.or_else(|| {
            let is_here = |(device, _): &(super::Thing, _)| device.key == name;
            self.devices.iter().position(is_here).map(Spoken::Device)
        })
        .or_else(|| self.spoken_cable(&name).map(Spoken::Cable))
    }

    /// The one cable with this label.
    fn spoken_cable(&self, name: &Folded) -> Option<usize> {
        let bare = ["cable", "lead"].iter().find_map(|word| name.after(word));
        let bare = bare.filter(|bare| !bare.is_empty());
        let is_it = |key: &Folded| !key.is_empty() && (key == name || Some(key) == bare.as_ref());
        let mut found = (0..self.cables.len()).filter(|cable| is_it(&self.cables[*cable].key));
        let first = found.next()?;
        found.next().is_none().then_some(first)
    }
}
