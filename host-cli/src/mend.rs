//! The cheapest acts after which every rule is met.
//!
//! A site is a [`Model`] of records that the core's own check judges; an [`Act`] is one thing that a
//! person does at the plant, with a cost. [`search`] finds the cheapest set and proves it: at each
//! step it takes one broken rule and tries every act that can bear on what that rule looks at
//! ([`propose`]), so that no set is left out; a set whose cost so far and least cost to come pass the
//! bound is given up. [`repair`] turns an answer into a site file with each act as *to do*.

pub mod act;
mod answer;
pub mod bars;
mod cautions;
mod conductors;
pub mod cost;
mod done;
pub mod judge;
pub mod levers;
pub mod model;
mod order;
mod plugs;
pub mod propose;
pub mod repair;
pub mod search;
pub mod told;
pub mod words;

pub use act::Act;
pub use model::Model;
pub use told::{Answer, Told, mend};
