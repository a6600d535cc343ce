//! The program as a person starts it.

use crate::{paths, tools};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// The program, built anew at the first call: `cargo test` alone would leave an old one there.
///
/// # Panics
/// If it cannot be built.
pub fn program() -> &'static PathBuf {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let target = paths::workspace().join("target");
        // Together with the tests, so that its parts have the features that they were built with.
        let packages = ["--package", "coldcheck", "--package", "coldcheck-tests"];
        tools::run(tools::cargo(&target).arg("build").args(packages).args(["--bin", "coldcheck"]));
        target.join("debug").join(format!("coldcheck{}", std::env::consts::EXE_SUFFIX))
    })
}

/// Runs it in the folder of a case with one fault.
pub fn run(arguments: &[&str]) -> Output {
    run_in(&paths::tests().join("cases/02-village-clinic"), arguments)
}

/// Runs it in a folder.
///
/// # Panics
/// If it cannot be started.
pub fn run_in(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(program())
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .args(arguments)
        .output()
        .expect("the program can be started")
}

/// What it printed.
///
/// # Panics
/// If that is no text.
pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

/// What it said on the side.
///
/// # Panics
/// If that is no text.
pub fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

/// An empty folder of one's own.
///
/// # Panics
/// If it cannot be made.
pub fn folder(name: &str) -> PathBuf {
    static NUMBER: AtomicUsize = AtomicUsize::new(0);
    let number = NUMBER.fetch_add(1, Ordering::Relaxed);
    let folder = paths::scratch("cli").join(format!("{name}-{}-{number}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the target folder is writable");
    folder
}
