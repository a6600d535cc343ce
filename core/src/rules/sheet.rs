//! What readers find in the sheets themselves.

pub(super) mod cable_id_repeated;
pub(super) mod cable_listed_from_both_ends;
pub(super) mod drawing_wrong;
pub(super) mod label_order_reversed;
pub(super) mod label_unknown_unit;
pub(super) mod length_missing;
pub(super) mod length_unit_unclear;
pub(super) mod list_byte_order_mark;
pub(super) mod list_line_break_in_field;
pub(super) mod list_odd_dashes_spaces;
pub(super) mod list_separator_changed;
pub(super) mod list_separator_in_text;
pub(super) mod photo_digit_dropped;
pub(super) mod photo_eight_letter_b;
pub(super) mod photo_five_letter_s;
pub(super) mod photo_one_letter_l;
pub(super) mod photo_similar_digits;
pub(super) mod photo_zero_letter_o;
pub(super) mod port_does_not_exist;
pub(super) mod sheet_not_after_last_change;
pub(super) mod sheets_disagree;
pub(super) mod unit_name_unclear;

/// What is said of a sign in a photograph that may be another one, whichever sign it is.
const LOOK_ALIKE_SAYS: &str = "The photographed list has {value}[ at {places}][; read as {wanted} \
                               until you confirm it][; what fits: {related}]";
/// What to do about such a sign.
const LOOK_ALIKE_ACT: &str = "Look at the paper or at the plant, and write what stands there.";
/// What shows that it is put right.
const LOOK_ALIKE_PROVE: &str = "What is written agrees with the paper, sign by sign, and with the \
                                label at the plant.";
