//! Many sites, one JSON line each: one line of JSON comes out for each line that goes in.
//!
//! A line is judged by itself and nothing is kept of it, so that memory does not grow with the
//! input. What comes out is decided here; threads, files and streams belong to the command.

mod fast;
mod general;
mod images;
mod report;
mod told;

pub use report::SCHEMA;

use crate::diagnosis::Day;
use crate::engine::Refusal;
use crate::profile::{self, Profile};
use crate::read::ReadError;
use crate::source::Sheets;
use coldcheck_core::finding::{Finding, Unknown, Verdict};
use coldcheck_core::place::Place;
use coldcheck_core::plan::Scope;
use std::sync::Arc;

/// The longest line that is read: a site of 32 units with every fact declared takes 30 KB.
pub const MOST_BYTES: usize = 256 * 1024;

/// The deepest nesting that is read: a site file has three levels.
pub const MOST_NESTING: usize = 64;

/// What holds for all lines of a run.
#[derive(Clone, Debug)]
pub struct Settings {
    /// A profile in place of those that the lines name, with the name that was given for it.
    pub profile: Option<(String, Arc<Profile>)>,
    /// The parts to check, in place of what the lines say.
    pub scope: Option<Scope>,
    /// The day that waivers are held against.
    pub day: Day,
}

/// What became of one line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It was checked.
    Verdict(Verdict),
    /// It could not be read; its line of the output says why.
    Unread,
}

/// Judges line after line. Each thread has its own.
#[derive(Debug)]
pub struct Worker<'s> {
    settings: &'s Settings,
    room: Room,
    /// `None` if every line takes the general way.
    fast: Option<fast::Fast>,
}

impl<'s> Worker<'s> {
    /// A worker under these settings.
    pub fn new(settings: &'s Settings) -> Self {
        Self { settings, room: Room::default(), fast: fast::Fast::new() }
    }

    /// Judges a line, without its end, and writes one line about it.
    ///
    /// ```
    /// use coldcheck::batch::{Answer, Settings, Worker};
    /// use coldcheck::date::Date;
    /// use coldcheck::diagnosis::Day;
    /// use coldcheck_core::finding::Verdict;
    ///
    /// let date = Date::read("2027-03-31").expect("a day");
    /// let settings =
    ///     Settings { profile: None, scope: None, day: Day { date, from_clock: false } };
    /// let mut worker = Worker::new(&settings);
    /// let mut out = Vec::new();
    /// let site = br#"{"unit":[{"name":"unit 1","bank":"A"},{"name":"unit 2","bank":"B"}]}"#;
    /// assert_eq!(worker.line(7, site, &mut out), Answer::Verdict(Verdict::Stop));
    /// let text = String::from_utf8(out).expect("JSON is text");
    /// assert!(text.starts_with(r#"{"schema":"coldcheck.batch.v1","line":7,"#));
    /// ```
    pub fn line(&mut self, number: u64, line: &[u8], out: &mut Vec<u8>) -> Answer {
        let Self { settings, room, fast, .. } = self;
        let fast = fast.as_mut().and_then(|fast| fast.line(settings, room, number, line, out));
        fast.unwrap_or_else(|| general::line(self, number, line, out))
    }

    /// As [`Worker::line`], by the general reader alone.
    #[doc(hidden)]
    pub fn line_in_general(&mut self, number: u64, line: &[u8], out: &mut Vec<u8>) -> Answer {
        general::line(self, number, line, out)
    }

    /// The body of the plan that the fast way makes; `None` if it leaves the line to the general
    /// reader.
    #[doc(hidden)]
    pub fn fast_body(&mut self, line: &[u8]) -> Option<Vec<u8>> {
        self.fast.as_mut()?.body(self.settings, line)
    }

    /// Judges a plan image and writes one line about it.
    pub fn image(&mut self, number: u64, image: &[u8], out: &mut Vec<u8>) -> Answer {
        images::image(&mut self.room, number, image, out)
    }
}

/// Writes the line about a line, or an image, that is too long to be read.
pub fn too_long(number: u64, is_image: bool, out: &mut Vec<u8>) -> Answer {
    let (what, expected) = if is_image {
        ("image", "an image as coldcheck wrote it")
    } else {
        ("line", "one site a line")
    };
    let says = format!("this {what} is longer than {} KiB", MOST_BYTES / 1024);
    unread(number, &says, expected, out)
}

/// Writes the line about something else that cannot be read.
pub fn unread(number: u64, says: &str, expected: &str, out: &mut Vec<u8>) -> Answer {
    let error = ReadError::file("", says, expected);
    report::errors(number, &Sheets::default(), &[error], out);
    Answer::Unread
}

/// Memory that is lent to each check in turn: more than any plan can fill.
#[derive(Debug)]
struct Room {
    findings: Vec<Finding>,
    places: Vec<Place>,
    unknowns: Vec<Unknown>,
    lists: report::Lists,
    names: images::NamesAt,
}

impl Default for Room {
    fn default() -> Self {
        Self {
            findings: vec![Finding::BLANK; 4096],
            places: vec![Place::Group; 32 * 1024],
            unknowns: vec![Unknown::BLANK; 4096],
            lists: report::Lists::default(),
            names: images::NamesAt::default(),
        }
    }
}

/// The built-in profile of this name. A line names no files: it may come from anywhere.
fn built_in(name: &str) -> Result<Arc<Profile>, Refusal> {
    profile::kept(name).ok_or_else(|| {
        let error = ReadError::file(
            name,
            format!("\u{201c}{name}\u{201d} is no built-in profile"),
            format!(
                "{}, or the file of a profile by --profile",
                crate::phrase::one_of(&profile::builtin_names())
            ),
        );
        (Sheets::default(), vec![error]).into()
    })
}
