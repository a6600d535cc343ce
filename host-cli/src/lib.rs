//! Coldcheck on the host: sheets in, diagnosis out.
//!
//! The way of the data, module by module:
//!
//! 1. [`source`], [`fold`], [`phrase`], [`words`], [`visible`]: text with places, words before
//!    they are compared, sentences, signs on a terminal.
//! 2. [`read`]: from bytes to [`statement`]s, in the person's words.
//! 3. [`vocabulary`], [`field`], [`value`], [`profile`]: what words mean, and what is demanded.
//! 4. [`declared`]: things and facts, with every place where each was read.
//! 5. [`assemble`]: the plan's bytes; [`image`]: the file that a gateway boots with.
//! 6. [`engine`] runs the core's checks over them; [`diagnosis`] tells the outcome. [`log`] reads
//!    what a recorder wrote down, [`hearing`] what it tells of the group.
//! 7. [`sizing`]: currents, conductors, fuses, strings; [`dial`]: settings to dial in.
//! 8. [`edit`]: one fact changed in the text of the sheets.
//! 9. [`picture`]: pixels of a photograph, a sheet made flat.
//! 10. [`draw`]: the site as a drawing; [`render`]: terminal, JSON, report; [`listing`]: plain lines
//!     for comparing machines; [`batch`]: many sites, a line each; [`way`]: what of a job day is done
//!     and open. `commands`: the command line, the only part that touches files.
#![cfg_attr(test, allow(clippy::unwrap_used, reason = "a test may panic: that is how it fails"))]

#[cfg(feature = "cli")]
pub mod args;
pub mod assemble;
pub mod batch;
pub mod changed;
pub mod changeover;
#[cfg(feature = "cli")]
pub mod commands;
pub mod date;
pub mod declared;
pub mod demand_words;
pub mod diagnosis;
pub mod dial;
pub mod draw;
pub mod drill;
pub mod edit;
pub mod engine;
pub mod fault;
pub mod field;
pub mod fold;
pub mod form;
pub mod hearing;
pub mod image;
pub mod labels;
pub mod listing;
pub mod log;
pub mod mend;
pub mod meter;
#[cfg(feature = "photo")]
pub mod photo;
pub mod phrase;
pub mod picture;
pub mod powerup;
pub mod print;
pub mod profile;
pub mod read;
pub mod readings;
pub mod render;
pub mod sensors;
pub mod site_file;
pub mod sizing;
pub mod source;
pub mod start;
pub mod statement;
pub mod tidy;
pub mod value;
pub mod visible;
pub mod vocabulary;
pub mod way;
pub mod words;
