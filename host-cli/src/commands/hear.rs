//! `coldcheck hear`.

mod live;
mod source;
mod watch;

use super::{Failure, check, files};
use crate::args::{Cli, DialectArg, HearArgs, ReportFormat, ScopeArg};
use crate::diagnosis::{Diagnosis, diagnose_heard};
use crate::engine::{Request, Site, plan, site_of};
use crate::hearing::Hearing;
use crate::log::Reader;
use crate::read::ReadError;
use source::{Piece, Source};
use std::io::Write;
use std::path::{Path, PathBuf};
use watch::Watch;

pub(super) fn run(
    cli: &Cli,
    args: &HearArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    let (sheets, log) = sheets_and_log(args)?;
    let site = site(args, sheets)?;
    // Where the report is for programs, its stream takes nothing else.
    let is_mixed = args.report.format == ReportFormat::Text || args.report.output.output.is_some();
    let told: &mut dyn Write = if is_mixed { &mut *out } else { err };
    let mut diagnosis = listen(args, &site, log, told)?;
    check::weigh(&site, &mut diagnosis, args.report.date, args.report.strict)?;
    let text = check::told(cli, &args.report, &site, &diagnosis);
    let inputs = files::inputs_with(&args.files, &site);
    files::write(&inputs, &args.report.output, out, text.as_bytes())?;
    Ok(diagnosis.verdict.exit_code())
}

/// The last file is the log, unless an interface is listened to.
fn sheets_and_log(args: &HearArgs) -> Result<(&[PathBuf], Option<&Path>), ReadError> {
    let is_stream = |path: &&PathBuf| files::is_stream(path);
    if args.files.iter().filter(is_stream).count() > 1 {
        return Err(ReadError::file("standard input", "it is named twice", "one `-` only"));
    }
    if args.live.is_some() {
        return Ok((&args.files, None));
    }
    match args.files.split_last() {
        Some((log, sheets)) if !sheets.is_empty() => Ok((sheets, Some(log))),
        _ => Err(ReadError::file(
            "the log",
            "it is not said which file it is",
            "coldcheck hear SHEET… LOG: the last file is the log, `-` is standard input",
        )),
    }
}

fn site(args: &HearArgs, sheets: &[PathBuf]) -> Result<Site, Failure> {
    let files = files::sheets(sheets)?;
    let mut site = site_of(&Request {
        files: &files,
        profile: args.profile.as_deref(),
        scope: args.scope.map(ScopeArg::scope),
        load_profile: &files::profiles_of(sheets, args.profile.as_deref()),
    })?;
    if let Some(dialect) = args.dialect.map(DialectArg::dialect) {
        site.demand_dialect(dialect)?;
    }
    Ok(site)
}

/// Listens until the log ends, the time is up or the person stops it.
fn listen(
    args: &HearArgs,
    site: &Site,
    log: Option<&Path>,
    told: &mut dyn Write,
) -> Result<Diagnosis, Failure> {
    let no_plan =
        |error| ReadError::file("the plan", format!("it is damaged ({error:?})"), "a plan");
    let plan = plan(site).map_err(no_plan)?;
    let name = log.map_or_else(|| args.live.clone().unwrap_or_default(), files::name);
    let mut hearing = Hearing::of(&plan, Reader::new(&name, args.interface.as_deref()));
    let mut source = if let Some(log) = log {
        Source::file(log, args.follow)?
    } else {
        hearing.knows_controller();
        Source::live(&name)?
    };
    let mut watch = args.follow.then(|| Watch::new(site, args.report.date, told));
    source.stop_after(args.lasts);
    if args.follow || log.is_none() {
        source.stop_when_asked();
    }
    loop {
        match source.piece()? {
            Piece::Bytes(bytes) => match &mut watch {
                Some(watch) => watch.push(&mut hearing, bytes)?,
                None => hearing.push(bytes)?,
            },
            Piece::Silence(at) => hearing.pass(at),
            Piece::End => break,
        }
    }
    hearing.finish()?;
    let diagnosis = diagnose_heard(site, &hearing).map_err(no_plan)?;
    if let Some(watch) = &mut watch {
        watch.end(&hearing)?;
    }
    Ok(diagnosis)
}
