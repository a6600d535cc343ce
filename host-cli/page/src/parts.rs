//! What else the library has to tell about a site, each under a heading of its own: a `table`, a
//! `text` or an `svg`. A page shows whatever stands here.

use crate::files;
use crate::request::Asked;
use coldcheck::diagnosis::Diagnosis;
use coldcheck::dial::{self, Dial, Setting};
use coldcheck::draw::{Parts, draw};
use coldcheck::engine::{self, Site};
use coldcheck::field::{About, Field};
use coldcheck::meter::names::Names;
use coldcheck::meter::told::sheet;
use coldcheck::meter::topology::Topology;
use coldcheck::readings;
use coldcheck::render::terminal::meter::Told;
use coldcheck::render::terminal::{self, Style};
use coldcheck::site_file::{List, SiteFile, Table};
use coldcheck::sizing::site::Sizes;
use coldcheck::tidy;
use serde_json::{Value, json};

const STYLE: Style = Style { colour: false, quiet: false };

/// The answer to `site_parts`: the parts, in the order in which they are shown.
pub(crate) fn parts(asked: &Asked) -> Value {
    let Ok((site, diagnosis)) = asked.examined() else { return json!({ "parts": [] }) };
    let mut parts = vec![json!({
        "id": "drawing",
        "title": "Drawing",
        "svg": draw(&site, &diagnosis, asked.width, Parts::Picture).svg(),
    })];
    if let Ok(plan) = engine::plan(&site) {
        parts.push(settings(&dial::settings(&site, plan.demands)));
    }
    if site.is_image {
        let text = files::held(asked);
        parts.push(json!({ "id": "image", "title": "What the plan image holds", "text": text }));
    } else if let Ok(shape) = tidy::shape(&site, &asked.request()) {
        parts.push(cables(&shape));
    }
    if let Some(told) = meter(asked, &site, &diagnosis) {
        let text = terminal::meter::text(&told, STYLE);
        parts.push(
            json!({ "id": "meter", "title": "Expected ohms, and what to pull", "text": text }),
        );
    }
    if let Ok(sizes) = Sizes::of(&site, &diagnosis) {
        let text = terminal::sizes(&site, &sizes, STYLE);
        parts.push(json!({ "id": "sizes", "title": "Sizes", "text": text }));
    }
    parts.retain(|part| part["table"]["rows"].as_array().is_none_or(|rows| !rows.is_empty()));
    json!({ "parts": parts })
}

/// The meter plan, for a link that there is something to measure on.
fn meter<'s>(asked: &Asked, site: &'s Site, diagnosis: &'s Diagnosis) -> Option<Told<'s>> {
    let plan = engine::plan(site).ok()?;
    let topology = Topology::of(&plan);
    if topology.cables.is_empty() && topology.points.len() != 1 {
        return None;
    }
    let names = Names::of(site, &topology);
    Some(Told {
        site,
        diagnosis,
        sheet: sheet(&plan, &topology, &names),
        outcome: None,
        hash: readings::hash(&asked.sheets),
        sheets: asked.sheets.iter().map(|sheet| sheet.name.clone()).collect(),
        remarks: Vec::new(),
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
        match &setting.declared {
            Some(declared) => format!("{value} ({}; declared: {declared})", setting.by.word()),
            None if value.is_empty() => setting.by.word().to_owned(),
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
    json!({
        "id": "settings",
        "title": "Settings to dial in",
        "table": { "head": head, "rows": rows },
    })
}

/// The cables to pull.
fn cables(shape: &SiteFile) -> Value {
    let cables: Vec<&Table> =
        shape.tables.iter().filter(|table| table.list == List::Cable).collect();
    let stated = |key: &str| cables.iter().any(|cable| !cable.value(key).is_empty());
    let fixed = ["from", "from_port", "to", "to_port", "kind", "length"];
    let further = Field::of(About::Cable).map(Field::key).filter(|key| stated(key));
    let keys: Vec<&str> = fixed.into_iter().chain(further).collect();
    table("cables", "Cables to pull", "cable", "label", &keys, &cables)
}

fn table(id: &str, title: &str, first: &str, name: &str, keys: &[&str], rows: &[&Table]) -> Value {
    let head: Vec<String> = [first].iter().chain(keys).map(|key| key.replace('_', " ")).collect();
    let cells = |row: &&Table| {
        let named = row.value(name);
        let named = if named.is_empty() { row.value("unlabelled") } else { named };
        let others = keys.iter().map(|key| row.value(key));
        [named].into_iter().chain(others).map(ToOwned::to_owned).collect::<Vec<String>>()
    };
    let rows: Vec<Vec<String>> = rows.iter().map(cells).collect();
    json!({ "id": id, "title": title, "table": { "head": head, "rows": rows } })
}
