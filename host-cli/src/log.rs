//! Logs of a CAN bus: what a recorder wrote down, line by line, with its times.
//!
//! | form | a line of it |
//! |---|---|
//! | candump, as a log | `(1436509052.249713) can0 701#05` |
//! | candump, as on a screen | `can0  701   [1]  05`, with or without `(time)` in front |
//! | SLCAN | `t701105`, or `t7011050F3A` with the adapter's time |
//!
//! Which form it is is told by what the log holds, never by its name. The forms are those of the
//! open tools can-utils and of the package python-can, which `tests/listening.rs` holds this
//! against.
//!
//! A log may be cut off, damaged or no log at all, and it may be larger than any memory: it is read
//! in pieces, a line is kept up to [`LONGEST_LINE`] bytes, and what fits no form is counted.
//!
//! ```
//! use coldcheck::log::{Reader, Said};
//!
//! let mut reader = Reader::new("bus.log", None);
//! let mut heard = Vec::new();
//! reader
//!     .push(b"(7.000000) can0 701#05\n(7.250000) can0 702#05\n", &mut |entry| {
//!         if let Said::Frame(frame) = entry.said {
//!             heard.push((entry.at.0, frame.id().bits()));
//!         }
//!     })
//!     .expect("a log");
//! assert_eq!(heard, [(0, 0x701), (250, 0x702)]);
//! ```

mod candump;
mod error_frame;
mod lines;
mod stamp;
mod summary;
pub mod text;
mod timeline;

pub use error_frame::ErrorFrame;
pub use lines::LONGEST_LINE;
pub use stamp::Stamp;
pub use summary::{Form, Summary, Times, Unfit};

use crate::read::ReadError;
use coldcheck_core::frame::Frame;
use coldcheck_core::plan::Milliseconds;
use coldcheck_core::slcan::{self, Clock, Status};
use lines::{Line, Lines};
use timeline::Timeline;

/// How many lines at the beginning may fit no form before the file is no log. The first one may be
/// cut, and a heading may stand above.
const LINES_OF_GRACE: u64 = 5;

/// Most interfaces that are told apart.
const MOST_INTERFACES: usize = 32;

/// Most lines that fit no form and are shown.
const MOST_SHOWN: usize = 3;

/// What a line of a log said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Said {
    /// A frame that came.
    Frame(Frame),
    /// A frame that the recorder sent itself.
    Sent(Frame),
    /// A frame of CAN FD or of a later kind; its data are left alone.
    Other,
    /// What the recorder's controller says about the bus.
    Error(ErrorFrame),
    /// The same of an adapter that speaks SLCAN.
    Status(Status),
}

/// A line of a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry<'l> {
    /// The time since the first line that has one; 0 while none has.
    pub at: Milliseconds,
    /// The time as it is written.
    pub stamp: Option<Stamp>,
    /// The interface; empty where the form names none.
    pub interface: &'l str,
    /// What it said.
    pub said: Said,
}

/// Takes entries as they come.
pub type Take<'t> = dyn FnMut(Entry<'_>) + 't;

/// Reads a log in pieces.
#[derive(Debug)]
pub struct Reader {
    name: String,
    wanted: Option<String>,
    lines: Lines,
    timeline: Timeline,
    clock: Clock,
    summary: Summary,
    /// Whether lines that explain an error frame may follow.
    explains: bool,
}

impl Reader {
    /// At the beginning of a log of this name; of several interfaces one may be chosen.
    pub fn new(name: &str, interface: Option<&str>) -> Self {
        Self {
            name: name.to_owned(),
            wanted: interface.map(ToOwned::to_owned),
            lines: Lines::default(),
            timeline: Timeline::default(),
            clock: Clock::default(),
            summary: Summary::default(),
            explains: false,
        }
    }

    /// Takes the next bytes and hands on what the lines that end in them say.
    ///
    /// # Errors
    /// If the first lines fit no form.
    pub fn push(&mut self, bytes: &[u8], take: &mut Take<'_>) -> Result<(), ReadError> {
        let mut rest = bytes;
        while let Some((line, behind)) = self.lines.next(rest) {
            rest = behind;
            self.line(&line, take)?;
        }
        Ok(())
    }

    /// Takes the last line, if nothing ends it, and says what the log was like.
    ///
    /// # Errors
    /// If no line fits any form, or if nobody said which of several interfaces is meant.
    pub fn finish(&mut self, take: &mut Take<'_>) -> Result<&Summary, ReadError> {
        if let Some(line) = self.lines.rest() {
            self.line(&line, take)?;
        }
        if self.summary.form.is_none() && self.summary.unfit > 0 {
            return Err(self.no_log());
        }
        self.settle_interface()?;
        Ok(&self.summary)
    }

    /// What the log was like so far.
    pub const fn summary(&self) -> &Summary {
        &self.summary
    }

