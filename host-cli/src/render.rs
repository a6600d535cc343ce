//! Renderers: they read a diagnosis and know no rule by name.

pub mod changeover;
pub mod drill;
pub mod explain;
pub mod html;
pub mod json;
pub mod mend;
pub mod plot;
pub mod profile;
pub mod sarif;
pub mod terminal;
pub mod told;
