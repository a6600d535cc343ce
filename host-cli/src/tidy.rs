//! The same site as one canonical site file: units, packs, sensors, devices and cables in the
//! order of the plan, closed words and quantities in one spelling, names as the person wrote them.
//!
//! Nothing is decided here. A site whose sheets leave a question open is not written; the caller
//! asks [`Declared::question_count`] first. What is written is read again and compared, so that a
//! fact that cannot be put into words is an error and never a loss.

mod disputed;
mod remarks;
pub(crate) mod values;

pub(crate) use values::words_of;

pub use disputed::{Disputed, disputed};

use crate::declared::{Declared, End, Subject};
use crate::engine::{self, Refusal, Request, Site};
use crate::field::{Field, Form};
use crate::image;
use crate::read::{RawSheet, ReadError};
use crate::site_file::{Entry, List, SiteFile, Table};
use crate::value;
use crate::words;
use coldcheck_core::plan::CableKind;

/// The comment at the top; a second reading leaves it out of the remarks.
pub const HEAD: &[&str] = &["Written by `coldcheck tidy`: one site, in its canonical form."];

/// Why a site cannot be written.
#[derive(Debug)]
pub enum Untidy {
    /// So many questions must be answered first.
    Questions(usize),
    /// A fact that no words were found for, or that reads back as something else.
    NoWords(ReadError),
}

/// The site file of a site.
///
/// # Errors
/// [`Untidy`] if a question is open, or if the file would not read back to the same site.
pub fn tidy(site: &Site, request: &Request<'_>) -> Result<String, Untidy> {
    let questions = site.declared.question_count();
    if questions > 0 {
        return Err(Untidy::Questions(questions));
    }
    let text = site_file(site, request, Ends::MustBeKnown).map_err(Untidy::NoWords)?.toml();
    reads_back(site, request, &text).map_err(Untidy::NoWords)?;
    Ok(text)
}

/// What the sheets say, in the order and the spelling of a site file, also where they leave a
/// question open: facts with two values are left out, and an end that nobody knows has the words
/// of the sheet.
///
/// # Errors
/// If there are no words for a fact.
pub fn shape(site: &Site, request: &Request<'_>) -> Result<SiteFile, ReadError> {
    site_file(site, request, Ends::AsWritten)
}

/// What a field's value is written as, whatever way a person writes it.
///
/// # Errors
/// What is expected there.
pub fn spelled(form: Form, text: &str) -> Result<String, String> {
    let value = value::parse(form, text)?;
    values::text(form, &value, Some(text)).ok_or_else(|| "a value on one line".to_owned())
}

/// How to take the end of a cable of which nobody knows where it goes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ends {
    MustBeKnown,
    AsWritten,
}

/// Reads the text as a sheet of its own: it must give the same image, names and all.
fn reads_back(site: &Site, request: &Request<'_>, text: &str) -> Result<(), ReadError> {
    let files = [RawSheet { name: "the site file".to_owned(), bytes: text.as_bytes().to_vec() }];
    let again = engine::read_site(&Request {
        files: &files,
        profile: None,
        scope: None,
        load_profile: request.load_profile,
    });
    let unlike = |says: String| {
        ReadError::file(
            "the site file",
            format!("it would not say the same as the sheets ({says}), so it is not written"),
            "a site that can be written down; this is a fault of the program",
        )
    };
    match again {
        Ok(again) if image::write(&again) != image::write(site) => {
            Err(unlike("its plan differs".to_owned()))
        }
        Ok(again) if again.declared.waivers.len() != site.declared.waivers.len() => {
            Err(unlike("a waiver is lost".to_owned()))
        }
        Ok(again) if again.declared.question_count() > 0 => {
            Err(unlike("it leaves a question".to_owned()))
        }
        Ok(_) => Ok(()),
        Err(Refusal { errors, .. }) => {
            Err(unlike(errors.first().map(ToString::to_string).unwrap_or_default()))
        }
    }
}

