//! What a step rests on, as a digest: equal as long as nothing that touches the step has changed. How
//! names are spelled and which way round a cable is written changes nothing.

use super::part::{self, Part};
use super::{Expected, Step, Touch};
use crate::field::About;
use crate::fold::Folded;
use crate::site_file::{Entry, List, SiteFile, Table};
use sha2::{Digest, Sha256};

/// The digest of a step: its name, what it expects, and every line of the site that it rests on.
pub(super) fn of(step: &Step, shape: &SiteFile) -> String {
    let mut digest = Sha256::new();
    let mut line = |text: &str| {
        digest.update(text.as_bytes());
        digest.update([0]);
    };
    line(&step.id);
    line(&folded(&step.place));
    match &step.expected {
        Expected::Between { low, high, .. } => line(&format!("{low:?} {high:?}")),
        Expected::Share { bar, low, high, least, .. } => {
            line(&format!("{} {low} {high} {least:?}", folded(bar)));
        }
        // What must be seen follows from the lines below; only how it is told differs.
        Expected::Seen(_) => line("seen"),
        Expected::Unknown(missing) => line(missing),
    }
    for touch in &step.touches {
        for text in lines(touch, shape) {
            line(&text);
        }
    }
    let digest: [u8; 32] = digest.finalize().into();
    let first = digest.first_chunk::<8>().copied().unwrap_or_default();
    format!("{:016x}", u64::from_be_bytes(first))
}

/// A name, however it is spelled. Values are never folded: their digits count.
fn folded(name: &str) -> String {
    Folded::of(name).to_string()
}

/// The lines of a site that a touch means.
fn lines(touch: &Touch, shape: &SiteFile) -> Vec<String> {
    let mut found = Vec::new();
    if touch.thing.is_none() {
        let is_own = |one: &&Entry| Part::of_line(About::Group, &one.key) == touch.part;
        found.extend(shape.group.iter().filter(is_own).map(|entry| said("", entry)));
        // Who is there belongs to the part that says so.
        let is_machine = |table: &&Table| part::of_member(table.list) == Some(touch.part);
        found.extend(
            shape.tables.iter().filter(is_machine).map(|table| folded(table.value("name"))),
        );
    }
    for table in &shape.tables {
        let Some(about) = part::about(table.list) else { continue };
        let name = table.value("name");
        if touch.thing.as_deref().is_some_and(|thing| thing != name) {
            continue;
        }
        if table.list == List::Cable {
            if Part::of_cable(table.value("kind")) == touch.part {
                found.extend(cable(table));
            }
            continue;
        }
        let is_own =
            |entry: &&Entry| entry.key != "name" && Part::of_line(about, &entry.key) == touch.part;
        found.extend(table.entries.iter().filter(is_own).map(|entry| said(name, entry)));
    }
    found
}

/// What a cable is and where it goes; what is noted of it is no part of it.
fn cable(table: &Table) -> Vec<String> {
    let is_name = |key: &str| matches!(key, "label" | "unlabelled");
    let is_more =
        |entry: &&Entry| entry.key != "note" && !Table::ENDS.contains(&entry.key.as_str());
    let more = table.entries.iter().filter(is_more).map(|entry| {
        let value = entry.value.as_deref().unwrap_or("");
        let value = if is_name(&entry.key) { folded(value) } else { value.to_owned() };
        format!("{} = {value}", entry.key)
    });
    table.ends().iter().map(|end| folded(end)).chain(more).collect()
}

fn said(name: &str, entry: &Entry) -> String {
    format!("{} {} = {}", folded(name), entry.key, entry.value.as_deref().unwrap_or(""))
}
