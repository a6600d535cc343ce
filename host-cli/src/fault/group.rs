//! A right group to break: everything that a rule looks at is declared, and nothing is wrong.

use crate::field::Field;
use crate::profile::Profile;
use crate::read::RawSheet;
use crate::site_file::{Entry, List, SiteFile, Table};
use coldcheck_core::plan::{Coordinators, Demand, DemandValue, PortClass, Shape, Terminator};
use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

/// What a right group looks like.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// A built-in profile.
    pub profile: &'static str,
    /// Numbers of the units in the order of the link.
    pub order: Vec<u16>,
    /// Which of them leads, by its place in the order. Where each phase has a coordinator of its
    /// own, the first unit of each other phase leads too.
    pub coordinator: usize,
    /// How the ends of an open line are terminated.
    pub terminator: Terminator,
}

/// A thing of the group: its name, and its facts by their key in a site file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Thing {
    /// What kind of thing.
    pub list: List,
    /// Its name, or the label of a cable.
    pub name: String,
    facts: Vec<(String, String)>,
}

impl Thing {
    /// A thing with facts.
    pub fn new(list: List, name: impl Into<String>, facts: &[(&str, &str)]) -> Self {
        let facts = facts.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned()));
        Self { list, name: name.into(), facts: facts.collect() }
    }

    /// A fact's value.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.facts.iter().find(|(known, _)| known == key).map(|(_, value)| value.as_str())
    }

    /// States a fact in place of what was stated.
    pub fn set(&mut self, key: &str, value: impl Into<String>) {
        let value = value.into();
        match self.facts.iter_mut().find(|(known, _)| known == key) {
            Some((_, old)) => *old = value,
            None => self.facts.push((key.to_owned(), value)),
        }
    }
}

type Rewrite = dyn Fn(&mut Vec<RawSheet>) + Send + Sync;

/// A change of the sheets as they are written, below anything that a fact could say.
#[derive(Clone)]
pub(super) struct Retouch {
    touch: Touch,
    change: Arc<Rewrite>,
}

/// Something that a fault changes, or builds on: a fact of a thing, or all of the thing.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Touch {
    thing: String,
    fact: Option<String>,
}

impl Touch {
    /// All of a thing.
    pub fn all_of(list: List, name: &str) -> Self {
        Self { thing: format!("{list:?} {name}"), fact: None }
    }

    /// One fact of a thing.
    pub fn fact(list: List, name: &str, key: &str) -> Self {
        Self { fact: Some(key.to_owned()), ..Self::all_of(list, name) }
    }

    /// One fact of a unit.
    pub fn of_unit(unit: u16, field: Field) -> Self {
        Self::fact(List::Unit, &unit_name(unit), field.key())
    }

    /// Where both ends of a cable go.
    pub fn ends_of(label: &str) -> impl Iterator<Item = Self> {
        ["from", "from_port", "to", "to_port"]
            .map(|key| Self::fact(List::Cable, label, key))
            .into_iter()
    }

    /// A line about the group, or a sheet of its own.
    pub fn line(key: &str) -> Self {
        Self { thing: key.to_owned(), fact: None }
    }

    /// Whether two faults that touch these are in each other's way.
    pub fn meets(&self, other: &Self) -> bool {
        let same_fact = self.fact == other.fact || self.fact.is_none() || other.fact.is_none();
        self.thing == other.thing && same_fact
    }
}

/// A group as it is declared, right as built and ready to be broken.
#[derive(Clone)]
pub struct Group {
    /// What it was built from.
    pub layout: Layout,
    /// Its profile.
    pub profile: Arc<Profile>,
    pub(super) lines: Vec<(String, String)>,
    pub(super) things: Vec<Thing>,
    pub(super) retouches: Vec<Retouch>,
    /// Of how many lines the photograph that the list came from lost, if it came from one.
    pub(super) photographed: Option<usize>,
    /// Whether everything is stated that sizes are computed from.
    pub(super) sized: bool,
}

impl fmt::Debug for Group {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Group").field("layout", &self.layout).finish_non_exhaustive()
    }
}

/// The sheet that lists the cables.
pub const CABLES: &str = "cables.csv";
/// The sheet with everything else.
pub const SETTINGS: &str = "settings.txt";

