//! From photographs to a cable list, for `read` and for every command that takes sheets.

use super::super::progress::Progress;
use super::super::{Failure, files, profile};
use super::{engine, is_picture, summary};
use crate::args::{Cli, ReadArgs, ReadFormat, SiteArgs};
use crate::engine::{Request, read_site};
use crate::photo::list::List;
use crate::photo::network::Networks;
use crate::photo::reader::{self, Reading};
use crate::photo::words::Words;
use crate::photo::{csv, join, json, picture_of, review, site_words};
use crate::picture::load;
use crate::profile::ASSUMED;
use crate::read::{RawSheet, ReadError};
use crate::render::html::Picture;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Exit code: cells must be confirmed.
const ASK: u8 = 3;

/// More pages than a list of 64 cables fills.
const MOST_PHOTOGRAPHS: usize = 10;

pub(in crate::commands) fn run(
    cli: &Cli,
    args: &ReadArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    if let Some(wheel) = &args.set_up {
        engine::set_up(wheel.as_deref(), out)?;
        return Ok(0);
    }
    let (photos, sheets): (Vec<_>, Vec<_>) =
        files::sheets(&args.files)?.into_iter().partition(is_picture);
    if photos.is_empty() {
        let name = sheets.first().map_or("", |sheet| sheet.name.as_str());
        return Err(
            ReadError::file(name, "no photograph was given", "a photograph of the list").into()
        );
    }
    let words = match &args.words {
        Some(path) => Words::of_json(&files::name(path), &files::read(path)?)?,
        None => words_beside(&args.files, &sheets, args.profile.as_deref())?,
    };
    let keep = args.review.is_some();
    let all = read_all(&photos, &words, keep, cli.quiet, err)?;
    let names = names(&photos);
    let inputs: Vec<_> = args.files.iter().chain(&args.words).cloned().collect();
    if let Some(path) = &args.review {
        let page = review::page(&names, &all.list, &all.readings);
        files::write_file(&inputs, path, args.output.force, page.as_bytes())?;
    }
    let text = match args.format {
        ReadFormat::Csv => csv::text(&names, &all.list),
        ReadFormat::Json => format!("{:#}\n", json::told(&names, &all.list)),
    };
    files::write(&inputs, &args.output, out, text.as_bytes())?;
    if !cli.quiet {
        write!(err, "{}", summary::text(&all.list, args.review.as_deref().map(Path::display)))?;
    }
    Ok(if all.list.counts().1 > 0 { ASK } else { 0 })
}

/// Sheets of a site with its photographs read: all of them are one list.
pub(in crate::commands) fn as_sheets(
    args: &SiteArgs,
    files: Vec<RawSheet>,
) -> Result<(Vec<RawSheet>, Vec<Picture>), Failure> {
    let (photos, mut sheets): (Vec<_>, Vec<_>) = files.into_iter().partition(is_picture);
    if photos.is_empty() {
        return Ok((sheets, Vec::new()));
    }
    let words = words_beside(&args.sheets, &sheets, args.profile.as_deref())?;
    let all = read_all(&photos, &words, true, false, &mut io::stderr())?;
    let names = names(&photos);
    let bytes = csv::text(&names, &all.list).into_bytes();
    sheets.insert(0, RawSheet { name: names.join(", "), bytes });
    Ok((sheets, picture_of::open_cells(&all.list, &all.readings)))
}

fn names(photos: &[RawSheet]) -> Vec<String> {
    photos.iter().map(|photo| photo.name.clone()).collect()
}

/// What can stand in the list, by the sheets beside it. Sheets that make no site by themselves, as a
/// site whose only list is the photograph, still leave the words of the profile.
fn words_beside(
    paths: &[PathBuf],
    sheets: &[RawSheet],
    named: Option<&str>,
) -> Result<Words, Failure> {
    let load_profile = &files::profiles_of(paths, named);
    let request = Request { files: sheets, profile: named, scope: None, load_profile };
    if !sheets.is_empty()
        && let Ok(site) = read_site(&request)
    {
        return Ok(site_words::of_site(&site));
    }
    Ok(site_words::of_profile_alone(&profile::load(named.unwrap_or(ASSUMED))?))
}

/// One list of all photographs, and each of them if they are kept.
struct All {
    list: List,
    readings: Vec<Reading>,
}

fn read_all(
    photos: &[RawSheet],
    words: &Words,
    keep: bool,
    quiet: bool,
    err: &mut dyn Write,
) -> Result<All, Failure> {
    if photos.len() > MOST_PHOTOGRAPHS {
        let says = format!("{} photographs are given for one list", photos.len());
        let expected = format!("{MOST_PHOTOGRAPHS} at the most");
        return Err(ReadError::file(&photos[MOST_PHOTOGRAPHS].name, says, expected).into());
    }
    let engine = engine::load()?;
    let mut progress = Progress::new(quiet);
    let mut lists = Vec::new();
    let mut readings = Vec::new();
    for (at, photo) in photos.iter().enumerate() {
        let said = |part: f32, err: &mut dyn Write, progress: &mut Progress| {
            let part = (part * 100.0).round();
            progress.show(err, |seconds| {
                format!("photograph {} of {}: {part} %, {seconds} s", at + 1, photos.len())
            });
        };
        let read = read_one(&engine, photo, words, &mut |part| said(part, err, &mut progress));
        progress.clear(err);
        let mut reading = read?;
        lists.push(std::mem::take(&mut reading.list));
        if keep {
            readings.push(reading);
        }
    }
    let single = if lists.len() == 1 { lists.pop() } else { None };
    Ok(All { list: single.unwrap_or_else(|| join::join(lists)), readings })
}

fn read_one(
    engine: &Networks,
    photo: &RawSheet,
    words: &Words,
    progress: &mut dyn FnMut(f32),
) -> Result<Reading, ReadError> {
    let picture = load::picture(&photo.name, &photo.bytes)?;
    progress(0.02);
    let read = reader::read(engine, picture, words, progress)
        .map_err(|error| ReadError::file(&photo.name, error.to_string(), "another photograph"))?;
    read.ok_or_else(|| {
        ReadError::file(
            &photo.name,
            "no cable list was found in this picture",
            "the whole sheet, flat and sharp, from straight above, in even light; and words of the \
             site: its settings list beside the photograph, or --words",
        )
    })
}
