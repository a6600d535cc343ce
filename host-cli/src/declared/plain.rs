//! What words mean by themselves, whatever else the sheets say: for whoever reads many sites and
//! wants to look a word up only once. Where a word's meaning hangs on others, there is none here.

use super::cables::kind::{kind_of, two_kinds};
use super::ends::{MOST_WORDS, is_open, known_socket, named_part, without_fillers};
use super::names::{Meaning, device_key, has_common_word, pack_key, sensor};
use super::settings::explained;
use super::{dates, settings};
use crate::demand_words;
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::Profile;
use crate::source::{Cell, SheetId};
use coldcheck_core::place::PortId;
use coldcheck_core::plan::{CableKind, Demand, DeviceKind, Leg, Scope};

/// A name, and everything that it can be a name of.
#[derive(Clone, Debug)]
pub(crate) struct Name {
    /// Its runs.
    pub(crate) folded: Folded,
    /// The key of a unit that is called so.
    pub(crate) unit: Folded,
    /// Whether that key, or that of any beginning of the name, is a common word with a number.
    pub(crate) may_be_unit: bool,
    /// What it is at the end of a cable, if no unit is called so.
    pub(crate) other: Option<Other>,
    /// The key of a pack that is called so.
    pub(crate) pack: Folded,
    /// The leg of a sensor that is called so.
    pub(crate) leg: Option<Leg>,
    /// Kind and key of another device that is called so.
    pub(crate) device: (DeviceKind, Folded),
    /// Whether it stands for an end that hangs free.
    pub(crate) is_open: bool,
}

/// A thing that is no unit.
#[derive(Clone, Debug)]
pub(crate) enum Other {
    /// A pack of this key.
    Pack(Folded),
    /// The sensor on this leg.
    Sensor(Leg),
    /// Another device.
    Device(DeviceKind, Folded),
}

/// A name as it is written; `None` if more stands around it, or too much.
pub(crate) fn name(text: &str) -> Option<Name> {
    let folded = Folded::of(text);
    let cell = Cell::of(SheetId(0), text, 0..text.len());
    let is_open = is_open(&folded);
    let whole = named_part(&cell, &folded).text == text;
    if folded.count() > MOST_WORDS || !(whole || is_open) {
        return None;
    }
    let other = if let Some(key) = pack_key(&folded) {
        Some(Other::Pack(key))
    } else if let Some(Meaning::Sensor(leg)) = sensor(&folded) {
        leg.map(Other::Sensor)
    } else {
        device_key(&folded).map(|(kind, key)| Other::Device(kind, key))
    };
    let with_word = |word: &str| Folded::of(&format!("{word} {folded}"));
    let listed_sensor = sensor(&folded).or_else(|| sensor(&with_word("CT")));
    let may_be_unit = folded.cuts().any(|(head, _)| has_common_word(&unit_key(&head)));
    Some(Name {
        unit: unit_key(&folded),
        may_be_unit,
        other,
        pack: pack_key(&folded)
            .or_else(|| pack_key(&with_word("pack")))
            .unwrap_or_else(|| folded.clone()),
        leg: match listed_sensor {
            Some(Meaning::Sensor(leg)) => leg,
            Some(Meaning::Unit(_) | Meaning::Pack(_) | Meaning::Device(..)) | None => None,
        },
        device: device_key(&folded).unwrap_or_else(|| (DeviceKind::Other, folded.clone())),
        is_open,
        folded,
    })
}

/// What the words for a socket name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Socket {
    /// A socket of the profile.
    Of(PortId),
    /// None: they only say that there is one.
    Unnamed,
}

/// The socket that is written in a cell of its own.
pub(crate) fn socket(text: &str, profile: &Profile) -> Option<Socket> {
    let words = Folded::of(text);
    // A leg behind it says which input a sensor feeds.
    if Leg::WORDS.iter().any(|(leg, _)| words.before(leg).is_some()) {
        return None;
    }
    if without_fillers(&words, profile).is_empty() {
        return Some(Socket::Unnamed);
    }
    known_socket(&words, profile).map(Socket::Of)
}

/// What a cable is for, where one word says it.
pub(crate) fn kind(text: &str) -> Option<CableKind> {
    if two_kinds(text).is_some() { None } else { kind_of(text) }
}

/// The parts that a check is about.
pub(crate) fn scope(text: &str) -> Option<Scope> {
    settings::scope(text)
}

/// The key of a unit: `unit 2` for every common word in front of a number, else the name itself.
pub(crate) fn unit_key(name: &Folded) -> Folded {
    super::names::unit_key(name)
}

/// Whether a key explains a word, and states nothing.
pub(crate) fn explains(key: &Folded) -> bool {
    ["name", "socket", "column"].iter().any(|word| explained(key, word).is_some())
}

/// What a line about the group states.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum GroupKey {
    /// A field.
    Field(Field),
    /// A demand.
    Demand(Demand),
}

/// A fact about the group or a demand, by its key; none if the key explains a word.
pub(crate) fn group_key(key: &Folded) -> Option<GroupKey> {
    if explains(key) || dates::is_date(key) {
        return None;
    }
    let field = Field::find(About::Group, key).map(GroupKey::Field);
    field.or_else(|| demand_words::find(key).map(GroupKey::Demand))
}
