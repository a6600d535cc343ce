//! Resistance of conductors and the voltage that is lost in them.

use super::Formula;
use super::conductor::Metal;
use super::table::{DROP_LIMITS, IEC_RESISTANCE, NEC_RESISTANCE};

/// Loss in a two-wire circuit.
pub const TWO_WIRE: Formula = Formula {
    id: "drop.two-wire",
    text: "V = 2 * length * resistance per length * I",
    source: "Ohm's law",
    mark: "computed",
};
/// Loss in a three-phase circuit.
pub const THREE_PHASE: Formula = Formula {
    id: "drop.three-phase",
    text: "V = sqrt 3 * length * resistance per length * I, at unity power factor",
    source: "Ohm's law",
    mark: "computed",
};
/// Loss as a part.
pub const PART: Formula = Formula {
    id: "drop.part",
    text: "V lost / V of the supply, between the same lines",
    source: "Ohm's law",
    mark: "computed",
};
/// What arrives on the legs of a split-phase feeder.
pub const LEGS: Formula = Formula {
    id: "drop.legs",
    text: "V on a leg = V - R * (I of the leg + I in the neutral), the neutral as the legs, loads at \
           unity power factor",
    source: "Kirchhoff's laws",
    mark: "computed",
};
/// Losses that are advised at most, by the American code.
pub const NEC_LIMITS: Formula = Formula {
    id: "drop.nec",
    text: "3 % in one circuit, 5 % from the supply to the load: advice, no rule",
    source: "NFPA 70 (NEC) 2023, informational notes to 210.19(A) and 215.2(A)",
    mark: "second-hand",
};
/// Losses that are advised at most, by the international standard.
pub const IEC_LIMITS: Formula = Formula {
    id: "drop.iec",
    text: "from a public supply to the load 3 % for lighting, 5 % for other uses; past 100 m 0.005 % \
           a metre more, at most 0.5 %: advice, no rule",
    source: "IEC 60364-5-52:2009, Table G.52.1",
    mark: "second-hand",
};
/// The rows of the table for one circuit and for both.
pub const NEC_ROWS: [&str; 2] = ["nec-one", "nec-both"];
/// The rows of the table for lighting and for other uses.
pub const IEC_ROWS: [&str; 2] = ["iec-lighting", "iec-other"];

/// The loss that a row of the table advises at most, in percent, for a way of so many metres.
pub fn advised(row: &str, metres: f64) -> Option<f64> {
    let row = DROP_LIMITS.rows().find(|own| own.text("use") == Some(row))?;
    let added = row.number("percent_per_metre_past_100")? * (metres - 100.0).max(0.0);
    Some(row.number("percent")? + added.min(row.number("most_added")?))
}

/// One thousand feet in metres.
pub const KILOFOOT_METRES: f64 = 304.8;

/// Resistance of stranded wire at 75 °C, in ohms per 1,000 ft.
pub fn nec_resistance(size: &str, metal: Metal) -> Option<f64> {
    let row = NEC_RESISTANCE.rows().find(|row| row.text("size") == Some(size))?;
    row.number(match metal {
        Metal::Copper => "cu",
        Metal::Aluminium => "al",
    })
}

/// Strands of a copper conductor by IEC 60228.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strands {
    /// Class 2: for fixed laying.
    Fixed,
    /// Class 5: flexible.
    Flexible,
}

/// Resistance of plain copper at 20 °C, at most, in ohms per kilometre.
pub fn iec_resistance(square_millimetres: f64, strands: Strands) -> Option<f64> {
    let row = IEC_RESISTANCE.rows().find(|row| row.number("mm2") == Some(square_millimetres))?;
    row.number(match strands {
        Strands::Fixed => "class_2",
        Strands::Flexible => "class_5",
    })
}

/// A resistance at 20 °C, at another temperature.
pub fn from_20(resistance: f64, degrees: f64, metal: Metal) -> f64 {
    let coefficient = match metal {
        Metal::Copper => 0.003_93,
        Metal::Aluminium => 0.004_03,
    };
    resistance * (1.0 + coefficient * (degrees - 20.0))
}

/// Loss in a two-wire circuit, in volts: metres one way, ohms per metre.
pub fn two_wire(metres: f64, ohms_per_metre: f64, amperes: f64) -> f64 {
    2.0 * metres * ohms_per_metre * amperes
}

/// Loss between the lines of a three-phase circuit at unity power factor, in volts.
pub fn three_phase(metres: f64, ohms_per_metre: f64, amperes: f64) -> f64 {
    3f64.sqrt() * metres * ohms_per_metre * amperes
}

/// What arrives at the end of a split-phase feeder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SplitPhase {
    /// Current in the neutral, in amperes.
    pub neutral: f64,
    /// First leg to neutral, in volts.
    pub first: f64,
    /// Second leg to neutral, in volts.
    pub second: f64,
    /// Between the legs, in volts.
    pub between: f64,
}

/// A split-phase feeder with both currents in phase with their voltages: `ohms` of each conductor.
pub fn split_phase(volts: f64, ohms: f64, first: f64, second: f64) -> SplitPhase {
    let neutral = first - second;
    let at_first = volts - ohms * (first + neutral);
    let at_second = volts - ohms * (second - neutral);
    SplitPhase {
        neutral: neutral.abs(),
        first: at_first,
        second: at_second,
        between: at_first + at_second,
    }
}
