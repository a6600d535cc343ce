//! Faults of addresses, roles and counts.

use super::build::{SWITCHES, switches};
use super::{Fault, Group, Spot, Touch, Way, each_unit, odd_one, pairs, two_units, unit_name, way};
use crate::field::Field;
use coldcheck_core::plan::{AddressRange, Demand, Role};
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::UnitListedTwice, listed_twice),
    way(RuleId::AddressMissing, address_missing),
    way(RuleId::AddressDuplicate, address_duplicate),
    way(RuleId::AddressOutOfRange, address_out_of_range),
    way(RuleId::AddressGap, address_gap),
    way(RuleId::AddressHexDecimal, address_in_two_bases),
    way(RuleId::SwitchesReadBackwards, switches_backwards),
    way(RuleId::SwitchKnocked, switch_knocked),
    way(RuleId::CoordinatorNone, coordinator_none),
    way(RuleId::CoordinatorTwo, coordinator_two),
    way(RuleId::CoordinatorAtWrongPlace, coordinator_elsewhere),
    way(RuleId::CountSettingDiffers, count_differs),
    way(RuleId::CountNotEqualFitted, count_not_fitted),
    way(RuleId::CountOverLimit, over_limit),
    way(RuleId::ParallelModeNotSet, single_mode),
];

/// Sets the address of a unit, dialled in and declared.
fn dial(group: &mut Group, unit: u16, address: u16) -> bool {
    group.set_unit(unit, Field::Switches, &switches(address))
        && group.set_unit(unit, Field::Address, &address.to_string())
}

fn listed_twice(group: &Group) -> Vec<Fault> {
    let fault = |(one, two): (u16, u16)| {
        let serial = group.of_unit(one, Field::Serial).to_owned();
        Fault::new(
            format!("the plate of unit {two} is given the serial number of unit {one}"),
            two_units(one, two),
            move |group| group.set_unit(two, Field::Serial, &serial),
        )
        .needing([Touch::of_unit(one, Field::Serial)])
    };
    pairs(group).into_iter().map(fault).collect()
}

fn address_missing(group: &Group) -> Vec<Fault> {
    each_unit(group, Field::Address, "not set", |_, unit| vec![Spot::Unit(unit)])
}

fn address_duplicate(group: &Group) -> Vec<Fault> {
    let fault = |(one, two): (u16, u16)| {
        Fault::new(
            format!("unit {two} is set to the address of unit {one}"),
            two_units(one, two),
            // The right group's addresses are the units' numbers.
            move |group| dial(group, two, one),
        )
        .needing([Touch::of_unit(one, Field::Address)])
    };
    pairs(group).into_iter().map(fault).collect()
}

/// The highest address of the range.
fn highest(group: &Group) -> u16 {
    let range: Option<AddressRange> = group.demanded(Demand::AddressRange);
    range.map_or(32, |range| range.high)
}

fn address_out_of_range(group: &Group) -> Vec<Fault> {
    let outside = highest(group) + 1;
    let fault = |unit: &u16| {
        let unit = *unit;
        let done = format!("unit {unit} is set to address {outside}");
        Fault::new(done, [Spot::Unit(unit)], move |group| dial(group, unit, outside))
    };
    group.layout.order.iter().map(fault).collect()
}

/// A unit moves behind the last one: its own address is given to nobody.
fn address_gap(group: &Group) -> Vec<Fault> {
    let count = u16::try_from(group.layout.order.len()).unwrap_or(u16::MAX);
    if count >= highest(group) {
        return Vec::new();
    }
    let fault = |unit: u16| {
        Fault::new(
            format!("unit {unit} is set to address {}", count + 1),
            // All that stand behind the gap.
            (unit..=count).map(Spot::Unit),
            move |group| dial(group, unit, count + 1),
        )
    };
    (2..=count).map(fault).collect()
}

/// From ten on, the same digits are another number in the other base.
fn address_in_two_bases(group: &Group) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        Fault::new(
            format!("a second sheet gives unit {unit} its address with 0x in front"),
            [Spot::Unit(unit)],
            move |group| {
                let line = format!("{} address = 0x{unit}\n", unit_name(unit));
                let touch = Touch::of_unit(unit, Field::Address);
                group.retouch(touch, move |sheets| {
                    super::sheet::append(sheets, "second.txt", &line);
                });
                true
            },
        )
    };
    group.layout.order.iter().filter(|unit| **unit >= 10).map(fault).collect()
}

/// The number that the switches give when the last one counts one.
fn backwards(address: u16) -> u16 {
    (0..SWITCHES).fold(0, |number, bit| number << 1 | (address >> bit & 1))
}

fn switches_backwards(group: &Group) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        let wrong = switches(backwards(unit));
        Fault::new(
            format!("the switches of unit {unit} are set from the other end"),
            [Spot::Unit(unit)],
            move |group| group.set_unit(unit, Field::Switches, &wrong),
        )
    };
    group.layout.order.iter().filter(|unit| backwards(**unit) != **unit).map(fault).collect()
}

