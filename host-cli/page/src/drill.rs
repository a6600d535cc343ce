//! Drills: made by their number, read piece by piece, claimed, weighed; and faults made before
//! everybody's eyes.

use coldcheck::draw::Width;
use coldcheck::drill::act::Act;
use coldcheck::drill::ask::{Ask, Level, Refused};
use coldcheck::drill::bench::Bench;
use coldcheck::drill::cause::Cause;
use coldcheck::drill::exercise::{Drill, bench_of};
use coldcheck::drill::look::seen;
use coldcheck::drill::score::{Did, SCALE, against, is_right, score};
use coldcheck::drill::show::{Break, View, broken, drawing, view};
use coldcheck::drill::told::CAUTION;
use coldcheck::render::drill::json;
use serde_json::{Value, json};
use std::sync::{Mutex, PoisonError};

/// The last drill, so that it is not searched anew for each reading; with what it was asked by.
static KEPT: Mutex<Option<(String, Drill)>> = Mutex::new(None);

/// The answer to `drill`: what is wanted stands under `do`.
pub(crate) fn drill(request: &Value) -> Value {
    let answer = match request["do"].as_str() {
        Some("bench") => bench_of(&ask(request)).map(|bench| told_bench(&bench)),
        Some("make") => with(request, |drill| made(drill, request)),
        Some("read") => with(request, |drill| read(drill, &request["act"])),
        Some("suspects") => with(request, suspects),
        Some("score") => with(request, |drill| weighed(drill, request)),
        Some("answers") => with(request, |drill| json::answers(&drill.answered())),
        Some("show") => bench_of(&ask(request)).map(|bench| shown(&bench, request)),
        Some(_) | None => {
            Err(Refused { says: "nothing is wanted".to_owned(), expected: "make".to_owned() })
        }
    };
    answer.unwrap_or_else(|refused| json!({ "refused": refused.to_string() }))
}

fn ask(request: &Value) -> Ask {
    let usual = Ask::default();
    let number = |key: &str| request[key].as_u64();
    let level = request["level"].as_str();
    Ask {
        units: number("units").and_then(|units| u16::try_from(units).ok()).unwrap_or(usual.units),
        profile: request["profile"].as_str().map_or(usual.profile, ToOwned::to_owned),
        faults: number("faults").and_then(|many| usize::try_from(many).ok()).unwrap_or(1),
        number: number("number").unwrap_or(usual.number),
        kinds: strings(&request["kinds"]),
        level: Level::ALL.into_iter().find(|own| Some(own.word()) == level),
        on_paper: request["on_paper"].as_bool().unwrap_or(false),
    }
}

fn strings(list: &Value) -> Vec<String> {
    let words = list.as_array().into_iter().flatten();
    words.filter_map(|word| word.as_str().map(ToOwned::to_owned)).collect()
}

/// Hands the drill on that is asked for: the one that was kept, or a new one.
fn with(request: &Value, act: impl FnOnce(&Drill) -> Value) -> Result<Value, Refused> {
    let (ask, hand) = (ask(request), strings(&request["hand"]));
    let key = format!("{ask:?} {hand:?}");
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    if kept.as_ref().is_none_or(|(own, _)| *own != key) {
        let drill = if hand.is_empty() { Drill::make(&ask) } else { Drill::by_hand(&ask, &hand) };
        *kept = Some((key, drill?));
    }
    Ok(kept.as_ref().map_or(Value::Null, |(_, drill)| act(drill)))
}

fn made(drill: &Drill, request: &Value) -> Value {
    let mut told = json::exercise(drill, &drill.exercise());
    let acts = drill.acts();
    let act = |act: &Act| json!({ "id": act.short(), "any": act.says_of_any(), "says": act.says(), "cost": act.cost() });
    told["acts"] = acts.iter().map(act).collect();
    told["svg"] = drill.drawing(width(request)).map_or(Value::Null, |drawing| json!(drawing.svg()));
    told["caution"] = json!(CAUTION);
    told["scale"] = json!(SCALE);
    told
}

/// The widest drawing that there is room for.
fn width(request: &Value) -> Width {
    let room = request["width"].as_i64().unwrap_or(0);
    let fits = |width: &Width| i64::from(width.pixels()) <= room;
    Width::ALL.into_iter().rev().find(fits).unwrap_or(Width::Phone)
}

fn read(drill: &Drill, wanted: &Value) -> Value {
    let acts = drill.acts();
    let act = acts.iter().find(|act| Some(act.short().as_str()) == wanted.as_str());
    act.map_or_else(
        || json!({ "refused": "there is nothing of that kind to read" }),
        |act| json!({ "shown": seen(&drill.plant(), act).shown, "cost": act.cost() }),
    )
}

fn fault(cause: &Cause) -> Value {
    json!({ "kind": cause.kind, "id": cause.id(), "title": cause.words().title, "place": cause.done })
}

/// Everything that would be noticed alike: what a claim is chosen from.
fn suspects(drill: &Drill) -> Value {
    let mut all: Vec<usize> =
        drill.puzzles.iter().flat_map(|puzzle| puzzle.rivals.iter().copied()).collect();
    all.sort_unstable();
    all.iter().filter_map(|at| drill.bench.causes.get(*at)).map(fault).collect()
}

/// Everything that a bench can be given, and what show mode can take hold of.
fn told_bench(bench: &Bench) -> Value {
    json!({
        "faults": bench.causes.iter().map(fault).collect::<Vec<_>>(),
        "cables": bench.link.cables,
        "units": bench.right.layout.order.len(),
    })
}

fn weighed(drill: &Drill, request: &Value) -> Value {
    let did = request["did"].as_array().into_iter().flatten();
    let did: Vec<Did> = did
        .filter_map(|one| {
            if let Some(act) = one["read"].as_str() {
                return Some(Did::Read(act.to_owned()));
            }
            if let Some(id) = one["claim"].as_str() {
                return Some(Did::Claimed(id.to_owned()));
            }
            one["dead"].as_bool().map(|_| Did::ProvedDead)
        })
        .collect();
    let mut told = json::score(&score(drill, &did));
    told["against"] = json!(did.last().and_then(|last| match last {
        Did::Claimed(id) if !is_right(drill, id) => against(drill, &did, id),
        Did::Claimed(_) | Did::Read(_) | Did::ProvedDead => None,
    }));
    told
}

fn shown(bench: &Bench, request: &Value) -> Value {
    let acts: Vec<Break> =
        request["acts"].as_array().into_iter().flatten().filter_map(act).collect();
    let told = |view: &View| {
        json!({
            "findings": view.findings.iter().map(|(severity, says)| json!([severity, says])).collect::<Vec<_>>(),
            "ohms": view.ohms,
            "heard": view.heard,
        })
    };
    let now = broken(bench, &acts);
    json!({
        "right": told(&view(&broken(bench, &[]))),
        "now": told(&view(&now)),
        "svg": drawing(&now, width(request)).map(|drawing| drawing.svg()),
        "listens_at": bench.listens_at(),
    })
}

fn act(act: &Value) -> Option<Break> {
    let cable = || act["cable"].as_str().map(ToOwned::to_owned);
    let number = |key: &str| act[key].as_u64().and_then(|number| u16::try_from(number).ok());
    Some(match act["do"].as_str()? {
        "pull" => Break::Pull(cable()?),
        "swap" => Break::Swap(cable()?),
        "flip" => Break::Flip(number("unit")?),
        "renumber" => Break::Renumber(number("unit")?, number("to")?),
        _ => return None,
    })
}
