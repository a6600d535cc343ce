//! JSON under the schema `coldcheck.meter.v1`.

use crate::meter::told::{Group, Next, Outcome};
use crate::render::terminal::meter::Told;
use crate::words::CAUTIONS;
use serde_json::{Value, json};

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.meter.v1";

/// The plan, and what the readings say.
pub fn told(told: &Told<'_>) -> Value {
    let sheet = &told.sheet;
    let site = told.site;
    let rest = json!({
        "sheets": told.hash,
        "check": told.diagnosis.verdict.word(),
        "dangers": told.dangers(),
        "units": sheet.units,
        "shape": sheet.shape,
        "pins": sheet.pins.map(|(one, two)| [one, two]),
        "remarks": sheet.remarks.iter().chain(&told.remarks).collect::<Vec<_>>(),
        "steps": sheet.steps.iter().map(|step| json!({
            "number": step.number,
            "act": step.act,
            "leads": step.leads,
            "place": step.place,
            "band": band(step.band.low, step.band.typical, step.band.high),
        })).collect::<Vec<_>>(),
        "fastest": sheet.fastest.iter().map(|(steps, share)| json!({
            "steps": steps,
            "told_apart": rounded(*share, 1e3),
        })).collect::<Vec<_>>(),
        "would_show": sheet.table.iter().map(|row| json!({
            "state": row.kind,
            "says": row.says,
            "shows": row.shows.iter().map(|(low, high)| [ohms(*low), ohms(*high)]).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "ports": sheet.ports.iter().map(|port| json!({
            "places": port.points,
            "band": band(port.band.low, port.band.typical, port.band.high),
        })).collect::<Vec<_>>(),
        "cannot_see": sheet.blind.iter().map(|blind| json!({
            "id": blind.id,
            "what": blind.what,
            "instead": blind.instead,
        })).collect::<Vec<_>>(),
        "outcome": told.outcome.as_ref().map(outcome),
        "cautions": CAUTIONS,
    });
    super::of_site(SCHEMA, site, rest)
}

fn outcome(outcome: &Outcome) -> Value {
    json!({
        "result": outcome.result.word(),
        "says": outcome.says,
        "readings": outcome.rows.iter().map(|row| json!({
            "place": row.place,
            "shown": row.shown,
            "expected": row.expected,
            "within": row.within,
        })).collect::<Vec<_>>(),
        "fits": outcome.front.iter().map(group).collect::<Vec<_>>(),
        "fits_less": outcome.behind.iter().map(group).collect::<Vec<_>>(),
        "nearest": outcome.nearest.as_ref().map(group),
        "odd": outcome.odd.as_ref().map(|odd| json!({
            "place": odd.place,
            "others_fit": odd.others_fit.iter().map(group).collect::<Vec<_>>(),
        })),
        "pairs_tried": outcome.pairs_tried,
        "volts_first": outcome.volts_first.as_ref().map(next),
        "next": outcome.next.as_ref().map(next),
    })
}

fn next(next: &Next) -> Value {
    json!({ "says": next.says, "places": next.places })
}

fn group(group: &Group) -> Value {
    json!({
        "faults": group.kinds,
        "count": group.count,
        "says": group.says,
        "misfit": rounded(group.misfit, 1e3),
    })
}

fn band(low: f64, typical: f64, high: f64) -> Value {
    json!({ "low": ohms(low), "typical": ohms(typical), "high": ohms(high) })
}

/// Ohms to the thousandth; open is null.
fn ohms(ohms: f64) -> Value {
    if ohms.is_finite() { json!(rounded(ohms, 1e3)) } else { Value::Null }
}

fn rounded(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps
}
