//! Tables that other parts of the program fill: sizes with their sources, settings to dial in.

use super::Table;
use crate::engine::Site;
use crate::render::terminal::sizes::{label, number, settings};
use crate::sizing::Formula;
use crate::sizing::site::Sizes;

/// What the sizes of a site say, as tables of the report.
pub fn of_sizes(site: &Site, sizes: &Sizes) -> Vec<Table> {
    vec![dials(sizes), numbers(site, sizes), formulas(sizes)]
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
