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

/// Whether a lead at this unit is at none of those that lead the group, or the phase where each
/// has its own. Nobody leads: nobody owns it.
fn is_misplaced(site: &Site, phase: u8, unit: usize) -> bool {
    let fits = |group: &&Vec<usize>| {
        site.demands.leaders == Leaders::One || site.units[group[0]].phase == phase
    };
    let groups = led_groups(site);
    let group = groups.iter().find(fits).into_iter().flatten().copied();
    let leaders: Vec<usize> = group.filter(|unit| site.units[*unit].leads).collect();
    !leaders.is_empty() && !leaders.contains(&unit)
}

pub(super) fn judge(site: &Site) -> Vec<Judged> {
    let mut out = battery(site);
    out.extend(sensors(site));
    out
}

fn battery(site: &Site) -> Vec<Judged> {
    let leads = leads(site, Kind::Battery);
    let units: BTreeSet<usize> = leads.iter().map(|(_, unit, _)| *unit).collect();
    let two = units.len() > 1;
    let each = site.demands.battery_link_each;
    let missing = if each { units.len() < site.units.len() } else { units.is_empty() };
    // Where one of two leads is at the owner, the other one is one too many, not at the wrong unit.
    let misplaced = units.iter().all(|unit| is_misplaced(site, 1, *unit));
    let mut wrong_socket = Places::default();
    for (index, unit, socket) in &leads {
        if socket.is_some_and(|socket| socket != Socket::Battery) {
            wrong_socket.add_cable(*index);
            wrong_socket.add_unit(*unit);
        }
    }
    vec![
        ("bms-lead-missing", Judgment::broken(missing)),
        ("bms-lead-on-two-units", Judgment::broken(two).demanded(!each)),
        (
            "bms-lead-on-follower",
            if misplaced { Judgment::at(Places::of_units(units)) } else { Judgment::Met }
                .demanded(!each),
        ),
        ("bms-lead-wrong-port", Judgment::at(wrong_socket)),
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
    let misplaced = leads
        .iter()
        .filter(|(cable, unit, _)| leg(*cable).is_some_and(|leg| is_misplaced(site, leg, *unit)));
    vec![
        ("ct-lead-missing", Judgment::broken(leads.is_empty())),
        ("ct-on-follower", Judgment::at(Places::of_units(misplaced.map(|(_, unit, _)| *unit)))),
    ]
}
