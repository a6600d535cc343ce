//! Numbers that are compared within a bound.

use coldcheck::sizing::conductor::Metal;
use coldcheck::sizing::drop;

/// Wants a number within so much of another.
///
/// # Panics
/// If it is not.
#[track_caller]
pub fn near(value: f64, wanted: f64, within: f64) {
    assert!((value - wanted).abs() <= within, "{value}, not {wanted}");
}

/// Resistance of stranded copper at 75 °C, in ohms per metre.
///
/// # Panics
/// If there is no such size.
pub fn per_metre(size: &str) -> f64 {
    drop::nec_resistance(size, Metal::Copper).expect("a size") / drop::KILOFOOT_METRES
}
