//! What stands across a joint at the moment of closing, and what flows in a neutral.

use super::Formula;

/// Voltage between two sources of one voltage.
pub const ACROSS: Formula = Formula {
    id: "joint.volts",
    text: "V across = 2 * V * sin(angle / 2)",
    source: "phasor difference of two equal voltages",
    mark: "second-hand, computed",
};
/// Current in a neutral.
pub const NEUTRAL: Formula = Formula {
    id: "neutral.current",
    text: "I = |sum of the currents as phasors|",
    source: "Kirchhoff's law",
    mark: "computed",
};

/// Voltage across an open joint of two sources with one voltage and an angle between them.
pub fn volts_across(volts: f64, degrees: f64) -> f64 {
    2.0 * volts * libm::sin(degrees.to_radians() / 2.0).abs()
}

/// A current as a phasor: amperes and degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phasor {
    /// How much.
    pub amperes: f64,
    /// Angle, counter-clockwise.
    pub degrees: f64,
}

/// Current in the neutral, from the currents in the lines.
pub fn neutral(lines: &[Phasor]) -> f64 {
    let (mut real, mut imaginary) = (0.0, 0.0);
    for line in lines {
        real += line.amperes * libm::cos(line.degrees.to_radians());
        imaginary += line.amperes * libm::sin(line.degrees.to_radians());
    }
    libm::hypot(real, imaginary)
}

/// Current in the neutral of two opposed legs, each lagging its own voltage by so much.
pub fn split_phase_neutral(first: Phasor, second: Phasor) -> f64 {
    let opposed = Phasor { degrees: second.degrees + 180.0, ..second };
    neutral(&[first, opposed])
}

/// Current in the neutral of three phases at one power factor.
pub fn three_phase_neutral(amperes: [f64; 3]) -> f64 {
    let [first, second, third] = amperes;
    let phasor = |amperes, degrees| Phasor { amperes, degrees };
    neutral(&[phasor(first, 0.0), phasor(second, -120.0), phasor(third, 120.0)])
}
