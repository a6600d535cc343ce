//! Which of several sets that cost the same is told first, and which of them are one.

use super::act::{Act, Dial, Seat};
use super::judge::Broken;
use super::model::Model;
use super::search::Acts;
use coldcheck_core::place::{CableId, Place, UnitId};
use coldcheck_core::plan::{CableKind, EndKind, EndRecord};
use std::collections::BTreeSet;

/// Kinds of acts, for telling answers apart.
type Kind = &'static str;

/// The acts of a set and where they are.
pub(super) type Places = Vec<(Kind, usize, usize)>;

/// What a set is about.
pub(super) fn places_of(set: &[Act]) -> Places {
    let mut places: Places = set.iter().map(|act| place_of(*act)).collect();
    places.sort_unstable();
    places
}

/// What an act is and where, without the value or the socket: answers that differ in those alone are
/// one.
fn place_of(act: Act) -> (Kind, usize, usize) {
    let word = act.word();
    let (one, two) = match act {
        Act::MovePlug { cable, to, .. } => (cable, usize::from(to.index)),
        Act::TurnCable { cable }
        | Act::RemoveCable { cable }
        | Act::Unplug { cable }
        | Act::ReplaceCable { cable }
        | Act::ScreenOnce { cable } => (cable, 0),
        Act::AddCable { ends: [one, two], .. } => (one.index.into(), two.index.into()),
        Act::MoveTerminator { from, to } => (from.into(), to.into()),
        Act::SwitchTerminator { unit, .. } | Act::ExchangePlugs { unit, .. } => (unit.into(), 0),
        Act::Set { unit, what } => {
            let what = match what {
                Dial::Role(_) => 1,
                Dial::Address(_) => 2,
                Dial::Count(_) => 3,
                Dial::Parallel => 4,
                Dial::BitRateAs(_) | Dial::BitRate(_) => 5,
                Dial::LineFormatAs(_) => 6,
                Dial::ProtocolAs(_) => 7,
                Dial::BatteryType(_) => 8,
                Dial::AsUnit(setting, _) => 9 + usize::from(setting),
            };
            (unit.into(), what)
        }
        Act::Rejoin { unit, terminal, .. } => (unit.into(), terminal.into()),
        Act::SetPacks(_) => (0, 100),
        Act::SetCapacity(_) => (0, 101),
        Act::SetPackAddress { pack, .. } => (pack.into(), 102),
        Act::SetRatio { sensor } => (sensor.into(), 103),
        Act::TurnSensor { sensor } | Act::SetInput { sensor } => (sensor.into(), 0),
    };
    (word, one, two)
}

/// The number of the unit where a seat is.
fn number(model: &Model, seat: Seat) -> Option<u32> {
    let is_unit = seat.kind == EndKind::Unit.code();
    let unit = model.units.get(usize::from(seat.index)).filter(|_| is_unit);
    unit.map(|unit| u32::from(unit.number.get()))
}

/// How far apart the units at the ends of a new cable are, by their numbers.
pub(super) fn way(model: &Model, [one, two]: [Seat; 2]) -> u32 {
    number(model, one).zip(number(model, two)).map_or(0, |(one, two)| one.abs_diff(two))
}

/// The sockets of a cable between two units, that of the lower number first.
pub(super) fn sockets(model: &Model, [one, two]: [Seat; 2]) -> (u8, u8) {
    let is_turned = number(model, one) > number(model, two);
    if is_turned { (two.port, one.port) } else { (one.port, two.port) }
}

/// The pairs of sockets that the link cables between units have.
pub(super) fn sockets_used(model: &Model) -> BTreeSet<(u8, u8)> {
    let cables = model.cables_of(CableKind::Link);
    let between = cables.map(|cable| model.cables[cable].ends).filter(|ends| {
        ends.iter().all(|end| end.unit().is_some()) && ends[0].unit() != ends[1].unit()
    });
    let seat = |end: EndRecord| Seat { kind: end.kind, index: end.index, port: end.port };
    between.map(|ends| sockets(model, ends.map(seat))).collect()
}

/// Puts sets in order.
pub(super) struct Order<'o> {
    /// The site as it is.
    pub(super) model: &'o Model,
    /// What is broken in it.
    pub(super) broken: &'o [Broken],
}

impl Order<'_> {
    /// What leaves plugs where they are first, then fewer acts, then legs at bars of their own names,
    /// then those at what the findings name, then cables to the next unit, in sockets as the others.
    pub(super) fn best_first(&self, mut sets: Vec<Acts>) -> Vec<Acts> {
        sets.sort_by_key(|set| {
            let far = set.iter().filter(|act| !self.is_named(**act)).count();
            let odd = set.iter().filter(|act| !self.is_own_number(**act)).count();
            let is_plug = |act: &&Act| {
                matches!(
                    act,
                    Act::MovePlug { .. } | Act::ExchangePlugs { .. } | Act::TurnCable { .. }
                )
            };
            let plugs = set.iter().filter(is_plug).count();
            let new = || {
                set.iter().filter_map(|act| match act {
                    Act::AddCable { ends, .. } => Some(*ends),
                    _ => None,
                })
            };
            let ways: u32 = new().map(|ends| way(self.model, ends)).sum();
            let mut pairs = sockets_used(self.model);
            pairs.extend(new().map(|ends| sockets(self.model, ends)));
            let other_leg = set.iter().filter(|act| self.is_of_another_leg(**act)).count();
            (plugs, set.len(), other_leg, far, odd, ways, pairs.len(), set.clone())
        });
        sets
    }

    fn is_of_another_leg(&self, act: Act) -> bool {
        let Act::Rejoin { terminal, net, .. } = act else { return false };
        self.model.bars.is_of_another_leg(terminal, net)
    }

    /// Whether an address that is set is the unit's own number, where it has one.
    fn is_own_number(&self, act: Act) -> bool {
        if let Act::Set { unit, what: Dial::Address(address) } = act {
            self.model.units[usize::from(unit)].number.get() == address
        } else {
            true
        }
    }

    fn is_named(&self, act: Act) -> bool {
        let mut places = self.broken.iter().flat_map(|one| &one.places);
        let cable = |cable: usize| Some(Place::Cable(super::model::cable_id(cable)));
        let (cable, unit): (Option<Place>, Option<u8>) = match act {
            Act::MovePlug { cable: own, .. }
            | Act::TurnCable { cable: own }
            | Act::RemoveCable { cable: own }
            | Act::Unplug { cable: own }
            | Act::ReplaceCable { cable: own }
            | Act::ScreenOnce { cable: own } => (cable(own), None),
            Act::AddCable { ends: [one, _], .. } => (None, Some(one.index)),
            Act::MoveTerminator { from: unit, .. }
            | Act::SwitchTerminator { unit, .. }
            | Act::ExchangePlugs { unit, .. }
            | Act::Rejoin { unit, .. }
            | Act::Set { unit, .. } => (None, Some(unit)),
            Act::SetPacks(_)
            | Act::SetCapacity(_)
            | Act::SetPackAddress { .. }
            | Act::TurnSensor { .. }
            | Act::SetRatio { .. }
            | Act::SetInput { .. } => return true,
        };
        places.any(|place| match *place {
            Place::Unit(own) | Place::Port(own, _) | Place::Terminator(own) => {
                unit.map(UnitId) == Some(own)
            }
            Place::Cable(CableId(own)) => cable == Some(Place::Cable(CableId(own))),
            Place::Group | Place::Sensor(_) | Place::Pack(_) | Place::Device(_) => false,
        })
    }
}
