//! Where a cable end is: which unit and socket, pack, sensor or other device.

use super::lookalike::{in_latin, variants};
use super::names::{Meaning, device_key, has_common_word, pack_key, sensor, unit_key};
use super::readings::Reading;
use super::unclear::Doubt;
use super::{At, Declared};
use crate::fold::Folded;
use crate::profile::Profile;
use crate::source::Cell;
use crate::vocabulary::{OPEN_ENDS, PORT_FILLERS};
use coldcheck_core::place::PortId;
use coldcheck_core::rules::RuleId;

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

/// No name with its socket has more words.
pub(super) const MOST_WORDS: usize = 24;

/// One end as it is written: the cell that names it, a cell for its socket, and the profile that
/// knows the sockets.
pub(super) struct Written<'w> {
    pub(super) cell: &'w Cell,
    pub(super) name: Folded,
    pub(super) port: Option<&'w Cell>,
    pub(super) profile: &'w Profile,
    /// The position that the cable will get.
    cable: usize,
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
        let written = Written { cell, name: Folded::of(&cell.text), port, profile, cable };
        if written.name.count() > MOST_WORDS {
            let reading = Reading::new(RuleId::LabelUnknownUnit, vec![cell.origin]);
            let start: String = cell.text.chars().take(40).collect();
            self.found(reading.at_cable(cable).value(format!("{start}\u{2026}")));
            return Some(End::Unknown);
        }
        if port.is_none() && is_open(&written.name) {
            return Some(End::Open);
        }
        let end = self.unit_end(&written).or_else(|| {
            let doubt = self.doubt_before_others(&written)?;
            Some(self.doubtful_end(&written, &doubt))
        });
        let end = end.or_else(|| self.photographed_end(&written));
        let end = end.or_else(|| self.other_end(&written)).or_else(|| {
            // Where no other sheet lists the units, a name with a number makes one.
            if self.lists_units { None } else { self.new_unit_end(&written) }
        });
        let end = end.or_else(|| {
            let doubt = self.doubt_after_others(&written)?;
            Some(self.doubtful_end(&written, &doubt))
        });
        Some(end.unwrap_or_else(|| {
            let nearest = self.nearest_unit(&cell.text);
            let reading = Reading::new(RuleId::LabelUnknownUnit, vec![cell.origin]);
            self.found(reading.at_cable(cable).value(&cell.text).wanted(nearest));
            End::Unknown
        }))
    }

    fn doubtful_end(&mut self, written: &Written<'_>, doubt: &Doubt) -> End {
        match self.settle(written.cable, written, doubt) {
            Some(End::Unit(unit, _)) => End::Unit(unit, self.socket(written, unit, &doubt.rest)),
            Some(end) => end,
            None => End::Unknown,
        }
    }

    /// A pack or a sensor whose number was read as a letter: without it, it would be another one.
    fn photographed_end(&mut self, written: &Written<'_>) -> Option<End> {
        let plain = |name: &Folded| {
            pack_key(name).is_some() || matches!(sensor(name), Some(Meaning::Sensor(Some(_))))
        };
        let exact = written.name.cuts().any(|(head, _)| head.count() > 1 && plain(&head));
        if !self.photographed || exact {
            return None;
        }
        let doubt = self.doubt_after_others(written).filter(|doubt| !doubt.is_about_units())?;
        Some(self.doubtful_end(written, &doubt))
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
        let known = |(head, rest): (Folded, Folded)| Some((self.find_unit(&head)?, head, rest));
        let (unit, head, rest) = written.name.cuts().find_map(known)?;
        if let Some(doubt) = self.doubt_about_known(written, &head, &rest) {
            return Some(self.doubtful_end(written, &doubt));
        }
        let named = named_part(written.cell, &head);
        self.units[unit].also_named(&named.text, named.origin);
        Some(End::Unit(unit, self.socket(written, unit, &rest)))
    }

    fn new_unit_end(&mut self, written: &Written<'_>) -> Option<End> {
        let (head, rest) = written
            .name
            .cuts()
            .filter(|(head, _)| {
                head.count() <= 2 && (head.number().is_some() || has_common_word(&unit_key(head)))
            })
            .last()?;
        let key = self.key_of(&head);
        let unit = self.unit(&named_part(written.cell, &head), &key);
        Some(End::Unit(unit, self.socket(written, unit, &rest)))
    }

    /// The socket that the words behind the unit's name, or a cell of its own, name.
    fn socket(&mut self, written: &Written<'_>, unit: usize, rest: &Folded) -> Option<PortId> {
        let own = written.port.map(|port| Folded::of(&port.text));
        let words = own.as_ref().unwrap_or(rest);
        let bare = without_fillers(words, written.profile);
        if bare.is_empty() {
            return None;
        }
        let explained = [words, &bare]
            .into_iter()
            .find_map(|said| self.names.sockets.iter().find(|(word, _)| word == said))
            .map(|(_, meant)| meant.clone());
        // What is explained in two ways is asked about already.
        if explained.as_ref().is_some_and(Folded::is_empty) {
            return None;
        }
        let profile = written.profile;
        let known = |words: &Folded| known_socket(words, profile);
        let found = known(explained.as_ref().unwrap_or(words));
        let place = written.port.unwrap_or(written.cell);
        let as_written = port_as_written(written, words);
        let note = |rule| Reading::new(rule, vec![place.origin]);
        if self.photographed && explained.is_none() {
            let is_other =
                |text: &str| known(&Folded::of(text)).is_some_and(|port| Some(port) != found);
            let looks = variants(&as_written);
            if let Some((_, rule)) = looks.into_iter().find(|(text, _)| is_other(text)) {
                // A socket is never guessed.
                self.found(note(rule).at_cable(written.cable).value(&as_written));
                return None;
            }
        }
        if found.is_some() {
            return found;
        }
        let in_latin = in_latin(&as_written).and_then(|text| known(&Folded::of(&text)));
        if let Some(port) = in_latin {
            let name = profile.port_name(port).to_owned();
            let reading = note(RuleId::ListOddDashesSpaces).at_cable(written.cable);
            self.found(reading.value(&as_written).wanted(Some(name)));
            return Some(port);
        }
        let reading = note(RuleId::PortDoesNotExist).at(At::Socket(unit, as_written.clone()));
        let sockets = crate::phrase::all_of(&profile.port_names());
        self.found(reading.value(&as_written).wanted(Some(sockets)));
        None
    }
}

