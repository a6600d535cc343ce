//! Pictures in memory: pixels, the view from another place, a sheet made flat.
//!
//! Plain arithmetic without any library, so that the page reads pictures as the command line does.
//! A pixel's middle lies at half coordinates: the first pixel covers 0 to 1.

pub mod cell;
pub mod file;
mod homography;
#[cfg(feature = "pictures")]
pub mod load;
mod pixels;
mod warp;

pub use homography::{Homography, Point};
pub use pixels::{Colour, Grey, Pixels, Turn};
pub(crate) use pixels::{byte, number};
pub use warp::{flatten, warp};
