//! JSON under the schema `coldcheck.powerup.v1`.

use crate::powerup::told::{self, Told, refusal};
use crate::powerup::{Expected, Step};
use crate::readings::Reading;
use crate::words::CAUTIONS;
use serde_json::{Value, json};

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.powerup.v1";

/// The steps, where they stand, and the way down.
pub fn told(told: &Told<'_>) -> Value {
    let site = told.site;
    let dangers: Vec<&str> = told.diagnosis.dangers().map(|one| one.says.as_str()).collect();
    let rest = json!({
        "sheets": told.hash,
        "check": told.diagnosis.verdict.word(),
        "dangers": dangers,
        "remarks": told.remarks,
        "done": told.progress.is_done(),
        "next": told.progress.next(told.steps).and_then(|next| told.steps.get(next)).map(|step| &step.id),
        "steps": told.steps.iter().enumerate().map(|(position, step)| one(told, position, step)).collect::<Vec<_>>(),
        "refused": told.progress.refused.iter().map(|(position, why)| json!({
            "step": told.readings.get(*position).and_then(|reading| reading.step.as_ref()).map(|cell| &cell.text),
            "because": refusal(told.steps, *why),
        })).collect::<Vec<_>>(),
        "way_down": told.way_down.acts.iter().map(|down| json!({
            "do": down.act,
            "why": down.why,
        })).collect::<Vec<_>>(),
        "isolation": told.way_down.isolation,
        "danger_live": told.way_down.danger,
        "cautions": CAUTIONS,
    });
    super::of_site(SCHEMA, site, rest)
}

fn one(told: &Told<'_>, position: usize, step: &Step) -> Value {
    let unit = step.quantity.unit();
    json!({
        "id": step.id,
        "stage": step.stage.word(),
        "stage_title": step.stage.title(),
        "hold": step.hold.word(),
        "do": step.act,
        "why": step.why,
        "otherwise": step.otherwise,
        "place": step.place,
        "quantity": step.quantity.word(),
        "unit": if unit.is_empty() { None } else { Some(unit) },
        "expected": expected(&step.expected),
        "says": step.must(),
        "behind": told.steps.iter().take(step.behind).filter(|one| one.hold != crate::powerup::Hold::None).map(|one| &one.id).next_back(),
        "state": told.progress.states.get(position).map(|state| state.word()),
        "reading": told.reading(position).map(reading),
    })
}

fn expected(expected: &Expected) -> Value {
    match expected {
        Expected::Between { low, high, source } => {
            json!({ "low": low, "high": high, "source": source })
        }
        Expected::Share { bar, low, high, least, source } => json!({
            "bar": bar, "low_of_mean": low, "high_of_mean": high, "least_mean": least, "source": source,
        }),
        Expected::Seen(what) => json!({ "seen": what }),
        Expected::Unknown(missing) => json!({ "missing": missing }),
    }
}

fn reading(reading: &Reading) -> Value {
    json!({
        "time": reading.time.to_string(),
        "by": reading.by,
        "instrument": reading.instrument,
        "value": told::shown(reading),
    })
}
