//! One site in many hands: columns in any order under any heading, every separator, every unit of
//! length, quotes, line ends and marks, a site file in TOML or JSON. Right sites and broken ones:
//! none of it changes a finding or a byte of the image.

use coldcheck::field::Field;
use coldcheck::read::{RawSheet, heading_synonyms};
use coldcheck_tests::cases::{examine_sheets, sheet};
use coldcheck_tests::generate::{Cable, Dice, Model};
use serde_json::json;
use std::fmt::Write;

/// Columns of a cable list, each by one of the words that may stand over it.
const COLUMNS: [&str; 7] = ["cable", "from", "from port", "to", "to port", "kind", "length"];

/// Every word that may stand over the column.
fn headings(column: &str) -> &'static [&'static str] {
    let all = heading_synonyms();
    all.into_iter().find(|words| words.contains(&column)).expect("a column of cable lists")
}

/// A site, perhaps with a fault in it.
fn site(seed: u64) -> Model {
    let mut dice = Dice::new(seed);
    let units = 2 + dice.roll(7);
    let mut model = Model::line(units, &mut dice);
    let any_unit = dice.roll(units);
    let any_link = dice.roll(units - 1);
    match seed % 8 {
        0 => {}
        1 => model.units[any_unit].address = model.units[(any_unit + 1) % units].address,
        2 => model.units[any_unit].terminator = "on",
        3 => model.units[any_unit].role = "coordinator",
        4 => drop(model.cables.remove(any_link)),
        5 => model.cables[any_link].to.1 = "service",
        6 => model.units[any_unit].count += 1,
        _ => model.cables[any_link].millimetres = None,
    }
    if in_feet(seed) {
        // Whole and half feet of whole millimetres: 0.3048 m by definition, five halves are 762 mm.
        for length in model.cables.iter_mut().filter_map(|cable| cable.millimetres.as_mut()) {
            *length = *length / 500 * 762;
        }
    }
    model
}

/// Whether all lengths of a site are such as people write in feet.
const fn in_feet(seed: u64) -> bool {
    seed.is_multiple_of(3)
}

fn length(millimetres: u32, way: usize) -> String {
    let (inches, feet) = (millimetres * 10 / 254, millimetres * 10 / 3048);
    match way {
        0 => format!("{}.{:03} m", millimetres / 1000, millimetres % 1000),
        1 => format!("{}.{} cm", millimetres / 10, millimetres % 10),
        2 => format!("{millimetres}mm"),
        3 => format!("{},{:03} m", millimetres / 1000, millimetres % 1000),
        4 => format!("{inches} in"),
        5 => format!("{feet}'{}\"", inches % 12),
        6 => format!("{feet} ft {} in", inches % 12),
        _ => format!("{}.{} feet", inches / 12, inches % 12 * 10 / 12),
    }
}

/// The cells of each cable in the order of [`COLUMNS`]. One hand writes metres or feet, not both.
fn cells(model: &Model, dice: &mut Dice) -> Vec<[String; 7]> {
    let whole_inches = |cable: &Cable| cable.millimetres.is_none_or(|length| length % 127 == 0);
    let first_way = if model.cables.iter().all(whole_inches) { 4 * dice.roll(2) } else { 0 };
    let row = |cable: &Cable, way| {
        [
            cable.label.clone(),
            cable.from.0.clone(),
            cable.from.1.to_owned(),
            cable.to.0.clone(),
            cable.to.1.to_owned(),
            cable.kind.to_owned(),
            cable.millimetres.map_or(String::new(), |length_mm| length(length_mm, way)),
        ]
    };
    model.cables.iter().map(|cable| row(cable, first_way + dice.roll(4))).collect()
}

/// The cable list in someone's hand.
fn cable_list(model: &Model, dice: &mut Dice) -> RawSheet {
    let separator = [",", ";", "\t", "|"][dice.roll(4)];
    let mut columns: Vec<usize> = (0..COLUMNS.len()).collect();
    dice.shuffle(&mut columns);
    let quoted = |text: &str, quote: bool| {
        if quote || text.contains(separator) || text.contains('"') {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            text.to_owned()
        }
    };
    let quote = dice.roll(2) == 0;
    let heading: Vec<_> = columns
        .iter()
        .map(|column| headings(COLUMNS[*column]))
        .map(|words| words[dice.roll(words.len())])
        .collect();
    let mut lines = vec![heading.join(separator)];
    for row in cells(model, dice) {
        let line: Vec<_> = columns.iter().map(|column| quoted(&row[*column], quote)).collect();
        lines.push(line.join(separator));
    }
    let end = if dice.roll(2) == 0 { "\n" } else { "\r\n" };
    let mark = if dice.roll(2) == 0 { "\u{feff}" } else { "" };
    sheet("cables", &format!("{mark}{}{end}", lines.join(end)))
}

