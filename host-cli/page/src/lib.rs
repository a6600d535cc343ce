//! The engine as a WebAssembly library: raw exports, no glue code, no outside address.
//!
//! The caller asks for room with `input`, writes there, calls one of the others, and reads as many
//! bytes as that returns from `output`. Any call may move the memory. Unless said otherwise, JSON
//! comes in and goes out, and an answer that holds `refused` says in words why it is no other.
#![allow(unsafe_code, reason = "an export under its own name counts as unsafe; no block is")]

mod about;
mod changes;
mod day;
mod drill;
mod files;
mod form;
mod parts;
mod request;
mod shown;
mod told;

use coldcheck::image;
use coldcheck::listing::listing;
use request::Asked;
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
    in_json("errors", sheets)
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

/// Checks sheets for the eye. In: as [`check_sheets`], and `clock`, the day of the clock in place of
/// a `date`. Out: `report`, `text` as on the command line, the same in parts, and the site as it was
/// understood; or `errors` with their `places`.
#[unsafe(no_mangle)]
pub extern "C" fn show_site() -> usize {
    in_json("refused", |request| shown::shown(&Asked::of(request)))
}

/// What else there is to tell about a site. In: as [`show_site`], and the `width` in pixels that a
/// drawing may have. Out: `parts`, each with its `title`
/// and a `table`, a `text` or an `svg`.
#[unsafe(no_mangle)]
pub extern "C" fn site_parts() -> usize {
    in_json("refused", |request| parts::parts(&Asked::of(request), request["part"].as_str()))
}

/// A right site to start from. In: `profile`, `units`, the name of the `site`, and `cables`: whether to
/// join them. Out: `sheets`, and the `blanks` to fill in.
#[unsafe(no_mangle)]
pub extern "C" fn new_site() -> usize {
    in_json("refused", changes::new)
}

/// One change in the text of the sheets. In: `sheets`, `change`. Out: `sheets`, and whether they
/// were written `anew`.
#[unsafe(no_mangle)]
pub extern "C" fn edit_site() -> usize {
    in_json("refused", changes::edit)
}

/// The site as one canonical site file. In: as [`show_site`]. Out: `text`.
#[unsafe(no_mangle)]
pub extern "C" fn tidy_site() -> usize {
    in_json("refused", |request| files::tidy(&Asked::of(request)))
}

/// The report to print and sign. In: as [`show_site`]. Out: `html`, one file.
#[unsafe(no_mangle)]
pub extern "C" fn site_report() -> usize {
    in_json("refused", |request| files::report(&Asked::of(request)))
}

/// The power-up of a site. In: as [`show_site`], and the text of the `readings` so far. Out: what
/// `powerup` tells in JSON.
#[unsafe(no_mangle)]
pub extern "C" fn power_up() -> usize {
    in_json("refused", |request| day::told(&Asked::of(request), request))
}

/// The way through a job day. In: as [`power_up`]. Out: `stations`, each with `part`, `command`,
/// `standing` and what it `says`, and the position of the `next`.
#[unsafe(no_mangle)]
pub extern "C" fn day_way() -> usize {
    in_json("refused", |request| day::way(&Asked::of(request), request))
}

/// One reading of the power-up. In: as [`power_up`], and `step`, `value` or `reason`, `by`,
/// `instrument`, `time`. Out: the `line` to put behind the readings.
#[unsafe(no_mangle)]
pub extern "C" fn take_reading() -> usize {
    in_json("refused", |request| day::take(&Asked::of(request), request))
}

/// A drill. In: `units`, `profile`, `faults`, `number`, `level`, `on_paper`, or faults by `hand`; and
/// what is wanted under `do`: the `bench` with everything that it can be given, to `make` an exercise,
/// to `read` an `act`, its `suspects`, the `score` of what a learner `did`, the `answers`; or to `show`
/// what `acts` do to the bench, beside the right one. Out: as the library's module says.
#[unsafe(no_mangle)]
pub extern "C" fn drill() -> usize {
    in_json("refused", drill::drill)
}

/// The plan image for a gateway. In: as [`show_site`]. Out: its `bytes`, and a `note` unless the
/// verdict is ok.
#[unsafe(no_mangle)]
pub extern "C" fn plan_image() -> usize {
    in_json("refused", |request| files::image(&Asked::of(request)))
}

/// The text of a file. In: its bytes. Out: `text`; of a whole plan image only that it is an `image`.
#[unsafe(no_mangle)]
pub extern "C" fn read_file() -> usize {
    answer(|input| files::text(input).to_string())
}

/// A printed form. In: the picture, as `form::told` says. Out: `name` and `text` of a cable list, its
/// `rows`, what it `asks` with places in text and picture, `notes`, and by how many
/// `quarters` of a turn the picture must be turned clockwise to stand upright.
#[unsafe(no_mangle)]
pub extern "C" fn read_form() -> usize {
    answer(|input| form::told(input).to_string())
}

/// What a person chooses from: profiles with their sockets, facts with their words, kinds of cables;
/// and the cautions. In: nothing.
#[unsafe(no_mangle)]
pub extern "C" fn about() -> usize {
    answer(|_| about::about().to_string())
}

/// A rule explained. In: `rule`, its name. Out: `text`, as on the command line.
#[unsafe(no_mangle)]
pub extern "C" fn explain_rule() -> usize {
    in_json("refused", about::explain)
}

/// Answers JSON with JSON; what is no JSON is answered under the given key.
fn in_json(wrong: &str, act: impl FnOnce(&Value) -> Value) -> usize {
    answer(|input| match serde_json::from_slice(input) {
        Ok(request) => act(&request).to_string(),
        Err(error) => json!({ wrong: error.to_string() }).to_string(),
    })
}

fn answer(act: impl FnOnce(&[u8]) -> String) -> usize {
    with_buffers(|buffers| {
        buffers.output = act(&buffers.input).into_bytes();
        buffers.output.len()
    })
}

fn sheets(request: &Value) -> Value {
    match Asked::of(request).examined() {
        Ok(examined) => coldcheck::render::json::check(&examined.site, &examined.diagnosis),
        Err(errors) => json!({ "errors": errors.text }),
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
    fn what_is_kept_of_a_site_is_not_told_of_another() {
        let found = |text: &str| {
            let report = ask(&json!({ "sheets": [{ "name": "s", "text": text }] }));
            report["findings"].as_array().map(Vec::len)
        };
        let twice =
            "scope = communication\nunit 1 = coordinator, addr 1\nunit 2 = follower, addr 1\n";
        let once = twice.replace("follower, addr 1", "follower, addr 2");
        let (broken, sound) = (found(twice), found(&once));
        assert!(broken > sound, "{broken:?} {sound:?}");
        assert_eq!(found(twice), broken);
        // How it is to be checked is asked as well.
        let other = ask(&json!({ "sheets": [{ "name": "s", "text": twice }], "scope": "power" }));
        assert_ne!(other["findings"].as_array().map(Vec::len), broken);
    }

    #[test]
    fn a_sheet_that_cannot_be_read_gives_errors() {
        assert!(ask(&json!({ "sheets": [{ "name": "s", "text": "" }] }))["errors"].is_string());
        assert!(ask(&json!({}))["errors"].is_string());
    }
}
