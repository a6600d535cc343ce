//! What is asked of the library: the sheets of a site, and how to take them.

use coldcheck::date::Date;
use coldcheck::diagnosis::{Day, Diagnosis, diagnose};
use coldcheck::draw::Width;
use coldcheck::engine::{Refusal, Request, Site, examine, site_of};
use coldcheck::image;
use coldcheck::read::{RawSheet, ReadError};
use coldcheck::render::terminal;
use coldcheck_core::plan::Scope;
use serde_json::{Value, json};
use std::sync::{Arc, Mutex, PoisonError};

/// A request as it was understood.
#[derive(Clone, PartialEq)]
pub(crate) struct Asked {
    pub(crate) sheets: Vec<RawSheet>,
    profile: Option<String>,
    scope: Option<Scope>,
    /// The day that waivers are held against, and that a report bears.
    pub(crate) day: Result<Option<Day>, String>,
    strict: bool,
    /// How much room there is for a drawing.
    pub(crate) width: Width,
}

/// A site that was read and checked.
pub(crate) struct Examined {
    pub(crate) site: Site,
    pub(crate) diagnosis: Diagnosis,
}

/// The last one, with what was asked: after one change the page asks for what was found, for the drawing
/// and for whatever else is open, all of the same sheets.
static LAST: Mutex<Option<(Asked, Arc<Examined>)>> = Mutex::new(None);

/// Why there is no answer: as text for people, and each error with its place.
pub(crate) struct Errors {
    pub(crate) text: String,
    pub(crate) places: Vec<Value>,
}

impl Asked {
    /// Takes what is there; what is missing is left out.
    pub(crate) fn of(request: &Value) -> Self {
        let text = |key: &str| request[key].as_str();
        let scope = match text("scope") {
            Some("communication") => Some(Scope::COMMUNICATION),
            Some("power") => Some(Scope::POWER),
            Some("all") => Some(Scope::ALL),
            Some(_) | None => None,
        };
        Self {
            sheets: sheets(request),
            profile: text("profile").map(ToOwned::to_owned),
            scope,
            day: day(text("date"), text("clock")),
            strict: request["strict"].as_bool().unwrap_or(false),
            width: width(request["width"].as_i64()),
        }
    }

    pub(crate) fn request(&self) -> Request<'_> {
        Request {
            files: &self.sheets,
            profile: self.profile.as_deref(),
            scope: self.scope,
            load_profile: &no_profile,
        }
    }

    /// Site and diagnosis, as `check` has them.
    pub(crate) fn examined(&self) -> Result<Arc<Examined>, Errors> {
        // How wide a drawing may be says nothing of the site.
        let asked = Self { width: Width::Phone, ..self.clone() };
        let mut last = LAST.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((before, examined)) = &*last
            && *before == asked
        {
            return Ok(Arc::clone(examined));
        }
        let examined = Arc::new(self.examine()?);
        *last = Some((asked, Arc::clone(&examined)));
        Ok(examined)
    }

    fn examine(&self) -> Result<Examined, Errors> {
        let day = self.day.clone().map_err(|text| Errors { text, places: Vec::new() })?;
        let (site, mut diagnosis) = self.diagnosed().map_err(Errors::of)?;
        if let Some(day) = day.filter(|_| !site.declared.waivers.is_empty()) {
            diagnosis.waive(&site, day);
        }
        if self.strict {
            diagnosis.be_strict();
        }
        Ok(Examined { site, diagnosis })
    }

    /// Sheets are examined as they are; a plan image is told by what it holds.
    fn diagnosed(&self) -> Result<(Site, Diagnosis), Refusal> {
        if !self.sheets.iter().any(|sheet| image::is_one(&sheet.bytes)) {
            return examine(&self.request());
        }
        let site = site_of(&self.request())?;
        let damaged = |error| {
            let error = ReadError::file("the plan image", format!("{error:?}"), "a whole one");
            Refusal { sheets: site.declared.sheets.clone(), errors: vec![error] }
        };
        let diagnosis = diagnose(&site).map_err(damaged)?;
        Ok((site, diagnosis))
    }
}

