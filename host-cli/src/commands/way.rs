//! `coldcheck` with nothing behind it: where the site in this folder stands.

use super::powerup::now;
use super::{Failure, colour, files};
use crate::args::Cli;
use crate::declared::Subject;
use crate::engine::{Request, examine, read_site};
use crate::fold::Folded;
use crate::powerup::PowerUp;
use crate::read::RawSheet;
use crate::readings::{self, Readings};
use crate::render::terminal::Style;
use crate::render::terminal::way::{Files, NO_SHEETS, text};
use crate::sizing::site::Sizes;
use crate::{tidy, way};
use std::io::{IsTerminal, Write};
use std::path::Path;

/// More files than this are no folder of one site.
const MOST_FILES: usize = 40;
/// How readings are called where there are none yet.
const READINGS: &str = "day.jsonl";

pub(super) fn run(cli: &Cli, out: &mut dyn Write) -> Result<u8, Failure> {
    let style = Style { colour: colour(cli, std::io::stdout().is_terminal()), quiet: cli.quiet };
    let Found { sheets, readings, names } = found()?;
    if sheets.is_empty() {
        out.write_all(NO_SHEETS.as_bytes())?;
        return Ok(0);
    }
    let request = request(&sheets);
    let (site, diagnosis) = examine(&request)?;
    let shape = tidy::shape(&site, &request)?;
    let mut power_up = PowerUp::of(&site, &diagnosis, &shape, &sheets);
    power_up.now = now();
    let told = power_up.told(&readings);
    let sizes = Sizes::of(&site, &diagnosis).map_err(|error| {
        crate::read::ReadError::file("the plan", format!("it is damaged ({error:?})"), "a plan")
    })?;
    let way = way::way(&told, &sizes.sheet);
    out.write_all(text(&told, &way, &names, style).as_bytes())?;
    Ok(0)
}

fn request(files: &[RawSheet]) -> Request<'_> {
    Request { files, profile: None, scope: None, load_profile: &files::load_profile }
}

/// What lies in this folder.
struct Found {
    sheets: Vec<RawSheet>,
    readings: Readings,
    names: Files,
}

fn found() -> Result<Found, Failure> {
    let mut names = Files { readings: READINGS.to_owned(), ..Files::default() };
    let (mut sheets, mut readings) = (Vec::new(), Readings::default());
    let (mut written, mut aside) = (Vec::new(), Vec::new());
    let paths = files::in_folder(Path::new("."))?;
    for path in paths.into_iter().take(MOST_FILES) {
        let name = path.strip_prefix(".").unwrap_or(&path).display().to_string();
        let file = RawSheet { bytes: files::read(&path)?, name: name.clone() };
        if path.extension().is_some_and(|end| end == "jsonl") {
            if let Ok(read) = readings::read(&file)
                && readings.list.is_empty()
            {
                (readings, names.readings) = (read, name);
            }
        } else if !is_sheet(&file) {
            aside.push(file);
        } else if files::is_written_site(&file.bytes) {
            written.push(file);
        } else {
            sheets.push(file);
        }
    }
    // Beside the others a list may be understood whose names only they explain.
    let with = |file: RawSheet| -> Vec<RawSheet> { sheets.iter().cloned().chain([file]).collect() };
    let (lists, aside): (Vec<RawSheet>, Vec<RawSheet>) = aside.into_iter().partition(|file| {
        let is_sheet = !sheets.is_empty() && !files::is_saved_answer(&file.bytes);
        is_sheet && cables_of(&with(file.clone())) > cables_of(&sheets)
    });
    sheets.extend(lists);
    names.aside = aside.into_iter().map(|file| file.name).collect();
    // What was made of these sheets is not held against them: it would disagree wherever it mends.
    let own = units_of(&sheets);
    for file in written {
        let others = units_of(std::slice::from_ref(&file));
        if !sheets.is_empty() && others.iter().any(|unit| own.contains(unit)) {
            names.written.push(file.name);
        } else {
            sheets.push(file);
        }
    }
    sheets.sort_by(|one, other| one.name.cmp(&other.name));
    names.sheets = sheets.iter().map(|file| file.name.clone()).collect();
    Ok(Found { sheets, readings, names })
}

/// Whether a file tells of a unit, of a cable, or of the group as a whole.
fn is_sheet(file: &RawSheet) -> bool {
    let alone = std::slice::from_ref(file);
    !files::is_saved_answer(&file.bytes)
        && read_site(&request(alone)).is_ok_and(|site| {
            let declared = &site.declared;
            let of_group =
                declared.facts_stated(Subject::Group).count() + declared.demands().count();
            // A page of notes may hold a line that reads as one.
            let is_settings = of_group > 0 && of_group >= declared.not_understood.len();
            is_settings || !declared.units.is_empty() || !declared.cables.is_empty()
        })
}

/// How many cables sheets list.
fn cables_of(sheets: &[RawSheet]) -> usize {
    read_site(&request(sheets)).map_or(0, |site| site.declared.cables.len())
}

/// The units that sheets tell of, as names are compared.
fn units_of(sheets: &[RawSheet]) -> Vec<Folded> {
    let site = read_site(&request(sheets));
    site.map_or_else(
        |_| Vec::new(),
        |site| site.declared.units.iter().map(|unit| unit.key.clone()).collect(),
    )
}
