//! Faults of the power side that a settings list can show.

use super::build::{input_from, output_of_leg};
use super::{Fault, Group, Spot, Way, all_units, each_unit, odd_one, pairs, two_units, way};
use crate::field::Field;
use coldcheck_core::plan::Leg;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::BatteryBanksSeparate, |group| each_unit(group, Field::Bank, "B", odd_one)),
    way(RuleId::AcLegCrossed, legs_crossed),
    way(RuleId::AcEarthMissing, |group| output(group, "PE->earth bar", "PE->none", odd_one)),
    way(RuleId::NeutralNotCommon, |group| output(group, "N->bar N", "N->bar N 2", odd_one)),
    way(RuleId::NeutralEarthDoubleBond, |_| {
        bonds(
            "main board (fixed, behind the changeover); sub board (fixed); generator frame (open)",
        )
    }),
    way(RuleId::NeutralEarthNoBond, |_| {
        bonds("unit 1 relay (closed on supply, open on island); generator frame (open)")
    }),
    way(RuleId::PvArrayShared, array_shared),
    way(RuleId::LegAssignmentWrong, leg_on_other_bar),
    way(RuleId::InputLegsNotAsOutput, input_legs_crossed),
    way(RuleId::NeutralNotSwitchedWithBond, neutral_left_through),
];

/// One conductor of the output changed, at each unit in turn.
fn output(
    group: &Group,
    right: &'static str,
    wrong: &'static str,
    places: fn(&Group, u16) -> Vec<Spot>,
) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        let value = group.of_unit(unit, Field::AcOut).replace(right, wrong);
        Fault::new(
            format!("the output of unit {unit} goes {wrong}"),
            places(group, unit),
            move |group| group.set_unit(unit, Field::AcOut, &value),
        )
    };
    group.layout.order.iter().map(fault).collect()
}

/// Two legs of one unit exchanged. A unit with one leg has none to exchange.
fn legs_crossed(group: &Group) -> Vec<Fault> {
    if group.has_phases() {
        return Vec::new();
    }
    let mut faults = output(group, "L1->bar L1; L2->bar L2", "L1->bar L2; L2->bar L1", odd_one);
    // A short that all units have alike.
    let units = group.layout.order.clone();
    let done = "the first leg of every output goes to bar N";
    faults.push(Fault::new(done, all_units(group), move |group| {
        units.iter().all(|unit| {
            let value = group.of_unit(*unit, Field::AcOut).replace("L1->bar L1", "L1->bar N");
            group.set_unit(*unit, Field::AcOut, &value)
        })
    }));
    faults
}

/// The conductor of a unit with one leg goes to the bar of the next leg.
fn leg_on_other_bar(group: &Group) -> Vec<Fault> {
    let units = || group.layout.order.iter().copied();
    let with =
        |leg: Leg| units().filter(|unit| group.phase(*unit) == Some(leg)).collect::<Vec<_>>();
    let fault = |unit: u16| {
        let own = group.phase(unit)?;
        let other = match own {
            Leg::L1 => Leg::L2,
            Leg::L2 => Leg::L3,
            Leg::L3 => Leg::L1,
        };
        let (fellows, strangers) = (with(own), with(other));
        // With as few of either leg nobody can be singled out on their bar. A fellow that is left
        // alone on its own bar has nobody there to differ from.
        let is_odd = strangers.len() >= 2 || fellows.len() >= 3;
        let others = if is_odd { Vec::new() } else { strangers };
        let mut places = [vec![unit], others].concat();
        places.sort_unstable();
        let says = format!("the output of unit {unit} goes to the bar of {}", other.word());
        Some(Fault::new(says, places.into_iter().map(Spot::Unit), move |group| {
            group.set_unit(unit, Field::AcOut, &output_of_leg(other))
        }))
    };
    units().filter_map(fault).collect()
}

/// Two legs of the supply exchanged at one unit.
fn input_legs_crossed(group: &Group) -> Vec<Fault> {
    if group.has_phases() {
        return Vec::new();
    }
    let right = input_from(None, "supply");
    let crossed = right.replace("supply L1; L2->supply L2", "supply L2; L2->supply L1");
    let fault = |unit: &u16| {
        let (unit, crossed) = (*unit, crossed.clone());
        let says = format!("the input of unit {unit} has its legs exchanged");
        Fault::new(says, odd_one(group, unit), move |group| {
            group.set_unit(unit, Field::AcIn, &crossed)
        })
    };
    group.layout.order.iter().map(fault).collect()
}

/// A generator with a bond of its own behind a changeover that leaves the neutral through.
fn neutral_left_through(_: &Group) -> Vec<Fault> {
    let says = "the generator is bonded, too, and the neutral is not switched";
    vec![Fault::new(says.to_owned(), [], |group| {
        group.set_line(Field::Bonds.key(), "main board (fixed); generator frame (fixed)");
        group.set_line(Field::ChangeoverNeutral.key(), "no");
        true
    })]
}

fn bonds(value: &'static str) -> Vec<Fault> {
    vec![Fault::new(format!("neutral and earth are joined at: {value}"), [], move |group| {
        group.set_line(Field::Bonds.key(), value);
        true
    })]
}

fn array_shared(group: &Group) -> Vec<Fault> {
    let fault = |(one, two): (u16, u16)| {
        Fault::new(
            format!("the roof of unit {one} feeds unit {two} as well"),
            two_units(one, two),
            move |group| {
                let arrays = group.line(Field::Arrays.key()).unwrap_or_default();
                let own = format!("roof {two} -> unit {two}");
                let found = arrays.split("; ").any(|array| array == own);
                let shared = format!("roof {one} -> unit {two}");
                let all: Vec<_> = arrays
                    .split("; ")
                    .map(|array| if array == own { shared.as_str() } else { array })
                    .collect();
                let all = all.join("; ");
                group.set_line(Field::Arrays.key(), all);
                found
            },
        )
    };
    pairs(group).into_iter().map(fault).collect()
}
