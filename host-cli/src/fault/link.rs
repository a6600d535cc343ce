//! Faults of the shape of the link.

use super::port::joined;
use super::{Fault, Group, Spot, Thing, Touch, Way, each_link_cable, two_units, unit_name, way};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::Terminator;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::LinkSelfLoop, self_loop),
    way(RuleId::LinkStar, star),
    way(RuleId::LinkBroken, broken),
    way(RuleId::UnitNotOnLink, not_on_link),
    way(RuleId::LinkDoubledPair, doubled),
    way(RuleId::LinkRingClosed, ring_closed),
    way(RuleId::LinkRingOpen, ring_open),
    way(RuleId::LinkStubTooLong, long_stub),
    way(RuleId::LinkTooLong, long_link),
    way(RuleId::LinkCableUnsuitable, |group| {
        each_link_cable(group, Field::Construction.key(), "telephone")
    }),
    way(RuleId::LinkScreenBothEnds, |group| {
        each_link_cable(group, Field::Screen.key(), "both ends")
    }),
];

/// A link cable of the group, bare of anything else.
fn cable(label: &str, from: (&str, &str), to: (&str, &str), length: &str) -> Thing {
    let facts = [
        ("from", from.0),
        ("from_port", from.1),
        ("to", to.0),
        ("to_port", to.1),
        ("kind", "link"),
        ("length", length),
    ];
    Thing::new(List::Cable, label, &facts)
}

/// A cable listed with both ends at the unit that it starts from.
fn self_loop(group: &Group) -> Vec<Fault> {
    let [onward, _] = group.link_sockets();
    let fault = |(label, from, _): (String, u16, u16)| {
        let (onward, own) = (onward.clone(), label.clone());
        Fault::new(
            format!("cable {label} is listed with both ends at unit {from}"),
            [Spot::Cable(label.clone())],
            move |group| {
                group.change(List::Cable, &label, |cable| {
                    cable.set("to", unit_name(from));
                    cable.set("to_port", onward.as_str());
                })
            },
        )
        .needing(Touch::ends_of(&own))
    };
    joined(group).into_iter().map(fault).collect()
}

/// The cables of a middle unit go into a splitter, and one more from there to the unit.
fn star(group: &Group) -> Vec<Fault> {
    let [_, back] = group.link_sockets();
    let cables = joined(group);
    let middle = group.middle();
    let fault = |unit: u16| {
        let before = cables.iter().find(|(_, _, to)| *to == unit)?.0.clone();
        let after = cables.iter().find(|(_, from, _)| *from == unit)?.0.clone();
        let back = back.clone();
        let places = [Spot::Device("splitter".to_owned())];
        let done = format!("unit {unit} hangs on a splitter in cables {before} and {after}");
        let needs: Vec<_> = Touch::ends_of(&before).chain(Touch::ends_of(&after)).collect();
        let fault = Fault::new(done, places, move |group| {
            let into = |group: &mut Group, label: &str, end: &str, port: &str| {
                group.change(List::Cable, label, |cable| {
                    cable.set(end, "splitter");
                    cable.set(port, "");
                })
            };
            into(group, &before, "to", "to_port")
                && into(group, &after, "from", "from_port")
                && group.add(cable("X1", ("splitter", ""), (&unit_name(unit), &back), "1 m"))
        });
        Some(fault.needing(needs))
    };
    middle.into_iter().filter_map(fault).collect()
}

/// A cable with units on both sides is not there.
fn broken(group: &Group) -> Vec<Fault> {
    if group.is_ring() {
        return Vec::new();
    }
    let [onward, back] = group.link_sockets();
    let cables = joined(group);
    let mut outer: Vec<_> = group.ends().into_iter().zip([&back, &onward]).collect();
    if group.layout.terminator != Terminator::Automatic {
        // The terminators tell the ends of the line from those of the gap.
        outer.clear();
    }
    // The units at the gap are on the link by their other cables.
    let there = |label: &String| Touch::fact(List::Cable, label, "label");
    let fault = |around: &[(String, u16, u16)]| {
        let [(before, ..), (label, from, to), (after, ..)] = around else { return None };
        let (label, needs) = (label.clone(), [there(before), there(after)]);
        let gap = [(*from, &onward), (*to, &back)];
        let places = outer.iter().copied().chain(gap);
        let places: Vec<_> =
            places.map(|(unit, socket)| Spot::Socket(unit, socket.clone())).collect();
        let fault = Fault::new(format!("cable {label} is not fitted"), places, move |group| {
            group.remove(List::Cable, &label)
        });
        Some(fault.needing(needs))
    };
    cables.windows(3).filter_map(fault).collect()
}

