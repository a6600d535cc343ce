//! Records of a changeover, made for tests.

use coldcheck::changeover::{Outcome, Request, examine};
use std::f64::consts::TAU;
use std::fmt::Write;

/// What a record shows.
///
/// # Panics
/// If it is none.
pub fn outcome(text: &str, request: &Request) -> Outcome {
    examine("record.csv", text.as_bytes(), request).expect("a record")
}

/// A right record of so many cycles of 60 Hz at 10 kHz, with what stands in place of some volts.
///
/// # Panics
/// Never: a text takes any line.
pub fn record(cycles: u32, volts: impl Fn(u32, f64) -> f64) -> String {
    let mut text = String::from("time_s,volts\n");
    for at in 0..cycles * 10_000 / 60 {
        let time = f64::from(at) / 10_000.0;
        let right = 170.0 * (TAU * 60.0 * time).sin();
        writeln!(text, "{time},{}", volts(at, right)).expect("a text");
    }
    text
}
