//! What the parts of a link may measure: copper, plugs, terminators, units without power.

use crate::plan::Plan;

/// What is taken of a terminator that nobody knows to be on or off without power: one that a unit
/// switches by itself, and one of which no sheet says anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubtful {
    /// All are on: the lowest reading.
    On,
    /// All are off: the highest.
    Off,
    /// Those that switch by themselves are on at the ends of the line; the others are off.
    AtEnds,
}

/// One value for every part of its kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conditions {
    /// A terminator, in thousandths of its stated value.
    pub terminator_permille: u32,
    /// A unit without power from wire to wire, in ohms; `None` is open.
    pub node_ohms: Option<u32>,
    /// One conductor at 20 °C, in microohms a metre.
    pub conductor: u32,
    /// The conductor's resistance against that at 20 °C, in millionths.
    pub warmth: u32,
    /// One contact of a plug, in microohms; a conductor has one at either end.
    pub contact: u32,
    /// A cable whose length nobody states, in millimetres.
    pub unknown_length: u32,
    /// Terminators in doubt.
    pub doubtful: Doubtful,
}

/// The least resistance of a unit from wire to wire. ISO 11898-2 (read second-hand), for a powered
/// transceiver: without power it is often more, up to open, which no standard bounds.
const LEAST_NODE: u32 = 10_000;
/// A usual one: the middle of published data sheets (30 kΩ least, 40 kΩ typical, 50 kΩ).
const USUAL_NODE: u32 = 40_000;
/// The longest cable between neighbours where neither sheet nor profile says one. Ours.
const LONGEST_UNKNOWN: u32 = 10_000;

impl Conditions {
    /// Every part at its lowest: terminators of 100 for 120 Ω (ISO 11898-2, read second-hand),
    /// 22 AWG solid copper at -25 °C, perfect contacts, short cables.
    pub fn low(plan: &Plan<'_>) -> Self {
        Self {
            terminator_permille: 833,
            node_ohms: Some(plan.demands.node_ohms_min().unwrap_or(LEAST_NODE).max(1)),
            conductor: 52_960,
            warmth: 823_150,
            contact: 0,
            unknown_length: 200,
            doubtful: Doubtful::On,
        }
    }

    /// Every part as usual: 24 AWG solid copper at 20 °C (ASTM B258, computed), contacts of 10 mΩ
    /// (`CiA` 303-1, read second-hand).
    pub fn typical(plan: &Plan<'_>) -> Self {
        let least = plan.demands.node_ohms_min().unwrap_or(LEAST_NODE).max(1);
        let most = plan.demands.node_ohms_max().unwrap_or(u32::MAX);
        let longest = plan.demands.max_cable().map_or(LONGEST_UNKNOWN, |length| length.0);
        Self {
            terminator_permille: 1000,
            node_ohms: Some(USUAL_NODE.min(most).max(least)),
            conductor: 84_210,
            warmth: 1_000_000,
            contact: 10_000,
            unknown_length: longest.min(2000),
            doubtful: Doubtful::AtEnds,
        }
    }

    /// Every part at its highest: terminators of 130 for 120 Ω, 26 AWG stranded copper (published
    /// maximum) at 60 °C, contacts of 20 mΩ (IEC 60603-7, from memory), units that are open.
    pub fn high(plan: &Plan<'_>) -> Self {
        Self {
            terminator_permille: 1083,
            node_ohms: None,
            conductor: 146_000,
            warmth: 1_157_200,
            contact: 20_000,
            unknown_length: plan.demands.max_cable().map_or(LONGEST_UNKNOWN, |length| length.0),
            doubtful: Doubtful::Off,
        }
    }
}
