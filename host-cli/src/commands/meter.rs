//! `coldcheck meter`.

use super::progress::Progress;
use super::{Failure, colour, files};
use crate::args::{Cli, Format, MeterArgs};
use crate::engine::{Site, examine, plan};
use crate::meter::names::Names;
use crate::meter::taken::{self, Accuracy, AllGiven};
use crate::meter::told::{self, Outcome, Result as Answer};
use crate::meter::topology::{Bias, Topology};
use crate::phrase::counted;
use crate::read::{RawSheet, ReadError};
use crate::readings::{self, Quantity};
use crate::render::terminal::meter::Told;
use crate::render::{json, terminal};
use std::io::{IsTerminal, Write};
use std::path::PathBuf;

/// Exit code where the readings point to a fault.
const FAULT: u8 = 1;
/// Exit code of a danger, as `check` has it.
const STOP: u8 = 5;

pub(super) fn run(
    cli: &Cli,
    args: &MeterArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    let streams =
        args.site.sheets.iter().chain(&args.readings).filter(|path| files::is_stream(path));
    if streams.count() > 1 {
        return Err(ReadError::file("standard input", "it is named twice", "one `-` only").into());
    }
    files::with_request(&args.site, |request| {
        let (site, diagnosis) = examine(request)?;
        let no_plan = |error| ReadError::file("the plan", format!("{error:?}"), "a plan");
        let plan = plan(&site).map_err(no_plan)?;
        let mut topology = Topology::of(&plan);
        if topology.cables.is_empty() && topology.points.len() != 1 {
            let says = "no sheet lists a link cable between two units";
            let expected = "a cable list with the cables of the link and both ends of each";
            return Err(ReadError::file("the sheets", says, expected).into());
        }
        let names = Names::of(&site, &topology);
        topology.bias = bias(args, &names, &topology)?;
        let hash = readings::hash(request.files);
        let accuracy = args.accuracy.unwrap_or(taken::USUAL);
        let (given, remarks) = given(args, &names, &topology, accuracy, &hash)?;
        let has_readings = !args.read.is_empty() || args.readings.is_some();
        let outcome = has_readings.then(|| {
            let mut progress = Progress::new(cli.quiet);
            let mut tell = |done: usize, of: usize| {
                progress.show(err, |_| format!("{done} of {of} answers looked at"));
            };
            let told = told::outcome_told(&plan, &topology, &names, &given, accuracy, &mut tell);
            progress.clear(err);
            told
        });
        let told = Told {
            site: &site,
            diagnosis: &diagnosis,
            sheet: told::sheet(&plan, &topology, &names),
            outcome,
            hash,
            sheets: args.site.sheets.iter().map(|path| path.display().to_string()).collect(),
            remarks,
        };
        let text = match args.format {
            Format::Json => format!("{:#}\n", json::meter::told(&told)),
            Format::Text => {
                let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
                let style = terminal::Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
                terminal::meter::text(&told, style)
            }
        };
        let inputs = inputs(args, &site);
        files::write(&inputs, &args.output, out, text.as_bytes())?;
        Ok(if told.dangers() > 0 { STOP } else { told.outcome.as_ref().map_or(0, exit_code) })
    })
}

fn exit_code(outcome: &Outcome) -> u8 {
    match outcome.result {
        Answer::FitsDeclared | Answer::NoOhms => 0,
        Answer::PointsToFault | Answer::NothingFits => FAULT,
        Answer::Live => STOP,
    }
}

fn inputs(args: &MeterArgs, site: &Site) -> Vec<PathBuf> {
    let mut inputs = files::inputs(&args.site, site);
    inputs.extend(args.readings.clone());
    inputs
}

/// Readings of the command line and of the file, and what is to be said about them.
fn given(
    args: &MeterArgs,
    names: &Names<'_>,
    topology: &Topology,
    accuracy: Accuracy,
    hash: &str,
) -> Result<(AllGiven, Vec<String>), Failure> {
    let mut given = AllGiven::default();
    let mut remarks = Vec::new();
    let expected = "a place as the plan names it: `unit 3 A`, `plug C2`";
    if let Some(path) = &args.readings {
        let file = RawSheet { name: files::name(path), bytes: files::read(path)? };
        let read =
            readings::read(&file).map_err(|(sheets, errors)| Failure::Errors(sheets, errors))?;
        let mut errors = Vec::new();
        let (mut stale, mut others) = (0, 0);
        for reading in readings::oldest_first(&read.list) {
            if reading.sheets != hash {
                stale += 1;
                continue;
            }
            let is_of_pair = matches!(reading.quantity, Quantity::PairOhms | Quantity::PairVolts);
            if !is_of_pair || names.is_elsewhere(&reading.place.text) {
                others += 1;
                continue;
            }
            let pulled = reading.pulled.as_ref().map(|cell| cell.text.as_str());
            let place = (reading.place.text.as_str(), pulled);
            let what = (reading.quantity, &reading.value);
            if let Err(says) = given.take(names, topology, accuracy, place, what) {
                errors.push(ReadError::at(&read.sheets, reading.place.origin, says, expected));
            }
        }
        if !errors.is_empty() {
            return Err(Failure::Errors(read.sheets, errors));
        }
        let left_out = [
            (stale, "taken under other sheets than these"),
            (others, "not of the pair of the link"),
        ];
        for (count, why) in left_out.into_iter().filter(|(count, _)| *count > 0) {
            remarks.push(format!("{} left out: {why}", counted(count, "reading")));
        }
        for field in &read.not_understood {
            remarks.push(format!("nobody knows the field `{}` of the readings", field.text));
        }
    }
    let mut errors = Vec::new();
    for text in &args.read {
        let taken = taken::from_words(text, args.pull.as_deref()).and_then(|read| {
            let (place, pulled, quantity, amount) = read;
            let place = (place.as_str(), pulled.as_deref());
            given.take(names, topology, accuracy, place, (quantity, &amount))
        });
        if let Err(says) = taken {
            errors.push(ReadError::file("--read", says, expected));
        }
    }
    if given.replaced > 0 {
        let count = counted(given.replaced, "reading");
        remarks.push(format!("{count} left out: a newer one was taken at the same place"));
    }
    if errors.is_empty() {
        Ok((given, remarks))
    } else {
        Err(Failure::Errors(crate::source::Sheets::default(), errors))
    }
}

/// `unit 1=680`.
fn bias(args: &MeterArgs, names: &Names<'_>, topology: &Topology) -> Result<Vec<Bias>, Failure> {
    use crate::meter::circuit::Where;
    let wrong = |text: &str| {
        let says = format!("`{text}` names no unit of the link, or no ohms");
        ReadError::file("--bias", says, "a unit and the ohms of each resistor: \"unit 1=680\"")
    };
    let mut found = Vec::new();
    for text in &args.bias {
        let (place, ohms) = text.split_once('=').ok_or_else(|| wrong(text))?;
        let spot = names.meant(topology, place, None).map_err(|_| wrong(text))?;
        let ohms: f64 =
            ohms.trim().trim_end_matches("ohm").trim().parse().map_err(|_| wrong(text))?;
        match spot.place {
            Where::Point(point) if (10.0..=1e6).contains(&ohms) => found.push(Bias { point, ohms }),
            Where::Point(_) | Where::Plug => return Err(wrong(text).into()),
        }
    }
    Ok(found)
}
