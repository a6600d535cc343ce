//! Meter plans and outcomes that a person read.

use crate::golden::Golden;
use crate::{cases, paths};
use coldcheck::diagnosis::diagnose;
use coldcheck::engine::{plan, read_site};
use coldcheck::meter::names::Names;
use coldcheck::meter::taken::{AllGiven, USUAL, from_words};
use coldcheck::meter::told::{outcome, sheet};
use coldcheck::meter::topology::Topology;
use coldcheck::profile;
use coldcheck::read::RawSheet;
use coldcheck::readings;
use coldcheck::render::terminal::meter::{Told, text};
use coldcheck::render::{json, terminal};
use coldcheck::start::start;
use std::fs;

/// The demonstration site, with what it is read as: no reading, a right one, faults of every kind.
const READ: [(&str, &[&str]); 8] = [
    ("plan", &[]),
    ("right", &["unit 1=60.2", "unit 1=119.5@pull T1", "plug T1=119.9@pull T1", "unit 4=60.1"]),
    ("half", &["unit 1=119.2", "unit 4=118.9"]),
    ("open", &["unit 1=119.2", "unit 2=119.4@pull T2", "plug T2=>2M@pull T2"]),
    ("short", &["unit 1=0.9", "unit 1=120@pull T1", "plug T1=0.9@pull T1", "unit 4=1.1"]),
    ("extra", &["unit 1=40.2", "unit 1=119.6@pull T1", "plug T1=60.3@pull T1"]),
    ("nothing", &["unit 1=60", "unit 4=1.0", "unit 2=300"]),
    ("live", &["unit 1=12.6 V", "unit 1=60"]),
];

/// Every golden file of the meter.
///
/// # Panics
/// If a site of it cannot be read.
pub fn meter_goldens() -> Vec<Golden> {
    let folder = paths::tests().join("golden");
    let demo = paths::workspace().join("host-cli/demo/terrace-right");
    let sheets: Vec<RawSheet> = ["cables.csv", "settings.txt"]
        .map(|name| RawSheet {
            name: name.to_owned(),
            bytes: fs::read(demo.join(name)).expect("the demonstration"),
        })
        .to_vec();
    let mut goldens = Vec::new();
    for (name, readings) in READ {
        let (shown, value) = told(&sheets, readings);
        goldens.push(Golden::new(&folder, &format!("meter-{name}.txt"), shown));
        if ["plan", "half"].contains(&name) {
            goldens.push(Golden::new(&folder, &format!("meter-{name}.json"), value));
        }
    }
    let ring = profile::builtin("two-port-ring").expect("built in");
    let ring = profile::parse("two-port-ring", ring).expect("sound");
    let site = start(&ring, "two-port-ring", 4).expect("four units").toml();
    let (shown, _) = told(&[cases::sheet("ring.toml", &site)], &[]);
    goldens.push(Golden::new(&folder, "meter-ring.txt", shown));
    goldens
}

/// As text and as JSON.
fn told(sheets: &[RawSheet], read: &[&str]) -> (String, String) {
    let site = read_site(&cases::request(sheets, None)).expect("it can be read");
    let diagnosis = diagnose(&site).expect("a plan");
    let plan = plan(&site).expect("a plan");
    let topology = Topology::of(&plan);
    let names = Names::of(&site, &topology);
    let mut given = AllGiven::default();
    for text in read {
        let (place, pulled, quantity, amount) = from_words(text, None).expect("a reading");
        given
            .take(&names, &topology, USUAL, (&place, pulled.as_deref()), (quantity, &amount))
            .expect("a place of the site");
    }
    let told = Told {
        site: &site,
        diagnosis: &diagnosis,
        sheet: sheet(&plan, &topology, &names),
        outcome: (!read.is_empty()).then(|| outcome(&plan, &topology, &names, &given, USUAL)),
        hash: readings::hash(sheets),
        sheets: sheets.iter().map(|sheet| sheet.name.clone()).collect(),
        remarks: Vec::new(),
    };
    let style = terminal::Style { colour: false, quiet: false };
    (text(&told, style), format!("{:#}\n", json::meter::told(&told)))
}
