//! Current transformers and their leads.

pub(super) mod ct_lead_missing;
pub(super) mod ct_on_follower;