impl Group {
    /// The value of a demand of the profile.
    pub fn demanded<T: DemandValue>(&self, demand: Demand) -> Option<T> {
        T::from_bits(self.profile.demands.get(&demand)?.bits)
    }

    /// Whether the link is a ring.
    pub fn is_ring(&self) -> bool {
        self.demanded(Demand::LinkShape) == Some(Shape::Ring)
    }

    /// The number of the unit that owns the battery link: the coordinator, or that of L1.
    pub fn owner(&self) -> u16 {
        self.layout.order.get(self.layout.coordinator).copied().unwrap_or(0)
    }

    /// Numbers of the two end units of an open line.
    pub fn ends(&self) -> Vec<u16> {
        match self.layout.order.as_slice() {
            [first, .., last] if !self.is_ring() => vec![*first, *last],
            _ => Vec::new(),
        }
    }

    /// Numbers of the units with a link cable on both sides.
    pub fn middle(&self) -> Vec<u16> {
        let ends = self.ends();
        self.layout.order.iter().copied().filter(|unit| !ends.contains(unit)).collect()
    }

    /// Whether each phase has a coordinator of its own.
    pub fn has_phases(&self) -> bool {
        self.demanded(Demand::Coordinators) == Some(Coordinators::OneEachPhase)
    }

    /// The frequency of the supply, and the other one: split-phase 120/240 V comes with 60 Hz, and
    /// three-phase 230/400 V with 50 Hz.
    pub(super) fn frequencies(&self) -> [&'static str; 2] {
        if self.has_phases() { ["50 Hz", "60 Hz"] } else { ["60 Hz", "50 Hz"] }
    }

    /// Sockets of a unit that are made for this.
    pub fn sockets(&self, class: PortClass) -> Vec<String> {
        let of_class = self.profile.ports.iter().filter(|port| port.class == class);
        of_class.map(|port| port.name.clone()).collect()
    }

    /// The socket that leads on along the link, and the one that leads back.
    pub fn link_sockets(&self) -> [String; 2] {
        let mut sockets = self.sockets(PortClass::Link).into_iter();
        [sockets.next().unwrap_or_default(), sockets.next().unwrap_or_default()]
    }

    /// The link socket of an end unit that no cable is in.
    pub fn free_socket(&self, unit: u16) -> Option<String> {
        let [onward, back] = self.link_sockets();
        match self.ends().as_slice() {
            [first, _] if *first == unit => Some(back),
            [_, last] if *last == unit => Some(onward),
            _ => None,
        }
    }

    /// All things of a kind.
    pub fn things(&self, list: List) -> impl Iterator<Item = &Thing> {
        self.things.iter().filter(move |thing| thing.list == list)
    }

    /// A thing by its name.
    pub fn thing(&self, list: List, name: &str) -> Option<&Thing> {
        self.things(list).find(|thing| thing.name == name)
    }

    /// A fact of a unit.
    pub fn of_unit(&self, unit: u16, field: Field) -> &str {
        let thing = self.thing(List::Unit, &unit_name(unit));
        thing.and_then(|thing| thing.get(field.key())).unwrap_or("")
    }

    /// Labels of the link cables, in the order of the link.
    pub fn link_cables(&self) -> Vec<String> {
        let is_link = |thing: &&Thing| thing.get("kind") == Some("link");
        self.things(List::Cable).filter(is_link).map(|thing| thing.name.clone()).collect()
    }

    /// Changes a thing; says whether it is still there.
    pub fn change(&mut self, list: List, name: &str, change: impl FnOnce(&mut Thing)) -> bool {
        let thing = self.things.iter_mut().find(|thing| thing.list == list && thing.name == name);
        thing.map(change).is_some()
    }

    /// States a fact of a unit; says whether the unit is still there.
    pub fn set_unit(&mut self, unit: u16, field: Field, value: &str) -> bool {
        self.change(List::Unit, &unit_name(unit), |thing| thing.set(field.key(), value))
    }

    /// Adds a thing; says whether none of its name was there.
    pub fn add(&mut self, thing: Thing) -> bool {
        let is_new = self.thing(thing.list, &thing.name).is_none();
        self.things.push(thing);
        is_new
    }

    /// Takes a thing out; says whether it was there.
    pub fn remove(&mut self, list: List, name: &str) -> bool {
        let before = self.things.len();
        self.things.retain(|thing| thing.list != list || thing.name != name);
        self.things.len() < before
    }