    fn line(&mut self, line: &Line, take: &mut Take<'_>) -> Result<(), ReadError> {
        self.summary.lines += 1;
        let text = match line {
            Line::Whole(text) => text.as_slice(),
            Line::TooLong(beginning) => return self.unfit(beginning),
        };
        let trimmed = text.trim_ascii();
        if trimmed.is_empty() || is_remark(trimmed) || self.explains && text.starts_with(b"\t") {
            return Ok(());
        }
        self.explains = false;
        match self.summary.form {
            Some(Form::Candump) => self.candump(trimmed, take),
            Some(Form::Slcan) => self.slcan(trimmed, take),
            None => {
                if candump::read(trimmed).is_some() {
                    self.summary.form = Some(Form::Candump);
                    return self.candump(trimmed, take);
                }
                match slcan::read(trimmed) {
                    slcan::Line::Frame(..) | slcan::Line::Status(_) => {
                        self.summary.form = Some(Form::Slcan);
                        self.slcan(trimmed, take)
                    }
                    // Too many words begin with a letter that an adapter answers with.
                    slcan::Line::Answer if trimmed.len() <= 5 => Ok(()),
                    slcan::Line::Answer | slcan::Line::Garbled => self.unfit(trimmed),
                }
            }
        }
    }

    fn candump(&mut self, line: &[u8], take: &mut Take<'_>) -> Result<(), ReadError> {
        let Some(written) = candump::read(line) else { return self.unfit(line) };
        self.summary.note_interface(written.interface);
        if self.wanted.as_deref().is_some_and(|wanted| wanted != written.interface) {
            return Ok(());
        }
        let at = self.timeline.at(written.stamp.map(|stamp| stamp.0), &mut self.summary);
        self.explains = matches!(written.said, Said::Error(_));
        self.summary.note(&written.said, at);
        take(Entry { at, stamp: written.stamp, interface: written.interface, said: written.said });
        Ok(())
    }

    fn slcan(&mut self, line: &[u8], take: &mut Take<'_>) -> Result<(), ReadError> {
        let (said, stamp) = match slcan::read(line) {
            slcan::Line::Frame(frame, time) => {
                let since = time.map(|time| u64::from(self.clock.at(time).0) * 1000);
                (Said::Frame(frame), Some(since))
            }
            slcan::Line::Status(status) => (Said::Status(status), None),
            slcan::Line::Answer => return Ok(()),
            slcan::Line::Garbled => return self.unfit(line),
        };
        // A state has no time of its own: it comes when it comes.
        let at = match stamp {
            Some(since) => self.timeline.at(since, &mut self.summary),
            None => self.timeline.now(),
        };
        self.summary.note(&said, at);
        take(Entry { at, stamp: stamp.flatten().map(Stamp), interface: "", said });
        Ok(())
    }

    fn unfit(&mut self, line: &[u8]) -> Result<(), ReadError> {
        self.summary.unfit += 1;
        if self.summary.shown.len() < MOST_SHOWN {
            let text = String::from_utf8_lossy(line).chars().take(60).collect();
            self.summary.shown.push(Unfit { line: self.summary.lines, text });
        }
        if self.summary.form.is_none() && self.summary.unfit >= LINES_OF_GRACE {
            return Err(self.no_log());
        }
        Ok(())
    }

    fn no_log(&self) -> ReadError {
        let first = self.summary.shown.first();
        let (line, text) = first.map_or((1, ""), |unfit| (unfit.line, unfit.text.as_str()));
        ReadError::file(
            &format!("{}:{line}", self.name),
            format!("\u{201c}{text}\u{201d} is no line of a log"),
            "lines as candump writes them, such as (1436509052.249713) can0 701#05, or lines of \
             SLCAN, such as t701105",
        )
    }

    /// One interface is one bus: two in one log must not be taken for one.
    fn settle_interface(&self) -> Result<(), ReadError> {
        let known: Vec<_> = self.summary.interfaces.iter().map(|(name, _)| name.as_str()).collect();
        let error =
            |says: String, expected: String| Err(ReadError::file(&self.name, says, expected));
        match &self.wanted {
            None if known.len() > 1 => error(
                format!("the log is of several interfaces: {}", known.join(", ")),
                format!("--interface NAME, one of {}", crate::phrase::one_of(&known)),
            ),
            Some(wanted) if self.summary.form == Some(Form::Slcan) => error(
                format!("the log names no interface, so {wanted} is not in it"),
                "no --interface for a log in SLCAN".to_owned(),
            ),
            Some(wanted) if !known.is_empty() && !known.contains(&wanted.as_str()) => error(
                format!("nothing in the log is of interface {wanted}"),
                crate::phrase::one_of(&known),
            ),
            Some(_) | None => Ok(()),
        }
    }
}

/// A line that a person or a program put between the frames.
fn is_remark(line: &[u8]) -> bool {
    line.starts_with(b"#") || line.starts_with(b";") || line.starts_with(b"//")
}

#[cfg(test)]
mod tests;
