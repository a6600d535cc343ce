//! What differs between two sites, thing by thing.

use crate::field::{About, Field};
use crate::fold::Folded;
use crate::powerup::part::{self, Part};
use crate::site_file::{Entry, List, SiteFile, Table};
use coldcheck_core::plan::{Datum, Owner};

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A thing is new.
    Added,
    /// A thing is gone.
    Removed,
    /// Another machine stands in the place of a unit.
    Exchanged,
    /// The same machine has another name.
    Renamed,
    /// A unit has other firmware.
    Updated,
    /// A cable goes elsewhere, or a sensor sits elsewhere.
    Moved,
    /// A fact has another value.
    Set,
}

impl Kind {
    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Removed => "removed",
            Self::Exchanged => "exchanged",
            Self::Renamed => "renamed",
            Self::Updated => "updated",
            Self::Moved => "moved",
            Self::Set => "changed",
        }
    }
}

/// One difference.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What happened.
    pub kind: Kind,
    /// To what kind of thing; `None` is the group.
    pub list: Option<List>,
    /// Its name; empty for the group.
    pub thing: String,
    /// Of what the value changed; empty where the whole thing did.
    pub key: String,
    /// The value before; empty if there was none.
    pub old: String,
    /// The value now; empty if there is none.
    pub new: String,
    /// The part of the site that it belongs to.
    pub part: Part,
}

/// Everything that differs, in the order of the sheets.
pub fn differences(old: &SiteFile, new: &SiteFile) -> Vec<Change> {
    let mut changes = Vec::new();
    lines(None, "", Part::Paper, &old.group, &new.group, &mut changes);
    lines(None, "", Part::Paper, &old.demands, &new.demands, &mut changes);
    for list in List::ALL.into_iter().filter(|list| !matches!(list, List::Waiver | List::ToDo)) {
        things(list, old, new, &mut changes);
    }
    changes
}

fn things(list: List, old: &SiteFile, new: &SiteFile, changes: &mut Vec<Change>) {
    let of = |site: &SiteFile| -> Vec<Table> {
        site.tables.iter().filter(|table| table.list == list).cloned().collect()
    };
    let (before, after) = (of(old), of(new));
    let mut is_matched = vec![false; after.len()];
    let mut gone = Vec::new();
    let mut pairs = Vec::new();
    for table in &before {
        let is_it = |at: &usize| !is_matched[*at] && is_same(list, table, &after[*at]);
        let found = (0..after.len()).find(is_it);
        if let Some(at) = found {
            is_matched[at] = true;
            pairs.push((table, at));
        } else {
            gone.push(table);
        }
    }
    // The same machine under another name.
    gone.retain(|table| {
        let serial = table.value("serial");
        let is_it = |at: &usize| !is_matched[*at] && after[*at].value("serial") == serial;
        let found = (0..after.len()).find(is_it).filter(|_| !serial.is_empty());
        if let Some(at) = found {
            is_matched[at] = true;
            pairs.push((table, at));
        }
        found.is_none()
    });
    pairs.sort_by_key(|(_, at)| *at);
    let whole = |kind, table: &Table| Change {
        kind,
        list: Some(list),
        thing: name(table).to_owned(),
        key: String::new(),
        old: String::new(),
        new: String::new(),
        part: of_whole(table),
    };
    changes.extend(gone.into_iter().map(|table| whole(Kind::Removed, table)));
    for (at, table) in after.iter().enumerate() {
        match pairs.iter().find(|(_, other)| *other == at) {
            Some((before, _)) => thing(list, before, table, changes),
            None => changes.push(whole(Kind::Added, table)),
        }
    }
}

/// The part that changes where a whole thing comes, goes or moves.
fn of_whole(table: &Table) -> Part {
    match table.list {
        List::Unit => Part::Machine,
        List::Pack => Part::BatteryPower,
        List::Sensor => Part::Sensor,
        List::Cable => Part::of_cable(table.value("kind")),
        List::Device | List::Waiver | List::ToDo => Part::Link,
    }
}

fn name(table: &Table) -> &str {
    let named = if table.list == List::Cable { "label" } else { "name" };
    match table.value(named) {
        "" => table.value("unlabelled"),
        name => name,
    }
}

fn is_same(list: List, one: &Table, other: &Table) -> bool {
    if list == List::Cable && one.value("label").is_empty() {
        return other.value("label").is_empty() && ends(one) == ends(other);
    }
    Folded::of(name(one)) == Folded::of(name(other))
}

/// The ends of a cable, however their names are spelled.
fn ends(table: &Table) -> [Folded; 2] {
    table.ends().map(|end| Folded::of(&end))
}

