//! The meter plan and the outcome of readings as data in the person's words; renderers only read it.

mod blind;
mod outcome;
mod sheet;
mod words;

pub use blind::Blind;
pub use outcome::{Group, Next, Odd, Outcome, Result, Row, outcome, outcome_told};
pub use sheet::{PortBand, Sheet, Step, TableRow, sheet};
pub use words::{band_in_ohms, in_ohms, ohms, range};
