//! A site for the eye: what was found, and the site as it was understood.

use crate::request::Asked;
use crate::told;
use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::Site;
use coldcheck::render::{json, terminal};
use coldcheck::site_file::{Entry, List, SiteFile, Table};
use coldcheck::tidy;
use serde_json::{Map, Value, json};

/// The answer to `show_site`.
pub(crate) fn shown(asked: &Asked) -> Value {
    let (site, diagnosis) = match asked.examined() {
        Ok(examined) => examined,
        Err(errors) => return json!({ "errors": errors.text, "places": errors.places }),
    };
    let text = text(&site, &diagnosis);
    // An image holds the plan, and nothing that a person wrote.
    let shape = (!site.is_image).then(|| tidy::shape(&site, &asked.request()).ok()).flatten();
    json!({
        "report": json::check(&site, &diagnosis),
        "told": told::parts(&text),
        "text": text,
        "site": shape.as_ref().map(|shape| self::site(&site, shape)),
    })
}

/// The report as the command line has it.
pub(crate) fn text(site: &Site, diagnosis: &Diagnosis) -> String {
    terminal::check(site, diagnosis, terminal::Style { colour: false, quiet: false })
}

/// Things with their facts in canonical words, units and cables in the order of the plan.
fn site(site: &Site, shape: &SiteFile) -> Value {
    let of = |list: List| shape.tables.iter().filter(move |table| table.list == list);
    let units = site.assembled.map.units.iter().map(|at| {
        let unit = &site.declared.units[*at];
        let table = of(List::Unit).find(|table| table.value("name") == unit.name);
        let mut facts = table.map_or_else(Map::new, facts);
        facts.insert("name".to_owned(), json!(unit.name));
        json!({ "number": unit.number, "facts": facts })
    });
    let things = |list: List| of(list).map(facts).map(Value::Object).collect::<Vec<_>>();
    let ports = site.profile.ports.iter();
    json!({
        "name": site.declared.site_name(),
        "profile": site.profile.name,
        "ports": ports.map(|port| json!({ "name": port.name, "class": port.class.word() })).collect::<Vec<_>>(),
        "units": units.collect::<Vec<_>>(),
        "cables": things(List::Cable),
        "packs": things(List::Pack),
        "sensors": things(List::Sensor),
        "devices": things(List::Device),
        "group": entries(&shape.group),
        "demands": entries(&shape.demands),
        "questions": site.declared.question_count(),
    })
}

fn facts(table: &Table) -> Map<String, Value> {
    entries(&table.entries)
}

fn entries(entries: &[Entry]) -> Map<String, Value> {
    entries.iter().map(|entry| (entry.key.clone(), json!(entry.value))).collect()
}
