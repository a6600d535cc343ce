//! The power-up of a site: its steps, and readings that are put behind each other.

use crate::request::{Asked, Examined};
use coldcheck::powerup::{Entry, PowerUp};
use coldcheck::read::RawSheet;
use coldcheck::readings::{self, Moment, Readings};
use coldcheck::render::json;
use coldcheck::sizing::site::Sizes;
use coldcheck::{tidy, way};
use serde_json::{Value, json};

/// Every step, where it stands, and the way down.
pub(crate) fn told(asked: &Asked, request: &Value) -> Value {
    within(asked, request, |power_up, readings| Ok(json::powerup::told(&power_up.told(readings))))
}

/// The stations of a job day, each with where it stands, and the position of the next.
pub(crate) fn way(asked: &Asked, request: &Value) -> Value {
    within(asked, request, |power_up, readings| {
        let told = power_up.told(readings);
        let sizes = Sizes::of(told.site, told.diagnosis)
            .map_err(|error| format!("the plan is damaged ({error:?})"))?;
        let way = way::way(&told, &sizes.sheet);
        let next = way::next(&way).and_then(|next| way.iter().position(|one| one == next));
        let stations: Vec<Value> = way
            .iter()
            .map(|one| {
                json!({
                    "part": one.part.title(),
                    "command": one.command,
                    "standing": one.standing.word(),
                    "says": one.says,
                })
            })
            .collect();
        Ok(json!({ "stations": stations, "next": next }))
    })
}

/// The line of one reading, if it counts.
pub(crate) fn take(asked: &Asked, request: &Value) -> Value {
    let text = |key: &str| request[key].as_str().unwrap_or("").trim().to_owned();
    within(asked, request, |power_up, readings| {
        let (by, instrument) = (text("by"), text("instrument"));
        if by.is_empty() || instrument.is_empty() {
            return Err("every reading has the initials of who read, and the instrument".to_owned());
        }
        let time = Moment::read(&text("time")).ok_or("the clock shows no time")?;
        let step = power_up.steps.iter().position(|step| step.id == text("step"));
        let step = step.ok_or("there is no such step")?;
        let entry = Entry { power_up, time, by: &by, instrument: &instrument };
        let is_reason = request["reason"].is_string();
        let value = text(if is_reason { "reason" } else { "value" });
        let line = entry.line(step, &value, is_reason, readings);
        line.map(|line| json!({ "line": line }))
            .map_err(|(says, expected)| format!("{says}; {expected}"))
    })
}

/// What is said of a power-up and its readings so far.
fn within(
    asked: &Asked,
    request: &Value,
    says: impl FnOnce(&PowerUp<'_>, &Readings) -> Result<Value, String>,
) -> Value {
    let answer = asked.examined().map_err(|errors| errors.text).and_then(|examined| {
        let Examined { site, diagnosis } = &*examined;
        if site.is_image {
            return Err(
                "a plan image holds no sheets that a power-up could be made from".to_owned()
            );
        }
        let shape = tidy::shape(site, &asked.request()).map_err(|error| error.to_string())?;
        let text = request["readings"].as_str().unwrap_or("");
        let file = RawSheet { name: "readings".to_owned(), bytes: text.as_bytes().to_vec() };
        let readings = readings::read(&file).map_err(|(_, errors)| {
            let first = errors.first().map(ToString::to_string).unwrap_or_default();
            format!("these readings cannot be read: {first}")
        })?;
        let mut power_up = PowerUp::of(site, diagnosis, &shape, &asked.sheets);
        power_up.now = request["time"].as_str().and_then(Moment::read);
        says(&power_up, &readings)
    });
    answer.unwrap_or_else(|refused| json!({ "refused": refused }))
}
