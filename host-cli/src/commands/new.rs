//! `coldcheck new`.

use super::{Failure, files, profile};
use crate::args::{Cli, Form, NewArgs};
use crate::phrase::all_of;
use crate::profile::builtin;
use crate::read::ReadError;
use crate::source::Sheets;
use crate::start::{blanks, positions, start_at};
use std::io::Write;
use std::path::{Path, PathBuf};

pub(super) fn run(
    cli: &Cli,
    args: &NewArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    let profile = profile::load(&args.profile)?;
    let distances =
        args.positions.as_deref().map(|path| distances(path, args.units)).transpose()?;
    let named = named_in_sheets(args);
    let site = start_at(&profile, &named, args.units, distances)
        .map_err(|errors| Failure::Errors(Sheets::default(), errors))?;
    let texts = match args.form {
        Form::Toml => vec![("site.toml", site.toml())],
        Form::Sheets => {
            vec![("cables.csv", site.cable_list()), ("settings.txt", site.settings_list())]
        }
    };
    let read: Vec<PathBuf> =
        [PathBuf::from(&args.profile)].into_iter().chain(args.positions.clone()).collect();
    let mut written = Vec::new();
    if let Some(folder) = &args.out_dir {
        written = write_all(&read, folder, args.output.force, &texts)?;
    } else if let [(_, text)] = texts.as_slice() {
        files::write(&read, &args.output, out, text.as_bytes())?;
        written.extend(args.output.output.clone());
    } else {
        return Err(ReadError::file(
            "--form sheets",
            "it is not said where the two files go",
            "--out-dir DIR",
        )
        .into());
    }
    if !cli.quiet {
        for path in written.iter().filter(|path| path.as_os_str() != "-") {
            writeln!(err, "written: {}", path.display())?;
        }
        let blanks = blanks(&site);
        if !blanks.is_empty() {
            let note = format!("note: still to be filled in: {}", all_of(&blanks));
            writeln!(err, "{}", textwrap::fill(&note, crate::words::WIDTH))?;
        }
    }
    Ok(0)
}

/// The profile's name; the path of a file as the sheets see it from their folder.
fn named_in_sheets(args: &NewArgs) -> String {
    let of_file = args.output.output.as_deref().filter(|path| !files::is_stream(path));
    let folder = args.out_dir.as_deref().or(of_file.and_then(Path::parent));
    match folder.filter(|_| builtin(&args.profile).is_none()) {
        Some(folder) => files::seen_from(folder, &args.profile),
        None => args.profile.clone(),
    }
}

/// The ways between the units, from where they hang.
fn distances(path: &Path, count: u16) -> Result<Vec<Vec<u32>>, Failure> {
    let name = files::name(path);
    let text = String::from_utf8(files::read(path)?)
        .map_err(|_| ReadError::file(&name, "this is not a text file", "positions as text"))?;
    let places = positions::read(&name, &text, count)
        .map_err(|errors| Failure::Errors(Sheets::default(), errors))?;
    Ok(positions::distances(&places))
}

/// Writes all files or none: a folder in which one of them is there already is left as it is.
pub(super) fn write_all(
    read: &[PathBuf],
    folder: &Path,
    force: bool,
    texts: &[(&str, String)],
) -> Result<Vec<PathBuf>, Failure> {
    let paths: Vec<PathBuf> = texts.iter().map(|(name, _)| folder.join(name)).collect();
    let there = paths.iter().filter(|path| !force && path.exists()).map(|path| {
        let name = path.display().to_string();
        ReadError::file(
            &name,
            "the file is there already",
            "another folder, or --force to overwrite it",
        )
    });
    let errors: Vec<_> = there.collect();
    if !errors.is_empty() {
        return Err(Failure::Errors(Sheets::default(), errors));
    }
    std::fs::create_dir_all(folder).map_err(|error| {
        let says = format!("the folder cannot be made: {error}");
        ReadError::file(&folder.display().to_string(), says, "a folder that can be written to")
    })?;
    for (path, (_, text)) in paths.iter().zip(texts) {
        files::write_file(read, path, force, text.as_bytes())?;
    }
    Ok(paths)
}