fn site_file(site: &Site, request: &Request<'_>, ends: Ends) -> Result<SiteFile, ReadError> {
    let declared = &site.declared;
    let mut tables = Vec::new();
    if declared.lists_units {
        tables.extend(units(site)?);
    }
    for pack in &site.assembled.map.packs {
        let name = &declared.packs[*pack].name;
        tables.push(thing(declared, List::Pack, name, Subject::Pack(*pack))?);
    }
    for sensor in &site.assembled.map.sensors {
        let (named, leg) = &declared.sensors[*sensor];
        // One whose leg nobody knows has no name of its own: its lead alone says that it is there.
        if leg.is_some() {
            tables.push(thing(declared, List::Sensor, &named.name, Subject::Sensor(*sensor))?);
        }
    }
    for device in &site.assembled.map.devices {
        let name = &declared.devices[*device].0.name;
        tables.push(thing(declared, List::Device, name, Subject::Device(*device))?);
    }
    for cable in &site.assembled.map.cables {
        tables.push(self::cable(site, *cable, ends)?);
    }
    tables.extend(declared.waivers.iter().map(waiver));
    tables.extend(declared.to_do.iter().map(to_do));
    let demands = declared.demands().filter_map(|(demand, facts)| {
        let bits = facts.first()?.value.number()?;
        Some(Entry::new(demand.key(), words::demand(demand.kind(), bits)))
    });
    Ok(SiteFile {
        head: HEAD.iter().map(|line| (*line).to_owned()).collect(),
        group: group(site, request)?,
        demands: demands.collect(),
        lists_cables: declared.lists_cables,
        tables,
        remarks: remarks::remarks(declared),
    })
}

/// Facts about the group, explanations of words, and facts that stand for all of a kind.
fn group(site: &Site, request: &Request<'_>) -> Result<Vec<Entry>, ReadError> {
    let declared = &site.declared;
    // What the command line says takes the place of what the sheets say.
    let given = [
        (Field::Profile, request.profile.map(ToOwned::to_owned)),
        (Field::Scope, request.scope.map(|scope| words::scope(scope).join(" and "))),
    ];
    let given = given.into_iter().filter_map(|(field, text)| Some((field, text?)));
    let mut facts: Vec<(Field, Entry)> =
        given.map(|(field, text)| (field, Entry::new(field.key(), text))).collect();
    for (field, fact) in declared.facts_about(Subject::Group) {
        if facts.iter().all(|(other, _)| *other != field) {
            facts.push((field, values::entry(declared, field, fact)?));
        }
    }
    facts.sort_by_key(|(field, _)| *field);
    let mut entries: Vec<Entry> = facts.into_iter().map(|(_, entry)| entry).collect();
    entries.extend(declared.dates().into_iter().map(|(key, days)| Entry::new(key, days)));
    for (word, meant) in declared.explained_names() {
        entries.push(Entry::new(&format!("name {word}"), meant.to_string()));
    }
    for (word, meant) in declared.explained_sockets() {
        let port = site.profile.port(meant).map(|port| site.profile.port_name(port).to_owned());
        let meant = port.unwrap_or_else(|| meant.to_string());
        entries.push(Entry::new(&format!("socket {word}"), meant));
    }
    // Units that only cables name have no table; what is known of them was said of all of them.
    if !declared.lists_units && !declared.units.is_empty() {
        for (field, fact) in declared.facts_about(Subject::Unit(0)) {
            let mut entry = values::entry(declared, field, fact)?;
            entry.key = format!("{ALL_UNITS}{}", entry.key);
            entries.push(entry);
        }
    }
    let unnamed = declared.sensors.iter().position(|(_, leg)| leg.is_none());
    if let Some(sensor) = unnamed {
        for (field, fact) in declared.facts_about(Subject::Sensor(sensor)) {
            let mut entry = values::entry(declared, field, fact)?;
            entry.key = format!("CT {}", entry.key);
            entries.push(entry);
        }
    }
    Ok(entries)
}

/// What stands before the key of a fact about all units.
const ALL_UNITS: &str = "all units ";

fn units(site: &Site) -> Result<Vec<Table>, ReadError> {
    let unit = |unit: &usize| {
        let name = &site.declared.units[*unit].name;
        thing(&site.declared, List::Unit, name, Subject::Unit(*unit))
    };
    site.assembled.map.units.iter().map(unit).collect()
}