/// The settings list in someone's hand: lines in any order, a line for each unit or one for each
/// fact, under any word for it, the name before or behind.
fn settings(model: &Model, dice: &mut Dice) -> RawSheet {
    let mut lines = vec!["neutral-earth bond = main board (fixed)".to_owned()];
    for unit in &model.units {
        let name = format!("unit {}", unit.number);
        lines.push(format!("{name} ac out = straight"));
        let facts = [
            (Field::Address, unit.address.to_string()),
            (Field::Count, unit.count.to_string()),
            (Field::Terminator, unit.terminator.to_owned()),
            (Field::Bank, unit.bank.to_owned()),
        ];
        let mut word = |field: Field| field.keys()[dice.roll(field.keys().len())];
        let facts = facts.map(|(field, value)| (word(field), value));
        match dice.roll(3) {
            0 => {
                let items = facts.map(|(word, value)| format!("{word} {value}"));
                lines.push(format!("{name} = {}, {}", unit.role, items.join(", ")));
            }
            1 => {
                lines.push(format!("{name} = {}", unit.role));
                lines.extend(facts.map(|(word, value)| format!("{name} {word} = {value}")));
            }
            _ => {
                lines.push(format!("role of {name} = {}", unit.role));
                lines.extend(facts.map(|(word, value)| format!("{word} of {name}: {value}")));
            }
        }
    }
    dice.shuffle(&mut lines);
    sheet("settings", &lines.join("\n"))
}

/// Everything in one site file, as a tree.
fn tree(model: &Model, dice: &mut Dice) -> serde_json::Value {
    let cables: Vec<_> = cells(model, dice)
        .into_iter()
        .map(|[label, from, from_port, to, to_port, kind, length]| {
            let mut cable = json!({ "label": label, "from": from, "to": to, "kind": kind });
            for (key, text) in [("from port", from_port), ("to port", to_port), ("length", length)]
            {
                if !text.is_empty() {
                    cable[key] = json!(text);
                }
            }
            cable
        })
        .collect();
    let units: Vec<_> = model
        .units
        .iter()
        .map(|unit| {
            json!({
                "name": format!("unit {}", unit.number), "role": unit.role,
                "address": unit.address, "count": unit.count, "terminator": unit.terminator,
                "bank": unit.bank, "ac out": "straight",
            })
        })
        .collect();
    json!({ "neutral-earth bond": "main board (fixed)", "unit": units, "cable": cables })
}

/// A tree of this depth as TOML; a JSON string is a TOML string.
fn toml(tree: &serde_json::Value) -> String {
    let mut text = format!("\"neutral-earth bond\" = {}\n", tree["neutral-earth bond"]);
    for list in ["cable", "unit"] {
        for entry in tree[list].as_array().expect("a list") {
            writeln!(text, "[[{list}]]").expect("text grows");
            for (key, value) in entry.as_object().expect("a table") {
                writeln!(text, "\"{key}\" = {value}").expect("text grows");
            }
        }
    }
    text
}

/// The image, the verdict and the findings without their places in the sheets.
fn outcome(sheets: &[RawSheet]) -> (Vec<u8>, &'static str, Vec<String>) {
    let (site, diagnosis) =
        examine_sheets(sheets, None).unwrap_or_else(|refusal| panic!("{:?}", refusal.errors));
    let mut findings: Vec<_> = diagnosis
        .findings
        .iter()
        .map(|finding| {
            format!("{} {:?} {}", finding.rule.rule().slug, finding.places, finding.says)
        })
        .collect();
    findings.sort();
    assert!(diagnosis.not_understood.is_empty(), "{:?}", diagnosis.not_understood);
    (coldcheck::image::write(&site), diagnosis.verdict.word(), findings)
}

#[test]
fn whoever_writes_it_and_in_whatever_form_a_site_is_one_site() {
    let mut broken = 0;
    for seed in 0..120 {
        let model = site(seed);
        let plain = outcome(&model.sheets());
        broken += usize::from(!plain.2.is_empty());
        let mut dice = Dice::new(seed + 1000);
        let list = [cable_list(&model, &mut dice), settings(&model, &mut dice)];
        let text = String::from_utf8_lossy(&list[0].bytes).into_owned();
        let said = String::from_utf8_lossy(&list[1].bytes).into_owned();
        assert_eq!(outcome(&list), plain, "{seed}: {text}\n{said}");
        let backwards = [list[1].clone(), list[0].clone()];
        assert_eq!(outcome(&backwards), plain, "{seed}: the sheets the other way round");
        let tree = tree(&model, &mut dice);
        assert_eq!(
            outcome(&[sheet("site.toml", &toml(&tree))]),
            plain,
            "{seed}: TOML\n{}",
            toml(&tree)
        );
        assert_eq!(outcome(&[sheet("site.json", &tree.to_string())]), plain, "{seed}: JSON");
    }
    assert!(broken > 75, "too few of the sites are broken: {broken}");
}
