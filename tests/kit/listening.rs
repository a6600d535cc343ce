//! `tests/listening/frames.py`: frames made and understood by packages of Python.

use crate::python::BUSES;
use crate::{paths, tools};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What the packages made: the folder with all of it.
///
/// # Panics
/// If they cannot be run.
pub fn made(count: usize) -> PathBuf {
    BUSES.set_up().expect("the packages can be had");
    let folder = paths::scratch("listening");
    fs::create_dir_all(&folder).expect("the folder is writable");
    let script = paths::tests().join("listening/frames.py");
    let mut run = Command::new(BUSES.python());
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
