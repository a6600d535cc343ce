//! Acts at plugs: which of them may go where, and which make room.

use super::act::{Act, Seat};
use super::model::{Model, class_of};
use super::order;
use coldcheck_core::place::{PortId, UnitId};
use coldcheck_core::plan::{CableKind, EndKind, EndRecord, PortClass, Terminator, YesNo};

/// Seats of a class that nothing is in, at every unit; sockets of sensors take several.
pub(super) fn free_seats(model: &Model, class: PortClass) -> Vec<Seat> {
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
pub(super) fn moves(model: &Model, kind: CableKind, seats: &[Seat], acts: &mut Vec<Act>) {
    for cable in model.cables_of(kind) {
        let ends = model.cables[cable].ends;
        for end in 0..2 {
            if ends[end].unit().is_some() || model.is_gear(ends[end]) {
                move_to(model, (cable, end), seats, acts);
            }
        }
    }
}

/// Moves of one plug into these seats; but not to the unit where the other plug is.
fn move_to(model: &Model, (cable, end): (usize, usize), seats: &[Seat], acts: &mut Vec<Act>) {
    let ends = model.cables[cable].ends;
    let (own, other) = (ends[end], ends[1 - end]);
    let fits = |seat: &&Seat| {
        let is_same = (own.unit(), own.port) == (Some(UnitId(seat.index)), seat.port);
        !is_same && other.unit() != Some(UnitId(seat.index))
    };
    acts.extend(seats.iter().filter(fits).map(|seat| Act::MovePlug { cable, end, to: *seat }));
}

pub(super) fn links(model: &Model, acts: &mut Vec<Act>) {
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
    let kind = CableKind::Link.code();
    let mut pairs: Vec<[Seat; 2]> = Vec::new();
    for (position, one) in seats.iter().enumerate() {
        let others = seats[position + 1..].iter().filter(|two| two.index != one.index);
        pairs.extend(others.map(|two| [*one, *two]));
    }
    // Those between neighbours first, so that they are found first.
    let used = order::sockets_used(model);
    pairs.sort_by_cached_key(|ends| {
        (order::way(model, *ends), !used.contains(&order::sockets(model, *ends)))
    });
    acts.extend(pairs.into_iter().map(|ends| Act::AddCable { ends, kind }));
}

/// Every two sockets of a unit that hold a plug each and are of one kind, or of which one holds a plug
/// of another.
pub(super) fn exchanges(model: &Model, acts: &mut Vec<Act>) {
    let ports = model.demands().ports();
    let class = |port: u8| ports.and_then(|ports| ports.class(PortId(port)));
    for unit in 0..u8::try_from(model.units.len()).unwrap_or(u8::MAX) {
        let full: Vec<u8> = (0..8).filter(|port| model.is_used(unit, PortId(*port))).collect();
        let is_odd = |port: u8| {
            let mut plugs = model.plugs_in(unit, PortId(port));
            plugs.any(|(cable, end)| model.is_foreign(cable, end))
        };
        for (position, one) in full.iter().enumerate() {
            let others = full[position + 1..].iter();
            let others =
                others.filter(|two| class(*one) == class(**two) || is_odd(*one) || is_odd(**two));
            acts.extend(others.map(|two| Act::ExchangePlugs { unit, ports: [*one, *two] }));
        }
    }
}

/// Every plug in a socket of another kind: into a free one of its own, or out with it. It may hold the
/// socket that others need.
pub(super) fn make_room(model: &Model, acts: &mut Vec<Act>) {
    for cable in (0..model.cables.len()).filter(|cable| !model.is_out[*cable]) {
        let foreign = [0, 1].map(|end| model.is_foreign(cable, end));
        let Some(kind) = model.cables[cable].kind().filter(|_| foreign != [false; 2]) else {
            continue;
        };
        let Some(class) = class_of(kind) else { continue };
        let seats = free_seats(model, class);
        for end in (0..2).filter(|end| foreign[*end]) {
            move_to(model, (cable, end), &seats, acts);
        }
        match kind {
            CableKind::Terminator => acts.push(Act::Unplug { cable }),
            CableKind::Link if !model.may_go(cable) => {}
            _ => acts.push(Act::RemoveCable { cable }),
        }
    }
}

pub(super) fn battery(model: &Model, acts: &mut Vec<Act>) {
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
}

/// New leads for sensors that have none.
pub(super) fn sensor_leads(model: &Model, acts: &mut Vec<Act>) {
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

pub(super) fn terminator_plugs(model: &Model, acts: &mut Vec<Act>) {
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
