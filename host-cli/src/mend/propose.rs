//! The acts that bear on a broken rule: every one that may be the first step of mending it.

use super::act::{Act, Dial, role_code};
use super::judge::Broken;
use super::levers::{Levers, levers};
use super::model::Model;
use super::plugs::{
    battery, exchanges, free_seats, links, make_room, moves, sensor_leads, terminator_plugs,
};
use coldcheck_core::finding::Quantity;
use coldcheck_core::place::{Place, UnitId};
use coldcheck_core::plan::{BatteryType, CableKind, Datum, PortClass, Terminator};
use coldcheck_core::rules::RuleId;
use std::collections::HashSet;

/// Every act that bears on what a broken rule looks at.
pub fn acts(model: &Model, broken: &Broken) -> Vec<Act> {
    let own = levers(broken.rule);
    let mut acts = Vec::new();
    for (lever, _) in Levers::ALL {
        if own.meets(*lever) {
            of_lever(model, *lever, Some(broken), &mut acts);
        }
    }
    let mut seen = HashSet::new();
    acts.retain(|act| seen.insert(*act));
    acts
}

/// The acts of one kind. A finding narrows them to those without which it stands.
pub fn of_lever(model: &Model, lever: Levers, broken: Option<&Broken>, acts: &mut Vec<Act>) {
    let units = 0..u8::try_from(model.units.len()).unwrap_or(u8::MAX);
    let mut dial = |unit: u8, what: Dial| acts.push(Act::Set { unit, what });
    match lever {
        Levers::MODE => named(broken, units).for_each(|unit| dial(unit, Dial::Parallel)),
        Levers::ROLE => {
            for unit in units {
                let leads = model.units[usize::from(unit)].role == role_code(true);
                dial(unit, Dial::Role(role_code(!leads)));
            }
        }
        Levers::ADDRESS => {
            let values = addresses(model);
            let narrow = broken.filter(|one| one.rule == RuleId::AddressDuplicate);
            for unit in named(narrow, units) {
                let record = &model.units[usize::from(unit)];
                // As many as there are switches for, where it is dialled in so.
                let most = match record.switch_count {
                    count @ 1..16 if record.declares(Datum::Switches) => (1 << count) - 1,
                    _ => u16::MAX,
                };
                for address in values.iter().filter(|address| **address <= most) {
                    dial(unit, Dial::Address(*address));
                }
            }
        }
        Levers::COUNT => {
            let mut values: Vec<u16> = model.units.iter().filter_map(|unit| unit.count()).collect();
            values.extend(u16::try_from(model.units.len()));
            values.sort_unstable();
            values.dedup();
            for unit in units {
                for count in &values {
                    dial(unit, Dial::Count(*count));
                }
            }
        }
        Levers::ALIKE => {
            for setting in 0..7_u8 {
                let value =
                    |unit: u8| model.units[usize::from(unit)].settings[usize::from(setting)];
                each_other(units.clone(), value, |unit, other| {
                    dial(unit, Dial::AsUnit(setting, other));
                });
            }
        }
        Levers::BIT_RATE => {
            if let Some(Quantity::BitRate(rate)) = broken.and_then(|one| one.wanted) {
                named(broken, units).for_each(|unit| dial(unit, Dial::BitRate(rate.0)));
            } else {
                let value = |unit: u8| model.units[usize::from(unit)].bit_rate.get();
                each_other(units, value, |unit, other| dial(unit, Dial::BitRateAs(other)));
            }
        }
        Levers::LINE_FORMAT => {
            let value = |unit: u8| model.units[usize::from(unit)].line_format;
            each_other(units, value, |unit, other| dial(unit, Dial::LineFormatAs(other)));
        }
        Levers::PROTOCOL => {
            for unit in units {
                for pack in 0..u8::try_from(model.packs.len()).unwrap_or(0) {
                    if model.packs[usize::from(pack)].protocol.get() != 0 {
                        dial(unit, Dial::ProtocolAs(pack));
                    }
                }
            }
        }
        Levers::BATTERY_TYPE => {
            let code = BatteryType::DataLink.code();
            named(broken, units).for_each(|unit| dial(unit, Dial::BatteryType(code)));
        }
        Levers::CONDUCTORS => super::conductors::acts(model, acts),
        Levers::TERMINATORS => terminators(model, acts),
        Levers::LINK_PLUGS => links(model, acts),
        Levers::BATTERY_PLUGS => battery(model, acts),
        Levers::SENSOR_PLUGS => {
            let seats = free_seats(model, PortClass::Sensor);
            moves(model, CableKind::Sensor, &seats, acts);
        }
        Levers::SENSOR_LEADS => sensor_leads(model, acts),
        Levers::TERMINATOR_PLUGS => terminator_plugs(model, acts),
        Levers::EXCHANGE => {
            make_room(model, acts);
            exchanges(model, acts);
        }
        _ => others(model, lever, broken, acts),
    }
}

