//! `coldcheck powerup`.

mod guide;
mod record;

use super::{Failure, colour, files};
use crate::args::{Cli, Format, PowerupArgs};
use crate::engine::examine;
use crate::powerup::PowerUp;
use crate::read::{RawSheet, ReadError};
use crate::readings::{self, Readings};
use crate::render::terminal::Style;
use crate::render::{json, terminal};
use crate::tidy;
use record::Record;
pub(super) use record::now;
use std::io::{IsTerminal, Write};
use std::path::Path;

/// Exit codes.
const FAILED: u8 = 1;
const OPEN: u8 = 4;
const STOP: u8 = 5;

pub(super) fn run(cli: &Cli, args: &PowerupArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, diagnosis) = examine(request)?;
        let shape = tidy::shape(&site, request)?;
        let mut power_up = PowerUp::of(&site, &diagnosis, &shape, request.files);
        power_up.now = args.at.or_else(now);
        let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
        let style = Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
        let mut readings = read_so_far(args)?;
        let mut taken = Vec::new();
        if !args.take.is_empty() || !args.reason.is_empty() {
            let mut record = Record::open(args, &power_up)?;
            for (text, is_reason) in given(args) {
                taken.push(record.take(&text, is_reason, &readings)?);
                readings = read_so_far(args)?;
            }
        }
        if args.guide {
            let mut record = Record::open(args, &power_up)?;
            readings = guide::run(&power_up, args, &mut record, style, out)?;
        }
        let mut told = power_up.told(&readings);
        if let Some(path) = args.readings.as_deref().filter(|path| !path.exists()) {
            told.remarks.push(format!("{} is not there yet: nothing was read", path.display()));
        }
        if !args.guide {
            let text = match (args.format, args.way_down) {
                (Format::Json, _) => format!("{:#}\n", json::powerup::told(&told)),
                (Format::Text, true) => terminal::powerup::way_down(&told, style),
                // Who writes readings down wants to know what they showed, and what is next.
                (Format::Text, false) if !taken.is_empty() && args.output.output.is_none() => {
                    terminal::powerup::taken(&told, &taken, style)
                }
                (Format::Text, false) => terminal::powerup::text(&told, style),
            };
            let inputs = files::inputs(&args.site, &site);
            files::write(&inputs, &args.output, out, text.as_bytes())?;
        }
        let is_open = args.readings.is_some() && !told.progress.is_done();
        Ok(match (power_up.has_danger(), told.failed(), is_open) {
            (true, ..) => STOP,
            (false, 1.., _) => FAILED,
            (false, 0, true) => OPEN,
            (false, 0, false) => 0,
        })
    })
}

/// What the command line gives, in the order in which it stands there: readings, then reasons.
fn given(args: &PowerupArgs) -> Vec<(String, bool)> {
    let readings = args.take.iter().map(|text| (text.clone(), false));
    readings.chain(args.reason.iter().map(|text| (text.clone(), true))).collect()
}

/// The readings file; without one nothing was read.
pub(super) fn read(path: Option<&Path>) -> Result<Readings, Failure> {
    let Some(path) = path else { return Ok(Readings::default()) };
    let file = RawSheet { name: files::name(path), bytes: files::read(path)? };
    readings::read(&file).map_err(|(sheets, errors)| Failure::Errors(sheets, errors))
}

/// The readings file; one that is not there yet holds nothing.
fn read_so_far(args: &PowerupArgs) -> Result<Readings, Failure> {
    read(args.readings.as_deref().filter(|path| path.exists()))
}

/// The step that a name means.
fn step(power_up: &PowerUp<'_>, name: &str) -> Result<usize, ReadError> {
    power_up.steps.iter().position(|step| step.id == name).ok_or_else(|| {
        let known = power_up.steps.iter().map(|step| step.id.as_str());
        let near = crate::fold::nearest(name, known)
            .map_or_else(|| "a step as the list names it".to_owned(), |near| format!("`{near}`"));
        ReadError::file("the reading", format!("this site has no step `{name}`"), near)
    })
}
