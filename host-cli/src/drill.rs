//! Drills: faulty sites for a class, with what is noticed, readings that are asked for, and answers.
//!
//! [`mod@bench`] is a right site, [`cause`] everything that may be wrong with it, [`plant`] what is really
//! there. [`act`] is what a learner can do to find out, [`look`], [`ohms`] and [`listen`] what that
//! shows. [`search`] tells how few readings decide, [`exercise`] puts a drill together, [`class`] many
//! of like difficulty, [`answer`] what must be found and who confirms it, [`score`] how well a learner
//! did, [`mod@record`] what that was as a trainer types it, [`show`] a fault made before everybody's
//! eyes. [`words`] are the words, [`dice`] the choices.

pub mod act;
pub mod answer;
pub mod ask;
pub mod bench;
pub mod catalogue;
pub mod cause;
pub mod class;
pub mod dice;
pub mod exercise;
pub mod listen;
pub mod look;
pub mod ohms;
pub mod plant;
pub mod puzzle;
pub mod record;
pub mod score;
pub mod search;
pub mod show;
pub mod told;
pub mod words;
