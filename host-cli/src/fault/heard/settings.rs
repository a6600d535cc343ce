//! Units that tell something else than was declared, or that nobody declared.

use super::silence::foreign;
use super::{HeardFault, Traffic, Voice, Wanted};
use crate::fault::{Group, Spot, two_units};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::{Demand, Role};
use coldcheck_core::rules::RuleId;

/// Addresses that nobody has, low enough for every dialect.
fn free_addresses<const N: usize>(group: &Group, right: &Traffic) -> [u16; N] {
    let devices = group.things(List::Device);
    let of_devices: Vec<u16> =
        devices.filter_map(|device| device.get(Field::DeviceAddress.key())?.parse().ok()).collect();
    let most = right.voices.iter().map(|voice| voice.address).max().unwrap_or(0);
    let mut free = (most + 1..).filter(|address| !of_devices.contains(address));
    std::array::from_fn(|_| free.next().unwrap_or(0))
}

/// A change of one voice, at each unit in turn.
fn each(
    right: &Traffic,
    does: &str,
    change: impl Fn(&mut Voice) + Clone + Send + Sync + 'static,
) -> Vec<HeardFault> {
    let fault = |voice: &Voice| {
        let (unit, change) = (voice.address, change.clone());
        let done = format!("unit {unit} {does}");
        HeardFault::new(done, vec![Wanted::at([Spot::Unit(unit)])], move |traffic| {
            if let Some(voice) = traffic.voice(unit) {
                change(voice);
            }
        })
    };
    right.voices.iter().map(fault).collect()
}

pub(super) fn other_serial(_: &Group, right: &Traffic) -> Vec<HeardFault> {
    if !right.tells_serial() {
        return Vec::new();
    }
    let mut faults = each(right, "has another serial number", |voice| voice.serial += 500);
    // Two that are exchanged are two findings: neither is what the list says.
    faults.extend(right.voices.windows(2).filter_map(|pair| {
        let [one, two] = pair else { return None };
        let (one, two) = (one.clone(), two.clone());
        let done = format!("units {} and {} are exchanged", one.address, two.address);
        let findings = [&one, &two].map(|voice| Wanted::at([Spot::Unit(voice.address)]));
        Some(HeardFault::new(done, findings.to_vec(), move |traffic| {
            for (voice, serial) in [(&one, two.serial), (&two, one.serial)] {
                if let Some(voice) = traffic.voice(voice.address) {
                    voice.serial = serial;
                }
            }
        }))
    }));
    faults
}

pub(super) fn other_firmware(_: &Group, right: &Traffic) -> Vec<HeardFault> {
    if !right.tells_firmware() {
        return Vec::new();
    }
    each(right, "has other firmware", |voice| voice.firmware = [2, 13])
}

pub(super) fn other_count(_: &Group, right: &Traffic) -> Vec<HeardFault> {
    if !right.tells_settings() {
        return Vec::new();
    }
    let mut faults = each(right, "counts one too many", |voice| voice.count += 1);
    faults.extend(each(right, "counts one too few", |voice| voice.count -= 1));
    faults
}

/// A coordinator that follows. A follower that leads is a second coordinator.
pub(super) fn other_role(_: &Group, right: &Traffic) -> Vec<HeardFault> {
    if !right.tells_settings() {
        return Vec::new();
    }
    let mut faults = each(right, "follows", |voice| voice.role = Role::Follower);
    let leads = right.voices.iter().map(|voice| voice.role == Role::Coordinator);
    let mut leads = leads.collect::<Vec<_>>().into_iter();
    faults.retain(|_| leads.next() == Some(true));
    faults
}

/// Every follower that leads, and a stranger that does.
pub(super) fn second_coordinator(group: &Group, right: &Traffic) -> Vec<HeardFault> {
    if !right.tells_settings() || group.has_phases() {
        return Vec::new();
    }
    let owner = group.owner();
    let followers = right.voices.iter().filter(|voice| voice.role == Role::Follower);
    let mut faults: Vec<_> = followers
        .map(|voice| {
            let unit = voice.address;
            let findings = vec![Wanted::at(two_units(owner, unit))];
            HeardFault::new(format!("unit {unit} leads too"), findings, move |traffic| {
                if let Some(voice) = traffic.voice(unit) {
                    voice.role = Role::Coordinator;
                }
            })
        })
        .collect();
    let [free] = free_addresses(group, right);
    if let Some(stranger) = foreign(right, free) {
        let findings = vec![Wanted::at([Spot::Unit(owner)])];
        let mut fault = HeardFault::new("a stranger leads too", findings, move |traffic| {
            traffic.voices.push(Voice { role: Role::Coordinator, ..stranger.clone() });
        });
        fault.with.push(RuleId::StrangerHeard);
        faults.push(fault);
    }
    faults
}

pub(super) fn stranger(group: &Group, right: &Traffic) -> Vec<HeardFault> {
    let addresses: [u16; 2] = free_addresses(group, right);
    let stranger = |address: u16| {
        let voice = foreign(right, address)?;
        let done = format!("somebody answers to {address}");
        Some(HeardFault::new(done, vec![Wanted::at([])], move |traffic| {
            traffic.voices.push(voice.clone());
        }))
    };
    addresses.into_iter().filter_map(stranger).collect()
}

pub(super) fn other_address(group: &Group, right: &Traffic) -> Vec<HeardFault> {
    let [_, free] = free_addresses(group, right);
    each(right, "answers to another address", move |voice| voice.address = free)
}

/// A second unit under the address of each: told by another identity, by a second phase, or by a
/// rhythm that is twice as fast.
pub(super) fn doubled(group: &Group, right: &Traffic) -> Vec<HeardFault> {
    let mut kinds: Vec<(&str, u32, u32)> = Vec::new();
    if right.tells_identity() {
        kinds.push(("another identity", 500, 40));
    }
    if right.has_rhythm() {
        kinds.push(("another phase", 0, 300));
        // Of two units, one that is twice as fast says nothing unless a rhythm is demanded.
        if right.voices.len() > 2 || group.line(Demand::HeartbeatPeriod.key()).is_some() {
            kinds.push(("the rhythm of two", 0, 500));
        }
    }
    let fault = |voice: &Voice, (told_by, serial, phase): (&str, u32, u32)| {
        let unit = voice.address;
        let second = Voice {
            serial: voice.serial + serial,
            phase_ms: voice.phase_ms + phase,
            ..voice.clone()
        };
        let done = format!("two answer to {unit} (told by {told_by})");
        HeardFault::new(done, vec![Wanted::at([Spot::Unit(unit)])], move |traffic| {
            traffic.voices.push(second.clone());
        })
    };
    let kinds = kinds.as_slice();
    right
        .voices
        .iter()
        .flat_map(|voice| kinds.iter().map(move |kind| fault(voice, *kind)))
        .collect()
}
