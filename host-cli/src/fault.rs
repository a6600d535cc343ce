//! Faults to make on purpose: a right group, and every way to break one rule of it at every
//! place, with the answer.
//!
//! The proof finds them again, and a trainer shows them. Each [`Fault`] is one cause. It changes
//! what is declared, or how a sheet is written, and says which rule must point where.
//!
//! ```
//! use coldcheck::fault::{self, Group, Layout};
//! use coldcheck_core::plan::Terminator;
//!
//! let layout = Layout {
//!     profile: "plain",
//!     order: vec![2, 1, 3],
//!     coordinator: 0,
//!     terminator: Terminator::On,
//! };
//! let mut group = Group::build(layout).expect("a right group");
//! let faults = fault::faults(&group);
//! let fault = faults.iter().find(|fault| fault.rule.rule().slug == "term-too-many").expect("one");
//! assert!(fault.inject(&mut group));
//! ```

mod battery_link;
mod build;
mod equipment;
mod figures;
mod firmware;
mod group;
pub mod heard;
mod identity;
mod link;
mod port;
mod power;
mod sensor;
mod sheet;
mod sizes;
mod termination;

pub use group::{CABLES, Group, Layout, SETTINGS, Thing, Touch, unit_name};

use crate::diagnosis::NamedPlace;
use coldcheck_core::plan::Leg;
use coldcheck_core::rules::RuleId;
use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

/// Where a finding must point.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// A unit by its number.
    Unit(u16),
    /// A socket of a unit.
    Socket(u16, String),
    /// The terminator of a unit.
    Terminator(u16),
    /// A cable by its label.
    Cable(String),
    /// The sensor on a leg.
    Sensor(Leg),
    /// A pack by its number.
    Pack(u16),
    /// Another device by its name.
    Device(String),
}

impl Spot {
    /// Whether a report means this place.
    pub fn is(&self, place: &NamedPlace) -> bool {
        match (self, place) {
            (Self::Unit(unit), NamedPlace::Unit { number, port: None, terminator: false, .. })
            | (Self::Terminator(unit), NamedPlace::Unit { number, terminator: true, .. }) => {
                *number == Some(*unit)
            }
            (Self::Socket(unit, socket), NamedPlace::Unit { number, port: Some(port), .. }) => {
                *number == Some(*unit) && socket == port
            }
            (Self::Cable(name), NamedPlace::Cable(own))
            | (Self::Device(name), NamedPlace::Device(own)) => name == own,
            (Self::Sensor(leg), NamedPlace::Sensor { leg: own, .. }) => *own == Some(leg.word()),
            (Self::Pack(number), NamedPlace::Pack(own)) => *own == format!("pack {number}"),
            _ => false,
        }
    }
}

/// What makes a fault of a right group; says whether what it changes was still there.
type Change = Arc<dyn Fn(&mut Group) -> bool + Send + Sync>;

/// One fault at one place of a group.
#[derive(Clone)]
pub struct Fault {
    /// The rule that it breaks.
    pub rule: RuleId,
    /// What was done, for a person.
    pub done: String,
    /// Where the rule must point; nowhere is the whole group.
    pub places: Vec<Spot>,
    /// What it builds on beside what it changes.
    needs: Vec<Touch>,
    /// Other rules that the same act breaks: it cannot be made without them.
    pub with: Vec<RuleId>,
    change: Change,
}

impl fmt::Debug for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} {:?}", self.rule.rule().slug, self.done, self.places)
    }
}

impl Fault {
    /// A fault; its rule is told by the table.
    fn new(
        done: impl Into<String>,
        places: impl IntoIterator<Item = Spot>,
        change: impl Fn(&mut Group) -> bool + Send + Sync + 'static,
    ) -> Self {
        Self {
            rule: RuleId::FIRST,
            done: done.into(),
            places: places.into_iter().collect(),
            needs: Vec::new(),
            with: Vec::new(),
            change: Arc::new(change),
        }
    }

    fn with(self, with: &[RuleId]) -> Self {
        Self { with: with.to_vec(), ..self }
    }

    fn needing(self, needs: impl IntoIterator<Item = Touch>) -> Self {
        Self { needs: needs.into_iter().collect(), ..self }
    }

    /// What it changes in a right group; `None` if it cannot be made there.
    pub fn touches(&self, right: &Group) -> Option<BTreeSet<Touch>> {
        let mut group = right.clone();
        self.inject(&mut group).then(|| group.changes(right))
    }

