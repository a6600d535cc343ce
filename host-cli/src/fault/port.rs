//! Faults of sockets, plugs and kinds of cable.

use super::{Fault, Group, Spot, Thing, Touch, Way, each_link_cable, unit_name, way};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::{Demand, Pairing, PortClass, Terminator};
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::PortListedTwice, socket_twice),
    way(RuleId::LinkInServicePort, in_service_socket),
    way(RuleId::NetworkGearInLink, network_gear),
    way(RuleId::LeadWrongPinout, wrong_pinout),
    way(RuleId::CrossoverCable, |group| {
        each_link_cable(group, Field::Wiring.key(), "crossover, two pairs")
    }),
    way(RuleId::ExtraConductorsConnected, |group| {
        each_link_cable(group, Field::Pins.key(), "1, 2, 3, 4, 5, 6, 7, 8")
    }),
    way(RuleId::SignalCommonMissing, |group| each_link_cable(group, Field::Pins.key(), "1, 2")),
    way(RuleId::PortPairingAgainstPolicy, against_pairing),
];

/// Labels of link cables with the numbers of the units that each joins, onward.
pub(super) fn joined(group: &Group) -> Vec<(String, u16, u16)> {
    let order = &group.layout.order;
    let next = order.iter().skip(1).chain(order.iter().take(usize::from(group.is_ring())));
    let pairs = order.iter().zip(next);
    group.link_cables().into_iter().zip(pairs).map(|(label, (a, b))| (label, *a, *b)).collect()
}

/// A cable in the socket that the unit's other cable is in.
fn socket_twice(group: &Group) -> Vec<Fault> {
    let [onward, _] = group.link_sockets();
    let (middle, cables) = (group.middle(), joined(group));
    let fault = |(label, _, unit): (String, u16, u16)| {
        let socket = onward.clone();
        let taken_by = cables.iter().filter(|(_, from, _)| *from == unit);
        let needs: Vec<_> = taken_by.flat_map(|(other, ..)| Touch::ends_of(other)).collect();
        Fault::new(
            format!("cable {label} is listed in socket {socket} of unit {unit}, which is taken"),
            [Spot::Socket(unit, socket.clone())],
            move |group| {
                group.change(List::Cable, &label, |cable| cable.set("to_port", socket.as_str()))
            },
        )
        .needing(needs)
    };
    joined(group).into_iter().filter(|(_, _, unit)| middle.contains(unit)).map(fault).collect()
}

fn in_service_socket(group: &Group) -> Vec<Fault> {
    let sockets = group.sockets(PortClass::Service);
    let Some(socket) = sockets.first() else { return Vec::new() };
    let mut faults = Vec::new();
    for (label, from, to) in joined(group) {
        for (unit, key) in [(from, "from_port"), (to, "to_port")] {
            let (label, socket) = (label.clone(), socket.clone());
            let places = [Spot::Cable(label.clone()), Spot::Socket(unit, socket.clone())];
            let done = format!("cable {label} is in socket {socket} of unit {unit}");
            faults.push(Fault::new(done, places, move |group| {
                group.change(List::Cable, &label, |cable| cable.set(key, socket.as_str()))
            }));
        }
    }
    faults
}

/// A network switch between two units.
fn network_gear(group: &Group) -> Vec<Fault> {
    let [_, back] = group.link_sockets();
    let fault = |(label, _, to): (String, u16, u16)| {
        let back = back.clone();
        let places = [Spot::Cable(label.clone()), Spot::Cable("N1".to_owned())];
        Fault::new(format!("cable {label} goes by way of a router"), places, move |group| {
            let facts = [
                ("from", "router"),
                ("to", &*unit_name(to)),
                ("to_port", &*back),
                ("kind", "link"),
                ("length", "2 m"),
            ];
            let changed = group.change(List::Cable, &label, |cable| {
                cable.set("to", "router");
                cable.set("to_port", "");
            });
            changed && group.add(Thing::new(List::Cable, "N1", &facts))
        })
    };
    joined(group).into_iter().map(fault).collect()
}

fn wrong_pinout(group: &Group) -> Vec<Fault> {
    let mut faults = each_link_cable(group, Field::Wiring.key(), "special");
    let done = "the battery link is wired straight";
    faults.push(Fault::new(done, [Spot::Cable("B1".to_owned())], |group| {
        group.change(List::Cable, "B1", |cable| cable.set(Field::Wiring.key(), "straight"))
    }));
    faults
}

/// The plug of an end unit's cable in its other link socket, which is free; both plugs of a
/// middle unit exchanged.
fn against_pairing(group: &Group) -> Vec<Fault> {
    let by_profile: Option<Pairing> = group.demanded(Demand::Pairing);
    if by_profile == Some(Pairing::Either) {
        return Vec::new();
    }
    let plugged = group.layout.terminator == Terminator::Plug;
    let cables = joined(group);
    let at = |unit: u16| -> Vec<(String, &'static str)> {
        let ends = cables
            .iter()
            .flat_map(|(label, from, to)| [(label, *from, "from_port"), (label, *to, "to_port")]);
        let here = ends.filter(|(_, own, _)| *own == unit);
        here.map(|(label, _, key)| (label.clone(), key)).collect()
    };
    let [onward, back] = group.link_sockets();
    let units = group.layout.order.iter().copied();
    let movable = units.filter(|unit| !(plugged && group.ends().contains(unit)));
    let fault = |unit: u16| {
        let ends = at(unit);
        let mut labels: Vec<_> = ends.iter().map(|(label, _)| label.clone()).collect();
        labels.sort_by_key(|label| (label.len(), label.clone()));
        let places: Vec<_> = labels.into_iter().map(Spot::Cable).collect();
        let (onward, back) = (onward.clone(), back.clone());
        Fault::new(format!("the link plugs of unit {unit} are exchanged"), places, move |group| {
            ends.iter().all(|(label, key)| {
                let other = if *key == "from_port" { &back } else { &onward };
                group.change(List::Cable, label, |cable| cable.set(key, other.as_str()))
            })
        })
    };
    movable.map(fault).collect()
}