impl Errors {
    fn of(refusal: Refusal) -> Self {
        let Refusal { sheets, errors } = refusal;
        let place = |error: &ReadError| {
            let position = error.origin.map(|origin| sheets.position(origin));
            json!({
                "file": error.file,
                "line": position.as_ref().map(|at| at.line),
                "column": position.as_ref().map(|at| at.column),
                "end_column": position.as_ref().map(|at| at.end_column),
                "says": error.says,
                "expected": error.expected,
            })
        };
        let places = errors.iter().map(place).collect();
        Self { text: terminal::errors(&sheets, &errors, false), places }
    }
}

/// Bytes of two letters each; what is no such pair is left out, and the checksum of an image tells.
fn bytes_of(hex: &str) -> Vec<u8> {
    let pairs = hex.as_bytes().chunks(2).filter_map(|pair| std::str::from_utf8(pair).ok());
    pairs.filter_map(|pair| u8::from_str_radix(pair, 16).ok()).collect()
}

/// The sheets of a request: `text`, or the bytes of a plan image in `hex`.
pub(crate) fn sheets(request: &Value) -> Vec<RawSheet> {
    let sheet = |sheet: &Value| RawSheet {
        name: sheet["name"].as_str().unwrap_or("sheet").to_owned(),
        bytes: match sheet["hex"].as_str() {
            Some(hex) => bytes_of(hex),
            None => sheet["text"].as_str().unwrap_or("").as_bytes().to_vec(),
        },
    };
    request["sheets"].as_array().into_iter().flatten().map(sheet).collect()
}

/// Sheets for an answer. They were text when they came.
pub(crate) fn sheets_told(sheets: &[RawSheet]) -> Value {
    let told = sheets
        .iter()
        .map(|sheet| json!({ "name": sheet.name, "text": String::from_utf8_lossy(&sheet.bytes) }));
    told.collect()
}

/// There are no files to fetch a profile from.
pub(crate) fn no_profile(name: &str) -> Result<String, ReadError> {
    Err(ReadError::file(name, "no built-in profile has this name", "a built-in profile"))
}

/// The widest drawing that so many pixels have room for.
fn width(pixels: Option<i64>) -> Width {
    let fits = |width: &Width| pixels.is_some_and(|room| i64::from(width.pixels()) <= room);
    Width::ALL.into_iter().rev().find(fits).unwrap_or(Width::Phone)
}

fn day(date: Option<&str>, clock: Option<&str>) -> Result<Option<Day>, String> {
    let Some(text) = date.or(clock) else { return Ok(None) };
    let read = Date::read(text).ok_or_else(|| format!("error: {text} is no day; 2027-03-31 is"))?;
    Ok(Some(Day { date: read, from_clock: date.is_none() }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_site_is_kept_until_anything_else_is_asked_of_it() {
        let sheet =
            "scope = communication\nunit 1 = coordinator, addr 1\nunit 2 = follower, addr 2\n";
        let asked = |more: (&str, Value)| {
            let mut request = json!({ "sheets": [{ "name": "kept", "text": sheet }] });
            request[more.0] = more.1;
            Asked::of(&request)
        };
        let examined = |asked: &Asked| asked.examined().ok().expect("it can be read");
        // Other tests ask in between; what is kept is the last, so that one of some tries finds it.
        let is_kept = |more: &(&str, Value)| {
            (0..50).any(|_| {
                let first = examined(&asked(("width", json!(300))));
                Arc::ptr_eq(&first, &examined(&asked(more.clone())))
            })
        };
        assert!(is_kept(&("width", json!(1200))));
        for other in [
            ("strict", json!(true)),
            ("profile", json!("two-port-line")),
            ("scope", json!("power")),
            ("date", json!("2027-03-01")),
        ] {
            assert!(!is_kept(&other), "{other:?}");
        }
    }
}
