//! The meter plan: what a meter must show with the power off, which readings tell faults apart, and
//! which faults fit the readings that were taken.

pub mod circuit;
pub mod fault;
pub mod fit;
pub mod network;
pub mod next;
pub mod rank;
pub mod topology;
pub mod values;
