//! Strings of solar modules: voltage on the coldest day, current, how many in a row.

use super::table::NEC_SOLAR_COLD;
use super::{Formula, to_millionth};

/// Voltage in the cold from the module's coefficient.
pub const COLD_BY_COEFFICIENT: Formula = Formula {
    id: "solar.cold.coefficient",
    text: "V = Voc * (1 + b / 100 * (lowest temperature - 25)), b in percent per kelvin",
    source: "NFPA 70 (NEC) 2023, 690.7(A)(1)",
    mark: "second-hand",
};
/// Voltage in the cold from the table.
pub const COLD_BY_TABLE: Formula = Formula {
    id: "solar.cold.table",
    text: "V = Voc * factor of the lowest temperature",
    source: "NFPA 70 (NEC) 2023, Table 690.7(A)",
    mark: "second-hand; crystalline silicon only",
};
/// Voltage where it is colder than the table goes.
pub const COLD_AT_LEAST: Formula = Formula {
    id: "solar.cold.least",
    text: "V > Voc * factor of the last row: the table stops, the voltage goes on rising",
    source: "NFPA 70 (NEC) 2023, Table 690.7(A)",
    mark: "second-hand; crystalline silicon only",
};
/// Current of strings at one input.
pub const CURRENT: Formula = Formula {
    id: "solar.current",
    text: "1.25 * sum of Isc <= limit of the input; wires and fuses 1.25 times more",
    source: "NFPA 70 (NEC) 2023, 690.8",
    mark: "second-hand",
};

/// How many modules a string may have.
pub const MODULES: Formula = Formula {
    id: "solar.modules",
    text: "most = limit of the input / V in the cold, rounded down; fewest = lowest voltage of the \
           input / V on a hot day, rounded up",
    source: "arithmetic",
    mark: "computed",
};
/// Near which part of a limit a string's voltage is pointed out.
pub const NEAR: Formula = Formula {
    id: "solar.near",
    text: "V / limit; pointed out above 99 %: the linear coefficient is up to 0.8 % below a diode model",
    source: "ours, from six modules of a public table",
    mark: "computed",
};
/// Strings beside each other.
pub const STRING_FUSE: Formula = Formula {
    id: "solar.string-fuse",
    text: "three or more strings in parallel: a fuse in each",
    source: "NFPA 70 (NEC) 2023, 690.9(A)",
    mark: "from memory; other rules may ask for fuses earlier",
};

/// Open-circuit voltage of one module at a temperature, in volts; the coefficient in percent per
/// kelvin, below zero.
pub fn cold_by_percent(open_volts: f64, percent_per_kelvin: f64, degrees: f64) -> f64 {
    open_volts * (1.0 + percent_per_kelvin / 100.0 * (degrees - 25.0))
}

/// The same with the coefficient in volts per kelvin.
pub fn cold_by_volts(open_volts: f64, volts_per_kelvin: f64, degrees: f64) -> f64 {
    open_volts + volts_per_kelvin * (degrees - 25.0)
}

/// The factor of the table; `None` below it, where the table may not be used.
pub fn cold_factor(degrees: f64) -> Option<f64> {
    if degrees >= 25.0 {
        return Some(1.0);
    }
    // Bands are whole degrees: what lies between two of them belongs to the colder one.
    let lowest = degrees.floor();
    NEC_SOLAR_COLD.rows().find(|row| row.number("least_c") <= Some(lowest))?.number("factor")
}

/// The lowest temperature of the table, in degrees Celsius.
pub fn coldest_of_table() -> f64 {
    let rows = NEC_SOLAR_COLD.rows().filter_map(|row| row.number("least_c"));
    rows.fold(f64::INFINITY, f64::min)
}

/// How many modules a string may have at most, or `None` for more than can be counted.
pub fn most_modules(input_volts: f64, module_volts: f64) -> Option<u32> {
    whole((to_millionth(input_volts) / to_millionth(module_volts)).floor())
}

/// How many modules a string needs at least, so that the input follows it on a hot day.
pub fn fewest_modules(least_input_volts: f64, hot_module_volts: f64) -> Option<u32> {
    whole((to_millionth(least_input_volts) / to_millionth(hot_module_volts)).ceil())
}

fn whole(number: f64) -> Option<u32> {
    let fits = (0.0..=f64::from(u32::MAX)).contains(&number);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number within the range"
    )]
    fits.then_some(number as u32)
}

/// The current that an input must stand, in amperes.
pub fn input_current(short_circuit: &[f64]) -> f64 {
    to_millionth(1.25 * short_circuit.iter().sum::<f64>())
}
