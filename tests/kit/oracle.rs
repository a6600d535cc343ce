//! A second judge of the rules of shape, sockets, termination, identity and ownership.
//!
//! Written from the words of the design and of the catalogue of faults, with a graph library, on
//! a model of its own. It shares no table with the core and knows nothing of "not checked": each
//! rule is judged for itself, by everything that was declared. [`compare`] says what may differ.

pub mod compare;
mod identity;
mod link;
mod ownership;
pub mod site;
mod sockets;
mod termination;

use site::Site;

/// Places: units, devices and cables by their numbers, a bit each.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Places {
    /// Units.
    pub units: u64,
    /// Splitters in the lower half, gateways in the upper one.
    pub devices: u64,
    /// Cables.
    pub cables: u64,
}

impl Places {
    /// Adds a unit.
    pub fn add_unit(&mut self, unit: usize) {
        self.units |= 1 << unit;
    }

    /// Adds a cable.
    pub fn add_cable(&mut self, cable: usize) {
        self.cables |= 1 << cable;
    }

    /// Units.
    pub fn of_units(units: impl IntoIterator<Item = usize>) -> Self {
        let mut places = Self::default();
        units.into_iter().for_each(|unit| places.add_unit(unit));
        places
    }

    /// Cables.
    pub fn of_cables(cables: impl IntoIterator<Item = usize>) -> Self {
        let mut places = Self::default();
        cables.into_iter().for_each(|cable| places.add_cable(cable));
        places
    }

    /// Whether there is none.
    pub fn is_empty(self) -> bool {
        self == Self::default()
    }
}

/// What the oracle says of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judgment {
    /// Nobody demands it.
    Undemanded,
    /// Nothing speaks against it.
    Met,
    /// It is not broken, by a judge that does not say whether it is demanded.
    NotBroken,
    /// It is broken; the places are left out where the words do not fix them.
    Broken(Option<Places>),
}

impl Judgment {
    /// Broken without places.
    const fn broken(is_so: bool) -> Self {
        if is_so { Self::Broken(None) } else { Self::Met }
    }

    /// Broken where there is a place.
    fn at(places: Places) -> Self {
        if places.is_empty() { Self::Met } else { Self::Broken(Some(places)) }
    }

    /// This, if it is demanded.
    fn demanded(self, is_demanded: bool) -> Self {
        if is_demanded { self } else { Self::Undemanded }
    }

    /// Whether the rule is broken.
    pub const fn is_broken(self) -> bool {
        matches!(self, Self::Broken(_))
    }
}

/// The rules that are judged, in the order of [`judge`].
pub const JUDGED: [&str; 31] = [
    "link-self-loop",
    "link-star",
    "link-broken",
    "unit-not-on-link",
    "link-doubled-pair",
    "link-ring-closed",
    "link-ring-open",
    "port-listed-twice",
    "link-in-service-port",
    "port-pairing-against-policy",
    "term-missing-both-ends",
    "term-too-many",
    "term-missing-one-end",
    "term-on-middle-unit",
    "address-missing",
    "address-duplicate",
    "address-out-of-range",
    "address-gap",
    "coordinator-none",
    "coordinator-two",
    "coordinator-at-wrong-place",
    "count-setting-differs",
    "count-not-equal-fitted",
    "count-over-limit",
    "unit-listed-twice",
    "bms-lead-missing",
    "bms-lead-on-two-units",
    "bms-lead-on-follower",
    "bms-lead-wrong-port",
    "ct-lead-missing",
    "ct-on-follower",
];

/// The slug of a rule and what the oracle says of it.
pub type Judged = (&'static str, Judgment);

/// Judges every rule that the oracle knows.
pub fn judge(site: &Site) -> Vec<Judged> {
    let line = link::Line::of(site);
    let mut out = Vec::with_capacity(32);
    out.extend(line.judge(site));
    out.extend(sockets::judge(site));
    out.extend(termination::judge(site, &line));
    out.extend(identity::judge(site, &line));
    out.extend(ownership::judge(site));
    out
}
