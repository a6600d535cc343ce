//! The right sizes of the groups that faults are made in, by either code. They are taken from the
//! tables by hand, for units of 8 kVA at 230 V (34.78 A) or 240 V (33.33 A), so that nothing here
//! hangs on what it is to prove.

use super::Group;
use crate::field::Field;

/// Sizes by one code: right ones, and one wrong one of each kind.
pub(super) struct Figures {
    /// Facts about the group.
    pub(super) lines: &'static [(&'static str, &'static str)],
    /// Facts of each unit.
    pub(super) of_unit: &'static [(Field, &'static str)],
    /// Facts of each sensor.
    pub(super) of_sensor: &'static [(Field, &'static str)],
    feeders: &'static [Feeder],
    /// Whether the code says when a busbar is overloaded.
    pub(super) has_busbar_rule: bool,
    /// The right breaker of a unit.
    pub(super) breaker: &'static str,
    /// A breaker below the current of a unit.
    pub(super) breaker_small: &'static str,
    /// A breaker above what the conductor of a unit allows, and below the current of two.
    pub(super) breaker_large: &'static str,
    /// A conductor that does not carry the current of a unit, and no earth conductor for it.
    pub(super) thin: &'static str,
}

/// The feeder of so many units on one line, at most.
pub(super) struct Feeder {
    most_units: usize,
    pub(super) breaker: &'static str,
    pub(super) conductor: &'static str,
    pub(super) earth: &'static str,
}

const fn feeder(most_units: usize, [breaker, conductor, earth]: [&'static str; 3]) -> Feeder {
    Feeder { most_units, breaker, conductor, earth }
}

impl Figures {
    /// The feeder of so many units on one line.
    pub(super) fn feeder(&self, units: usize) -> &Feeder {
        let fits = self.feeders.iter().find(|feeder| units <= feeder.most_units);
        fits.unwrap_or(&self.feeders[self.feeders.len() - 1])
    }
}

impl Group {
    /// The sizes that the group has: where the second unit of the link leads, or the fourth, they are
    /// by the IEC.
    pub(super) fn figures(&self) -> &'static Figures {
        if self.layout.coordinator.is_multiple_of(2) { &NEC } else { &IEC }
    }
}

/// NFPA 70 (NEC) 2023, second-hand: 240.6(A), Table 310.16 for copper at 75 C and 30 C, Table 250.122.
/// Each feeder carries 125 % of 34.78 A for each unit.
const NEC: Figures = Figures {
    lines: &[
        (Field::Code.key(), "NEC"),
        (Field::Insulation.key(), "90 C"),
        (Field::Terminals.key(), "75 C"),
    ],
    of_unit: &[
        // 43.5 A at most: 45 A; 8 AWG carries 50 A. 241.8 A of battery: 250 A; 250 kcmil 255 A.
        (Field::OutputBreaker, "45 A"),
        (Field::OutputConductor, "8 AWG"),
        (Field::EarthConductor, "10 AWG"),
        (Field::BatteryConductor, "250 kcmil"),
    ],
    of_sensor: &[(Field::SensorLead, "50 ft"), (Field::SensorLeadSize, "14 AWG")],
    feeders: &[
        feeder(2, ["90 A", "3 AWG", "8 AWG"]),
        feeder(3, ["150 A", "1/0 AWG", "6 AWG"]),
        feeder(4, ["175 A", "2/0 AWG", "6 AWG"]),
        feeder(5, ["225 A", "4/0 AWG", "4 AWG"]),
        feeder(6, ["300 A", "350 kcmil", "4 AWG"]),
        feeder(8, ["350 A", "500 kcmil", "3 AWG"]),
        feeder(10, ["450 A", "2 x 4/0 AWG", "2 AWG"]),
        feeder(11, ["500 A", "2 x 250 kcmil", "2 AWG"]),
        feeder(13, ["600 A", "2 x 350 kcmil", "1 AWG"]),
        feeder(16, ["700 A", "2 x 500 kcmil", "1/0 AWG"]),
        feeder(18, ["800 A", "3 x 300 kcmil", "1/0 AWG"]),
        feeder(23, ["1000 A", "3 x 400 kcmil", "2/0 AWG"]),
        feeder(27, ["1200 A", "4 x 350 kcmil", "3/0 AWG"]),
        feeder(33, ["1600 A", "5 x 400 kcmil", "4/0 AWG"]),
    ],
    has_busbar_rule: true,
    breaker: "45 A",
    breaker_small: "40 A",
    breaker_large: "60 A",
    thin: "14 AWG",
};

/// IEC 60364-5-52:2009, second-hand: Tables B.52.3 and B.52.5, XLPE clipped direct at 30 C;
/// IEC 60364-5-54, Table 54.2. Ratings of breakers as they are in common use. Each feeder carries
/// 34.78 A for each unit.
const IEC: Figures = Figures {
    lines: &[
        (Field::Code.key(), "IEC"),
        (Field::Insulation.key(), "XLPE"),
        (Field::Laid.key(), "clipped direct"),
    ],
    of_unit: &[
        // 34.8 A at most: 40 A; 6 mm2 carry 52 A. 241.8 A of battery: 250 A; 70 mm2 269 A.
        (Field::OutputBreaker, "40 A"),
        (Field::OutputConductor, "6 mm2"),
        (Field::EarthConductor, "6 mm2"),
        (Field::BatteryConductor, "70 mm2"),
    ],
    of_sensor: &[(Field::SensorLead, "15 m"), (Field::SensorLeadSize, "2.5 mm2")],
    feeders: &[
        feeder(2, ["80 A", "16 mm2", "16 mm2"]),
        feeder(3, ["125 A", "35 mm2", "16 mm2"]),
        feeder(4, ["160 A", "50 mm2", "25 mm2"]),
        feeder(5, ["200 A", "70 mm2", "35 mm2"]),
        feeder(7, ["250 A", "95 mm2", "50 mm2"]),
        feeder(9, ["315 A", "2 x 95 mm2", "95 mm2"]),
        feeder(11, ["400 A", "2 x 95 mm2", "95 mm2"]),
        feeder(14, ["500 A", "2 x 95 mm2", "95 mm2"]),
        feeder(18, ["630 A", "3 x 95 mm2", "2 x 95 mm2"]),
        feeder(23, ["800 A", "3 x 95 mm2", "2 x 95 mm2"]),
        feeder(28, ["1000 A", "4 x 95 mm2", "2 x 95 mm2"]),
        feeder(33, ["1250 A", "5 x 95 mm2", "3 x 95 mm2"]),
    ],
    has_busbar_rule: false,
    breaker: "40 A",
    breaker_small: "32 A",
    breaker_large: "63 A",
    thin: "2.5 mm2",
};
