//! Faults of the battery link and of what is set about the packs.

use super::{Fault, Group, Spot, Thing, Touch, Way, two_units, unit_name, way};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::PortClass;
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::BmsLeadMissing, lead_missing),
    way(RuleId::BmsLeadOnTwoUnits, lead_on_two),
    way(RuleId::BmsLeadOnFollower, lead_on_another),
    way(RuleId::BmsLeadWrongPort, lead_in_wrong_socket),
    way(RuleId::BmsLeadFromFollowerPack, lead_from_another_pack),
    way(RuleId::PackAddressDuplicate, pack_address_duplicate),
    way(RuleId::PackCountMismatch, pack_count),
    way(RuleId::BatterySetAsOpenLoop, volts_only),
    way(RuleId::ChargeLimitOnePack, charge_limit),
    way(RuleId::MonitorStealsPackLink, monitor),
    way(RuleId::CapacityDeclaredWrong, capacity),
];

/// The battery link of every right group.
const LEAD: &str = "B1";

fn lead() -> Spot {
    Spot::Cable(LEAD.to_owned())
}

/// That the battery link goes to its owner.
fn owner_end() -> [Touch; 1] {
    [Touch::fact(List::Cable, LEAD, "to")]
}

fn others(group: &Group) -> impl Iterator<Item = u16> + '_ {
    let owner = group.owner();
    group.layout.order.iter().copied().filter(move |unit| *unit != owner)
}

fn lead_missing(_: &Group) -> Vec<Fault> {
    vec![Fault::new("the battery link is not fitted", [], |group| group.remove(List::Cable, LEAD))]
}

fn lead_on_two(group: &Group) -> Vec<Fault> {
    let owner = group.owner();
    let socket = group.sockets(PortClass::Battery).concat();
    let fault = |unit: u16| {
        let socket = socket.clone();
        Fault::new(
            format!("a second battery link goes to unit {unit}"),
            two_units(owner, unit),
            move |group| {
                let (name, kind) = (unit_name(unit), "battery");
                let facts =
                    [("from", "pack 1"), ("to", &*name), ("to_port", &socket), ("kind", kind)];
                let mut cable = Thing::new(List::Cable, "B2", &facts);
                cable.set(Field::Wiring.key(), "special");
                group.add(cable)
            },
        )
        .needing(owner_end())
    };
    others(group).map(fault).collect()
}

fn lead_on_another(group: &Group) -> Vec<Fault> {
    let fault = |unit: u16| {
        let done = format!("the battery link goes to unit {unit}");
        Fault::new(done, [Spot::Unit(unit)], move |group| {
            group.change(List::Cable, LEAD, |cable| cable.set("to", unit_name(unit)))
        })
    };
    others(group).map(fault).collect()
}

fn lead_in_wrong_socket(group: &Group) -> Vec<Fault> {
    let owner = group.owner();
    let wrong = group.sockets(PortClass::Service).into_iter().chain(group.free_socket(owner));
    let fault = |socket: String| {
        Fault::new(
            format!("the battery link is in socket {socket} of unit {owner}"),
            [lead(), Spot::Socket(owner, socket.clone())],
            move |group| {
                group.change(List::Cable, LEAD, |cable| cable.set("to_port", socket.as_str()))
            },
        )
    };
    // A terminator plug may be in the free link socket.
    let plugs = group.things(List::Cable).filter(|cable| cable.get("kind") == Some("terminator"));
    let plugged: Vec<_> = plugs.map(|cable| (cable.get("from"), cable.get("from_port"))).collect();
    let name = unit_name(owner);
    wrong
        .filter(|socket| !plugged.contains(&(Some(name.as_str()), Some(socket.as_str()))))
        .map(fault)
        .collect()
}

fn lead_from_another_pack(_: &Group) -> Vec<Fault> {
    vec![Fault::new("the battery link comes from pack 2", [Spot::Pack(2)], |group| {
        group.change(List::Cable, LEAD, |cable| cable.set("from", "pack 2"))
    })]
}

fn pack_address_duplicate(_: &Group) -> Vec<Fault> {
    let places = [Spot::Pack(1), Spot::Pack(2)];
    vec![Fault::new("both packs are set to address 1", places, |group| {
        group.change(List::Pack, "pack 2", |pack| pack.set(Field::PackAddress.key(), "1"))
    })]
}

/// A fault of a line about the group.
fn line(field: Field, value: &'static str) -> Fault {
    Fault::new(format!("{} = {value}", field.key()), [], move |group| {
        group.set_line(field.key(), value);
        true
    })
}

fn pack_count(_: &Group) -> Vec<Fault> {
    vec![line(Field::PacksSet, "1"), line(Field::PacksSet, "3")]
}

fn capacity(_: &Group) -> Vec<Fault> {
    vec![line(Field::CapacitySet, "15 kWh"), line(Field::CapacitySet, "5 kWh")]
}

fn volts_only(group: &Group) -> Vec<Fault> {
    let order = group.layout.order.clone();
    let done = "all units go by the battery's volts only";
    let fault = Fault::new(done, [Spot::Unit(group.owner())], move |group| {
        order.iter().all(|unit| group.set_unit(*unit, Field::BatteryType, "volts only"))
    });
    vec![fault.needing(owner_end())]
}

fn charge_limit(group: &Group) -> Vec<Fault> {
    let order = group.layout.order.clone();
    let mut units = order.clone();
    units.sort_unstable();
    let places: Vec<_> = units.into_iter().map(Spot::Unit).collect();
    let done = "all units charge with more than two packs take";
    vec![Fault::new(done, places, move |group| {
        order.iter().all(|unit| group.set_unit(*unit, Field::ChargeLimit, "160 A"))
    })]
}

fn monitor(_: &Group) -> Vec<Fault> {
    let done = "a monitor asks on the pair of the packs";
    vec![Fault::new(done, [Spot::Cable("P2".to_owned())], |group| {
        let lead = [("from", "pack 2"), ("to", "monitor"), ("kind", "pack link")];
        group.add(Thing::new(List::Device, "monitor", &[(Field::DeviceAsks.key(), "yes")]))
            && group.add(Thing::new(List::Cable, "P2", &lead))
    })]
}
