//! What a word means, in the few bytes that the memo keeps; asked of the general reader's tables.

use super::memo::{NameId, Names};
use crate::assemble::nets::{array_net, bank_nets, net_of};
use crate::declared::plain::{self, GroupKey, Other, Socket};
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::profile::{Profile, demand_bits};
use crate::read::{Column, column};
use crate::value::{self, Bond, Conductor, Pole, Value};
use coldcheck_core::plan::{Demand, DeviceKind, Leg, Scope, Terminal};

/// What a word means where it stands.
#[derive(Clone, Copy, Debug)]
pub(super) enum Meaning {
    /// Only the general reader knows.
    General,
    /// A number in the unit of its field; a version as one number.
    Number(u32),
    /// An address and its base.
    Address(u16, u8),
    /// An address that was not set.
    NoAddress,
    /// A name that is only equal or not.
    Name(NameId),
    /// Terminals and their nets: position in [`Lists::nets`].
    Nets(u16),
    /// Bonds: position in [`Lists::bonds`].
    Bonds(u16),
    /// Arrays: position in [`Lists::arrays`].
    Arrays(u16),
    /// A key of an object.
    Key(Key),
    /// A name of a thing: position in [`Lists::things`].
    Thing(u16),
    /// A socket; `None` if the words name none.
    Socket(Option<u8>),
    /// Parts to check.
    Scope(Scope),
    /// A cable's kind.
    Kind(u8),
}

/// What a key of an object says that its value is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Key {
    /// Only the general reader knows.
    General,
    /// The name of the thing.
    Name,
    /// A fact.
    Field(Field),
    /// A demand.
    Demand(Demand),
    /// A list of things.
    Things(About),
    /// A list of sensors, or else the demand for so many of them.
    Sensors,
    /// An object of demands.
    Demands,
    /// A column of a cable list.
    Column(Column),
}

/// Which object a key stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Inside {
    /// The site.
    Site,
    /// The demands.
    Demands,
    /// A unit.
    Unit,
    /// A cable.
    Cable,
    /// A pack.
    Pack,
    /// A sensor.
    Sensor,
    /// Another device.
    Device,
}

/// Terminals of one unit that a value places on nets.
#[derive(Clone, Debug, Default)]
pub(super) struct Placed {
    /// Terminal and net; none if it is joined to nothing.
    pub(super) terminals: Vec<(Terminal, Option<NameId>)>,
    /// Whether a leg, the neutral and the earth are among them.
    pub(super) has: [bool; 3],
    /// Whether they are told by the word `straight`, which means something else with a phase.
    pub(super) is_straight: bool,
}

/// A bond, with the keys of units that its place may begin with, the longest first.
#[derive(Clone, Debug)]
pub(super) struct Bonded {
    pub(super) bond: Bond,
    pub(super) units: Vec<NameId>,
}

/// What the name of a thing can be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Thing {
    /// The runs of the name.
    pub(super) folded: NameId,
    /// The key as a unit's, and the number in it.
    pub(super) unit: NameId,
    pub(super) number: Option<u16>,
    /// Whether a beginning of it is a common word for a unit with a number.
    pub(super) may_be_unit: bool,
    /// Whether it stands for an end that hangs free.
    pub(super) is_open: bool,
    /// What it is at a cable's end if it is no unit.
    pub(super) other: Option<OtherId>,
    /// The key as a pack's, and the number in it.
    pub(super) pack: (NameId, Option<u16>),
    /// The leg, as a sensor's.
    pub(super) leg: Option<Leg>,
    /// Kind and key, as a device's.
    pub(super) device: (DeviceKind, NameId),
}

/// A thing that is no unit, by its key.
#[derive(Clone, Copy, Debug)]
pub(super) enum OtherId {
    Pack(NameId, Option<u16>),
    Sensor(Leg),
    Device(DeviceKind, NameId),
}

/// What meanings point into.
#[derive(Debug, Default)]
pub(super) struct Lists {
    pub(super) names: Names,
    pub(super) nets: Vec<Placed>,
    pub(super) bonds: Vec<Vec<Bonded>>,
    /// The net of an array and the key of the unit that it feeds, in order.
    pub(super) arrays: Vec<Vec<(NameId, NameId)>>,
    pub(super) things: Vec<Thing>,
}

