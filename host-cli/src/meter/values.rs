//! What every part of the circuit measures, as plain numbers.

use super::topology::{Fitted, Topology};
use coldcheck_core::ohms::{Conditions, Doubtful};

/// Two wires that touch within a cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Short {
    /// Where along the cable, from its first end: 0 to 1.
    pub at: f64,
    /// How well they touch, in ohms.
    pub ohms: f64,
}

/// A value for every part.
#[derive(Clone, Debug, PartialEq)]
pub struct Values {
    /// The terminators of each point, as a share of their stated value.
    pub terminators: Vec<f64>,
    /// Which points have those of their terminators on that are not declared to be on.
    pub doubtful_on: Vec<bool>,
    /// The conductance of one unit from wire to wire, in siemens.
    pub node: f64,
    /// One metre of one conductor, as warm as it is, in ohms.
    pub conductor: f64,
    /// One contact of a plug, in ohms.
    pub contact: f64,
    /// The length of a cable that has none stated, in metres.
    pub unknown_metres: f64,
    /// A terminator that nobody declared, in ohms.
    pub extra: f64,
    /// The first and the second short of a hypothesis.
    pub shorts: [Short; 2],
    /// How much of the bias resistors is seen: 1 where the rails are one without power, 0 where
    /// they are apart.
    pub rails: f64,
}

impl Values {
    /// The same value for every part of its kind.
    pub fn of(conditions: &Conditions, topology: &Topology) -> Self {
        let share = f64::from(conditions.terminator_permille) / 1000.0;
        let ends = topology.ends();
        let alone = topology.points.len() == 1;
        let is_on = |(position, point): (usize, &super::topology::Point)| {
            let is_automatic = point.terminators.iter().any(|one| one.fitted == Fitted::Automatic);
            match conditions.doubtful {
                Doubtful::On => true,
                Doubtful::Off => false,
                Doubtful::AtEnds => is_automatic && (ends.contains(&position) || alone),
            }
        };
        let short = Short { at: 0.5, ohms: 0.1 };
        Self {
            terminators: vec![share; topology.points.len()],
            doubtful_on: topology.points.iter().enumerate().map(is_on).collect(),
            node: conditions.node_ohms.map_or(0.0, |ohms| f64::from(ohms).recip()),
            conductor: f64::from(conditions.conductor) * f64::from(conditions.warmth) / 1e12,
            contact: f64::from(conditions.contact) / 1e6,
            unknown_metres: f64::from(conditions.unknown_length) / 1000.0,
            extra: topology.nominal * share,
            shorts: [short, short],
            rails: match conditions.doubtful {
                Doubtful::On => 1.0,
                Doubtful::Off => 0.0,
                Doubtful::AtEnds => 0.5,
            },
        }
    }

    /// One conductor of a cable with its two contacts.
    pub fn wire(&self, metres: Option<f64>) -> f64 {
        metres.unwrap_or(self.unknown_metres) * self.conductor + 2.0 * self.contact
    }
}
