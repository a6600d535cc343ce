//! Faults of termination, for every kind of terminator.

use super::build::plug;
use super::{Fault, Group, Spot, Touch, Way, unit_name, way};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::{PortClass, Terminator};
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::TermPlugWrongSocket, plug_in_wrong_socket),
    way(RuleId::TermMissingBothEnds, none_on),
    way(RuleId::TermTooMany, too_many),
    way(RuleId::TermMissingOneEnd, one_off),
    way(RuleId::TermOnMiddleUnit, in_the_middle),
    way(RuleId::TermWrongValue, wrong_value),
    way(RuleId::TermListedTwoWays, two_ways),
];

/// Takes the terminator of a unit away, whatever its kind.
fn take_off(group: &mut Group, unit: u16) -> bool {
    let plugs: Vec<String> = group
        .things(List::Cable)
        .filter(|cable| cable.get("kind") == Some("terminator"))
        .filter(|cable| cable.get("from") == Some(&unit_name(unit)))
        .map(|cable| cable.name.clone())
        .collect();
    plugs.iter().all(|plug| group.remove(List::Cable, plug))
        && group.set_unit(unit, Field::Terminator, Terminator::Off.word())
}

fn switch_on(group: &mut Group, unit: u16) -> bool {
    group.set_unit(unit, Field::Terminator, Terminator::On.word())
}

/// The terminators of these units as they are set.
fn as_set(units: &[u16]) -> Vec<Touch> {
    let key = Field::Terminator.key();
    units.iter().map(|unit| Touch::fact(List::Unit, &unit_name(*unit), key)).collect()
}

fn terminators(units: &[u16]) -> Vec<Spot> {
    let mut units = units.to_vec();
    units.sort_unstable();
    units.into_iter().map(Spot::Terminator).collect()
}

fn none_on(group: &Group) -> Vec<Fault> {
    let ends = group.ends();
    if ends.is_empty() {
        return Vec::new();
    }
    vec![Fault::new("no terminator is fitted", terminators(&ends), move |group| {
        ends.iter().all(|unit| take_off(group, *unit))
    })]
}

fn one_off(group: &Group) -> Vec<Fault> {
    let fault = |unit: u16| {
        let done = format!("the terminator of unit {unit} is off");
        Fault::new(done, [Spot::Terminator(unit)], move |group| take_off(group, unit))
    };
    group.ends().into_iter().map(fault).collect()
}

/// One more than belongs on the link, in the middle.
fn too_many(group: &Group) -> Vec<Fault> {
    if group.is_ring() || group.layout.terminator == Terminator::Automatic {
        return Vec::new();
    }
    let fault = |unit: u16| {
        let done = format!("the terminator of unit {unit} is on too");
        Fault::new(done, [Spot::Terminator(unit)], move |group| switch_on(group, unit))
            .needing(as_set(&group.ends()))
    };
    group.middle().into_iter().map(fault).collect()
}

/// One that belongs on an end, in the middle.
fn in_the_middle(group: &Group) -> Vec<Fault> {
    let mut faults = Vec::new();
    for end in group.ends() {
        for middle in group.middle() {
            faults.push(
                Fault::new(
                    format!("the terminator is on at unit {middle} in place of unit {end}"),
                    [Spot::Terminator(middle)],
                    move |group| take_off(group, end) && switch_on(group, middle),
                )
                .with(&[RuleId::TermMissingOneEnd]),
            );
        }
    }
    faults
}

fn wrong_value(group: &Group) -> Vec<Fault> {
    let fault = |unit: u16| {
        let done = format!("the terminator of unit {unit} has 240 ohm");
        Fault::new(done, [Spot::Terminator(unit)], move |group| {
            group.set_unit(unit, Field::TerminatorOhms, "240 ohm")
        })
        .needing(as_set(&[unit]))
    };
    group.ends().into_iter().map(fault).collect()
}

/// A plug in a socket where it terminates nothing.
fn plug_in_wrong_socket(group: &Group) -> Vec<Fault> {
    if group.layout.terminator != Terminator::Plug {
        return Vec::new();
    }
    let Some(service) = group.sockets(PortClass::Service).first().cloned() else {
        return Vec::new();
    };
    let fault = |(number, unit): (u16, u16)| {
        let service = service.clone();
        Fault::new(
            format!("the terminator plug of unit {unit} is in socket {service}"),
            [Spot::Socket(unit, service.clone())],
            move |group| {
                group.change(List::Cable, &format!("T{number}"), |plug| {
                    plug.set("from_port", service.as_str());
                })
            },
        )
    };
    (1..).zip(group.ends()).map(fault).collect()
}

/// A switch that is on, and a plug on the list, at one unit.
fn two_ways(group: &Group) -> Vec<Fault> {
    if group.layout.terminator != Terminator::On {
        return Vec::new();
    }
    let fault = |unit: u16| {
        let socket = group.free_socket(unit)?;
        let done = format!("a terminator plug is listed at unit {unit}, where a switch is on");
        let fault = Fault::new(done, [Spot::Terminator(unit)], move |group| {
            group.add(plug(9, unit, &socket))
        });
        Some(fault.needing(as_set(&[unit])))
    };
    group.ends().into_iter().filter_map(fault).collect()
}
