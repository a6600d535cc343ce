//! Puts readings behind each other in their file, so that a crash at any moment loses nothing that
//! was answered.

use crate::args::PowerupArgs;
use crate::commands::{Failure, files};
use crate::date::Date;
use crate::powerup::{Entry, PowerUp};
use crate::read::ReadError;
use crate::readings::{CUT_OFF, Moment, Readings};
use std::fs::{File, OpenOptions};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::PathBuf;
use std::time::{SystemTime, UNIX_EPOCH};

/// The open file, and who reads with what.
pub(super) struct Record<'r> {
    power_up: &'r PowerUp<'r>,
    file: File,
    path: PathBuf,
    at: Option<Moment>,
    pub(super) by: String,
    pub(super) instrument: String,
}

impl<'r> Record<'r> {
    /// Opens the file to write behind what is there.
    pub(super) fn open(args: &PowerupArgs, power_up: &'r PowerUp<'r>) -> Result<Self, Failure> {
        let path = args.readings.clone().unwrap_or_default();
        if files::is_stream(&path) {
            let says = "readings cannot be put behind standard input";
            return Err(ReadError::file("--readings", says, "a file").into());
        }
        let must = |what: &Option<String>, option: &str, expected: &str| {
            let text = what.clone().filter(|text| !text.trim().is_empty());
            if text.is_none() && !args.guide {
                let says = "nobody says it, and every reading has it";
                return Err(Failure::from(ReadError::file(option, says, expected)));
            }
            Ok(text.unwrap_or_default())
        };
        let by = must(&args.by, "--by", "initials of who reads: --by RK")?;
        let expected = "with what was read: --instrument \"meter 2\"";
        let instrument = must(&args.instrument, "--instrument", expected)?;
        let file = OpenOptions::new()
            .read(true)
            .append(true)
            .create(true)
            .open(&path)
            .map_err(|error| files::not_written(&path, &error))?;
        let mut record = Self { power_up, file, path, at: args.at, by, instrument };
        record.close_line()?;
        Ok(record)
    }

    /// A line that was cut off gets its end, and a mark behind it.
    fn close_line(&mut self) -> Result<(), Failure> {
        let failed = |path: &PathBuf, error: &std::io::Error| files::not_written(path, error);
        let length =
            self.file.seek(SeekFrom::End(0)).map_err(|error| failed(&self.path, &error))?;
        if length == 0 {
            return Ok(());
        }
        let mut last = [0];
        self.file
            .seek(SeekFrom::Start(length - 1))
            .and_then(|_| self.file.read_exact(&mut last))
            .map_err(|error| failed(&self.path, &error))?;
        if last == *b"\n" {
            return Ok(());
        }
        let text = files::read(&self.path)?;
        let line = text.rsplit(|byte| *byte == b'\n').next().unwrap_or_default();
        let is_torn = line.first() == Some(&b'{') && line.last() != Some(&b'}');
        let mark = if is_torn { format!("\n{CUT_OFF}\n") } else { "\n".to_owned() };
        self.put(mark.as_bytes())
    }

    fn put(&mut self, bytes: &[u8]) -> Result<(), Failure> {
        // One call for the whole line, and on the disk before anybody is told.
        self.file
            .write_all(bytes)
            .and_then(|()| self.file.sync_data())
            .map_err(|error| files::not_written(&self.path, &error))
    }

    /// Writes `STEP=VALUE` down, if it counts where the power-up stands.
    pub(super) fn take(
        &mut self,
        text: &str,
        is_reason: bool,
        before: &Readings,
    ) -> Result<usize, Failure> {
        let (name, value) = text.split_once('=').ok_or_else(|| {
            let says = format!("`{text}` has no `=`");
            ReadError::file("the reading", says, "a step and what was read: dead-unit-1=0.2")
        })?;
        let step = super::step(self.power_up, name.trim())?;
        self.write(step, value.trim(), is_reason, before)?;
        Ok(step)
    }

    /// Writes the reading of a step down, if it counts where the power-up stands.
    pub(super) fn write(
        &mut self,
        step: usize,
        value: &str,
        is_reason: bool,
        before: &Readings,
    ) -> Result<(), Failure> {
        let time = self.at.or_else(now).ok_or_else(|| {
            ReadError::file("the clock", "it shows no day of the calendar", "--at TIME")
        })?;
        let entry =
            Entry { power_up: self.power_up, time, by: &self.by, instrument: &self.instrument };
        let line = entry
            .line(step, value, is_reason, before)
            .map_err(|(says, expected)| ReadError::file("the reading", says, expected))?;
        self.put(line.as_bytes())
    }
}

/// The clock's moment, in universal time.
pub(in crate::commands) fn now() -> Option<Moment> {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).ok()?.as_secs();
    let seconds = u32::try_from(since % 86_400).ok()?;
    Some(Moment { date: Date::of_days(since / 86_400)?, seconds, zone: Some(0) })
}
