//! Small changes of the core, one at a time: each must make a test fail.
//!
//! The core's own tests are tried, and whether a plan of a record is answered otherwise. The
//! record holds the answers of the unchanged core, which the other tests hold against the cases,
//! the faults made on purpose and the other judges.

use coldcheck_answers::FILE;
use coldcheck_tests::{paths, plans};
use std::process::Command;

/// Tries the changes; further words go to `cargo mutants`, such as `--file core/src/bus.rs`.
pub(crate) fn run(further: &[&str]) -> Result<(), String> {
    let file = paths::scratch("answers").join("answers.bin");
    let plans = plans::of_every_kind();
    let record = coldcheck_answers::record(plans.iter().map(Vec::as_slice));
    std::fs::write(&file, &record).map_err(|error| error.to_string())?;
    println!("{} plans recorded, {} bytes", plans.len(), record.len());
    let file = file.canonicalize().map_err(|error| error.to_string())?;
    let status = Command::new("cargo")
        .current_dir(paths::workspace())
        .env(FILE, file)
        .args(["mutants", "--package", "coldcheck-core", "--no-shuffle", "--colors", "never"])
        .args(["--test-package", "coldcheck-core", "--test-package", "coldcheck-answers"])
        .arg("--output")
        .arg(paths::scratch("mutants"))
        .args(further)
        .args(["--", "--lib", "--tests", "--", "--include-ignored"])
        .status()
        .map_err(|error| format!("cargo mutants cannot be started: {error}"))?;
    if status.success() { Ok(()) } else { Err("changes of the core go unseen".to_owned()) }
}
