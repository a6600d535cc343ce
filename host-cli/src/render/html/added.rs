//! Tables that other parts of the program fill: what to measure, sizes with their sources, settings to
//! dial in.

use super::Table;
use crate::engine::{self, Site};
use crate::meter::names::Names;
use crate::meter::told::{Sheet, ohms, sheet};
use crate::meter::topology::Topology;
use crate::render::terminal::meter::before_ohms;
use crate::render::terminal::sizes::{label, number, settings};
use crate::sizing::Formula;
use crate::sizing::site::Sizes;
use coldcheck_core::plan::PlanError;

/// What the sizes of a site say, as tables of the report.
pub fn of_sizes(site: &Site, sizes: &Sizes) -> Vec<Table> {
    vec![dials(sizes), numbers(site, sizes), formulas(sizes)]
}

/// What a meter must show with the power off, as tables of the report; none where no sheet lists a
/// link cable between two units.
///
/// # Errors
/// [`PlanError`] never for a site that was read.
pub fn of_meter(site: &Site) -> Result<Vec<Table>, PlanError> {
    let plan = engine::plan(site)?;
    let topology = Topology::of(&plan);
    if topology.cables.is_empty() {
        return Ok(Vec::new());
    }
    let names = Names::of(site, &topology);
    let sheet = sheet(&plan, &topology, &names);
    Ok(vec![steps(&sheet), blind(&sheet)])
}

/// The readings in their order, with room for what is read.
fn steps(sheet: &Sheet) -> Table {
    let row = |step: &crate::meter::told::Step| {
        let act = step.act.as_ref().map_or_else(String::new, |act| format!("{act}: "));
        vec![
            step.number.to_string(),
            format!("{act}{}", step.leads),
            step.band_text.clone(),
            ohms(step.band.typical),
            String::new(),
        ]
    };
    let head = ["No.", "Ohms between the two wires", "Must read", "Usual", "Read"];
    let mut table = table("Meter plan", &head, sheet.steps.iter().map(row).collect());
    table.says = before_ohms(sheet).into_iter().chain(sheet.remarks.iter().cloned()).collect();
    table.says.push("Plug every cable in again and turn its lock.".to_owned());
    table
}

fn blind(sheet: &Sheet) -> Table {
    let row = |one: &crate::meter::told::Blind| vec![one.what.clone(), one.instead.clone()];
    let rows = sheet.blind.iter().map(row).collect();
    table("What ohms between the two wires cannot see", &["What", "Instead"], rows)
}

fn table(title: &str, head: &[&str], rows: Vec<Vec<String>>) -> Table {
    Table {
        title: title.to_owned(),
        says: Vec::new(),
        head: head.iter().map(|cell| (*cell).to_owned()).collect(),
        rows,
    }
}

/// Settings to dial in, with room to note that it was done.
fn dials(sizes: &Sizes) -> Table {
    let row = |(name, settings): (&str, Vec<String>)| {
        vec![name.to_owned(), settings.join("; "), String::new()]
    };
    let rows = settings(sizes).into_iter().map(row).collect();
    let mut table = table("Settings to dial in", &["Where", "What", "Set by"], rows);
    if !sizes.must_agree.is_empty() {
        table.says.push(format!("must agree on all units: {}", sizes.must_agree.join(", ")));
    }
    table
}

fn numbers(site: &Site, sizes: &Sizes) -> Table {
    let row = |quantity| {
        let quantity: &crate::sizing::work::Quantity = quantity;
        let id = quantity.item.formula.id;
        let part = quantity.item.part.word();
        vec![part.to_owned(), label(site, quantity), number(quantity), id.to_owned()]
    };
    let rows = sizes.sheet.quantities.iter().map(row).collect();
    table("Sizes", &["Part", "What", "Number", "Formula"], rows)
}

/// The formulas behind the numbers, each once.
fn formulas(sizes: &Sizes) -> Table {
    let mut seen: Vec<&Formula> = Vec::new();
    for quantity in &sizes.sheet.quantities {
        if !seen.contains(&quantity.item.formula) {
            seen.push(quantity.item.formula);
        }
    }
    let row = |formula: &&Formula| {
        let Formula { id, text, source, mark } = formula;
        vec![(*id).to_owned(), (*text).to_owned(), format!("{source} ({mark})")]
    };
    let rows = seen.iter().map(row).collect();
    table("Formulas of the sizes", &["Formula", "How", "Source"], rows)
}
