//! What else the library has to tell about a site, each under a heading of its own: tables, a `text`
//! or an `svg`. A page shows whatever stands here.

use crate::files;
use crate::request::{Asked, Examined};
use coldcheck::diagnosis::Diagnosis;
use coldcheck::dial::{self, Dial, Setting};
use coldcheck::draw::{Parts, draw};
use coldcheck::engine::{self, Site};
use coldcheck::field::{About, Field};
use coldcheck::mend;
use coldcheck::render;
use coldcheck::render::html::{self, of_meter, of_sizes};
use coldcheck::site_file::{List, SiteFile, Table};
use coldcheck::sizing::site::Sizes;
use coldcheck::tidy;
use serde_json::{Value, json};

/// What there is to open: its name here, and its heading.
const DRAWING: (&str, &str) = ("drawing", "Drawing");
const SETTINGS: (&str, &str) = ("settings", "Settings to dial in");
const CABLES: (&str, &str) = ("cables", "Cables to lay");
const IMAGE: (&str, &str) = ("image", "What the plan image holds");
const MEND: (&str, &str) = ("mend", "Mend: the cheapest acts");
const METER: (&str, &str) = ("meter", "Expected ohms, and what to unplug");
const SIZES: (&str, &str) = ("sizes", "Sizes");

/// The answer to `site_parts`: what there is to open, or, of one of these, all that belongs to it. So
/// nothing is worked out before somebody wants to see it.
pub(crate) fn parts(asked: &Asked, wanted: Option<&str>) -> Value {
    let Ok(examined) = asked.examined() else { return json!({ "parts": [] }) };
    let Examined { site, diagnosis } = &*examined;
    let Some(wanted) = wanted else {
        let pulled = if site.is_image { IMAGE } else { CABLES };
        let all = [DRAWING, MEND, SETTINGS, pulled, METER, SIZES];
        return all.iter().map(|(id, title)| json!({ "id": id, "title": title })).collect();
    };
    let mut parts = Vec::new();
    if wanted == DRAWING.0 {
        let drawing = draw(site, diagnosis, asked.width, Parts::Picture);
        parts.push(json!({ "svg": drawing.svg() }));
    } else if wanted == SETTINGS.0 {
        let all = engine::plan(site)
            .map(|plan| settings(&dial::settings(site, plan.demands, &diagnosis.findings)));
        parts.extend(all);
    } else if wanted == IMAGE.0 {
        parts.push(json!({ "text": files::held(asked) }));
    } else if wanted == CABLES.0 {
        parts.extend(tidy::shape(site, &asked.request()).map(|shape| cables(&shape)));
    } else if wanted == MEND.0 {
        parts.extend(mend(asked, site, diagnosis));
    } else if wanted == METER.0 {
        parts.extend(of_meter(site, diagnosis).into_iter().flatten().map(|table| told(&table)));
    } else if wanted == SIZES.0 {
        let sizes = Sizes::of(site, diagnosis).map(|sizes| of_sizes(site, &sizes));
        parts.extend(sizes.into_iter().flatten().map(|table| told(&table)));
    }
    parts.retain(|part| part["table"]["rows"].as_array().is_none_or(|rows| !rows.is_empty()));
    json!({ "parts": parts })
}

/// The cheapest acts. Each answer brings the sheet in which its acts are *to do*.
fn mend(asked: &Asked, site: &Site, diagnosis: &Diagnosis) -> Vec<Value> {
    let told = match mend::mend(site, &asked.request(), diagnosis) {
        Ok(told) => told,
        Err(error) => return vec![json!({ "says": [error.to_string()] })],
    };
    let words = render::mend::words(&told);
    let (word, says) = words.head;
    let head = [format!("{word}: {says}")];
    let mut parts = vec![json!({ "says": head.iter().chain(&words.remarks).collect::<Vec<_>>() })];
    parts.extend(words.answers.iter().zip(&told.answers).map(|(words, answer)| {
        let acts = words.acts.iter().map(|(says, with)| json!({ "says": says, "with_it": with }));
        json!({
            "title": words.heading,
            "acts": acts.collect::<Vec<_>>(),
            "below": [format!("then: {}", words.then)],
            "sheet": { "name": "site.toml", "text": answer.file },
        })
    }));
    parts
        .extend(words.lists.iter().map(|(title, items)| json!({ "title": title, "items": items })));
    if told.cost > 0 {
        let why = render::mend::why(&told);
        parts.push(json!({ "title": "Why no set is cheaper", "items": why, "below": [render::mend::COSTS] }));
    }
    parts
}

/// A table of the report.
fn told(table: &html::Table) -> Value {
    json!({
        "title": table.title,
        "stop": table.stop,
        "says": table.says,
        "table": { "head": table.head, "rows": table.rows },
        "below": table.below,
    })
}

/// What to set on each unit and sensor, and who says so.
fn settings(dials: &[Dial]) -> Value {
    let mut keys: Vec<&str> = Vec::new();
    for setting in dials.iter().flat_map(|dial| &dial.settings) {
        if !keys.contains(&setting.key) {
            keys.push(setting.key);
        }
    }
    let told = |setting: &Setting| {
        let value = setting.value.as_deref().unwrap_or("");
        if let Some(objection) = setting.objection() {
            return format!("{value} {objection}");
        }
        match &setting.declared {
            Some(declared) => format!("{value} ({}; declared: {declared})", setting.by.word()),
            // Alone in a cell, `open` would read as a setting.
            None if value.is_empty() => "not declared".to_owned(),
            None => value.to_owned(),
        }
    };
    let row = |dial: &Dial| {
        let cell = |key: &&str| {
            let setting = dial.settings.iter().find(|setting| setting.key == *key);
            setting.map_or_else(String::new, told)
        };
        [dial.name.clone()].into_iter().chain(keys.iter().map(cell)).collect::<Vec<String>>()
    };
    let said = dials.iter().filter(|dial| !dial.settings.is_empty());
    let rows: Vec<_> = said.map(row).collect();
    let head: Vec<&str> = ["unit"].into_iter().chain(keys.iter().copied()).collect();
    json!({ "table": { "head": head, "rows": rows } })
}

/// The cables to lay.
fn cables(shape: &SiteFile) -> Value {
    let cables: Vec<&Table> =
        shape.tables.iter().filter(|table| table.list == List::Cable).collect();
    let stated = |key: &str| cables.iter().any(|cable| !cable.value(key).is_empty());
    let fixed = ["from", "from_port", "to", "to_port", "kind", "length"];
    let further = Field::of(About::Cable).map(Field::key).filter(|key| stated(key));
    let keys: Vec<&str> = fixed.into_iter().chain(further).collect();
    table("cable", "label", &keys, &cables)
}

fn table(first: &str, name: &str, keys: &[&str], rows: &[&Table]) -> Value {
    let head: Vec<String> = [first].iter().chain(keys).map(|key| key.replace('_', " ")).collect();
    let cells = |row: &&Table| {
        let named = row.value(name);
        let named = if named.is_empty() { row.value("unlabelled") } else { named };
        let others = keys.iter().map(|key| row.value(key));
        [named].into_iter().chain(others).map(ToOwned::to_owned).collect::<Vec<String>>()
    };
    let rows: Vec<Vec<String>> = rows.iter().map(cells).collect();
    json!({ "table": { "head": head, "rows": rows } })
}
