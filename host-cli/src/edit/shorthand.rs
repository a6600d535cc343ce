//! Facts that the sheets state in short, `straight` or `except L1<->L2`: what they come to follows from
//! the supply and the phase of the unit, so that a change of these changes it, and nobody wrote it.

use crate::declared::{Declared, Subject};
use crate::field::{About, Field, Form};
use crate::site_file::{List, SiteFile};
use crate::value::{exceptions, is_straight};

/// Names of units, each with the key of a fact that is stated in short.
pub(super) type InShort = Vec<(String, &'static str)>;

pub(super) fn of(declared: &Declared) -> InShort {
    let fields = || Field::of(About::Unit).filter(|field| matches!(field.form(), Form::Conductors));
    let is_short = |at: usize, field: Field| {
        let origins = declared.origins(Subject::Unit(at), field);
        let text = |sheet| declared.sheets.get(sheet).map_or("", |sheet| sheet.text.as_str());
        !origins.is_empty()
            && origins.iter().all(|origin| {
                let said = text(origin.sheet).get(origin.range()).unwrap_or("").trim_matches('"');
                is_straight(said) || exceptions(said).is_some()
            })
    };
    let units = declared.units.iter().enumerate();
    units
        .flat_map(|(at, unit)| {
            let short = fields().filter(move |field| is_short(at, *field));
            short.map(|field| (unit.name.clone(), field.key()))
        })
        .collect()
}

/// The site without these facts.
pub(super) fn without(site: &SiteFile, facts: &InShort) -> SiteFile {
    let mut rest = site.clone();
    for table in rest.tables.iter_mut().filter(|table| table.list == List::Unit) {
        let name = table.value("name").to_owned();
        table
            .entries
            .retain(|entry| !facts.iter().any(|(unit, key)| *unit == name && *key == entry.key));
    }
    rest
}
