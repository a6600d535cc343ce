//! Faults of the equipment of the power side: changeover, generator, pre-charge, supply, leads.

use super::build::input_from;
use super::{Fault, Group, Spot, Way, odd_one, way};
use crate::field::Field;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::NoInterlockBackfeed, |_| lines("nothing keeps sources apart", INTERLOCK)),
    way(RuleId::NoPrecharge, |_| lines("nothing charges the units first", PRECHARGE)),
    way(RuleId::TransferTooFast, |_| lines("the changeover takes 20 ms", GAP)),
    way(RuleId::GeneratorBondUnknown, |_| lines("nobody knows of the generator's bond", GENERATOR)),
    way(RuleId::SupplyNotSplitPhase, other_supply),
    way(RuleId::GridProfileWrong, |group| {
        changed("the supply has 60 Hz", all_units(group), FREQUENCY)
    }),
    way(RuleId::TransferInputsExchanged, inputs_exchanged),
    way(RuleId::DcLeadsUnequal, |group| lead(group, Field::BatteryLead, "5 m")),
    way(RuleId::AcLeadsUnequal, |group| lead(group, Field::OutputLead, "12 m")),
];

type Lines = &'static [(&'static str, &'static str)];

const INTERLOCK: Lines = &[(Field::Interlock.key(), "no")];
const PRECHARGE: Lines = &[(Field::Precharge.key(), "no")];
const GAP: Lines = &[(Field::ChangeoverGap.key(), "20 ms")];
const GENERATOR: Lines = &[(Field::Bonds.key(), "main board (fixed, behind the changeover)")];
const FREQUENCY: Lines = &[(Field::SupplyFrequency.key(), "60 Hz")];
const SUPPLY: Lines = &[(Field::Supply.key(), "single-phase 240 V")];

/// Everything else that the host looks at is stated, too, and right.
fn changed(says: &str, places: Vec<Spot>, lines: Lines) -> Vec<Fault> {
    vec![Fault::new(says.to_owned(), places, move |group| {
        group.size();
        for (key, value) in lines {
            group.set_line(key, *value);
        }
        true
    })]
}

fn lines(says: &str, lines: Lines) -> Vec<Fault> {
    changed(says, Vec::new(), lines)
}

fn all_units(group: &Group) -> Vec<Spot> {
    let mut units = group.layout.order.clone();
    units.sort_unstable();
    units.into_iter().map(Spot::Unit).collect()
}

/// A unit with one leg can stand on any supply.
fn other_supply(group: &Group) -> Vec<Fault> {
    if group.has_phases() {
        return Vec::new();
    }
    changed("the supply has one line", all_units(group), SUPPLY)
}

fn inputs_exchanged(group: &Group) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        let says = format!("the supply comes to the generator's input of unit {unit}");
        Fault::new(says, [Spot::Unit(unit)], move |group| {
            group.size();
            group.set_unit(unit, Field::GeneratorIn, &input_from(group.phase(unit), "supply"))
        })
    };
    group.layout.order.iter().map(fault).collect()
}

/// One lead longer than all others.
fn lead(group: &Group, field: Field, length: &'static str) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        let says = format!("{} of unit {unit} is longer than the others", field.key());
        Fault::new(says, odd_one(group, unit), move |group| {
            group.size();
            group.set_unit(unit, field, length)
        })
    };
    group.layout.order.iter().map(fault).collect()
}
