//! What information equipment rides through: the ITIC curve (2000 edition, for 120 V single phase;
//! second-hand, a textbook on power quality), its lower part whole, of its upper part what one-cycle
//! values can show. It tells what such loads tolerate and is no demand on a source.

/// Seconds for which at least this part of the voltage is tolerated, the lowest part first.
const LOWER: [(f64, f64); 4] = [(0.0, 0.020), (0.70, 0.5), (0.80, 10.0), (0.90, f64::INFINITY)];

/// The most that is tolerated for ever, and for longer than a cycle, as parts of the voltage.
pub const MOST_FOR_EVER: f64 = 1.10;
/// See [`MOST_FOR_EVER`].
pub const MOST_OF_A_CYCLE: f64 = 1.20;

/// The voltage that the curve is for, and how far another one may be off it.
const VOLTS: f64 = 120.0;
const OFF: f64 = 0.1;

/// Whether the curve says anything about a supply of so many volts.
pub fn is_for(volts: f64) -> bool {
    (volts - VOLTS).abs() <= OFF * VOLTS
}

/// Whether so large a part of the voltage is tolerated for so many seconds.
pub fn allows(part: f64, seconds: f64) -> bool {
    let mut longest = 0.0;
    for (least, allowed) in LOWER {
        if part >= least {
            longest = allowed;
        }
    }
    // A microsecond decides nothing.
    seconds <= longest + 1e-6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_steps_of_the_curve_are_kept() {
        for (part, seconds, within) in [
            (0.0, 0.020, true),
            (0.0, 0.0201, false),
            (0.69, 0.021, false),
            (0.70, 0.5, true),
            (0.75, 0.51, false),
            (0.80, 10.0, true),
            (0.85, 10.1, false),
            (0.90, 1e6, true),
        ] {
            assert_eq!(allows(part, seconds), within, "{part} {seconds}");
        }
        assert!(is_for(118.0) && !is_for(230.0));
    }
}
