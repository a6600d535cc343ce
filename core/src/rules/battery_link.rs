//! The data cable to the battery.

pub(super) mod battery_set_as_open_loop;
pub(super) mod bms_lead_from_follower_pack;
pub(super) mod bms_lead_missing;
pub(super) mod bms_lead_on_follower;
pub(super) mod bms_lead_on_two_units;
pub(super) mod bms_lead_wrong_port;
pub(super) mod capacity_declared_wrong;
pub(super) mod charge_limit_one_pack;
pub(super) mod monitor_steals_pack_link;
pub(super) mod pack_address_duplicate;
pub(super) mod pack_count_mismatch;

use crate::links::Links;
use crate::plan::BatteryLinkOwner;
use crate::sets::CableSet;

/// Whether every unit has a battery link of its own, so that there is no single owner.
fn needed_at_every_unit(links: &Links<'_>) -> bool {
    links.plan.demands.battery_link_owner() == Some(BatteryLinkOwner::EachUnit)
}

/// Cables that take the battery's data to a unit, or nobody knows where. Those are left out that
/// join it to somebody else who listens, or to a joint from which another goes on to a unit.
fn leads_to_units(links: &Links<'_>) -> CableSet {
    let mut leads = links.battery_cables;
    for id in links.battery_cables.without(links.battery_to_units) {
        let Some(cable) = links.plan.cable(id) else { continue };
        let device = cable.ends.iter().find_map(|end| end.node());
        let from_pack = cable.ends.iter().any(|end| end.pack().is_some());
        let is_joint = device.is_some_and(|device| links.joints.contains(device));
        let goes_on = !links.battery_to_units.is_empty();
        if from_pack && device.is_some() && (!is_joint || goes_on) {
            leads = leads.without(CableSet::only(id));
        }
    }
    leads
}
