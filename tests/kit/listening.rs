//! `tests/listening/frames.py`: frames made and understood by packages of Python, and its
//! environment.

use crate::{paths, tools};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Where the virtual environment is put.
fn environment() -> PathBuf {
    paths::workspace().join("target").join("listening")
}

/// Its Python.
fn python() -> PathBuf {
    environment().join(if cfg!(windows) { "Scripts" } else { "bin" }).join("python")
}

/// Makes the virtual environment, if it is not there or lacks a package.
///
/// # Panics
/// If it cannot be made.
pub fn set_up() {
    let ready = Command::new(python())
        .args(["-c", "import can, canopen, cantools, j1939, serial"])
        .output();
    if ready.is_ok_and(|output| output.status.success()) {
        return;
    }
    tools::run(Command::new("python3").args(["-m", "venv"]).arg(environment()));
    let pip = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-r"];
    let requirements = paths::tests().join("listening/requirements.txt");
    tools::run(Command::new(python()).args(pip).arg(requirements));
}

/// What the packages made: the folder with all of it.
///
/// # Panics
/// If they cannot be run.
pub fn made(count: usize) -> PathBuf {
    set_up();
    let folder = paths::scratch("listening");
    fs::create_dir_all(&folder).expect("the folder is writable");
    let script = paths::tests().join("listening/frames.py");
    let mut run = Command::new(python());
    tools::run(run.arg(script).arg(&folder).args(["1", &count.to_string()]));
    folder
}

/// The lines of a file of JSON objects.
///
/// # Panics
/// If there is no such file, or it holds something else.
pub fn lines(folder: &Path, name: &str) -> Vec<Value> {
    let text = fs::read_to_string(folder.join(name)).expect("the file is there");
    text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect()
}
