//! Which of several sets that cost the same is told first, and which of them are one.

use super::act::{Act, Dial};
use super::judge::Broken;
use super::model::Model;
use super::search::Acts;
use coldcheck_core::place::{CableId, Place, UnitId};

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

/// Puts sets in order.
pub(super) struct Order<'o> {
    /// The site as it is.
    pub(super) model: &'o Model,
    /// What is broken in it.
    pub(super) broken: &'o [Broken],
}

impl Order<'_> {
    /// What leaves plugs where they are first, then fewer acts, then those at what the findings name,
    /// then cables to the next unit.
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
            let way: u32 = set.iter().map(|act| self.way(*act)).sum();
            (plugs, set.len(), far, odd, way, set.clone())
        });
        sets
    }

    /// How far apart the units at the ends of a new cable are, by their numbers.
    fn way(&self, act: Act) -> u32 {
        let Act::AddCable { ends: [one, two], .. } = act else { return 0 };
        let unit = coldcheck_core::plan::EndKind::Unit.code();
        let number = |seat: super::act::Seat| {
            let unit = self.model.units.get(usize::from(seat.index)).filter(|_| seat.kind == unit);
            unit.map(|unit| u32::from(unit.number.get()))
        };
        number(one).zip(number(two)).map_or(0, |(one, two)| one.abs_diff(two))
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
