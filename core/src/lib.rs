//! The rules of Coldcheck: what was declared, against what is demanded and against what is heard.
//!
//! The same code runs on a laptop, in a page and in a gateway microcontroller. Its layers, from
//! the bottom up:
//!
//! 1. [`limits`], [`units`], [`place`], [`sets`]: capacities, quantities, identifiers, bit sets.
//! 2. [`plan`]: a site as records that are read where they lie; [`image`]: the file around it.
//! 3. [`links`], [`nets`], [`alike`]: tables that are built once from a plan; [`compared`]: from a
//!    plan and what was heard; [`bus`]: what physics allows on the shared pair; [`ohms`]: what a
//!    meter must show there with the power off. Rules do without it.
//! 4. [`frame`], [`heard`]: what a gateway hears of the units, in the dialects that it understands;
//!    [`slcan`]: frames as text on a serial line.
//! 5. [`rule`] says what a rule is; [`rules`] lists them all and runs them.
//! 6. [`finding`] and [`report`]: typed outcomes, findings and places. Never text.
//! 7. [`signal`]: the verdict as a lamp's blinking and as a frame.
//!
//! What it guarantees: no allocation, no panic path (the firmware does not link if there is one),
//! no recursion, no unsafe code, no floating point, memory bounded by [`limits`], time linear in
//! the number of units and cables; a finding that names its cables may cost one more pass.
#![cfg_attr(not(test), no_std)]
#![forbid(unsafe_code)]
#![allow(
    clippy::inline_always,
    reason = "made for size, the compiler keeps calls of what a constant would fold to one look"
)]
#![deny(
    clippy::indexing_slicing,
    clippy::arithmetic_side_effects,
    clippy::as_conversions,
    clippy::expect_used,
    clippy::panic,
    clippy::unreachable,
    clippy::string_slice,
    clippy::integer_division
)]
#![cfg_attr(
    test,
    allow(
        clippy::indexing_slicing,
        clippy::arithmetic_side_effects,
        clippy::as_conversions,
        clippy::expect_used,
        clippy::integer_division,
        clippy::panic,
        clippy::unreachable,
        clippy::wildcard_enum_match_arm,
        reason = "a test may panic: that is how it fails"
    )
)]

pub mod alike;
pub mod bus;
pub mod compared;
pub mod finding;
pub mod frame;
pub mod heard;
pub mod image;
pub mod limits;
pub mod links;
mod log;
pub mod nets;
pub mod ohms;
pub mod place;
pub mod plan;
pub mod report;
pub mod rule;
pub mod rules;
pub mod sets;
pub mod signal;
pub mod slcan;
mod switches;
#[cfg(test)]
mod trial;
pub mod units;

pub use rules::{check, compare};
