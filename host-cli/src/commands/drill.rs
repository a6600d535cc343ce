//! `coldcheck drill`.

use super::{Failure, files, new};
use crate::args::{Cli, DrillArgs, DrillFormat, LevelArg};
use crate::drill::ask::{Ask, Refused};
use crate::drill::catalogue::catalogue;
use crate::drill::cause::Cause;
use crate::drill::class::Class;
use crate::drill::exercise::{Drill, bench_of};
use crate::drill::record;
use crate::read::{RawSheet, ReadError, text_of};
use crate::render::drill::{self, html, json, titled};
use crate::source::{Origin, Sheet, SheetId, Sheets};
use serde_json::Value;
use std::io::{IsTerminal, Write};
use std::path::Path;

pub(super) fn run(
    cli: &Cli,
    args: &DrillArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    if args.list {
        return list(args.units, out);
    }
    let ask = Ask {
        units: args.units,
        profile: args.profile.clone(),
        faults: args.faults,
        number: args.number,
        kinds: args.kind.clone(),
        level: args.level.map(LevelArg::level),
        on_paper: args.on_paper,
    };
    if args.places {
        return places(&ask, out);
    }
    let class = class(&ask, args, err).map_err(refused)?;
    if let (Some(record), [drill]) = (&args.score, &class.drills[..]) {
        return weigh(drill, record, args.format, out);
    }
    let Some(folder) = &args.output else {
        let text = match args.format {
            DrillFormat::Text => drill::class(&class),
            DrillFormat::Html => html::class(&class),
            DrillFormat::Json => lines(&json::class(&class, true, true)),
        };
        out.write_all(text.as_bytes())?;
        return Ok(0);
    };
    let files = files(&class, args.format);
    let named: Vec<(&str, String)> =
        files.iter().map(|(name, text)| (name.as_str(), text.clone())).collect();
    let written = new::write_all(&[], folder, args.force, &named)?;
    if !cli.quiet {
        for path in written {
            writeln!(err, "written: {}", path.display())?;
        }
    }
    Ok(0)
}

fn class(ask: &Ask, args: &DrillArgs, err: &mut dyn Write) -> Result<Class, Refused> {
    if args.fault.is_empty() {
        let is_shown = args.class > 1 && std::io::stderr().is_terminal();
        let class = Class::make_telling(ask, args.class, &mut |found| {
            if is_shown {
                let _ = write!(err, "\r{found} drills found, {} are wanted ", args.class);
                let _ = err.flush();
            }
        });
        if is_shown {
            let _ = writeln!(err);
        }
        return class;
    }
    let bench = bench_of(ask)?;
    let ids: Result<Vec<String>, Refused> =
        args.fault.iter().map(|words| Ok(record::fault(&bench, words)?.id())).collect();
    Drill::by_hand(ask, &ids?).map(Class::of)
}

/// Weighs what a learner did.
fn weigh(
    drill: &Drill,
    path: &Path,
    format: DrillFormat,
    out: &mut dyn Write,
) -> Result<u8, Failure> {
    let file = RawSheet { name: files::name(path), bytes: files::read(path)? };
    let text = text_of(&file)?;
    let did = record::read(drill, &text).map_err(|(place, refused)| {
        if place.is_empty() {
            return ReadError::file(&file.name, refused.says, refused.expected).into();
        }
        let origin = Origin { sheet: SheetId(0), start: place.start, end: place.end };
        let sheets = Sheets(vec![Sheet { name: file.name.clone(), text: text.clone() }]);
        let error = ReadError::at(&sheets, origin, refused.says, refused.expected);
        Failure::Errors(sheets, vec![error])
    })?;
    let told = match format {
        DrillFormat::Text => drill::score(drill, &did),
        DrillFormat::Html => html::score(drill, &did),
        DrillFormat::Json => lines(&json::scored(drill, &did)),
    };
    out.write_all(told.as_bytes())?;
    Ok(0)
}

/// Exercises and answers, never in one file.
fn files(class: &Class, format: DrillFormat) -> Vec<(String, String)> {
    let ending = match format {
        DrillFormat::Text => "txt",
        DrillFormat::Html => "html",
        DrillFormat::Json => "json",
    };
    let mut files = Vec::new();
    for (at, drill) in class.drills.iter().enumerate() {
        let (name, title) = (format!("exercise-{:02}", at + 1), titled(class, at));
        let told = drill.exercise();
        let text = match format {
            DrillFormat::Text => drill::exercise(&told, &title),
            DrillFormat::Html => html::exercise(drill, &title),
            DrillFormat::Json => lines(&json::one(drill, &told, at + 1)),
        };
        files.push((format!("{name}.{ending}"), text));
        for sheet in &told.sheets {
            let text = String::from_utf8_lossy(&sheet.bytes).into_owned();
            files.push((format!("{name}-{}", sheet.name), text));
        }
        files.push((format!("answer-{:02}-bus.log", at + 1), drill.answered().log));
    }
    // All of them once more, for whoever prints the class in one go.
    match format {
        DrillFormat::Text => files.push(("exercises.txt".to_owned(), drill::exercises(class))),
        DrillFormat::Html => files.push(("exercises.html".to_owned(), html::exercises(class))),
        DrillFormat::Json => {}
    }
    let answers = match format {
        DrillFormat::Text => drill::answer_sheet(class),
        DrillFormat::Html => html::answer_sheet(class),
        DrillFormat::Json => lines(&json::class(class, false, true)),
    };
    files.push((format!("answers.{ending}"), answers));
    files
}

fn lines(value: &Value) -> String {
    format!("{value:#}\n")
}

fn refused(refused: Refused) -> Failure {
    ReadError::file("the drill", refused.says, refused.expected).into()
}

/// Every fault of a bench, a line each.
fn places(ask: &Ask, out: &mut dyn Write) -> Result<u8, Failure> {
    let bench = bench_of(ask).map_err(refused)?;
    let is_wanted =
        |cause: &&Cause| ask.kinds.is_empty() || ask.kinds.iter().any(|kind| kind == cause.kind);
    for cause in bench.causes.iter().filter(is_wanted) {
        writeln!(out, "{:<34} {}", cause.id(), cause.done)?;
    }
    Ok(0)
}

/// Every kind of fault, a line each.
fn list(units: u16, out: &mut dyn Write) -> Result<u8, Failure> {
    for entry in catalogue(units) {
        let where_to = if entry.profiles.is_empty() {
            format!("not with {units} units")
        } else {
            entry.profiles.join(", ")
        };
        writeln!(out, "{:<34} {where_to}", entry.kind)?;
    }
    Ok(0)
}
