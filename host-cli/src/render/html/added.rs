//! Tables that other parts of the program fill: what to measure, sizes with their sources, settings to
//! dial in.

use super::Table;
use crate::diagnosis::Diagnosis;
use crate::engine::{self, Site};
use crate::meter::names::Names;
use crate::meter::told::{Blind, PortBand, Sheet, Step, TableRow};
use crate::meter::told::{band_in_ohms, in_ohms, sheet};
use crate::meter::topology::Topology;
use crate::phrase::sentence;
use crate::render::terminal::sizes as words;
use crate::render::told::measuring;
use crate::sizing::Formula;
use crate::sizing::site::Sizes;
use crate::sizing::work::Quantity;
use coldcheck_core::plan::PlanError;

/// All of them, in the order in which a report has them.
///
/// # Errors
/// [`PlanError`] never for a site that was read.
pub fn all(site: &Site, diagnosis: &Diagnosis) -> Result<Vec<Table>, PlanError> {
    let mut tables = of_meter(site, diagnosis)?;
    let sizes = Sizes::of(site, diagnosis)?;
    tables.push(of_settings(&sizes));
    tables.extend(of_sizes(site, &sizes));
    Ok(tables)
}

/// What the sizes of a site say, as tables of the report: the numbers, how they came about, and what
/// was not computed.
pub fn of_sizes(site: &Site, sizes: &Sizes) -> Vec<Table> {
    let mut tables = vec![numbers(site, sizes), formulas(sizes), not_computed(sizes)];
    // Said once, wherever there is a table to say it above or below.
    if let Some(first) = tables.iter_mut().find(|table| !table.rows.is_empty()) {
        first.says.push(words::code(sizes).to_owned());
        first.says.push(words::PAPER_CHECK.to_owned());
    }
    tables
}

/// What a meter must show with the power off, as tables of the report; none where no sheet lists a
/// link cable between two units.
///
/// # Errors
/// [`PlanError`] never for a site that was read.
pub fn of_meter(site: &Site, diagnosis: &Diagnosis) -> Result<Vec<Table>, PlanError> {
    let plan = engine::plan(site)?;
    let topology = Topology::of(&plan);
    if topology.cables.is_empty() && topology.points.len() != 1 {
        return Ok(Vec::new());
    }
    let names = Names::of(site, &topology);
    let sheet = sheet(&plan, &topology, &names);
    Ok(vec![steps(&sheet, diagnosis), would_show(&sheet), ports(&sheet), blind(&sheet)])
}

/// The readings in their order, with room for what is read.
fn steps(sheet: &Sheet, diagnosis: &Diagnosis) -> Table {
    let row = |step: &Step| {
        let act = step.act.as_ref().map_or_else(String::new, |act| format!("{act}: "));
        let usual = step.band.typical;
        vec![
            step.number.to_string(),
            format!("{act}{}", step.leads),
            band_in_ohms(step.band),
            in_ohms(usual, usual),
            String::new(),
        ]
    };
    let head = ["No.", "Between the two wires", "Must read", "Usual", "You read"];
    let mut table = table("Meter plan", &head, sheet.steps.iter().map(row).collect());
    table.stop = measuring::stop(diagnosis);
    table.says.extend(measuring::doubt(diagnosis).map(|says| sentence(&says)));
    table.says.extend(sheet.remarks.iter().map(|says| sentence(says)));
    table.says.extend(measuring::before_ohms(sheet));
    let fastest = measuring::fastest(sheet);
    table.below.extend(fastest.map(|steps| format!("Short of time: {steps}.")));
    table.below.push(measuring::PLUG_IN_AGAIN.to_owned());
    table
}

/// What each fault would show at every step.
fn would_show(sheet: &Sheet) -> Table {
    let row = |row: &TableRow| {
        let shows = row.shows.iter().map(|(low, high)| in_ohms(*low, *high));
        [row.says.clone()].into_iter().chain(shows).collect()
    };
    let numbers = sheet.steps.iter().map(|step| format!("No. {}", step.number));
    Table {
        head: ["Fault".to_owned()].into_iter().chain(numbers).collect(),
        ..table(measuring::WOULD_SHOW, &[], sheet.table.iter().map(row).collect())
    }
}

fn ports(sheet: &Sheet) -> Table {
    let row = |port: &PortBand| {
        let usual = port.band.typical;
        vec![measuring::points(&port.points), band_in_ohms(port.band), in_ohms(usual, usual)]
    };
    let rows = sheet.ports.iter().map(row).collect();
    table(measuring::PORTS, &["Where", "Must read", "Usual"], rows)
}

fn blind(sheet: &Sheet) -> Table {
    let row = |one: &Blind| vec![one.what.clone(), one.instead.clone()];
    let rows = sheet.blind.iter().map(row).collect();
    table(measuring::BLIND, &["What", "Instead"], rows)
}

fn table(title: &str, head: &[&str], rows: Vec<Vec<String>>) -> Table {
    let head = head.iter().map(|cell| (*cell).to_owned()).collect();
    Table { title: title.to_owned(), head, rows, ..Table::default() }
}

/// Settings to dial in, with room to note that it was done.
pub fn of_settings(sizes: &Sizes) -> Table {
    let row = |(name, settings): (&str, Vec<String>)| {
        vec![name.to_owned(), settings.join("; "), String::new()]
    };
    let rows = words::settings(sizes).into_iter().map(row).collect();
    let mut table = table("Settings to dial in", &["Where", "What", "Set by"], rows);
    if !sizes.must_agree.is_empty() {
        let all = sizes.must_agree.join(", ");
        table.says.push(sentence(&format!("must agree on all units: {all}")));
    }
    table
}

fn numbers(site: &Site, sizes: &Sizes) -> Table {
    let row = |quantity: &Quantity| {
        let id = quantity.item.formula.id;
        let part = quantity.item.part.word();
        let label = words::label(site, quantity);
        vec![part.to_owned(), label, words::number(quantity), id.to_owned()]
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

/// What is missing, with how many numbers wait for it: what more is worth stating. Which they are is
/// told by `coldcheck size`, since a list of them would be longer than all the rest.
fn not_computed(sizes: &Sizes) -> Table {
    let mut waiting: Vec<(String, usize)> = Vec::new();
    for lack in sizes.sheet.uncomputed.iter().flat_map(|one| &one.lacks) {
        let text = lack.text();
        match waiting.iter_mut().find(|(known, _)| *known == text) {
            Some((_, count)) => *count += 1,
            None => waiting.push((text.into_owned(), 1)),
        }
    }
    waiting.sort_by(|(one, few), (other, many)| many.cmp(few).then_with(|| one.cmp(other)));
    let rows = waiting.into_iter().map(|(text, count)| vec![text, count.to_string()]).collect();
    let title = format!("Sizes: {}", crate::phrase::in_sentence(words::NOT_COMPUTED));
    let table = table(&title, &["What is missing", "Numbers that wait"], rows);
    Table { is_narrow: true, ..table }
}
