//! The power-up of a site: its steps, and readings that are put behind each other.

use crate::request::Asked;
use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::Site;
use coldcheck::powerup::told::{Told, dangers};
use coldcheck::powerup::{Entry, Step, progress, steps, way_down};
use coldcheck::read::RawSheet;
use coldcheck::readings::{self, Moment, Readings};
use coldcheck::render::json;
use coldcheck::site_file::SiteFile;
use coldcheck::tidy;
use serde_json::{Value, json};

/// A power-up under the sheets of today.
struct Day {
    site: Site,
    diagnosis: Diagnosis,
    shape: SiteFile,
    steps: Vec<Step>,
    readings: Readings,
    hash: String,
}

impl Day {
    fn of(asked: &Asked, request: &Value) -> Result<Self, String> {
        let (site, diagnosis) = asked.examined().map_err(|errors| errors.text)?;
        if site.is_image {
            return Err(
                "a plan image holds no sheets that a power-up could be made from".to_owned()
            );
        }
        let shape = tidy::shape(&site, &asked.request()).map_err(|error| error.to_string())?;
        let text = request["readings"].as_str().unwrap_or("");
        let file = RawSheet { name: "readings".to_owned(), bytes: text.as_bytes().to_vec() };
        let readings = readings::read(&file).map_err(|(_, errors)| {
            errors
                .first()
                .map_or_else(String::new, |error| format!("these readings cannot be read: {error}"))
        })?;
        let steps = steps(&site, &shape);
        let hash = readings::hash(&asked.sheets);
        Ok(Self { site, diagnosis, shape, steps, readings, hash })
    }

    fn has_danger(&self) -> bool {
        dangers(&self.diagnosis).next().is_some()
    }
}

/// Every step, where it stands, and the way down.
pub(crate) fn told(asked: &Asked, request: &Value) -> Value {
    match Day::of(asked, request) {
        Ok(day) => json::powerup::told(&Told {
            site: &day.site,
            diagnosis: &day.diagnosis,
            steps: &day.steps,
            progress: progress(&day.steps, &day.readings.list, day.has_danger()),
            readings: &day.readings.list,
            way_down: &way_down(&day.site, &day.shape),
            hash: &day.hash,
            remarks: Vec::new(),
        }),
        Err(refused) => json!({ "refused": refused }),
    }
}

/// The line of one reading, if it counts.
pub(crate) fn take(asked: &Asked, request: &Value) -> Value {
    let text = |key: &str| request[key].as_str().unwrap_or("").trim().to_owned();
    let line = Day::of(asked, request).and_then(|day| {
        let (by, instrument) = (text("by"), text("instrument"));
        if by.is_empty() || instrument.is_empty() {
            return Err("every reading has the initials of who read, and the instrument".to_owned());
        }
        let time = Moment::read(&text("time")).ok_or("the clock shows no time")?;
        let step = day.steps.iter().position(|step| step.id == text("step"));
        let step = step.ok_or("there is no such step")?;
        let entry = Entry {
            steps: &day.steps,
            hash: &day.hash,
            has_danger: day.has_danger(),
            time,
            by: &by,
            instrument: &instrument,
        };
        let is_reason = request["reason"].is_string();
        let value = text(if is_reason { "reason" } else { "value" });
        entry
            .line(step, &value, is_reason, &day.readings)
            .map_err(|(says, expected)| format!("{says}; {expected}"))
    });
    match line {
        Ok(line) => json!({ "line": line }),
        Err(refused) => json!({ "refused": refused }),
    }
}
