//! `coldcheck powerup`.

mod guide;
mod record;

use super::{Failure, colour, files};
use crate::args::{Cli, Format, PowerupArgs};
use crate::diagnosis::Diagnosis;
use crate::engine::{Request, Site, examine};
use crate::phrase::counted;
use crate::powerup::told::{self, Told, refusal};
use crate::powerup::{Progress, Step, WayDown, progress, steps, way_down};
use crate::read::{RawSheet, ReadError};
use crate::readings::{self, Readings};
use crate::render::terminal::Style;
use crate::render::{json, terminal};
use crate::site_file::SiteFile;
use crate::tidy;
use record::Record;
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
        let day = Day::of(&site, &diagnosis, &shape, request);
        let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
        let style = Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
        let mut readings = read(args.readings.as_deref())?;
        if !args.take.is_empty() || !args.reason.is_empty() {
            let mut record = Record::open(args, &day)?;
            for (text, is_reason) in given(args) {
                record.take(&text, is_reason, &readings)?;
                readings = read(args.readings.as_deref())?;
            }
        }
        if args.guide {
            let mut record = Record::open(args, &day)?;
            readings = guide::run(&day, args, &mut record, style, out)?;
        }
        let told = day.told(&readings);
        if !args.guide {
            let text = match (args.format, args.way_down) {
                (Format::Json, _) => format!("{:#}\n", json::powerup::told(&told)),
                (Format::Text, true) => terminal::powerup::way_down(&told, style),
                (Format::Text, false) => terminal::powerup::text(&told, style),
            };
            let inputs = files::inputs(&args.site, &site);
            files::write(&inputs, &args.output, out, text.as_bytes())?;
        }
        let is_open = args.readings.is_some() && !told.progress.is_done();
        Ok(match (day.has_danger, told.failed(), is_open) {
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

/// The readings file; none, and one that is not there yet, hold nothing.
pub(super) fn read(path: Option<&Path>) -> Result<Readings, Failure> {
    let Some(path) = path.filter(|path| path.exists()) else {
        return Ok(Readings::default());
    };
    let file = RawSheet { name: files::name(path), bytes: files::read(path)? };
    readings::read(&file).map_err(|(sheets, errors)| Failure::Errors(sheets, errors))
}

/// A power-up under the sheets of today.
pub(super) struct Day<'d> {
    site: &'d Site,
    diagnosis: &'d Diagnosis,
    steps: Vec<Step>,
    way_down: WayDown,
    hash: String,
    has_danger: bool,
}

impl<'d> Day<'d> {
    /// The power-up of a site.
    pub(super) fn of(
        site: &'d Site,
        diagnosis: &'d Diagnosis,
        shape: &SiteFile,
        request: &Request<'_>,
    ) -> Self {
        Self {
            site,
            diagnosis,
            steps: steps(site, shape),
            way_down: way_down(site, shape),
            hash: readings::hash(request.files),
            has_danger: told::dangers(diagnosis).next().is_some(),
        }
    }
}

impl Day<'_> {
    fn progress(&self, readings: &Readings) -> Progress {
        progress(&self.steps, &readings.list, self.has_danger)
    }

    pub(super) fn told<'t>(&'t self, readings: &'t Readings) -> Told<'t> {
        Told {
            site: self.site,
            diagnosis: self.diagnosis,
            steps: &self.steps,
            progress: self.progress(readings),
            readings: &readings.list,
            way_down: &self.way_down,
            hash: &self.hash,
            remarks: self.remarks(readings),
        }
    }

    fn remarks(&self, readings: &Readings) -> Vec<String> {
        let mut remarks = Vec::new();
        for cell in &readings.cut_off {
            let line = readings.sheets.position(cell.origin).line;
            remarks.push(format!(
                "line {line} of the readings was cut off while it was written: it is left out"
            ));
        }
        for field in &readings.not_understood {
            remarks.push(format!("nobody knows the field `{}` of the readings", field.text));
        }
        let refused = self.progress(readings).refused;
        for (position, why) in &refused {
            let step = readings.list.get(*position).and_then(|reading| reading.step.as_ref());
            let (step, line) = step.map_or(("", 0), |cell| {
                (cell.text.as_str(), readings.sheets.position(cell.origin).line)
            });
            remarks.push(format!(
                "line {line} of the readings does not count for {step}: {}",
                refusal(&self.steps, *why)
            ));
        }
        let without = readings.list.iter().filter(|reading| reading.step.is_none()).count();
        if without > 0 {
            remarks.push(format!("{} of the file belong to no step", counted(without, "reading")));
        }
        remarks
    }

    /// The step that a name means.
    fn step(&self, name: &str) -> Result<usize, ReadError> {
        self.steps.iter().position(|step| step.id == name).ok_or_else(|| {
            let known = self.steps.iter().map(|step| step.id.as_str());
            let near = crate::fold::nearest(name, known).map_or_else(
                || "a step as the list names it".to_owned(),
                |near| format!("`{near}`"),
            );
            ReadError::file("the reading", format!("this site has no step `{name}`"), near)
        })
    }
}
