//! `coldcheck changed`.

use super::{Failure, colour, files};
use crate::args::{ChangedArgs, Cli, Format, ScopeArg};
use crate::changed::{Changed, State};
use crate::diagnosis::Diagnosis;
use crate::engine::{Request, Site, examine};
use crate::read::ReadError;
use crate::render::{json, terminal};
use crate::site_file::SiteFile;
use crate::tidy;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

/// Exit codes.
const DIFFERS: u8 = 1;
const STOP: u8 = 5;

pub(super) fn run(
    cli: &Cli,
    args: &ChangedArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    if [&args.old, &args.new].iter().all(|path| files::is_stream(path)) {
        return Err(ReadError::file("standard input", "it is named twice", "one `-` only").into());
    }
    let (old, new) = (Read::of(&args.old, args)?, Read::of(&args.new, args)?);
    for name in old.aside.iter().chain(&new.aside) {
        writeln!(err, "note: {name} is left out: it is a saved answer and no sheet")?;
    }
    let changed = Changed::of(old.state(), new.state());
    let read = [&old.names[..], &new.names[..]];
    let text = match args.format {
        Format::Json => format!("{:#}\n", json::changed::told(&new.diagnosis, &changed, read)),
        Format::Text => {
            let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
            let style = terminal::Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
            terminal::changed::text(&new.diagnosis, &changed, read, style)
        }
    };
    let mut inputs = files::inputs_with(&old.paths, &old.site);
    inputs.extend(files::inputs_with(&new.paths, &new.site));
    files::write(&inputs, &args.output, out, text.as_bytes())?;
    Ok(match (new.diagnosis.dangers().next(), changed.changes.is_empty()) {
        (Some(_), _) => STOP,
        (None, false) => DIFFERS,
        (None, true) => 0,
    })
}

/// One state of the site.
struct Read {
    paths: Vec<PathBuf>,
    /// The sheets, as messages name them.
    names: Vec<String>,
    /// Files of the folder that are answers of this program, and no sheets.
    aside: Vec<String>,
    site: Site,
    shape: SiteFile,
    diagnosis: Diagnosis,
}

impl Read {
    fn of(path: &Path, args: &ChangedArgs) -> Result<Self, Failure> {
        let (paths, aside) = sheets(path)?;
        let files = files::sheets(&paths)?;
        let (site, diagnosis, shape) = {
            let request = Request {
                files: &files,
                profile: args.profile.as_deref(),
                scope: args.scope.map(ScopeArg::scope),
                load_profile: &files::profiles_of(&paths, args.profile.as_deref()),
            };
            let (site, diagnosis) = examine(&request)?;
            let shape = tidy::shape(&site, &request)?;
            (site, diagnosis, shape)
        };
        let names = files.iter().map(|file| file.name.clone()).collect();
        Ok(Self { paths, names, aside, site, shape, diagnosis })
    }

    const fn state(&self) -> State<'_> {
        State { site: &self.site, shape: &self.shape, diagnosis: &self.diagnosis }
    }
}

/// The sheets of a state, in order of their names, and the names of saved answers beside them.
fn sheets(path: &Path) -> Result<(Vec<PathBuf>, Vec<String>), Failure> {
    if files::is_stream(path) || !path.is_dir() {
        return Ok((vec![path.to_owned()], Vec::new()));
    }
    let is_sheet = |path: &PathBuf| path.extension().is_none_or(|end| end != "jsonl");
    let (mut found, mut aside) = (Vec::new(), Vec::new());
    for path in files::in_folder(path)?.into_iter().filter(is_sheet) {
        if files::is_saved_answer(&files::read(&path)?) {
            aside.push(files::name(&path));
        } else {
            found.push(path);
        }
    }
    if found.is_empty() {
        let name = path.display().to_string();
        let expected = "a folder with .toml, .csv, .tsv, .txt or .json files";
        return Err(ReadError::file(&name, "no sheet is in this folder", expected).into());
    }
    Ok((found, aside))
}