    /// Makes this fault and another one, each given with what it touches; `None` if the one changes
    /// what the other changes or builds on, so that not both can be there.
    pub fn together(
        &self,
        touches: &BTreeSet<Touch>,
        other: &Self,
        others: &BTreeSet<Touch>,
        right: &Group,
    ) -> Option<Group> {
        let changed = |changes: &BTreeSet<Touch>, touch: &Touch| {
            changes.iter().any(|change| change.meets(touch))
        };
        // Of two units that differ, each is as odd as the other: both changed alike agree again.
        let is_undone = right.layout.order.len() == 2
            && self.rule == other.rule
            && self.places == other.places
            && !self.places.is_empty();
        if is_undone
            || others.iter().chain(&other.needs).any(|touch| changed(touches, touch))
            || self.needs.iter().any(|touch| changed(others, touch))
        {
            return None;
        }
        let mut group = right.clone();
        (self.inject(&mut group) && other.inject(&mut group)).then_some(group)
    }

    /// Makes the fault; false, and perhaps half of it, if another one took away what it changes.
    pub fn inject(&self, group: &mut Group) -> bool {
        (self.change)(group)
    }
}

/// How the fault of one rule is made, at every place of a group where it can be.
pub struct Way {
    /// The rule.
    pub rule: RuleId,
    everywhere: fn(&Group) -> Vec<Fault>,
}

impl fmt::Debug for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.rule.rule().slug)
    }
}

/// A line of the tables of ways.
const fn way(rule: RuleId, everywhere: fn(&Group) -> Vec<Fault>) -> Way {
    Way { rule, everywhere }
}

impl Way {
    /// Every fault of the rule in a group; none where the group has nothing to break so.
    pub fn faults(&self, group: &Group) -> Vec<Fault> {
        let told = |fault: Fault| Fault { rule: self.rule, ..fault };
        (self.everywhere)(group).into_iter().map(told).collect()
    }
}

/// Every way, in the groups of the rules.
pub fn ways() -> impl Iterator<Item = &'static Way> {
    [
        sheet::WAYS,
        port::WAYS,
        link::WAYS,
        termination::WAYS,
        identity::WAYS,
        firmware::WAYS,
        battery_link::WAYS,
        sensor::WAYS,
        power::WAYS,
        equipment::WAYS,
        sizes::WAYS,
    ]
    .into_iter()
    .flatten()
}

/// Every fault of every rule at every place of a group.
pub fn faults(group: &Group) -> Vec<Fault> {
    ways().flat_map(|way| way.faults(group)).collect()
}

/// The one of several that differs; where there are only two, nobody can say which is wrong.
fn odd_one(group: &Group, unit: u16) -> Vec<Spot> {
    match group.layout.order.as_slice() {
        all @ [_, _] => all.iter().copied().map(Spot::Unit).collect(),
        _ => vec![Spot::Unit(unit)],
    }
}

/// Every unit, by its number.
fn all_units(group: &Group) -> Vec<Spot> {
    let mut units = group.layout.order.clone();
    units.sort_unstable();
    units.into_iter().map(Spot::Unit).collect()
}

/// One fact changed at each unit in turn.
fn each_unit(
    group: &Group,
    field: crate::field::Field,
    value: &'static str,
    places: fn(&Group, u16) -> Vec<Spot>,
) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        Fault::new(
            format!("{} of unit {unit}: {value}", field.key()),
            places(group, unit),
            move |group| group.set_unit(unit, field, value),
        )
    };
    group.layout.order.iter().map(fault).collect()
}

/// Pairs of units: all of them in a small group, else each with the next one.
fn pairs(group: &Group) -> Vec<(u16, u16)> {
    const SMALL: usize = 5;
    let order = &group.layout.order;
    let mut pairs = Vec::new();
    for (index, one) in order.iter().enumerate() {
        let rest = order.iter().skip(index + 1);
        pairs.extend(
            rest.take(if order.len() <= SMALL { SMALL } else { 1 }).map(|two| (*one, *two)),
        );
    }
    pairs
}

/// The two numbers as units, the lower one first.
fn two_units(one: u16, two: u16) -> [Spot; 2] {
    [Spot::Unit(one.min(two)), Spot::Unit(one.max(two))]
}

/// One fact changed at each link cable in turn.
fn each_link_cable(group: &Group, key: &'static str, value: &'static str) -> Vec<Fault> {
    let fault = |label: String| {
        let spot = Spot::Cable(label.clone());
        Fault::new(format!("{key} of cable {label}: {value}"), [spot], move |group| {
            group.change(crate::site_file::List::Cable, &label, |cable| cable.set(key, value))
        })
    };
    group.link_cables().into_iter().map(fault).collect()
}
