//! Faults of the power side that a settings list can show.

use super::{Fault, Group, Spot, Way, each_unit, odd_one, pairs, two_units, way};
use crate::field::Field;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::BatteryBanksSeparate, |group| each_unit(group, Field::Bank, "B", odd_one)),
    way(RuleId::AcLegCrossed, legs_crossed),
    way(RuleId::AcEarthMissing, |group| output(group, "PE->earth bar", "PE->none", odd_one)),
    way(RuleId::NeutralNotCommon, |group| output(group, "N->bar N", "N->bar N 2", odd_one)),
    way(RuleId::NeutralEarthDoubleBond, |_| bonds("main board (fixed); sub board (fixed)")),
    way(RuleId::NeutralEarthNoBond, |_| bonds("unit 1 relay (closed on supply, open on island)")),
    way(RuleId::PvArrayShared, array_shared),
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
    output(group, "L1->bar L1; L2->bar L2", "L1->bar L2; L2->bar L1", odd_one)
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