fn thing(list: List, old: &Table, new: &Table, changes: &mut Vec<Change>) {
    let thing = name(new);
    let is_named = Folded::of(name(old)) == Folded::of(thing);
    if !is_named && list != List::Cable {
        changes.push(Change {
            kind: Kind::Renamed,
            list: Some(list),
            thing: thing.to_owned(),
            key: "name".to_owned(),
            old: name(old).to_owned(),
            new: thing.to_owned(),
            part: of_whole(new),
        });
    }
    if list == List::Cable && ends(old) != ends(new) {
        changes.push(Change {
            kind: Kind::Moved,
            list: Some(list),
            thing: thing.to_owned(),
            key: "ends".to_owned(),
            old: old.ends().join(" to "),
            new: new.ends().join(" to "),
            part: of_whole(new),
        });
    }
    let is_told = |entry: &&Entry| {
        let is_end = list == List::Cable && Table::ENDS.contains(&entry.key.as_str());
        !is_end && !matches!(entry.key.as_str(), "name" | "label" | "unlabelled")
    };
    let rest = |table: &Table| table.entries.iter().filter(is_told).cloned().collect::<Vec<_>>();
    lines(Some(list), thing, of_whole(new), &rest(old), &rest(new), changes);
}

fn lines(
    list: Option<List>,
    thing: &str,
    of_cable: Part,
    old: &[Entry],
    new: &[Entry],
    changes: &mut Vec<Change>,
) {
    let value = |entries: &[Entry], key: &str| {
        let entry = entries.iter().find(|entry| entry.key == key);
        entry.and_then(|entry| entry.value.clone()).unwrap_or_default()
    };
    let gone = old.iter().filter(|entry| !new.iter().any(|other| other.key == entry.key));
    for entry in new.iter().chain(gone) {
        let (before, after) = (value(old, &entry.key), value(new, &entry.key));
        if before == after {
            continue;
        }
        let field = list.and_then(part::about).and_then(|about| field(about, &entry.key));
        let kind = match field {
            // Not where it was only written down now.
            Some(Field::Serial | Field::Model) if !before.is_empty() && !after.is_empty() => {
                Kind::Exchanged
            }
            Some(Field::Firmware) if !before.is_empty() && !after.is_empty() => Kind::Updated,
            Some(Field::SensorPlace | Field::SensorInput | Field::VoltageReference) => Kind::Moved,
            _ => Kind::Set,
        };
        let about = list.and_then(part::about).unwrap_or(About::Group);
        let part = if about == About::Cable { of_cable } else { Part::of_line(about, &entry.key) };
        changes.push(Change {
            kind,
            list,
            thing: thing.to_owned(),
            key: entry.key.clone(),
            old: before,
            new: after,
            part,
        });
    }
}

fn field(about: About, key: &str) -> Option<Field> {
    Field::find(about, &Folded::of(key))
}

impl Change {
    /// In words.
    pub fn says(&self) -> String {
        let word = self.list.map_or("", List::word);
        let is_plain =
            self.thing.to_lowercase().starts_with(word) || word == "device" || word == "sensor";
        let thing = match (word, is_plain) {
            ("", _) => String::new(),
            (_, true) => format!("{} ", self.thing),
            (word, false) => format!("{word} {} ", self.thing),
        };
        let told =
            |value: &str| if value.is_empty() { "not stated".to_owned() } else { value.to_owned() };
        let (old, new) = (told(&self.old), told(&self.new));
        match self.kind {
            Kind::Added | Kind::Removed => format!("{thing}is {}", self.kind.word()),
            Kind::Exchanged => format!("{thing}is exchanged: {} {old}, now {new}", self.key),
            Kind::Renamed => format!("{thing}is the one that was {old}"),
            Kind::Updated => format!("{thing}is updated: {} {old}, now {new}", self.key),
            Kind::Moved if self.key == "ends" => format!("{thing}is moved: {old}, now {new}"),
            Kind::Moved => format!("{thing}is moved: {} {old}, now {new}", self.key),
            Kind::Set => format!("{thing}{}: {old}, now {new}", self.key),
        }
    }

    fn about(&self) -> About {
        self.list.and_then(part::about).unwrap_or(About::Group)
    }

    /// What rules know of it.
    pub(super) fn data(&self) -> Vec<Datum> {
        let field = field(self.about(), &self.key);
        if let Some(datum) = field.and_then(Field::datum) {
            return vec![datum];
        }
        if field.is_some() || self.list.is_none() && self.key != "all" {
            return Vec::new();
        }
        let owned =
            |owner: Owner| Datum::ALL.iter().copied().filter(move |datum| datum.owner() == owner);
        let with =
            |owner: Owner, more: &[Datum]| owned(owner).chain(more.iter().copied()).collect();
        match self.about() {
            About::Unit => with(Owner::Unit, &[Datum::UnitList, Datum::CableList, Datum::LineEnds]),
            About::Cable => with(
                Owner::Cable,
                &[
                    Datum::CableList,
                    Datum::LineEnds,
                    Datum::BatteryLeadEnds,
                    Datum::SensorLeadEnds,
                    Datum::Socket,
                ],
            ),
            About::Pack => with(Owner::Pack, &[Datum::PacksFitted]),
            About::Sensor => with(Owner::Sensor, &[Datum::SensorLeadEnds]),
            About::Device => vec![Datum::Asking, Datum::CableList, Datum::LineEnds],
            About::Group => Vec::new(),
        }
    }

    /// Whether sizes are computed from it.
    pub(super) fn is_of_sizes(&self) -> bool {
        let field = field(self.about(), &self.key);
        field.is_some_and(Field::is_for_host)
            || self.list == Some(List::Unit) && self.key.is_empty()
    }
}
