//! What readers find in the sheets themselves.

pub(super) mod cable_listed_from_both_ends;
pub(super) mod label_unknown_unit;
pub(super) mod sheets_disagree;
