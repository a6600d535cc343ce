//! What was heard, as JSON.

use crate::diagnosis::{HeardLog, HeardRow, NamedPlace, Who};
use crate::log::{Form, Summary, Times};
use crate::words;
use coldcheck_core::heard::{BusError, BusState, Controller};
use coldcheck_core::plan::{Dialect, Milliseconds};
use serde_json::{Value, json};

/// What was heard.
pub(super) fn told(heard: &HeardLog) -> Value {
    let (units_heard, units) = heard.units_heard();
    json!({
        "dialect": heard.dialect.map(dialect),
        "frames": heard.frames,
        "seconds": heard.log.seconds(),
        "units_heard": units_heard,
        "units_with_address": units,
        "addresses": heard.rows.iter().map(row).collect::<Vec<_>>(),
        "further_strangers": heard.unheeded,
        "controller": heard.controller.as_ref().map(controller),
        "log": log(&heard.log),
    })
}

/// The word of a dialect.
fn dialect(dialect: Dialect) -> &'static str {
    Dialect::WORDS.iter().find(|(_, code)| *code == dialect.code()).map_or("", |(word, _)| *word)
}

fn row(row: &HeardRow) -> Value {
    let seconds = |at: Milliseconds| f64::from(at.0) / 1000.0;
    let mut value = json!({
        "address": row.address,
        "who": match &row.who {
            Who::Declared(NamedPlace::Unit { .. }) => "unit",
            Who::Declared(_) => "device",
            Who::Stranger => "stranger",
        },
        "frames": row.frames,
        "first_s": row.heard_at.map(|(first, _)| seconds(first)),
        "last_s": row.heard_at.map(|(_, last)| seconds(last)),
        "period_ms": row.period.map(|period| period.0),
        "role": row.role.map(|role| role.word()),
        "unit_count": row.count,
        "firmware": row.firmware.map(words::version),
        "serial": row.serial,
        "identity": row.identity.map(|identity| format!("{identity:#018x}")),
        "starts": row.starts,
    });
    if let Who::Declared(place) = &row.who
        && let Some(Value::Object(place)) = super::place(place)
        && let Some(value) = value.as_object_mut()
    {
        value.extend(place);
    }
    value
}

fn controller(controller: &Controller) -> Value {
    json!({
        "worst_state": match controller.worst() {
            BusState::Active => "active",
            BusState::Warning => "warning",
            BusState::Passive => "passive",
            BusState::Off => "off",
        },
        "errors": {
            "acknowledge": controller.count(BusError::Acknowledge),
            "bit": controller.count(BusError::Bit),
            "frame": controller.count(BusError::Frame),
            "other": controller.count(BusError::Other),
        },
    })
}

fn log(log: &Summary) -> Value {
    json!({
        "form": log.form.map(Form::word),
        "lines": log.lines,
        "not_understood": log.unfit,
        "sent_by_recorder": log.sent,
        "other_frames": log.others,
        "error_frames": log.errors,
        "interfaces": log.interfaces.iter().map(|(name, _)| name).collect::<Vec<_>>(),
        "times": match log.times() {
            Times::Told => "told",
            Times::Lacking => "lacking",
            Times::Unsteady => "unsteady",
        },
        "jumps_back": log.jumps_back,
    })
}
