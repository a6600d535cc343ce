//! What the tests share: cases, generated sites, and the same check on other machines.

pub mod bit_timing;
pub mod cases;
pub mod detail;
pub mod elf;
pub mod expected;
pub mod facts;
pub mod firmware;
pub mod fleet;
pub mod fuzz;
pub mod generate;
pub mod generate_faulty;
pub mod golden;
pub mod graphs;
pub mod heard_proof;
pub mod left_out;
pub mod lines;
pub mod measure;
pub mod oracle;
pub mod outside;
pub mod paths;
pub mod plans;
pub mod program;
pub mod proof;
pub mod tidied;
pub mod tools;
pub mod wasm;
