//! A site in outline: what a one-line drawing shows, and which steps belong to which unit.

use super::Step;
use super::builder::slug;
use super::made_of::MadeOf;
use crate::engine::Site;
use crate::site_file::{List, SiteFile};

/// A unit in outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutlineUnit {
    /// Its name.
    pub name: String,
    /// Its live conductors.
    pub legs: Vec<String>,
    /// Serial number, firmware, mode, leg or phase, address, terminator; empty where not stated.
    pub facts: [String; 6],
    /// Arrays at its inputs.
    pub arrays: Vec<String>,
}

/// A site in outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outline {
    /// Units in the order in which they join.
    pub units: Vec<OutlineUnit>,
    /// Whether all stand on one battery bank.
    pub one_bank: bool,
    /// How many packs the sheets name.
    pub packs: usize,
    /// What else feeds the bars, in words.
    pub sources: Vec<&'static str>,
}

/// What is told of a unit, by the keys of its lines.
const FACTS: [&str; 6] = ["serial", "firmware", "mode", "phase", "address", "terminator"];

/// A site in outline.
pub fn outline(site: &Site, shape: &SiteFile) -> Outline {
    let made_of = MadeOf::of(site, shape);
    let arrays = |name: &str| {
        let own = made_of.arrays.iter().filter(|(_, unit)| slug(unit) == slug(name));
        own.map(|(array, _)| array.clone()).collect()
    };
    let units = made_of.units.iter().map(|unit| {
        let is_it = |table: &&crate::site_file::Table| {
            table.list == List::Unit && table.value("name") == unit.name
        };
        let table = shape.tables.iter().find(is_it);
        OutlineUnit {
            name: unit.name.clone(),
            legs: unit.live.iter().map(|leg| leg.name.clone()).collect(),
            facts: FACTS.map(|key| table.map_or("", |table| table.value(key)).to_owned()),
            arrays: arrays(&unit.name),
        }
    });
    let supply = match (made_of.has_supply, made_of.has_changeover) {
        (_, true) => Some("supply, changeover"),
        (true, false) => Some("supply"),
        (false, false) => None,
    };
    let generator = made_of.has_generator.then_some("generator");
    let fitted = made_of.packs_fitted.and_then(|fitted| usize::try_from(fitted).ok()).unwrap_or(0);
    let sources = supply.into_iter().chain(generator).collect();
    Outline {
        units: units.collect(),
        one_bank: made_of.one_bank,
        packs: made_of.packs.len().max(fitted),
        sources,
    }
}

impl Step {
    /// Whether it is a step of this unit.
    pub fn is_of(&self, unit: &str) -> bool {
        let own = slug(unit);
        let rest = self.id.strip_prefix(&self.kind).and_then(|rest| rest.strip_prefix('-'));
        let behind = rest.and_then(|rest| rest.strip_prefix(own.as_str()));
        behind.is_some_and(|behind| behind.is_empty() || behind.starts_with('-'))
    }
}
