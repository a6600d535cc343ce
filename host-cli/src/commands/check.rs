//! `coldcheck check`.

use super::{Failure, colour, files};
use crate::args::{CheckArgs, Cli, ReportArgs, ReportFormat};
use crate::date::Date;
use crate::diagnosis::{Day, Diagnosis};
use crate::engine::{Site, examine_as};
use crate::read::ReadError;
use crate::render::{json, sarif, terminal};
use std::io::{IsTerminal, Write};
use std::time::{SystemTime, UNIX_EPOCH};

pub(super) fn run(cli: &Cli, args: &CheckArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, mut diagnosis) = examine_as(request, args.assume_done)?;
        weigh(&site, &mut diagnosis, args.report.date, args.report.strict)?;
        let text = told(cli, &args.report, &site, &diagnosis);
        let inputs = files::inputs(&args.site, &site);
        files::write(&inputs, &args.report.output, out, text.as_bytes())?;
        Ok(diagnosis.verdict.exit_code())
    })
}

/// Holds the site's waivers against a day, and reads the outcome strictly if that is asked for.
pub(super) fn weigh(
    site: &Site,
    diagnosis: &mut Diagnosis,
    date: Option<Date>,
    strict: bool,
) -> Result<(), ReadError> {
    if !site.declared.waivers.is_empty() {
        diagnosis.waive(site, day(date)?);
    }
    if strict {
        diagnosis.be_strict();
    }
    Ok(())
}

/// The report in the form that was asked for.
pub(super) fn told(cli: &Cli, args: &ReportArgs, site: &Site, diagnosis: &Diagnosis) -> String {
    match args.format {
        ReportFormat::Json => format!("{:#}\n", json::check(site, diagnosis)),
        ReportFormat::Sarif => format!("{:#}\n", sarif::check(site, diagnosis)),
        ReportFormat::Text => {
            let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
            let style = terminal::Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
            terminal::check(site, diagnosis, style)
        }
    }
}

/// The day that was given, else that of the clock. The clock knows no time zone, so around
/// midnight it may be a day off; the report says which day it was.
pub(super) fn day(given: Option<Date>) -> Result<Day, ReadError> {
    let of_clock = || {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).ok()?;
        Date::of_days(since.as_secs() / 86_400)
    };
    let date = given.or_else(of_clock).ok_or_else(|| {
        ReadError::file("the clock", "it shows no day of the calendar", "--date YYYY-MM-DD")
    })?;
    Ok(Day { date, from_clock: given.is_none() })
}