fn switch_knocked(group: &Group) -> Vec<Fault> {
    let fault = |(unit, bit): (u16, u32)| {
        let wrong = switches(unit ^ 1 << bit);
        Fault::new(
            format!("switch {} of unit {unit} is knocked over", bit + 1),
            [Spot::Unit(unit)],
            move |group| group.set_unit(unit, Field::Switches, &wrong),
        )
    };
    let order = group.layout.order.iter();
    let each = order.flat_map(|unit| (0..SWITCHES).map(move |bit| (*unit, bit)));
    each.filter(|(unit, bit)| unit ^ 1 << bit != backwards(*unit)).map(fault).collect()
}

/// The units of which one must lead: the group, or those of the phase.
fn led_with(group: &Group, unit: u16) -> Vec<u16> {
    let phase = group.phase(unit);
    let mut units: Vec<u16> =
        group.layout.order.iter().copied().filter(|other| group.phase(*other) == phase).collect();
    units.sort_unstable();
    units
}

fn is_coordinator(group: &Group, unit: u16) -> bool {
    group.of_unit(unit, Field::Role) == Role::Coordinator.word()
}

fn coordinator_none(group: &Group) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        Fault::new(
            format!("unit {unit} is set as follower"),
            led_with(group, unit).into_iter().map(Spot::Unit),
            move |group| group.set_unit(unit, Field::Role, Role::Follower.word()),
        )
    };
    group.layout.order.iter().filter(|unit| is_coordinator(group, **unit)).map(fault).collect()
}

fn coordinator_two(group: &Group) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        let leading = led_with(group, unit);
        let needs: Vec<_> = leading.iter().map(|own| Touch::of_unit(*own, Field::Role)).collect();
        let places = leading.into_iter().filter(|own| *own == unit || is_coordinator(group, *own));
        Fault::new(
            format!("unit {unit} is set as coordinator"),
            places.map(Spot::Unit),
            move |group| group.set_unit(unit, Field::Role, Role::Coordinator.word()),
        )
        .needing(needs)
    };
    group.layout.order.iter().filter(|unit| !is_coordinator(group, **unit)).map(fault).collect()
}

/// The plan asks for the coordinator at another address, or at an end where it is none.
fn coordinator_elsewhere(group: &Group) -> Vec<Fault> {
    if group.has_phases() {
        return Vec::new();
    }
    let owner = group.owner();
    let demand = |demand: Demand, value: String| {
        Fault::new(
            format!("{} = {value} is demanded", demand.key()),
            [Spot::Unit(owner)],
            move |group| {
                group.set_line(demand.key(), value.clone());
                true
            },
        )
        .needing([Touch::of_unit(owner, Field::Address), Touch::of_unit(owner, Field::Role)])
    };
    let others = group.layout.order.iter().filter(|unit| **unit != owner);
    let mut faults: Vec<_> =
        others.map(|other| demand(Demand::CoordinatorAddress, other.to_string())).collect();
    if !group.is_ring() && !group.ends().contains(&owner) {
        faults.push(demand(Demand::CoordinatorPlace, "end of line".to_owned()));
    }
    faults
}

fn count_differs(group: &Group) -> Vec<Fault> {
    let wrong = group.layout.order.len() + 1;
    let fault = |unit: &u16| {
        let unit = *unit;
        Fault::new(
            format!("the unit count of unit {unit} is set to {wrong}"),
            odd_one(group, unit),
            move |group| group.set_unit(unit, Field::Count, &wrong.to_string()),
        )
    };
    group.layout.order.iter().map(fault).collect()
}

fn count_not_fitted(group: &Group) -> Vec<Fault> {
    let fitted = group.layout.order.len();
    let fault = |wrong: usize| {
        let all = group.layout.order.clone();
        Fault::new(format!("all units are set to {wrong} units"), [], move |group| {
            all.iter().all(|unit| group.set_unit(*unit, Field::Count, &wrong.to_string()))
        })
    };
    [fitted - 1, fitted + 1].into_iter().map(fault).collect()
}

fn over_limit(group: &Group) -> Vec<Fault> {
    let most = group.layout.order.len() - 1;
    let fewest: u32 = group.demanded(Demand::UnitsMin).unwrap_or(1);
    if u32::try_from(most).is_ok_and(|most| most < fewest) {
        return Vec::new();
    }
    let done = format!("{most} units are the limit");
    vec![Fault::new(done, [], move |group| {
        group.set_line(Demand::UnitsMax.key(), most.to_string());
        true
    })]
}

fn single_mode(group: &Group) -> Vec<Fault> {
    each_unit(group, Field::Mode, "single", |_, unit| vec![Spot::Unit(unit)])
}
