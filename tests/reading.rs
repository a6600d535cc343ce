//! Reading apart from the rules: what the sheets of each case say, against `read_as` in the answer
//! beside it, which was written down by hand and confirmed by a reader in another language.

use coldcheck::declared::{Cable, Declared, End, Subject};
use coldcheck::engine::Site;
use coldcheck::field::Field;
use coldcheck::fold::Folded;
use coldcheck::value::{Value as Stated, parse};
use coldcheck_core::plan::{CableKind, Role, Terminator};
use coldcheck_tests::cases;
use serde_json::Value;
use std::collections::BTreeMap;

/// One fact under the name of what it is about, in words that both sides can be put in.
type Facts = BTreeMap<String, String>;

#[test]
fn each_case_is_read_as_its_answer_says() {
    for case in cases::all() {
        let answer = case.expected();
        if answer["read_as"].is_null() {
            continue;
        }
        let site = case.read().expect("a case can be read");
        let (wanted, read) = (answered(&answer["read_as"]), declared(&site));
        assert!(wanted.len() >= 10, "{}: an answer of {} facts", case.name, wanted.len());
        assert_eq!(read, wanted, "{}", case.name);
    }
}

/// The facts of an answer.
fn answered(answer: &Value) -> Facts {
    let mut facts = Facts::new();
    for (number, unit) in answer["units"].as_object().expect("units") {
        let terminators = unit["terminator"].as_array().expect("a list").iter();
        // "switch/built-in" and "plug 120 ohm": how, not how much.
        let mut how: Vec<_> = terminators
            .map(|how| how.as_str().expect("text").split([' ', '/']).next().unwrap_or(""))
            .collect();
        how.sort_unstable();
        let text = |key: &str| unit[key].as_str().expect("text");
        let mut say = |what: &str, value: String| {
            facts.insert(format!("unit {number} {what}"), value);
        };
        say("role", text("role").to_owned());
        say("address", unit["address"].to_string());
        say("count", unit["count"].to_string());
        say("firmware", version(parse(Field::Firmware.form(), text("firmware")).ok().as_ref()));
        say("bank", text("bank").to_lowercase());
        say("terminators", how.join(" "));
    }
    for cable in answer["cables"].as_array().expect("cables") {
        let kind = cable["kind"].as_str().expect("text");
        let mut ends: Vec<_> = cable["ends"]
            .as_array()
            .expect("ends")
            .iter()
            .map(|end| {
                let (name, socket) = (end["name"].as_str(), end["socket"].as_str().unwrap_or(""));
                // Where a pack or a sensor takes its lead is no socket that a rule knows.
                let socket =
                    if name.is_some_and(|name| name.starts_with("unit ")) { socket } else { "" };
                format!("{} {socket}", name.unwrap_or("-")).trim().to_lowercase()
            })
            .collect();
        ends.sort_unstable();
        let about = format!("cable {}", Folded::of(cable["id"].as_str().expect("text")));
        facts.insert(format!("{about} ends"), ends.join(" to "));
        facts.insert(format!("{about} kind"), kind.to_owned());
        if matches!(kind, "link" | "battery") {
            let metres = cable["metres"].as_f64().map(|metres| format!("{metres:.3} m"));
            facts.insert(format!("{about} length"), metres.unwrap_or_default());
        }
    }
    facts
}

/// The facts that were read.
fn declared(site: &Site) -> Facts {
    let declared = &site.declared;
    let mut facts = Facts::new();
    for position in 0..declared.units.len() {
        let subject = Subject::Unit(position);
        let code = |field| {
            declared.number(subject, field).and_then(|code| u8::try_from(code).ok()).unwrap_or(0)
        };
        let mut how = Vec::new();
        if declared.cables.iter().any(|cable| is_plug_at(cable, position)) {
            how.push("plug");
        }
        match Terminator::from_code(code(Field::Terminator)) {
            Some(Terminator::On | Terminator::BuiltIn) => how.push("switch"),
            Some(Terminator::Plug) if how.is_empty() => how.push("plug"),
            Some(Terminator::Plug | Terminator::Off | Terminator::Automatic) | None => {}
        }
        let address = match declared.agreed(subject, Field::Address) {
            Some(Stated::Address(address)) => address.number.to_string(),
            _ => String::new(),
        };
        let bank = match declared.agreed(subject, Field::Bank) {
            Some(Stated::Name(bank)) => bank.to_string(),
            _ => String::new(),
        };
        let count = declared.number(subject, Field::Count).map(|count| count.to_string());
        let mut say = |what: &str, value: String| {
            facts.insert(format!("{} {what}", unit_word(site, position)), value);
        };
        say("role", Role::from_code(code(Field::Role)).map_or("", Role::word).to_owned());
        say("address", address);
        say("count", count.unwrap_or_default());
        say("firmware", version(declared.agreed(subject, Field::Firmware)));
        say("bank", bank);
        say("terminators", how.join(" "));
    }
    for cable in &declared.cables {
        let about = format!("cable {}", cable.key);
        let mut ends = cable.ends.map(|end| end_word(site, end));
        ends.sort_unstable();
        facts.insert(format!("{about} ends"), ends.join(" to "));
        facts.insert(format!("{about} kind"), kind_word(cable).to_owned());
        if matches!(cable.kind, Some(CableKind::Link | CableKind::Battery)) {
            let metres =
                cable.length().map(|length| format!("{:.3} m", f64::from(length.0) / 1000.0));
            facts.insert(format!("{about} length"), metres.unwrap_or_default());
        }
    }
    facts
}

fn is_plug_at(cable: &Cable, unit: usize) -> bool {
    cable.kind == Some(CableKind::Terminator)
        && cable.ends.iter().any(|end| matches!(end, End::Unit(at, _) if *at == unit))
}

/// The answers' word for a kind of cable.
fn kind_word(cable: &Cable) -> &'static str {
    match cable.kind {
        Some(CableKind::Sensor) => "ct",
        Some(kind) => kind.word(),
        None => "",
    }
}

/// The answers' word for a unit, whatever the site calls it.
fn unit_word(site: &Site, unit: usize) -> String {
    format!("unit {}", site.declared.units[unit].number.unwrap_or(0))
}

/// The answers' word for an end.
fn end_word(site: &Site, end: End) -> String {
    let Declared { packs, sensors, devices, .. } = &site.declared;
    match end {
        End::Unit(unit, port) => {
            let socket = port.map_or("", |port| site.profile.port_name(port));
            let socket = if socket == "battery" { "bat" } else { socket };
            format!("{} {socket}", unit_word(site, unit)).trim().to_lowercase()
        }
        End::Pack(pack) => format!("pack{}", packs[pack].number.unwrap_or(0)),
        End::Sensor(sensor) => format!("ct{}", sensors[sensor].1.map_or(0, |leg| leg.code())),
        End::Device(device) => devices[device].0.key.to_string(),
        End::Open => "-".to_owned(),
        End::Unknown => "?".to_owned(),
    }
}

/// A version with its trailing parts, so that 2.5 and 2.5.0 are one.
fn version(value: Option<&Stated>) -> String {
    match value {
        Some(Stated::Version(version)) => format!("{version:?}"),
        _ => String::new(),
    }
}
