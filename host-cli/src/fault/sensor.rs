//! Faults of sensors and of the energy meter.

use super::{Fault, Group, Spot, Way, unit_name, way};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::Leg;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::CtLeadMissing, no_lead),
    way(RuleId::CtOnFollower, on_another),
    way(RuleId::CtArrowReversed, |group| each_sensor(group, Field::Arrow, "street")),
    way(RuleId::CtLegsSwapped, legs_swapped),
    way(RuleId::CtOneLegMissing, one_leg_missing),
    way(RuleId::CtRatioMismatch, |group| each_sensor(group, Field::RatioFitted, "3000:1")),
    way(RuleId::CtPlaceWrong, |group| each_sensor(group, Field::SensorPlace, "load side")),
    way(RuleId::CtOverrange, |group| each_sensor(group, Field::SensorRating, "50 A")),
    way(RuleId::CtVoltageReferenceMoved, reference_moved),
    way(RuleId::MeterAddressOrPoller, meter_address),
];

fn name(leg: Leg) -> String {
    format!("CT {}", leg.word())
}

fn each_sensor(group: &Group, field: Field, value: &'static str) -> Vec<Fault> {
    let fault = |leg: Leg| {
        let done = format!("{} of {}: {value}", field.key(), name(leg));
        Fault::new(done, [Spot::Sensor(leg)], move |group| set(group, leg, field, value))
    };
    group.sensor_legs().into_iter().map(fault).collect()
}

fn set(group: &mut Group, leg: Leg, field: Field, value: &str) -> bool {
    group.change(List::Sensor, &name(leg), |sensor| sensor.set(field.key(), value))
}

/// The next leg that has a sensor.
fn next(group: &Group, leg: Leg) -> Leg {
    let legs = group.sensor_legs();
    let behind = legs.iter().copied().skip_while(|other| *other != leg).nth(1);
    behind.or(legs.first().copied()).unwrap_or(leg)
}

/// The lead of the sensor on a leg.
fn lead(group: &Group, leg: Leg) -> Option<String> {
    let name = name(leg);
    let mut cables = group.things(List::Cable);
    cables.find(|cable| cable.get("from") == Some(name.as_str())).map(|cable| cable.name.clone())
}

fn no_lead(group: &Group) -> Vec<Fault> {
    let leads: Vec<_> =
        group.sensor_legs().into_iter().filter_map(|leg| lead(group, leg)).collect();
    vec![Fault::new("no sensor lead is fitted", [], move |group| {
        leads.iter().all(|lead| group.remove(List::Cable, lead))
    })]
}

fn on_another(group: &Group) -> Vec<Fault> {
    let mut faults = Vec::new();
    for leg in group.sensor_legs() {
        let Some(lead) = lead(group, leg) else { continue };
        let own = group.thing(List::Cable, &lead).and_then(|cable| cable.get("to"));
        for unit in group.layout.order.iter().copied() {
            if own == Some(&unit_name(unit)) {
                continue;
            }
            let lead = lead.clone();
            let done = format!("the lead of {} goes to unit {unit}", name(leg));
            faults.push(Fault::new(done, [Spot::Unit(unit)], move |group| {
                group.change(List::Cable, &lead, |cable| cable.set("to", unit_name(unit)))
            }));
        }
    }
    faults
}

fn legs_swapped(group: &Group) -> Vec<Fault> {
    let legs = group.sensor_legs();
    let pairs = legs.iter().zip(legs.iter().skip(1));
    let fault = |(one, two): (&Leg, &Leg)| {
        let (one, two) = (*one, *two);
        Fault::new(
            format!("the inputs of {} and {} are exchanged", name(one), name(two)),
            [Spot::Sensor(one), Spot::Sensor(two)],
            move |group| {
                set(group, one, Field::SensorInput, two.word())
                    && set(group, two, Field::SensorInput, one.word())
            },
        )
    };
    pairs.map(fault).collect()
}

fn one_leg_missing(group: &Group) -> Vec<Fault> {
    let fault = |leg: Leg| {
        let lead = lead(group, leg)?;
        let done = format!("the lead of {} is not fitted", name(leg));
        Some(Fault::new(done, [Spot::Sensor(leg)], move |group| group.remove(List::Cable, &lead)))
    };
    group.sensor_legs().into_iter().filter_map(fault).collect()
}

fn reference_moved(group: &Group) -> Vec<Fault> {
    let fault = |leg: Leg| {
        let other = next(group, leg);
        Fault::new(
            format!("the voltage reference of {} is {}", name(leg), other.word()),
            [Spot::Sensor(leg)],
            move |group| set(group, leg, Field::VoltageReference, other.word()),
        )
    };
    group.sensor_legs().into_iter().map(fault).collect()
}

fn meter_address(group: &Group) -> Vec<Fault> {
    if group.thing(List::Device, "meter").is_none() {
        return Vec::new();
    }
    let spot = Spot::Device("meter".to_owned());
    vec![Fault::new("the meter is expected at address 6", [spot], |group| {
        group.set_line(Field::MeterAddressSet.key(), "6");
        true
    })]
}
