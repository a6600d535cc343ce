//! Currents, breakers, conductors, drops, sharing, faults, strings: the numbers of the power side.
//!
//! Each formula stands as a [`Formula`] beside the function that computes it, with its source. Tables
//! are data under `assets/tables`, each with its source and edition. All of it is a paper check that
//! defers to the local code, the adopted edition and licensed practice.
//!
//! [`site`] works them out for a site, on a sheet ([`work`]) that keeps every input and names what is
//! missing; `lines` and `laid` tell how units and conductors stand, `ac`, `dc`, `pv` and `sources` are its
//! parts, `judge` what rules say of it.

mod ac;
pub mod battery;
pub mod conductor;
pub mod current;
mod dc;
pub mod drop;
pub mod given;
pub mod joint;
mod judge;
mod laid;
mod lines;
mod losses;
mod pv;
pub mod sensor;
mod shares;
pub mod sharing;
pub mod site;
pub mod solar;
mod sources;
pub mod table;
pub mod work;

/// How a number is found, and where that is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Formula {
    /// Its name for programs.
    pub id: &'static str,
    /// The formula as text.
    pub text: &'static str,
    /// Standard, clause and edition; or that it has none.
    pub source: &'static str,
    /// How sure the source is: read second-hand, from memory, computed here.
    pub mark: &'static str,
}

/// Takes away what binary fractions add: a millionth of the unit decides nothing.
pub(crate) fn to_millionth(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
