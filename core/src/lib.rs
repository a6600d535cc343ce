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
//! From the bytes in a gateway's flash to the verdict:
//!
//! ```
//! use coldcheck_core::check;
//! use coldcheck_core::finding::{Finding, Unknown, Verdict};
//! use coldcheck_core::image::{Image, header};
//! use coldcheck_core::place::Place;
//! use coldcheck_core::plan::{Datum, DemandRecord, GroupRecord, Plan, Scope, UnitRecord};
//! use coldcheck_core::report::Report;
//!
//! // On the laptop: two units with one address.
//! let unit = UnitRecord {
//!     declared: (1 << Datum::Address.bit()).into(),
//!     address: 7.into(),
//!     ..UnitRecord::default()
//! };
//! let demands = DemandRecord::default();
//! let group = GroupRecord { scope: Scope::COMMUNICATION.0, ..GroupRecord::default() };
//! let plan = Plan { units: &[unit; 2], ..Plan::empty(&demands, &group) };
//! let mut memory = [0; 1024];
//! let body = plan.encode(&mut memory).map_err(|error| format!("{error:?}"))?;
//! let mut flash = header(body).ok_or("too long")?.to_vec();
//! flash.extend_from_slice(body);
//!
//! // In the gateway: bytes that were changed are refused, never guessed at.
//! let image = Image::read(&flash).map_err(|error| format!("{error:?}"))?;
//! let plan = image.plan().map_err(|error| format!("{error:?}"))?;
//! let (mut findings, mut places, mut unknowns) =
//!     ([Finding::BLANK; 8], [Place::Group; 16], [Unknown::BLANK; 8]);
//! let mut report = Report::new(&mut findings, &mut places, &mut unknowns);
//! check(&plan, &mut report);
//! assert_eq!(report.verdict(), Verdict::FixFirst);
//! # Ok::<(), String>(())
//! ```
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