fn others(model: &Model, lever: Levers, broken: Option<&Broken>, acts: &mut Vec<Act>) {
    let wanted = broken.and_then(|one| one.wanted);
    match (lever, wanted) {
        (Levers::PACKS, Some(Quantity::Packs(count))) => acts.push(Act::SetPacks(count)),
        (Levers::CAPACITY, Some(Quantity::Capacity(capacity))) => {
            acts.push(Act::SetCapacity(capacity.0));
        }
        _ => {}
    }
    for place in broken.into_iter().flat_map(|one| &one.places) {
        match *place {
            Place::Sensor(sensor) => match lever {
                Levers::ARROW => acts.push(Act::TurnSensor { sensor: sensor.0 }),
                Levers::RATIO => acts.push(Act::SetRatio { sensor: sensor.0 }),
                Levers::INPUT => acts.push(Act::SetInput { sensor: sensor.0 }),
                _ => {}
            },
            Place::Cable(cable) => match lever {
                Levers::SCREEN => acts.push(Act::ScreenOnce { cable: cable.index() }),
                Levers::REPLACE => acts.push(Act::ReplaceCable { cable: cable.index() }),
                _ => {}
            },
            Place::Pack(pack) if lever == Levers::PACK_ADDRESS => {
                let taken =
                    |address: &u16| model.packs.iter().any(|pack| pack.address() == Some(*address));
                let most = u16::try_from(model.packs.len()).unwrap_or(u16::MAX);
                let free = (1..=most.saturating_add(1)).find(|address| !taken(address));
                acts.extend(free.map(|address| Act::SetPackAddress { pack: pack.0, address }));
            }
            Place::Group
            | Place::Unit(_)
            | Place::Port(..)
            | Place::Terminator(_)
            | Place::Pack(_)
            | Place::Device(_) => {}
        }
    }
}

/// The units that a finding names; all of them without one.
fn named(broken: Option<&Broken>, all: std::ops::Range<u8>) -> impl Iterator<Item = u8> {
    let named: Option<Vec<u8>> = broken.map(|one| {
        let unit = |place: &Place| if let Place::Unit(unit) = place { Some(unit.0) } else { None };
        one.places.iter().filter_map(unit).collect()
    });
    all.filter(move |unit| named.as_ref().is_none_or(|named| named.contains(unit)))
}

/// Each unit with one other of every value that it does not have; 0 is none.
fn each_other<T: PartialEq + Default>(
    units: std::ops::Range<u8>,
    value: impl Fn(u8) -> T,
    mut each: impl FnMut(u8, u8),
) {
    for unit in units.clone() {
        let mut seen: Vec<T> = vec![value(unit), T::default()];
        if value(unit) == T::default() {
            continue;
        }
        for other in units.clone() {
            if !seen.contains(&value(other)) {
                seen.push(value(other));
                each(unit, other);
            }
        }
    }
}

/// Addresses that are worth setting: what the coordinator must have, and the lowest ones that are
/// free, as many as there are units and one more, from the bottom of the range and from the lowest
/// that is set.
fn addresses(model: &Model) -> Vec<u16> {
    let demands = model.demands();
    let range = demands.address_range().map_or((1, 247), |range| (range.low, range.high));
    let taken: Vec<u16> = model.units.iter().filter_map(|unit| unit.address()).collect();
    let count = model.units.len() + 1;
    let free_from = |low: u16| {
        (low..=range.1).filter(|address| !taken.contains(address)).take(count).collect::<Vec<_>>()
    };
    let lowest = taken.iter().copied().filter(|address| (range.0..=range.1).contains(address));
    let lowest = lowest.min().unwrap_or(range.0);
    let mut values = free_from(range.0.max(1));
    values.extend(free_from(lowest));
    values.extend(demands.coordinator_address().and_then(|address| u16::try_from(address).ok()));
    values.sort_unstable();
    values.dedup();
    values
}

fn terminators(model: &Model, acts: &mut Vec<Act>) {
    let state = |unit: usize| model.units[unit].terminator();
    let has_plug = |unit: u8| {
        let mut plugs = model.cables_of(CableKind::Terminator);
        plugs.any(|cable| {
            model.cables[cable].ends.iter().any(|end| end.unit() == Some(UnitId(unit)))
        })
    };
    let all = 0..u8::try_from(model.units.len()).unwrap_or(u8::MAX);
    // A plug that is listed goes by its own acts.
    let is_on = |unit: &u8| {
        matches!(state(usize::from(*unit)), Some(Terminator::On | Terminator::Plug))
            && !has_plug(*unit)
    };
    let is_off = |unit: &u8| state(usize::from(*unit)) == Some(Terminator::Off);
    for unit in all.clone().filter(is_on) {
        acts.push(Act::SwitchTerminator { unit, on: false });
        let others = all.clone().filter(is_off);
        acts.extend(others.map(|to| Act::MoveTerminator { from: unit, to }));
    }
    acts.extend(all.filter(is_off).map(|unit| Act::SwitchTerminator { unit, on: true }));
}
