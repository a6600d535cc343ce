//! What every part of the circuit measures, as plain numbers.

use super::topology::{Fitted, Topology};
use coldcheck_core::ohms::{Conditions, Doubtful};
use coldcheck_core::plan::Plan;

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

/// Usual values, and how far the parts may be from them.
#[derive(Clone, Debug, PartialEq)]
pub struct Usual {
    /// Every part as usual.
    pub values: Values,
    /// How far each may be off.
    pub spreads: Spreads,
}

/// How far the parts of a link may be from what is usual: the bounds are those of the bands that are
/// printed ([`Conditions`]), so that a reading within its band never speaks against a right site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spreads {
    /// A terminator.
    pub terminator: Spread,
    /// The conductance of a unit.
    pub node: Spread,
    /// Copper.
    pub conductor: Spread,
    /// A length that nobody states.
    pub length: Spread,
    /// The least and the most ohms of a contact.
    pub contact: (f64, f64),
}

/// A factor around one, by standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    slope: f64,
    bend: f64,
}

/// So many deviations are from the usual value to either bound: few enough that all parts at once at
/// their bounds are within what chance makes of a single reading. Ours.
const TO_BOUND: f64 = 1.3;
/// A unit that is open is taken as one of so many times the usual resistance. Ours.
const OPEN_UNIT: f64 = 8.0;

impl Spread {
    fn of(low: f64, usual: f64, high: f64) -> Self {
        let share = |more: f64, less: f64| {
            if less > 0.0 { (more / less).max(1.0).ln() } else { 0.0 }
        };
        let (down, up) = (share(usual, low), share(high, usual));
        let slope = (up + down) / (2.0 * TO_BOUND);
        let bend = (up - down) / (2.0 * (TO_BOUND.hypot(1.0) - 1.0));
        // A bend without a kink; never so steep that more deviations would be less.
        Self { slope, bend: bend.clamp(-0.9 * slope, 0.9 * slope) }
    }

    /// What the usual value is multiplied with.
    pub fn factor(self, deviations: f64) -> f64 {
        (self.slope * deviations + self.bend * (deviations.hypot(1.0) - 1.0)).exp()
    }
}

impl Spreads {
    /// Those of a plan.
    pub fn of(plan: &Plan<'_>) -> Self {
        let [low, usual, high] =
            [Conditions::low(plan), Conditions::typical(plan), Conditions::high(plan)];
        let along = |of: fn(&Conditions) -> f64| Spread::of(of(&low), of(&usual), of(&high));
        let siemens = |ohms: Option<u32>| ohms.map(|ohms| f64::from(ohms.max(1)).recip());
        let node = siemens(usual.node_ohms).unwrap_or(0.0);
        let open = |ohms: Option<u32>| siemens(ohms).unwrap_or(node / OPEN_UNIT);
        let contact = |of: Conditions| f64::from(of.contact) / 1e6;
        Self {
            terminator: along(|of| f64::from(of.terminator_permille)),
            // More ohms are less conductance.
            node: Spread::of(open(high.node_ohms), node, open(low.node_ohms)),
            conductor: along(|of| f64::from(of.conductor) * f64::from(of.warmth)),
            length: along(|of| f64::from(of.unknown_length)),
            contact: (contact(low), contact(high)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bounds_of_a_spread_are_so_many_deviations_off() {
        let spread = Spread::of(100.0, 120.0, 130.0);
        for (deviations, ohms) in [(-TO_BOUND, 100.0), (0.0, 120.0), (TO_BOUND, 130.0)] {
            assert!((120.0 * spread.factor(deviations) - ohms).abs() < 1e-9, "{deviations}");
        }
        let steps = (-50..50).map(|step| spread.factor(f64::from(step) / 10.0));
        assert!(steps.clone().zip(steps.skip(1)).all(|(one, next)| one < next));
        assert!((Spread::of(5.0, 5.0, 5.0).factor(3.0) - 1.0).abs() < 1e-12);
    }
}
