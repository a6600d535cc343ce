//! Faults of firmware, settings, protocols and speeds.

use super::{Fault, Group, Spot, Thing, Touch, Way, each_unit, odd_one, way};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::CableKind;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::FirmwareMixed, |group| each_unit(group, Field::Firmware, "2.11", odd_one)),
    way(RuleId::ModelMixed, |group| each_unit(group, Field::Model, "eight", odd_one)),
    way(RuleId::SettingsDifferBetweenUnits, settings),
    way(RuleId::ProtocolNotMatching, protocol),
    way(RuleId::BitrateMismatch, |group| {
        each_unit(group, Field::BitRate, "125 kbit/s", |_, unit| vec![Spot::Unit(unit)])
    }),
    way(RuleId::SerialRateOrParity, |group| {
        each_unit(group, Field::LineFormat, "9600 8E1", odd_one)
    }),
    way(RuleId::TwoPollersOnOnePair, second_asker),
    way(RuleId::TwoServicesOnOneBus, two_services),
];

fn settings(group: &Group) -> Vec<Fault> {
    let [_, other] = group.frequencies();
    [(Field::Frequency, other), (Field::ChargeVoltage, "57.6 V"), (Field::ChargeLimit, "70 A")]
        .into_iter()
        .flat_map(|(field, value)| each_unit(group, field, value, odd_one))
        .collect()
}

/// Only the unit with the battery link speaks with the battery.
fn protocol(group: &Group) -> Vec<Fault> {
    let owner = group.owner();
    let fault = Fault::new(
        format!("unit {owner} is set to another battery protocol"),
        [Spot::Unit(owner)],
        move |group| group.set_unit(owner, Field::Protocol, "frame set 3"),
    );
    vec![fault.needing([Touch::fact(List::Cable, "B1", "to")])]
}

fn second_asker(_: &Group) -> Vec<Fault> {
    let done = "a gateway that asks is joined to the battery's data pair";
    vec![Fault::new(done, [Spot::Device("gateway".to_owned())], |group| {
        let facts = [(Field::DeviceAsks.key(), "yes")];
        let lead = [("from", "gateway"), ("to", "pack 1"), ("kind", "battery")];
        group.add(Thing::new(List::Device, "gateway", &facts))
            && group.add(Thing::new(List::Cable, "G1", &lead))
    })]
}

/// The battery's data on the wires of a link cable.
fn two_services(group: &Group) -> Vec<Fault> {
    let fault = |label: String| {
        let done = format!("cable {label} carries the battery's data too");
        Fault::new(done, [Spot::Cable(label.clone())], move |group| {
            let second = CableKind::Battery.word();
            group.change(List::Cable, &label, |cable| cable.set(Field::AlsoCarries.key(), second))
        })
    };
    group.link_cables().into_iter().map(fault).collect()
}
