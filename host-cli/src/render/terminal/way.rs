//! The way through a job day, for people.

use super::{Ink, Style, Text};
use crate::phrase::all_of;
use crate::powerup::told::Told;
use crate::render::told;
use crate::way::{Part, Standing, Station, next};
use crate::words::CAUTIONS;

/// Files as the overview names them.
#[derive(Clone, Debug, Default)]
pub struct Files {
    /// The sheets.
    pub sheets: Vec<String>,
    /// The readings; where there are none yet, how they may be called.
    pub readings: String,
    /// Files that are no sheets.
    pub aside: Vec<String>,
    /// Whole sites that this program wrote of the same units, beside their sheets.
    pub written: Vec<String>,
}

/// Where the site stands, station by station, each with its command.
pub fn text(told: &Told<'_>, way: &[Station], files: &Files, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    out.wrapped("", &told::subject(told.site));
    out.wrapped("", &format!("sheets here: {}", all_of(&files.sheets)));
    if !files.aside.is_empty() && !style.quiet {
        out.wrapped("", &format!("no sheets: {}", all_of(&files.aside)));
    }
    if !files.written.is_empty() {
        let says = format!(
            "left out: {}, written by this program of the same units. The sheets above are taken; to \
             look at the other: coldcheck check {}; to go on with it in their place, move them to \
             another folder",
            all_of(&files.written),
            files.written.first().map_or_else(String::new, quoted)
        );
        out.wrapped("", &says);
    }
    for part in Part::ALL {
        out.heading(part.title());
        for one in way.iter().filter(|one| one.part == part) {
            let (sign, ink) = match one.standing {
                Standing::Done => ("[x]", Ink::Calm),
                Standing::Open => ("[ ]", Ink::Attention),
                Standing::Stop => ("[!]", Ink::Alarm),
                Standing::Waits => ("[-]", Ink::Plain),
            };
            let head = out.bold(&format!("{sign} {:10}", one.command), ink);
            out.wrapped(&format!("{head} "), &one.says);
        }
    }
    out.blank();
    if let Some(next) = next(way) {
        let head = out.bold("next:", Ink::Attention);
        out.wrapped(&format!("{head} "), &command(next, files));
    }
    out.blank();
    out.wrapped("", CAUTIONS);
    out.out
}

/// A name as a shell takes it.
fn quoted(name: &String) -> String {
    let is_plain = |sign: char| sign.is_alphanumeric() || "./-_".contains(sign);
    if name.chars().all(is_plain) { name.clone() } else { format!("'{name}'") }
}

/// What to type for a station.
fn command(station: &Station, files: &Files) -> String {
    let sheets: Vec<String> = files.sheets.iter().map(quoted).collect();
    let readings = quoted(&files.readings);
    let rest = match station.command {
        "powerup" => format!(" --readings {readings} --guide"),
        "report" => format!(" --readings {readings} -o report.html"),
        _ => String::new(),
    };
    match station.command {
        "changeover" => "coldcheck changeover RECORD.csv".to_owned(),
        command => format!("coldcheck {command} {}{rest}", sheets.join(" ")),
    }
}

/// What to do where no sheet is yet.
pub const NO_SHEETS: &str = "\
No sheet of a site is in this folder. The way through a job day:

  Design     coldcheck new --units 3 --profile plain --out-dir my-site
             coldcheck check cables.csv settings.txt
             coldcheck size, draw, mend: numbers, a picture, the least to change
  Dead       coldcheck meter, powerup: what a meter must show, step by step
  Live       coldcheck powerup, sensors, changeover
  Hand-over  coldcheck report --one-page: the sheet to sign

Write a cable list and a settings list, or let `new` make a right site to start
from; then say `coldcheck` in their folder. `coldcheck --help` has all commands.
";
