//! The meter plan: what a meter must show with the power off, which readings tell faults apart, and
//! which faults fit the readings that were taken.
//!
//! [`topology`] is the link out of the plan, [`values`] what its parts measure, [`fault`] what may be
//! wrong, [`circuit`] the net of resistors that all of it makes, [`network`] the equations.
//! [`expect`] tells what must be read where, [`taken`] what was; [`fit`], [`rank`] and [`next`] hold
//! one against the other. Renderers read [`names`] and [`told`].

pub mod circuit;
pub mod expect;
pub mod fault;
pub mod fit;
pub mod names;
pub mod network;
pub mod next;
pub mod rank;
pub mod taken;
pub mod told;
pub mod topology;
pub mod values;
