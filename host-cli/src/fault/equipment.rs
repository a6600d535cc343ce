//! Faults of the equipment of the power side: changeover, generator, pre-charge, supply, leads.

use super::build::input_from;
use super::{Fault, Group, Spot, Touch, Way, all_units, way};
use crate::field::Field;
use coldcheck_core::plan::Leg;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::NoInterlockBackfeed, |_| lines("nothing keeps sources apart", INTERLOCK)),
    way(RuleId::NoPrecharge, |_| lines("nothing charges the units first", PRECHARGE)),
    way(RuleId::TransferTooFast, |_| lines("the changeover takes 20 ms", GAP)),
    way(RuleId::GeneratorBondUnknown, |_| lines("nobody knows of the generator's bond", GENERATOR)),
    way(RuleId::SupplyNotSplitPhase, other_supply),
    way(RuleId::GridProfileWrong, |group| {
        let [_, other] = group.frequencies();
        changed(&format!("the supply has {other}"), all_units(group), supplied(other))
    }),
    way(RuleId::TransferInputsExchanged, inputs_exchanged),
    way(RuleId::LineOnNeutralBar, neutral_exchanged),
    way(RuleId::DcLeadsUnequal, |group| lead(group, Field::BatteryLead)),
    way(RuleId::AcLeadsUnequal, |group| lead(group, Field::OutputLead)),
];

type Lines = &'static [(&'static str, &'static str)];

const INTERLOCK: Lines = &[(Field::Interlock.key(), "no")];
const PRECHARGE: Lines = &[(Field::Precharge.key(), "no")];
const GAP: Lines = &[(Field::ChangeoverGap.key(), "20 ms")];
const GENERATOR: Lines = &[(Field::Bonds.key(), "main board (fixed, behind the changeover)")];
const SUPPLY: Lines = &[(Field::Supply.key(), "single-phase 240 V")];

fn supplied(frequency: &str) -> Lines {
    const FIFTY: Lines = &[(Field::SupplyFrequency.key(), "50 Hz")];
    const SIXTY: Lines = &[(Field::SupplyFrequency.key(), "60 Hz")];
    if frequency == "50 Hz" { FIFTY } else { SIXTY }
}

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

/// At one unit, where the units beside it tell; at all of them, where only the bars' names do.
fn neutral_exchanged(group: &Group) -> Vec<Fault> {
    let exchanged = |group: &Group, unit: u16| {
        let right = input_from(group.phase(unit), "supply");
        let line = group.phase(unit).map_or("L1", Leg::word);
        let [line, neutral] = [format!("supply {line}"), "supply N".to_owned()];
        right.replace(&line, "\u{1}").replace(&neutral, &line).replace('\u{1}', &neutral)
    };
    let of_unit = |unit: &u16| {
        let unit = *unit;
        let says = format!("line and neutral are exchanged at the input of unit {unit}");
        Fault::new(says, [Spot::Unit(unit)], move |group| {
            let wrong = exchanged(group, unit);
            group.set_unit(unit, Field::AcIn, &wrong)
        })
    };
    let all = group.layout.order.clone();
    let of_all = Fault::new(
        "line and neutral are exchanged at the inputs of all units".to_owned(),
        all_units(group),
        move |group| {
            for unit in &all {
                let wrong = exchanged(group, *unit);
                group.set_unit(*unit, Field::AcIn, &wrong);
            }
            true
        },
    );
    group.layout.order.iter().map(of_unit).chain([of_all]).collect()
}

/// One lead shorter than all others of its line: it takes most. A unit that is alone on its line has
/// no other; of two nobody can say which is wrong.
fn lead(group: &Group, field: Field) -> Vec<Fault> {
    let beside = |unit: u16| -> Vec<u16> {
        let of_output = field == Field::OutputLead;
        let all = group.layout.order.iter().copied();
        all.filter(|other| !of_output || group.phase(*other) == group.phase(unit)).collect()
    };
    let fault = |unit: &u16| {
        let unit = *unit;
        let says = format!("{} of unit {unit} is shorter than the others", field.key());
        let odd = match beside(unit).as_slice() {
            [_] | [] => return None,
            [one, other] => vec![*one, *other],
            [..] => vec![unit],
        };
        // Two that are both made shorter are alike again.
        let needs: Vec<_> = match odd.as_slice() {
            [_, _] => odd.iter().map(|unit| Touch::of_unit(*unit, field)).collect(),
            _ => Vec::new(),
        };
        let fault = Fault::new(says, odd.into_iter().map(Spot::Unit), move |group| {
            group.size();
            group.set_unit(unit, field, "0.5 m")
        });
        Some(fault.needing(needs))
    };
    group.layout.order.iter().filter_map(fault).collect()
}