/// The words for a socket without those that carry no meaning.
pub(super) fn without_fillers(words: &Folded, profile: &Profile) -> Folded {
    // A filler can be a socket's own name: `in` beside `out`.
    let is_there = |filler: &&str| words.runs().any(|word| word == *filler);
    let is_filler = |word: &&str| is_there(word) && profile.port(&Folded::of(word)).is_none();
    let fillers: Vec<&str> = PORT_FILLERS.iter().copied().filter(is_filler).collect();
    words.without(&fillers)
}

/// The socket that these words name.
pub(super) fn known_socket(words: &Folded, profile: &Profile) -> Option<PortId> {
    profile.port(words).or_else(|| profile.port(&words.without(PORT_FILLERS)))
}

/// The socket in the person's own words, without the words around it that carry no meaning.
fn port_as_written(written: &Written<'_>, words: &Folded) -> String {
    let text = written.port.map_or(written.cell.text.as_str(), |port| port.text.as_str());
    // The shortest end of the cell that says the same.
    let mut tails = text.char_indices().rev().filter_map(|(at, _)| text.get(at..));
    let whole = tails.find(|tail| words.is(tail)).unwrap_or(text);
    let bare: Vec<&str> = whole
        .split_whitespace()
        .map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()))
        .filter(|word| !word.is_empty())
        .filter(|word| !PORT_FILLERS.iter().any(|filler| filler.eq_ignore_ascii_case(word)))
        .collect();
    if bare.is_empty() { whole.to_owned() } else { bare.join(" ") }
}

pub(super) fn is_open(name: &Folded) -> bool {
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
