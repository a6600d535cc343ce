//! A site for the eye: what was found, and the site as it was understood.

use crate::request::{Asked, Examined};
use crate::told;
use coldcheck::declared::{Declared, Subject};
use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::Site;
use coldcheck::render::{json, terminal};
use coldcheck::site_file::{Entry, List, SiteFile, Table};
use coldcheck::tidy::{self, Disputed};
use serde_json::{Map, Value, json};

/// The answer to `show_site`.
pub(crate) fn shown(asked: &Asked) -> Value {
    let examined = match asked.examined() {
        Ok(examined) => examined,
        Err(errors) => return json!({ "errors": errors.text, "places": errors.places }),
    };
    let Examined { site, diagnosis } = &*examined;
    let text = text(site, diagnosis);
    // An image holds the plan, and nothing that a person wrote.
    let shape = (!site.is_image).then(|| tidy::shape(site, &asked.request()).ok()).flatten();
    json!({
        "report": json::check(site, diagnosis),
        "told": told::parts(&text, diagnosis),
        "text": text,
        "site": shape.as_ref().map(|shape| self::site(site, shape)),
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
        "to_confirm": to_confirm(&site.declared),
        "disputed": tidy::disputed(&site.declared).iter().filter_map(|one| disputed(site, one)).collect::<Vec<_>>(),
    })
}

/// The acts that wait for a person, by their positions: the report asks about them last, in this order.
fn to_confirm(declared: &Declared) -> Vec<usize> {
    let acts = declared.to_do.iter().enumerate();
    acts.filter(|(_, one)| one.is_open()).map(|(position, _)| position).collect()
}

/// A fact with two values or more: what it is about by its name, a cable by its position in the plan.
fn disputed(site: &Site, one: &Disputed) -> Option<Value> {
    let (declared, map) = (&site.declared, &site.assembled.map);
    let (list, about) = match one.subject {
        Subject::Group => ("group", json!(true)),
        Subject::Unit(at) => (List::Unit.word(), json!(declared.units[at].name)),
        Subject::Pack(at) => (List::Pack.word(), json!(declared.packs[at].name)),
        Subject::Sensor(at) => (List::Sensor.word(), json!(declared.sensors[at].0.name)),
        Subject::Device(at) => (List::Device.word(), json!(declared.devices[at].0.name)),
        Subject::Cable(at) => {
            (List::Cable.word(), json!(map.cables.iter().position(|other| *other == at)?))
        }
    };
    Some(json!({ list: about, "key": one.key, "says": one.says }))
}

fn facts(table: &Table) -> Map<String, Value> {
    entries(&table.entries)
}

fn entries(entries: &[Entry]) -> Map<String, Value> {
    entries.iter().map(|entry| (entry.key.clone(), json!(entry.value))).collect()
}
