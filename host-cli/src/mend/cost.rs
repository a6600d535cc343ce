//! What each kind of act costs: no more than an order that a person would agree with. Ours.

/// A switch is flipped or a value dialled in.
pub const SETTING: u32 = 2;
/// A plug, a terminator or a sensor is moved.
pub const MOVE: u32 = 3;
/// A cable is taken out: two plugs, and nothing goes in.
pub const REMOVE: u32 = 4;
/// A conductor goes to another bar: two joints, with tools.
pub const REJOIN: u32 = 4;
/// Two plugs of one unit change places, or one cable is turned.
pub const EXCHANGE: u32 = 5;
/// A cable is found, run and plugged in.
pub const ADD: u32 = 8;
/// The same, with the old one taken out.
pub const REPLACE: u32 = 9;
