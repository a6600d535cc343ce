//! Which unit owns the battery link and the sensor leads.

use super::identity::led_groups;
use super::site::{End, Kind, Leaders, Site, Socket};
use super::{Judged, Judgment, Places};
use std::collections::BTreeSet;

/// A lead: its cable, the unit that it goes to, the socket there.
type Lead = (usize, usize, Option<Socket>);

fn leads(site: &Site, kind: Kind) -> Vec<Lead> {
    let cables = site.cables.iter().enumerate().filter(|(_, cable)| cable.kind == kind);
    cables
        .filter_map(|(index, cable)| {
            cable.unit_ends().next().map(|(unit, socket)| (index, unit, socket))
        })
        .collect()
}

/// The one coordinator of the group, or of the phase where each has its own.
fn owner(site: &Site, phase: u8) -> Option<usize> {
    let fits = |group: &&Vec<usize>| {
        site.demands.leaders == Leaders::One || site.units[group[0]].phase == phase
    };
    let groups = led_groups(site);
    let group = groups.iter().find(fits)?;
    let mut leading = group.iter().copied().filter(|unit| site.units[*unit].leads);
    let first = leading.next()?;
    leading.next().is_none().then_some(first)
}

pub(super) fn judge(site: &Site) -> Vec<Judged> {
    let mut out = battery(site);
    out.extend(sensors(site));
    out
}

fn battery(site: &Site) -> Vec<Judged> {
    let leads = leads(site, Kind::Battery);
    let units: BTreeSet<usize> = leads.iter().map(|(_, unit, _)| *unit).collect();
    let each = site.demands.battery_link_each;
    let missing = if each { units.len() < site.units.len() } else { units.is_empty() };
    let cables = || Places::of_cables(leads.iter().map(|(index, ..)| *index));
    // Where one of two leads is at the owner, the other one is one too many, not at the wrong unit.
    let misplaced = owner(site, 1).is_some_and(|owner| !units.contains(&owner));
    let wrong_socket = leads
        .iter()
        .filter(|(_, _, socket)| socket.is_some_and(|socket| socket != Socket::Battery))
        .map(|(index, ..)| *index);
    vec![
        ("bms-lead-missing", Judgment::broken(missing)),
        ("bms-lead-on-two-units", Judgment::broken(units.len() > 1).demanded(!each)),
        (
            "bms-lead-on-follower",
            if misplaced { Judgment::at(cables()) } else { Judgment::Met }.demanded(!each),
        ),
        ("bms-lead-wrong-port", Judgment::at(Places::of_cables(wrong_socket))),
    ]
}

fn sensors(site: &Site) -> Vec<Judged> {
    let leads = leads(site, Kind::Sensor);
    let leg = |cable: usize| {
        site.cables[cable].ends.into_iter().find_map(|end| match end {
            End::Sensor(leg) => Some(leg),
            End::Unit(..) | End::Splitter(_) | End::Gateway(_) | End::Pack(_) => None,
        })
    };
    let misplaced = leads.iter().filter(|(cable, unit, _)| {
        let owner = leg(*cable).and_then(|leg| owner(site, leg));
        owner.is_some_and(|owner| owner != *unit)
    });
    vec![
        ("ct-lead-missing", Judgment::broken(leads.is_empty())),
        ("ct-on-follower", Judgment::at(Places::of_cables(misplaced.map(|(cable, ..)| *cable)))),
    ]
}
