//! What readers find in the sheets themselves.

pub(super) mod label_unknown_unit;
pub(super) mod sheets_disagree;
