//! The sensor test: from known loads, a clamp meter and what the screen shows, how each current
//! transformer sits.
//!
//! Every way in which one sensor can sit is tried: on which leg, which way round, beside which leg's
//! voltage, with which ratio. What the readings exclude is dropped; what is left is told, all of it,
//! with the load that would tell more. Whether a minus means import or export on this screen is a
//! convention: without it nothing is called reversed from a sign alone.

mod fit;
mod model;
mod next;
mod told;
mod words;

pub use fit::{Answer, Channel, Left, Ratio, Silence, solve};
pub use model::{Legs, Shown, Test, Wiring};
pub use next::Next;
pub use told::{channels, test};
pub use words::{candidate, verdict};

/// What the screen shows for power that is taken from the supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Import {
    /// A plus.
    Plus,
    /// A minus.
    Minus,
}

impl Import {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Plus, Self::Minus];

    /// As a factor.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Plus => 1.0,
            Self::Minus => -1.0,
        }
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Plus => "plus",
            Self::Minus => "minus",
        }
    }
}

/// How far a reading may be from what a right one would be, as a part: clamp, transformer and screen
/// together. Ours: a clamp of 2 % beside a transformer of class 1 and a screen of 1 %.
pub const TOLERANCE: f64 = 0.05;
/// What no reading tells from nothing, as a part of the known load.
pub const FLOOR: f64 = 0.02;
/// The least load, as a part of a sensor's rating (IEC 61869-2:2012: classes begin there).
pub const LEAST_LOAD: f64 = 0.05;
/// From so much of a sensor's rating on a ratio can be told (common practice, no source).
pub const LEAST_FOR_RATIO: f64 = 0.2;
