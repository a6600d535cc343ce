//! Profiles, readable: the sockets, every demand with where it comes from, and what is left open.

use crate::profile::{Demanded, Profile, told};
use crate::visible::visible;
use crate::words::{self, WIDTH};
use coldcheck_core::plan::{DataSet, Datum, Demand, DemandKind};
use coldcheck_core::rules::POWER_DATA;
use serde_json::{Value, json};
use std::fmt::Write;

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.profile.v1";

/// The name of every profile with its summary.
pub fn list(profiles: &[Profile]) -> String {
    let mut out = String::new();
    for profile in profiles {
        let assumed = if profile.name == crate::profile::ASSUMED {
            " (assumed where none is named)"
        } else {
            ""
        };
        hanging(&mut out, "    ", &format!("{}{assumed}", profile.name));
        paragraph(&mut out, "    ", &profile.summary);
    }
    out
}

/// The same for programs.
pub fn list_json(profiles: &[Profile]) -> Value {
    let profiles: Vec<_> = profiles
        .iter()
        .map(|profile| json!({ "profile": profile.name, "summary": profile.summary }))
        .collect();
    json!({ "schema": "coldcheck.profile-list.v1", "profiles": profiles })
}

/// Everything about one profile.
pub fn show(profile: &Profile) -> String {
    let mut out = String::new();
    hanging(&mut out, "  ", &profile.name);
    paragraph(&mut out, "  ", &profile.summary);
    out.push_str("\nSockets of a unit, with other words for them:\n");
    for port in &profile.ports {
        let others: Vec<_> = other_words(port).collect();
        let head = format!("  - {} ({})", port.name, port.class.word());
        let text = if others.is_empty() { head } else { format!("{head}: {}", others.join(", ")) };
        hanging(&mut out, "    ", &text);
    }
    out.push_str("\nDemands:\n");
    for (demand, demanded) in stated(profile) {
        hanging(&mut out, "    ", &format!("  - {} = {}", demand.key(), value(demand, demanded)));
        paragraph(&mut out, "      ", demand.meaning());
        paragraph(&mut out, "      ", &format!("from: {}", demanded.from));
    }
    if !profile.frames.is_empty() {
        out.push_str("\nFrames by which a gateway understands the units:\n");
    }
    for kind in &profile.frames {
        let told = told(&kind.record).into_iter().map(|(key, words)| format!("{key} = {words}"));
        hanging(&mut out, "    ", &format!("  - {}", told.collect::<Vec<_>>().join("; ")));
        paragraph(&mut out, "      ", &format!("from: {}", kind.from));
    }
    out.push_str("\nMust be declared:\n");
    for (part, data) in parts(profile) {
        let nouns: Vec<_> = data.iter().map(Datum::noun).collect();
        let nouns = if nouns.is_empty() { "nothing".to_owned() } else { nouns.join(", ") };
        hanging(&mut out, "    ", &format!("  - {part}: {nouns}"));
    }
    out.push_str("\nLeft open; rules that need it are not checked unless the site demands it:\n");
    for demand in open(profile) {
        hanging(&mut out, "    ", &format!("  - {}: {}", demand.key(), demand.meaning()));
    }
    out
}

/// The same for programs.
pub fn json(profile: &Profile) -> Value {
    let ports: Vec<_> = profile
        .ports
        .iter()
        .map(|port| {
            json!({
                "name": port.name,
                "class": port.class.word(),
                "words": other_words(port).collect::<Vec<_>>(),
            })
        })
        .collect();
    let demands: Vec<_> = stated(profile)
        .map(|(demand, demanded)| {
            json!({
                "demand": demand.key(),
                "value": value(demand, demanded),
                "meaning": demand.meaning(),
                "from": demanded.from,
            })
        })
        .collect();
    let frames: Vec<_> = profile
        .frames
        .iter()
        .map(|kind| {
            let told =
                told(&kind.record).into_iter().map(|(key, words)| (key.to_owned(), json!(words)));
            let mut frame: serde_json::Map<_, _> = told.collect();
            frame.insert("from".to_owned(), json!(kind.from));
            Value::Object(frame)
        })
        .collect();
    let must_declare: serde_json::Map<_, _> = parts(profile)
        .into_iter()
        .map(|(part, data)| (part.to_owned(), data.iter().map(Datum::noun).collect()))
        .collect();
    let open: Vec<_> = open(profile)
        .map(|demand| json!({ "demand": demand.key(), "meaning": demand.meaning() }))
        .collect();
    json!({
        "schema": SCHEMA,
        "profile": profile.name,
        "summary": profile.summary,
        "ports": ports,
        "demands": demands,
        "frames": frames,
        "must_declare": must_declare,
        "open": open,
    })
}

/// What a sound profile demands, in a few lines.
pub fn in_short(profile: &Profile) -> String {
    let mut out = String::new();
    hanging(&mut out, "  ", &format!("{} is sound: {}", profile.name, profile.summary));
    let ports: Vec<_> =
        profile.ports.iter().map(|port| format!("{} ({})", port.name, port.class.word())).collect();
    hanging(&mut out, "    ", &format!("  sockets: {}", ports.join(", ")));
    let demands: Vec<_> = stated(profile)
        .map(|(demand, demanded)| format!("{} = {}", demand.key(), value(demand, demanded)))
        .collect();
    hanging(&mut out, "    ", &format!("  demands: {}", demands.join("; ")));
    let nouns: Vec<_> = profile.must_declare.iter().map(Datum::noun).collect();
    hanging(&mut out, "    ", &format!("  must be declared: {}", nouns.join(", ")));
    let open = open(profile).count();
    hanging(
        &mut out,
        "    ",
        &format!("  leaves open: {}", crate::phrase::counted(open, "demand")),
    );
    out
}

/// Demands other than the sockets, which have a list of their own.
fn stated(profile: &Profile) -> impl Iterator<Item = (Demand, &Demanded)> {
    let stated = profile.demands.iter().map(|(demand, demanded)| (*demand, demanded));
    stated.filter(|(demand, _)| demand.kind() != DemandKind::Ports)
}

fn open(profile: &Profile) -> impl Iterator<Item = Demand> {
    let all = Demand::ALL.iter().copied();
    all.filter(|demand| !profile.demands.contains_key(demand))
}

fn value(demand: Demand, demanded: &Demanded) -> String {
    words::demand(demand.kind(), demanded.bits)
}

fn other_words(port: &crate::profile::Port) -> impl Iterator<Item = String> {
    let own = crate::fold::Folded::of(&port.name);
    port.words.iter().filter(move |word| **word != own).map(ToString::to_string)
}

fn parts(profile: &Profile) -> [(&'static str, DataSet); 2] {
    let must = profile.must_declare;
    [("communication", must.without(POWER_DATA)), ("power", must.and(POWER_DATA))]
}

fn paragraph(out: &mut String, indent: &str, text: &str) {
    wrapped(out, indent, indent, text);
}

fn hanging(out: &mut String, indent: &str, text: &str) {
    wrapped(out, "", indent, text);
}

fn wrapped(out: &mut String, first: &str, other: &str, text: &str) {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(other)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    let _ = writeln!(out, "{}", textwrap::fill(&visible(text), options));
}
