//! Pieces of the sheets as they are written.

use crate::drill::plant::Plant;
use crate::fault::{CABLES, SETTINGS};
use crate::site_file::List;

/// The text of a sheet.
fn text(plant: &Plant<'_>, name: &str) -> String {
    let sheet = plant.listed_sheets().iter().find(|sheet| sheet.name == name);
    sheet.map_or(String::new(), |sheet| String::from_utf8_lossy(&sheet.bytes).into_owned())
}

fn or_none(text: String) -> String {
    if text.is_empty() { "there is none".to_owned() } else { text }
}

/// The first line of the cable list.
pub(super) fn heading(plant: &Plant<'_>) -> String {
    text(plant, CABLES).lines().next().unwrap_or("").to_owned()
}

/// What the settings list says of a thing.
pub(super) fn section(plant: &Plant<'_>, name: &str) -> String {
    let text = text(plant, SETTINGS);
    let section = text.split("\n[").find(|part| part.starts_with(&format!("{name}]")));
    or_none(section.map_or(String::new(), |part| format!("[{}", part.trim_end())))
}

/// What it says of the group.
pub(super) fn top_lines(plant: &Plant<'_>) -> String {
    text(plant, SETTINGS).split("\n[").next().unwrap_or("").trim_end().to_owned()
}

/// Every sheet that was not planned.
pub(super) fn others(plant: &Plant<'_>) -> String {
    let others = plant.listed_sheets().iter();
    let others = others
        .filter(|sheet| sheet.name != CABLES && sheet.name != SETTINGS)
        .map(|sheet| format!("{}:\n{}", sheet.name, String::from_utf8_lossy(&sheet.bytes).trim()));
    or_none(others.collect::<Vec<_>>().join("\n"))
}

/// The line of a cable, with whatever stands below it before the next cable of the plan.
pub(super) fn row(plant: &Plant<'_>, label: &str) -> String {
    let text = text(plant, CABLES);
    let mut own = false;
    let mut lines = Vec::new();
    for line in text.lines().skip(1) {
        let first = line.split([',', ';']).next().unwrap_or("");
        if plant.bench.right.thing(List::Cable, first).is_some() {
            own = first == label;
        }
        if own {
            lines.push(line);
        }
    }
    or_none(lines.join("\n"))
}