/// Writes each unit out, in place of what was said of all of them.
///
/// # Errors
/// If there are no words for a fact.
pub(crate) fn list_units(site: &Site, file: &mut SiteFile) -> Result<(), ReadError> {
    file.group.retain(|entry| !entry.key.starts_with(ALL_UNITS));
    file.tables.splice(0..0, units(site)?);
    Ok(())
}

fn thing(
    declared: &Declared,
    list: List,
    name: &str,
    subject: Subject,
) -> Result<Table, ReadError> {
    let mut entries = vec![Entry::new("name", name)];
    for (field, fact) in declared.facts_about(subject) {
        entries.push(values::entry(declared, field, fact)?);
    }
    Ok(Table { list, entries })
}

fn cable(site: &Site, position: usize, taken: Ends) -> Result<Table, ReadError> {
    let declared = &site.declared;
    let cable = &declared.cables[position];
    let key = if cable.key.is_empty() { "unlabelled" } else { "label" };
    let mut entries = vec![Entry::new(key, &cable.label)];
    for (which, keys) in [("from", "from_port"), ("to", "to_port")].into_iter().enumerate() {
        end(site, position, which, keys, taken, &mut entries)?;
    }
    // A battery or sensor lead between two units is asked about if a sheet says so. One that goes
    // unasked got its kind from its sockets, and gets it from them again.
    let joins_two_units = cable.ends.iter().all(|end| matches!(end, End::Unit(..)));
    let told_by_sockets = |kind: &CableKind| {
        joins_two_units && matches!(kind, CableKind::Battery | CableKind::Sensor)
    };
    if let Some(kind) = cable.kind.filter(|kind| !told_by_sockets(kind)) {
        entries.push(Entry::new("kind", kind.word()));
    }
    if let Some(length) = cable.length() {
        entries.push(Entry::new("length", words::length(length)));
    }
    for (field, fact) in declared.facts_about(Subject::Cable(position)) {
        entries.push(values::entry(declared, field, fact)?);
    }
    if !cable.notes.is_empty() {
        entries.push(Entry::new("note", cable.notes.join(", ")));
    }
    Ok(Table { list: List::Cable, entries })
}

fn end(
    site: &Site,
    cable: usize,
    which: usize,
    (key, port_key): (&str, &str),
    taken: Ends,
    entries: &mut Vec<Entry>,
) -> Result<(), ReadError> {
    let declared = &site.declared;
    let words = match declared.cables[cable].ends[which] {
        End::Unit(unit, port) => {
            entries.push(Entry::new(key, &declared.units[unit].name));
            let port = port.map(|port| Entry::new(port_key, site.profile.port_name(port)));
            entries.extend(port);
            return Ok(());
        }
        End::Open => "-".to_owned(),
        End::Pack(_) | End::Sensor(_) | End::Device(_) | End::Unknown => {
            let as_written = || {
                let cells = declared.cables[cable].end_origins[which].iter();
                let words = cells.filter_map(|origin| declared.quotable(*origin));
                (taken == Ends::AsWritten).then(|| words.collect::<Vec<_>>().join(" "))
            };
            declared.words_for_end(cable, which).or_else(as_written).ok_or_else(|| {
                let label = &declared.cables[cable].label;
                ReadError::file(
                    "the site file",
                    format!("there are no words for one end of cable {label}"),
                    "a name that means one thing only",
                )
            })?
        }
    };
    entries.push(Entry::new(key, words));
    Ok(())
}

/// An act that is to do, with what was seen of it.
pub(crate) fn to_do(to_do: &crate::declared::ToDo) -> Table {
    let keys = ["seen", "by", "time"].into_iter().zip(&to_do.seen);
    let mut entries = vec![Entry::new("act", &to_do.act), Entry::new("mends", &to_do.mends)];
    entries.extend(keys.map(|(key, text)| Entry::new(key, text)));
    Table { list: List::ToDo, entries }
}

fn waiver(waiver: &crate::declared::Waiver) -> Table {
    let mut entries = vec![Entry::new("rule", waiver.rule.rule().slug)];
    if !waiver.places.is_empty() {
        entries.push(Entry::new("place", waiver.places.join(", ")));
    }
    entries.push(Entry::new("reason", &waiver.reason));
    entries.push(Entry::new("by", &waiver.by));
    entries.push(Entry::new("until", waiver.until.to_string()));
    Table { list: List::Waiver, entries }
}
