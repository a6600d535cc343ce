//! AC currents of units and feeders, and the breaker that goes with them.

use super::table::{IEC_RATINGS, NEC_RATINGS, Table};
use super::{Formula, to_millionth};

/// Current of a split-phase unit in each leg, both legs loaded alike.
pub const SPLIT_PHASE: Formula = Formula {
    id: "current.split-phase",
    text: "I = S / V between the legs",
    source: "Ohm's law",
    mark: "computed",
};
/// Current of a single-phase unit.
pub const SINGLE_PHASE: Formula = Formula {
    id: "current.single-phase",
    text: "I = S / V to neutral",
    source: "Ohm's law",
    mark: "computed",
};
/// Current in each line of a three-phase group.
pub const THREE_PHASE: Formula = Formula {
    id: "current.three-phase",
    text: "I = S / (sqrt 3 * V between lines)",
    source: "Ohm's law",
    mark: "computed",
};
/// Current of a feeder.
pub const FEEDER: Formula = Formula {
    id: "current.feeder",
    text: "I = sum of the units' currents on one leg",
    source: "Kirchhoff's law",
    mark: "computed",
};
/// Least breaker by the American code.
pub const NEC_BREAKER: Formula = Formula {
    id: "breaker.nec",
    text: "rating >= 1.25 * continuous current + other current; the next standard rating",
    source: "NFPA 70 (NEC) 2023, 215.3, 705.28 and 240.6(A)",
    mark: "second-hand; numbers of clauses differ between editions",
};
/// Least breaker by the international standard.
pub const IEC_BREAKER: Formula = Formula {
    id: "breaker.iec",
    text: "current <= rating; the next standard rating",
    source: "IEC 60364-4-43, 433.1",
    mark: "second-hand; number of the clause from memory",
};

/// A busbar with its main and several sources.
pub const BUSBAR: Formula = Formula {
    id: "busbar.nec",
    text: "main + 1.25 * sources <= bar; <= 1.2 * bar with sources at the far end; or all breakers \
           but the main <= bar",
    source: "NFPA 70 (NEC) 2023, 705.12(B)(1) to (3)",
    mark: "second-hand; other kinds of busbars have rules of their own",
};

/// A busbar that cannot be overloaded, wherever its sources sit.
pub const BUSBAR_SUM: Formula = Formula {
    id: "busbar.sum",
    text: "main + sources <= bar; or all breakers but the main <= bar",
    source: "Kirchhoff's law",
    mark: "computed; whether a bar below that holds is the designer's to say",
};

/// Current in each leg of a split-phase unit, in amperes.
pub fn split_phase(volt_amperes: f64, volts_between_legs: f64) -> f64 {
    volt_amperes / volts_between_legs
}

/// Current of a single-phase unit, in amperes.
pub fn single_phase(volt_amperes: f64, volts_to_neutral: f64) -> f64 {
    volt_amperes / volts_to_neutral
}

/// Current in each line of a three-phase group, in amperes.
pub fn three_phase(volt_amperes: f64, volts_between_lines: f64) -> f64 {
    volt_amperes / (3f64.sqrt() * volts_between_lines)
}

/// Whose rules are applied.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Code {
    /// NFPA 70.
    Nec,
    /// IEC 60364.
    Iec,
}

/// The current that breaker and conductor must carry: 125 % of what flows for three hours or more,
/// by the American code.
pub fn design_current(code: Code, continuous: f64, other: f64) -> f64 {
    match code {
        Code::Nec => to_millionth(1.25 * continuous + other),
        Code::Iec => to_millionth(continuous + other),
    }
}

/// The least standard rating that is not below a current; `None` above the largest.
pub fn next_rating(code: Code, amperes: f64) -> Option<f64> {
    let ratings: &Table = match code {
        Code::Nec => &NEC_RATINGS,
        Code::Iec => &IEC_RATINGS,
    };
    let wanted = to_millionth(amperes);
    ratings.rows().filter_map(|row| row.number("ampere")).find(|rating| *rating >= wanted)
}

/// The three ways in which a busbar may carry its main and several sources (NFPA 70 2023,
/// 705.12(B)(1) to (3), second-hand). Feed-through, centre-fed and multi-ampacity bars have rules
/// of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Busbar {
    /// 125 % of the sources and the main are not above the bar.
    pub anywhere: bool,
    /// The same against 120 % of the bar, sources at the far end from the main.
    pub far_end: bool,
    /// All breakers but the main together are not above the bar.
    pub sum_of_breakers: bool,
}

/// Tests a busbar. The sources count by their output currents, not by their breakers.
pub fn busbar(bar: f64, main: f64, sources: &[f64], breakers_but_main: f64) -> Busbar {
    let sources = 1.25 * sources.iter().sum::<f64>();
    let together = to_millionth(sources + main);
    Busbar {
        anywhere: together <= bar,
        far_end: together <= to_millionth(1.2 * bar),
        sum_of_breakers: to_millionth(breakers_but_main) <= bar,
    }
}

/// Whether no part of a bar can carry more than it may: what comes in is no more, or what goes out.
pub fn busbar_sum(bar: f64, main: f64, sources: f64, breakers_but_main: f64) -> bool {
    to_millionth(main + sources) <= bar || to_millionth(breakers_but_main) <= bar
}

/// The most that sources at the far end of a bar may deliver together, in amperes.
pub fn most_at_far_end(bar: f64, main: f64) -> f64 {
    to_millionth((1.2 * bar - main) / 1.25)
}
