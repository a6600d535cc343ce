//! Logs of whole buses, written by public packages: `tests/buses`.

use crate::cases::sheet;
use crate::images::Site;
use crate::python::BUSES;
use crate::{paths, tools};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Where logs and sites lie.
pub fn folder() -> PathBuf {
    paths::tests().join("buses")
}

/// A finding that a log must give: rule, units by number, and the cable that is named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expected {
    /// The rule's slug.
    pub rule: String,
    /// Numbers of the units, from 1.
    pub units: Vec<u8>,
    /// Label of the cable; empty if none is named.
    pub cable: String,
}

/// A log with the site that it belongs to.
#[derive(Clone, Debug)]
pub struct Bus {
    /// The site with its image, and the log.
    pub site: Site,
    /// Everything that must be found.
    pub findings: Vec<Expected>,
}

/// All logs in the order of `expected.csv`.
///
/// # Panics
/// If a file is missing or damaged.
pub fn all() -> Vec<Bus> {
    let read = |name: &str| {
        let path = folder().join(name);
        fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    };
    let mut buses: Vec<Bus> = Vec::new();
    let mut places = BTreeMap::new();
    for row in read("expected.csv").lines().skip(1) {
        let [log, site, rule, units, cable] = row.split(',').collect::<Vec<_>>()[..] else {
            panic!("five columns: {row}")
        };
        let place = *places.entry(log.to_owned()).or_insert_with(|| {
            let file = format!("{site}.toml");
            let sheets =
                vec![sheet(&file, &read(&file)), sheet("heard.log", &read(&format!("{log}.log")))];
            buses.push(Bus { site: Site::of(log, sheets), findings: Vec::new() });
            buses.len() - 1
        });
        if !rule.is_empty() {
            let units = units.split_whitespace().map(|unit| unit.parse().expect("a number"));
            buses[place].findings.push(Expected {
                rule: rule.to_owned(),
                units: units.collect(),
                cable: cable.to_owned(),
            });
        }
    }
    buses
}

/// Writes all logs anew into a folder.
///
/// # Panics
/// If Python or a package is missing.
pub fn write(into: &Path) {
    tools::run(Command::new(BUSES.python()).arg("-B").arg(folder().join("make.py")).arg(into));
}