impl Lists {
    pub(super) fn forget(&mut self) {
        self.names.forget();
        self.nets.clear();
        self.bonds.clear();
        self.arrays.clear();
        self.things.clear();
    }

    /// Whether it is time to forget. Words that are too long to be kept come here every time.
    pub(super) fn is_full(&self) -> bool {
        const MOST: usize = 16 * 1024;
        let Self { names, nets, bonds, arrays, things } = self;
        let lengths = [nets.len(), bonds.len(), arrays.len(), things.len()];
        names.len() > 4 * MOST || lengths.into_iter().any(|length| length > MOST)
    }

    /// A value of a field.
    pub(super) fn value(&mut self, field: Field, text: &str) -> Meaning {
        match value::parse(field.form(), text) {
            Ok(Value::Number(number)) => Meaning::Number(number),
            Ok(Value::Address(address)) => Meaning::Address(address.number, address.base),
            Ok(Value::Nothing) => Meaning::NoAddress,
            Ok(Value::Name(name)) if field == Field::Bank => {
                let nets = bank_nets(&name);
                let placed = nets.map(|(terminal, net)| (terminal, Some(self.names.add(&net))));
                self.placed(Placed { terminals: placed.to_vec(), ..Placed::default() })
            }
            Ok(Value::Name(name)) => Meaning::Name(self.names.add(&name)),
            Ok(Value::Version(Ok(parts))) if parts[0] != u8::MAX => {
                Meaning::Number(u32::from_be_bytes(parts))
            }
            // A generator, and bars by their names, are what the host looks at.
            Ok(Value::Conductors(all))
                if field == Field::AcIn && all.iter().any(Conductor::is_line_of_generator)
                    || all.iter().any(|one| one.is_misplaced().or(one.is_bonded()).is_some()) =>
            {
                Meaning::General
            }
            Ok(Value::Conductors(conductors)) => {
                let is_straight = value::is_straight(text);
                let mut placed = Placed { is_straight, ..Placed::default() };
                for conductor in &conductors {
                    let [leg, neutral, earth] = &mut placed.has;
                    match conductor.pole {
                        Pole::L1 | Pole::L2 | Pole::L3 => *leg = true,
                        Pole::N => *neutral = true,
                        Pole::Earth => *earth = true,
                    }
                    if let Some((terminal, net)) = net_of(field, conductor) {
                        let net = net.map(|net| self.names.add(&net));
                        placed.terminals.push((terminal, net));
                    }
                }
                self.placed(placed)
            }
            Ok(Value::Bonds(bonds)) => {
                let mut bonded = Vec::new();
                for bond in bonds {
                    let cuts: Vec<Folded> = bond.place.cuts().map(|(head, _)| head).collect();
                    let keys = cuts.iter().map(|head| self.unit_key(head));
                    bonded.push(Bonded { units: keys.collect(), bond });
                }
                self.bonds.push(bonded);
                position(self.bonds.len()).map_or(Meaning::General, Meaning::Bonds)
            }
            Ok(Value::Arrays(mut arrays)) => {
                arrays.sort();
                let fed = arrays.iter().map(|(array, unit)| {
                    let net = self.names.add(&array_net(array));
                    (net, self.unit_key(&Folded::of(unit)))
                });
                let fed = fed.collect();
                self.arrays.push(fed);
                position(self.arrays.len()).map_or(Meaning::General, Meaning::Arrays)
            }
            Ok(
                Value::AmpereHours(_)
                | Value::Version(_)
                | Value::Text(_)
                | Value::Measured(_)
                | Value::Section(_)
                | Value::Supply(_)
                | Value::Strings(_),
            )
            | Err(_) => Meaning::General,
        }
    }

    fn unit_key(&mut self, name: &Folded) -> NameId {
        let key = plain::unit_key(name);
        self.names.add(&key)
    }

    fn placed(&mut self, placed: Placed) -> Meaning {
        self.nets.push(placed);
        position(self.nets.len()).map_or(Meaning::General, Meaning::Nets)
    }

