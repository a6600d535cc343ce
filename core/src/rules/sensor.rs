//! Current transformers and their leads.

pub(super) mod ct_arrow_reversed;
pub(super) mod ct_lead_missing;
pub(super) mod ct_legs_swapped;
pub(super) mod ct_on_follower;
pub(super) mod ct_one_leg_missing;
pub(super) mod ct_overrange;
pub(super) mod ct_place_wrong;
pub(super) mod ct_ratio_mismatch;
pub(super) mod ct_voltage_reference_moved;
pub(super) mod meter_address_or_poller;
