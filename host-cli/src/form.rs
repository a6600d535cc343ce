//! The printed form: a blank cable list with bubbles to fill, and its reader.
//!
//! What stands where is one fact ([`layout`]), which the drawer ([`sheet`]) and the reader ([`read`])
//! share. What can be chosen on it follows from a profile and a number of units ([`choices`]). The form
//! says which one it is in a strip of squares and in a QR code ([`code`]).
//!
//! Everything is a bubble, also the digits of a length: of ten bubbles one is filled, so that a mark
//! which is too faint, a second mark or a smudge is seen as such. A written digit, or one drawn over
//! segments, can turn into another digit by one stroke; a bubble cannot.

pub mod choices;
pub mod code;
pub mod layout;
pub mod list;
pub mod read;
pub mod sheet;