    /// The name of a thing.
    pub(super) fn thing(&mut self, text: &str) -> Meaning {
        let Some(name) = plain::name(text) else { return Meaning::General };
        let other = match &name.other {
            Some(Other::Pack(key)) => Some(OtherId::Pack(self.names.add(key), key.number())),
            Some(Other::Sensor(leg)) => Some(OtherId::Sensor(*leg)),
            Some(Other::Device(kind, key)) => Some(OtherId::Device(*kind, self.names.add(key))),
            None => None,
        };
        let thing = Thing {
            folded: self.names.add(&name.folded),
            unit: self.names.add(&name.unit),
            number: name.unit.number(),
            may_be_unit: name.may_be_unit,
            is_open: name.is_open,
            other,
            pack: (self.names.add(&name.pack), name.pack.number()),
            leg: name.leg,
            device: (name.device.0, self.names.add(&name.device.1)),
        };
        self.things.push(thing);
        position(self.things.len()).map_or(Meaning::General, Meaning::Thing)
    }

    /// A cable's label.
    pub(super) fn label(&mut self, text: &str) -> Meaning {
        let folded = Folded::of(text);
        if folded.is_empty() { Meaning::General } else { Meaning::Name(self.names.add(&folded)) }
    }
}

/// Position of what was added last.
fn position(length: usize) -> Option<u16> {
    u16::try_from(length.checked_sub(1)?).ok()
}

/// A key of an object.
pub(super) fn key(inside: Inside, text: &str) -> Key {
    let folded = Folded::of(text);
    let about = match inside {
        Inside::Site => return site_key(&folded),
        Inside::Demands => return group_key(&folded),
        Inside::Cable => return cable_key(&folded),
        Inside::Unit => About::Unit,
        Inside::Pack => About::Pack,
        Inside::Sensor => About::Sensor,
        Inside::Device => About::Device,
    };
    let is_name = crate::read::names_of_things(about).iter().any(|name| folded.is(name));
    let explains = plain::explains(&folded);
    match Field::find(about, &folded) {
        _ if is_name => Key::Name,
        // What sizes are computed from is no part of a plan.
        Some(field) if field.is_for_host() => Key::General,
        Some(field) if !explains => Key::Field(field),
        Some(_) | None => Key::General,
    }
}

fn site_key(key: &Folded) -> Key {
    match key.to_string().as_str() {
        "unit" | "units" => Key::Things(About::Unit),
        "cable" | "cables" => Key::Things(About::Cable),
        "pack" | "packs" => Key::Things(About::Pack),
        "sensor" => Key::Things(About::Sensor),
        "sensors" => Key::Sensors,
        "device" | "devices" => Key::Things(About::Device),
        "demand" | "demands" => Key::Demands,
        "waiver" | "waivers" => Key::General,
        _ => group_key(key),
    }
}

fn group_key(key: &Folded) -> Key {
    match plain::group_key(key) {
        // They change what other words mean, or are told by all that was read.
        Some(GroupKey::Field(Field::ListCameFrom | Field::RowsListed)) | None => Key::General,
        Some(GroupKey::Field(field)) if field.is_for_host() => Key::General,
        Some(GroupKey::Field(field)) => Key::Field(field),
        Some(GroupKey::Demand(demand)) => Key::Demand(demand),
    }
}

fn cable_key(key: &Folded) -> Key {
    if key.is("unlabelled") {
        return Key::General;
    }
    match column(key) {
        Some(Column::Port | Column::Unit | Column::Fact | Column::Unknown) | None => {
            Field::find(About::Cable, key).map_or(Key::General, Key::Field)
        }
        Some(column) => Key::Column(column),
    }
}

/// A demand's value.
pub(super) fn demand(demand: Demand, text: &str) -> Meaning {
    demand_bits(demand.kind(), text).map_or(Meaning::General, Meaning::Number)
}

/// A socket under a profile.
pub(super) fn socket(text: &str, profile: &Profile) -> Meaning {
    match plain::socket(text, profile) {
        Some(Socket::Of(port)) => Meaning::Socket(Some(port.0)),
        Some(Socket::Unnamed) => Meaning::Socket(None),
        None => Meaning::General,
    }
}

/// A cable's kind.
pub(super) fn kind(text: &str) -> Meaning {
    plain::kind(text).map_or(Meaning::General, |kind| Meaning::Kind(kind.code()))
}

/// A cable's length.
pub(super) fn length(text: &str) -> Meaning {
    value::length(text, None).map_or(Meaning::General, |length| Meaning::Number(length.0))
}

/// Parts to check.
pub(super) fn scope(text: &str) -> Meaning {
    plain::scope(text).map_or(Meaning::General, Meaning::Scope)
}