/// The only cable of an end unit is not there.
fn not_on_link(group: &Group) -> Vec<Fault> {
    let cables = joined(group);
    match (cables.as_slice(), group.ends().as_slice()) {
        ([(label, one, two)], _) => vec![without(label, &two_units(*one, *two))],
        ([first, .., last], [one, two]) => {
            vec![without(&first.0, &[Spot::Unit(*one)]), without(&last.0, &[Spot::Unit(*two)])]
        }
        _ => Vec::new(),
    }
}

fn without(label: &str, places: &[Spot]) -> Fault {
    let label = label.to_owned();
    Fault::new(format!("cable {label} is not fitted"), places.to_vec(), move |group| {
        group.remove(List::Cable, &label)
    })
}

/// The second cable of an end goes back to the first unit: its plug was taken for the other.
fn doubled(group: &Group) -> Vec<Fault> {
    let cables = joined(group);
    let plugged = group.layout.terminator == Terminator::Plug;
    let [_, back] = group.link_sockets();
    match cables.as_slice() {
        [(first, one, _), (second, _, _)] if !group.is_ring() && !plugged => {
            let (one, second) = (*one, second.clone());
            let places = [Spot::Cable(first.clone()), Spot::Cable(second.clone())];
            let done = format!("cable {second} goes back to unit {one}");
            let needs: Vec<_> = Touch::ends_of(first).chain(Touch::ends_of(&second)).collect();
            vec![
                Fault::new(done, places, move |group| {
                    group.change(List::Cable, &second, |cable| {
                        cable.set("to", unit_name(one));
                        cable.set("to_port", back.as_str());
                    })
                })
                .with(&[RuleId::UnitNotOnLink])
                .needing(needs),
            ]
        }
        _ => Vec::new(),
    }
}

/// A cable from the last unit back to the first.
fn ring_closed(group: &Group) -> Vec<Fault> {
    let [first, last] = group.ends().try_into().unwrap_or_default();
    let plugged = group.layout.terminator == Terminator::Plug;
    if group.is_ring() || plugged || group.layout.order.len() < 3 {
        return Vec::new();
    }
    let [onward, back] = group.link_sockets();
    let done = format!("a spare cable joins unit {last} and unit {first}");
    let fault = Fault::new(done, [Spot::Cable("X1".to_owned())], move |group| {
        let (from, to) = (unit_name(last), unit_name(first));
        group.add(cable("X1", (&from, &onward), (&to, &back), "9.5 m"))
    });
    let cables = group.link_cables();
    vec![fault.needing(cables.iter().flat_map(|label| Touch::ends_of(label)))]
}

/// A cable of a ring is not there.
fn ring_open(group: &Group) -> Vec<Fault> {
    if !group.is_ring() {
        return Vec::new();
    }
    let fault = |(label, from, to): &(String, u16, u16)| without(label, &two_units(*from, *to));
    joined(group).iter().map(fault).collect()
}

/// A gateway hangs on the free socket of an end unit, far away.
fn long_stub(group: &Group) -> Vec<Fault> {
    if group.layout.terminator == Terminator::Plug {
        return Vec::new();
    }
    let fault = |unit: u16| {
        let socket = group.free_socket(unit)?;
        let done = format!("a gateway hangs on unit {unit} by a long cable");
        Some(Fault::new(done, [Spot::Cable("G1".to_owned())], move |group| {
            let facts = [(Field::DeviceTerminator.key(), "off"), (Field::DeviceAsks.key(), "no")];
            let stub = cable("G1", ("gateway", ""), (&unit_name(unit), &socket), "9 m");
            group.add(Thing::new(List::Device, "gateway", &facts)) && group.add(stub)
        }))
    };
    group.ends().into_iter().filter_map(fault).collect()
}

fn long_link(group: &Group) -> Vec<Fault> {
    let fault = |label: String| {
        Fault::new(format!("cable {label} is two kilometres long"), [], move |group| {
            group.change(List::Cable, &label, |cable| cable.set("length", "2000 m"))
        })
    };
    group.link_cables().into_iter().map(fault).collect()
}