    /// States a line about the group, a fact or a demand.
    pub fn set_line(&mut self, key: &str, value: impl Into<String>) {
        let value = value.into();
        match self.lines.iter_mut().find(|(known, _)| known == key) {
            Some((_, old)) => *old = value,
            None => self.lines.push((key.to_owned(), value)),
        }
    }

    /// A line about the group.
    pub fn line(&self, key: &str) -> Option<&str> {
        self.lines.iter().find(|(known, _)| known == key).map(|(_, value)| value.as_str())
    }

    /// Changes the sheets after they are written.
    pub fn retouch(
        &mut self,
        touch: Touch,
        change: impl Fn(&mut Vec<RawSheet>) + Send + Sync + 'static,
    ) {
        self.retouches.push(Retouch { touch, change: Arc::new(change) });
    }

    /// Makes the list one that was read from a photograph, which lost so many of its lines.
    pub fn photograph(&mut self, lost: usize) {
        self.photographed = Some(self.photographed.unwrap_or(0) + lost);
    }

    /// Whether all that was changed is a fact, so that a site file can say it.
    pub fn is_plain(&self) -> bool {
        self.retouches.is_empty()
    }

    /// Whether everything is stated that sizes are computed from.
    pub const fn is_sized(&self) -> bool {
        self.sized
    }

    /// What was changed since the group was right.
    pub fn changes(&self, right: &Self) -> BTreeSet<Touch> {
        if self.sized && !right.sized {
            // What sizes are computed from is right in itself, and no change.
            let mut sized = right.clone();
            sized.size();
            return self.changes(&sized);
        }
        let mut touches: BTreeSet<_> =
            self.retouches.iter().map(|retouch| retouch.touch.clone()).collect();
        let lines = |group: &Self| group.lines.iter().cloned().collect::<BTreeSet<_>>();
        let changed = lines(self);
        touches.extend(changed.difference(&lines(right)).map(|(key, _)| Touch::line(key)));
        if self.photographed != right.photographed {
            touches.insert(Touch::line(Field::RowsListed.key()));
        }
        for thing in self.things.iter().chain(&right.things) {
            let (list, name) = (thing.list, thing.name.as_str());
            let (Some(now), Some(then)) = (self.thing(list, name), right.thing(list, name)) else {
                touches.insert(Touch::all_of(list, name));
                continue;
            };
            let keys = now.facts.iter().chain(&then.facts).map(|(key, _)| key.as_str());
            let changed = keys.filter(|key| now.get(key) != then.get(key));
            touches.extend(changed.map(|key| Touch::fact(list, name, key)));
        }
        touches
    }

    /// The group as a site file. Changes of how a sheet is written have no place in it.
    pub fn site_file(&self) -> SiteFile {
        let entry = |(key, value): &(String, String)| Entry::new(key, value.as_str());
        let mut lines: Vec<Entry> = self.lines.iter().map(entry).collect();
        if let Some(lost) = self.photographed {
            let rows = self.things(List::Cable).count() + lost;
            lines.push(Entry::new(Field::ListCameFrom.key(), "photograph"));
            lines.push(Entry::new(Field::RowsListed.key(), rows.to_string()));
        }
        SiteFile {
            group: lines,
            lists_cables: true,
            tables: self
                .things
                .iter()
                .map(|thing| {
                    let name = if thing.list == List::Cable { "label" } else { "name" };
                    let mut entries = vec![Entry::new(name, thing.name.as_str())];
                    entries.extend(thing.facts.iter().map(entry));
                    Table { list: thing.list, entries }
                })
                .collect(),
            ..SiteFile::default()
        }
    }

    /// The group as a person would hand it over: a cable list and a settings list.
    pub fn sheets(&self) -> Vec<RawSheet> {
        let file = self.site_file();
        let sheet =
            |name: &str, text: String| RawSheet { name: name.to_owned(), bytes: text.into_bytes() };
        let mut sheets =
            vec![sheet(CABLES, file.cable_list()), sheet(SETTINGS, file.settings_list())];
        for retouch in &self.retouches {
            (retouch.change)(&mut sheets);
        }
        sheets
    }
}

/// A unit's name.
pub fn unit_name(unit: u16) -> String {
    format!("unit {unit}")
}
