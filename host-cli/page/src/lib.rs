//! The engine as a WebAssembly library: raw exports, no glue code, no outside address.
//!
//! The caller asks for room with `input`, writes there, calls `check_sheets` or `check_image`,
//! and reads as many bytes as that returns from `output`. Any call may move the memory.
#![allow(unsafe_code, reason = "an export under its own name counts as unsafe; no block is")]

use coldcheck::date::Date;
use coldcheck::diagnosis::Day;
use coldcheck::engine::{Request, examine};
use coldcheck::image;
use coldcheck::listing::listing;
use coldcheck::read::{RawSheet, ReadError};
use coldcheck::render::{json, terminal};
use coldcheck_core::plan::Scope;
use serde_json::{Value, json};
use std::sync::{Mutex, PoisonError};

/// Bytes that came in and bytes that go out.
#[derive(Default)]
struct Buffers {
    input: Vec<u8>,
    output: Vec<u8>,
}

static BUFFERS: Mutex<Buffers> = Mutex::new(Buffers { input: Vec::new(), output: Vec::new() });

fn with_buffers<T>(act: impl FnOnce(&mut Buffers) -> T) -> T {
    act(&mut BUFFERS.lock().unwrap_or_else(PoisonError::into_inner))
}

/// Room for so many bytes of input.
#[unsafe(no_mangle)]
pub extern "C" fn input(length: usize) -> *mut u8 {
    with_buffers(|buffers| {
        buffers.input = vec![0; length];
        buffers.input.as_mut_ptr()
    })
}

/// The bytes of the last answer.
#[unsafe(no_mangle)]
pub extern "C" fn output() -> *const u8 {
    with_buffers(|buffers| buffers.output.as_ptr())
}

/// Checks sheets. In: `{"sheets": [{"name", "text"}], "profile": …, "scope": …, "date": …,
/// "strict": …}`; waivers are held against the date, and without one they are not applied. Out:
/// the report of `check`, or `{"errors": text}`. Returns the length of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn check_sheets() -> usize {
    answer(|input| match serde_json::from_slice(input) {
        Ok(request) => sheets(&request).to_string(),
        Err(error) => json!({ "errors": error.to_string() }).to_string(),
    })
}

/// Checks a plan image. In: the image. Out: the lines of [`listing`], or one line that begins
/// with `refused`. Returns the length of the answer.
#[unsafe(no_mangle)]
pub extern "C" fn check_image() -> usize {
    answer(|input| match image::read(input) {
        Ok((plan, _)) => listing(&plan).join("\n"),
        Err(error) => format!("refused {error:?}"),
    })
}

fn answer(act: impl FnOnce(&[u8]) -> String) -> usize {
    with_buffers(|buffers| {
        buffers.output = act(&buffers.input).into_bytes();
        buffers.output.len()
    })
}

fn sheets(request: &Value) -> Value {
    let files: Vec<RawSheet> = request["sheets"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|sheet| RawSheet {
            name: sheet["name"].as_str().unwrap_or("sheet").to_owned(),
            bytes: sheet["text"].as_str().unwrap_or("").as_bytes().to_vec(),
        })
        .collect();
    let scope = match request["scope"].as_str() {
        Some("communication") => Some(Scope::COMMUNICATION),
        Some("power") => Some(Scope::POWER),
        Some("all") => Some(Scope::ALL),
        Some(_) | None => None,
    };
    let date = match request["date"].as_str() {
        None => None,
        Some(text) => match Date::read(text) {
            Some(date) => Some(Day { date, from_clock: false }),
            None => return json!({ "errors": format!("error: {text} is no day; 2027-03-31 is") }),
        },
    };
    let strict = request["strict"].as_bool().unwrap_or(false);
    let request = Request {
        files: &files,
        profile: request["profile"].as_str(),
        scope,
        load_profile: &|name| {
            Err(ReadError::file(name, "no built-in profile has this name", "a built-in profile"))
        },
    };
    match examine(&request) {
        Ok((site, mut diagnosis)) => {
            if let Some(day) = date {
                diagnosis.waive(&site, day);
            }
            if strict {
                diagnosis.be_strict();
            }
            json::check(&site, &diagnosis)
        }
        Err(refusal) => {
            json!({ "errors": terminal::errors(&refusal.sheets, &refusal.errors, false) })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(request: &Value) -> Value {
        sheets(request)
    }

    #[test]
    fn a_site_is_checked_as_on_the_command_line() {
        let text = "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 1\n";
        let report = ask(&json!({ "sheets": [{ "name": "s", "text": text }] }));
        assert_eq!(report["findings"][0]["rule"], "address-duplicate");
    }

    #[test]
    fn waivers_are_held_against_the_date_that_is_given() {
        let text = r#"
            unit = [{ name = "U1", address = 1 }, { name = "U2", address = 1 }]
            waiver = [{ rule = "address-duplicate", place = "U1, U2", reason = "a test",
                        by = "I. Vent", until = "2027-03-31" }]
        "#;
        let on = |date: Value| {
            let report = ask(&json!({ "sheets": [{ "name": "s", "text": text }], "date": date }));
            (report["waived"].as_array().map(Vec::len), report["errors"].is_string())
        };
        assert_eq!(on(json!("2027-03-31")), (Some(1), false));
        assert_eq!(on(json!("2027-04-01")), (Some(0), false));
        assert_eq!(on(Value::Null), (Some(0), false));
        assert_eq!(on(json!("tomorrow")), (None, true));
    }

    #[test]
    fn a_sheet_that_cannot_be_read_gives_errors() {
        assert!(ask(&json!({ "sheets": [{ "name": "s", "text": "" }] }))["errors"].is_string());
        assert!(ask(&json!({}))["errors"].is_string());
    }
}
