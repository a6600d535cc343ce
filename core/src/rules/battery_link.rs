//! The data cable to the battery.

pub(super) mod bms_lead_missing;
pub(super) mod bms_lead_on_follower;
pub(super) mod bms_lead_wrong_port;

use crate::links::Links;
use crate::plan::BatteryLinkOwner;

/// Whether every unit has a battery link of its own, so that there is no single owner.
fn needed_at_every_unit(links: &Links<'_>) -> bool {
    links.plan.demands.battery_link_owner() == Some(BatteryLinkOwner::EachUnit)
}
