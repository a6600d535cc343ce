//! The acts that bear on a broken rule: every one that may be the first step of mending it.

use super::act::{Act, Dial, Seat, role_code};
use super::judge::Broken;
use super::levers::{Levers, levers};
use super::model::Model;
use coldcheck_core::finding::Quantity;
use coldcheck_core::place::{Place, PortId, UnitId};
use coldcheck_core::plan::{
    BatteryType, CableKind, Datum, EndKind, EndRecord, PortClass, Terminator, YesNo,
};
use coldcheck_core::rules::RuleId;

/// Every act that bears on what a broken rule looks at.
pub fn acts(model: &Model, broken: &Broken) -> Vec<Act> {
    let own = levers(broken.rule);
    let mut acts = Vec::new();
    for (lever, _) in Levers::ALL {
        if own.meets(*lever) {
            of_lever(model, *lever, Some(broken), &mut acts);
        }
    }
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

/// Seats of a class that nothing is in, at every unit; sockets of sensors take several.
fn free_seats(model: &Model, class: PortClass) -> Vec<Seat> {
    let units = 0..u8::try_from(model.units.len()).unwrap_or(u8::MAX);
    let Some(ports) = model.ports_of(class) else {
        return units.map(|unit| Seat::at(EndKind::Unit, unit)).collect();
    };
    let free = |unit: u8, port: PortId| class == PortClass::Sensor || !model.is_used(unit, port);
    units
        .flat_map(|unit| ports.iter().map(move |port| (unit, *port)))
        .filter(|(unit, port)| free(*unit, *port))
        .map(|(unit, port)| Seat::unit(unit, port))
        .collect()
}

/// Moves of plugs at units, and at what has no place on the link, into these seats; but not to the
/// unit where the other plug is.
fn moves(model: &Model, kind: CableKind, seats: &[Seat], acts: &mut Vec<Act>) {
    for cable in model.cables_of(kind) {
        let ends = model.cables[cable].ends;
        for (end, other) in [(0, 1), (1, 0)] {
            let unit = ends[end].unit();
            if unit.is_none() && !model.is_gear(ends[end]) {
                continue;
            }
            let fits = |seat: &&Seat| {
                let is_same = (unit, ends[end].port) == (Some(UnitId(seat.index)), seat.port);
                !is_same && ends[other].unit() != Some(UnitId(seat.index))
            };
            let to = seats.iter().filter(fits);
            acts.extend(to.map(|seat| Act::MovePlug { cable, end, to: *seat }));
        }
    }
}

fn links(model: &Model, acts: &mut Vec<Act>) {
    let seats = free_seats(model, PortClass::Link);
    moves(model, CableKind::Link, &seats, acts);
    for cable in model.cables_of(CableKind::Link) {
        if model.may_go(cable) {
            acts.push(Act::RemoveCable { cable });
        }
        let [one, two] = model.cables[cable].ends;
        if let (Some(a), Some(p), Some(b), Some(q)) =
            (one.unit(), one.port(), two.unit(), two.port())
            && p != q
            && !model.is_used(a.0, q)
            && !model.is_used(b.0, p)
        {
            acts.push(Act::TurnCable { cable });
        }
    }
    for (position, one) in seats.iter().enumerate() {
        let others = seats[position + 1..].iter().filter(|two| two.index != one.index);
        let kind = CableKind::Link.code();
        acts.extend(others.map(|two| Act::AddCable { ends: [*one, *two], kind }));
    }
    exchanges(model, acts);
}

/// Every two sockets of a unit that hold a plug each.
fn exchanges(model: &Model, acts: &mut Vec<Act>) {
    for unit in 0..u8::try_from(model.units.len()).unwrap_or(u8::MAX) {
        let full: Vec<u8> = (0..8).filter(|port| model.is_used(unit, PortId(*port))).collect();
        for (position, one) in full.iter().enumerate() {
            for two in &full[position + 1..] {
                let act = Act::ExchangePlugs { unit, ports: [*one, *two] };
                if !acts.contains(&act) {
                    acts.push(act);
                }
            }
        }
    }
}

fn battery(model: &Model, acts: &mut Vec<Act>) {
    let seats = free_seats(model, PortClass::Battery);
    moves(model, CableKind::Battery, &seats, acts);
    let packs = 0..u8::try_from(model.packs.len()).unwrap_or(0);
    let leads = |pack: &u8| model.packs[usize::from(*pack)].lead() == Some(YesNo::Yes);
    let lead = packs.clone().find(leads).or_else(|| packs.clone().next());
    let leads_at_all: Vec<usize> = model.cables_of(CableKind::Battery).collect();
    for cable in &leads_at_all {
        acts.push(Act::RemoveCable { cable: *cable });
        for (end, record) in model.cables[*cable].ends.iter().enumerate() {
            if let Some(to) = lead.filter(|lead| record.pack().is_some_and(|own| own.0 != *lead)) {
                let to = Seat::at(EndKind::Pack, to);
                acts.push(Act::MovePlug { cable: *cable, end, to });
            }
        }
    }
    if let Some(lead) = lead {
        let from = Seat::at(EndKind::Pack, lead);
        let kind = CableKind::Battery.code();
        acts.extend(seats.iter().map(|seat| Act::AddCable { ends: [*seat, from], kind }));
    }
    exchanges(model, acts);
}

/// New leads for sensors that have none.
fn sensor_leads(model: &Model, acts: &mut Vec<Act>) {
    let seats = free_seats(model, PortClass::Sensor);
    for sensor in 0..u8::try_from(model.sensors.len()).unwrap_or(0) {
        let has_lead = model.cables_of(CableKind::Sensor).any(|cable| {
            let mut ends = model.cables[cable].ends.iter();
            ends.any(|end| end.sensor().is_some_and(|own| own.0 == sensor))
        });
        if !has_lead {
            let from = Seat::at(EndKind::Sensor, sensor);
            let kind = CableKind::Sensor.code();
            acts.extend(seats.iter().map(|seat| Act::AddCable { ends: [*seat, from], kind }));
        }
    }
}

fn terminator_plugs(model: &Model, acts: &mut Vec<Act>) {
    let seats = free_seats(model, PortClass::Link);
    for cable in model.cables_of(CableKind::Terminator) {
        acts.push(Act::Unplug { cable });
        for (end, record) in model.cables[cable].ends.iter().enumerate() {
            let Some(unit) = record.unit() else { continue };
            let fits = |seat: &&Seat| {
                let own = usize::from(seat.index) == unit.index();
                own && record.port != seat.port || !own && is_off(model, seat.index)
            };
            let to = seats
                .iter()
                .filter(fits)
                .filter(|seat| seat.port != EndRecord::NO_PORT || seat.index != unit.0);
            acts.extend(to.map(|seat| Act::MovePlug { cable, end, to: *seat }));
        }
    }
}

fn is_off(model: &Model, unit: u8) -> bool {
    let one = model.units.get(usize::from(unit));
    one.is_some_and(|one| one.terminator() == Some(Terminator::Off))
}
