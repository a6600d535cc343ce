//! The cases: sites as people write them, with the answer beside them.

use crate::paths;
use coldcheck::diagnosis::Diagnosis;
use coldcheck::engine::{Refusal, Request, Site, examine, examine_heard, read_site};
use coldcheck::read::{RawSheet, ReadError};
use coldcheck::render::explain;
use coldcheck_core::plan::Scope;
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

/// One case.
#[derive(Clone, Debug)]
pub struct Case {
    /// Name of its folder.
    pub name: String,
    /// Its folder.
    pub folder: PathBuf,
    /// Its sheets.
    pub sheets: Vec<RawSheet>,
    /// The scope under which it is checked; `None` is whatever the sheets say.
    pub scope: Option<Scope>,
}

/// Cases whose sheets speak of the power side; the others are about communication.
const IN_FULL: [&str; 2] = ["05-boat-shed", "15-relay-hut"];

/// Every case, in order of name.
///
/// # Panics
/// If a file cannot be read.
pub fn all() -> Vec<Case> {
    let mut cases: Vec<_> = folders("cases").into_iter().map(read).collect();
    cases.sort_by(|a, b| a.name.cmp(&b.name));
    cases
}

/// The folders in a folder of the tests.
///
/// # Panics
/// If it cannot be read.
pub fn folders(name: &str) -> Vec<PathBuf> {
    let mut folders: Vec<_> = fs::read_dir(paths::tests().join(name))
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    folders
}

fn read(folder: PathBuf) -> Case {
    let name = folder.file_name().expect("a name").to_string_lossy().into_owned();
    let sheets = ["cables.csv", "settings.txt"]
        .into_iter()
        .map(|file| RawSheet {
            name: file.to_owned(),
            bytes: fs::read(folder.join(file)).expect("each case has both sheets"),
        })
        .collect();
    let scope = if IN_FULL.contains(&name.as_str()) { None } else { Some(Scope::COMMUNICATION) };
    Case { name, folder, sheets, scope }
}

impl Case {
    /// What must be found.
    ///
    /// # Panics
    /// If the answer is no JSON.
    pub fn expected(&self) -> Value {
        let text = fs::read_to_string(self.folder.join("expected.json")).expect("the answer");
        serde_json::from_str(&text).expect("the answer is JSON")
    }

    /// Checks the case.
    ///
    /// # Errors
    /// If a sheet cannot be read.
    pub fn examine(&self) -> Result<(Site, Diagnosis), Refusal> {
        examine_sheets(&self.sheets, self.scope)
    }

    /// Reads the case.
    ///
    /// # Errors
    /// If a sheet cannot be read.
    pub fn read(&self) -> Result<Site, Refusal> {
        read_site(&request(&self.sheets, self.scope))
    }
}

/// A request with built-in profiles only.
pub fn request(sheets: &[RawSheet], scope: Option<Scope>) -> Request<'_> {
    Request {
        files: sheets,
        profile: None,
        scope,
        load_profile: &|name| Err(ReadError::file(name, "not built in", "a built-in profile")),
    }
}

/// Checks sheets with built-in profiles only.
///
/// # Errors
/// If a sheet cannot be read.
pub fn examine_sheets(
    sheets: &[RawSheet],
    scope: Option<Scope>,
) -> Result<(Site, Diagnosis), Refusal> {
    examine(&request(sheets, scope))
}

/// Checks the example of a rule: its sheets, and what is heard if it has a log.
///
/// # Errors
/// If a sheet or the log cannot be read.
pub fn examine_example(text: &str) -> Result<(Site, Diagnosis), Refusal> {
    let sheets = explain::sheets(text);
    match explain::log(text) {
        Some(log) => examine_heard(&request(&sheets, None), &log),
        None => examine_sheets(&sheets, None),
    }
}

/// One sheet from text.
pub fn sheet(name: &str, text: &str) -> RawSheet {
    RawSheet { name: name.to_owned(), bytes: text.as_bytes().to_vec() }
}
