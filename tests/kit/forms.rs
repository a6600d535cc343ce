//! Printed forms filled at random and photographed: pages drawn as pixels ([`raster`]), filled as
//! people fill them ([`pen`]), seen by a camera ([`camera`]), read and held against what was meant
//! ([`judge`]). Nothing from outside is needed; `tests/forms.rs` holds the same reader against pages
//! that poppler and a browser drew.

pub mod camera;
pub mod judge;
pub mod pen;
pub mod raster;

use crate::generate::Dice;

/// A number from 0 to 1.
pub fn share(dice: &mut Dice) -> f32 {
    f32::from(u16::try_from(dice.roll(65_521)).expect("small")) / 65_520.0
}

/// A number between two others.
pub fn within(dice: &mut Dice, low: f32, high: f32) -> f32 {
    low + (high - low) * share(dice)
}

/// Whether something happens that happens so often.
pub fn happens(dice: &mut Dice, often: f32) -> bool {
    share(dice) < often
}
