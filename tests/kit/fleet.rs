//! `tests/fleet/run.py`: many sites on Dask workers.

use crate::python::FLEET;
use crate::{lines, paths};
use std::fs::{self, File};
use std::io::{self, BufRead, BufReader, BufWriter, Write};
use std::path::Path;
use std::process::{Command, Stdio};

/// Writes generated sites, a line each, as they are made.
///
/// # Errors
/// If the file cannot be written.
pub fn write_sites(path: &Path, count: u64) -> io::Result<()> {
    let mut out = BufWriter::new(File::create(path)?);
    for line in lines::of_sites(0..count) {
        writeln!(out, "{line}")?;
    }
    out.flush()
}

/// The run over a file of sites.
pub fn command(program: &Path, sites: &Path, reports: &Path, lines_a_part: usize) -> Command {
    let mut command = Command::new(FLEET.python());
    command.arg(paths::tests().join("fleet/run.py")).args([sites, reports]);
    command.arg("--program").arg(program);
    command.args(["--lines-a-part", &lines_a_part.to_string()]);
    command
}

/// Starts a run and ends it by force when some parts are there.
///
/// # Panics
/// If it cannot be started, or is done before that.
pub fn start_and_end(mut command: Command, parts: usize) {
    let mut child = command.stdout(Stdio::piped()).spawn().expect("Python starts");
    let output = BufReader::new(child.stdout.take().expect("a pipe"));
    let told = output.lines().map_while(Result::ok).filter(|line| line.contains("is there ("));
    assert_eq!(told.take(parts).count(), parts, "the run ended by itself");
    child.kill().expect("it was running");
    child.wait().expect("it was started");
}

/// What one call of the program says of all the sites, and its exit code.
///
/// # Panics
/// If it cannot be started.
pub fn one_run(program: &Path, sites: &Path) -> (Vec<u8>, Option<i32>) {
    let output = Command::new(program).arg("batch").arg(sites).output().expect("it starts");
    (output.stdout, output.status.code())
}

/// A run that is killed and taken up again, held against one call of the program.
///
/// # Panics
/// If anything differs.
pub fn prove(program: &Path, folder: &Path, count: u64, lines_a_part: usize) {
    let (sites, reports) = (folder.join("sites.jsonl"), folder.join("reports.jsonl"));
    let _ = fs::remove_file(&reports);
    write_sites(&sites, count).expect("the folder is writable");
    let run = || command(program, &sites, &reports, lines_a_part);
    start_and_end(run(), 1);
    assert!(!reports.exists(), "nothing is told before all of it is there");
    let output = run().output().expect("Python starts");
    let says = String::from_utf8_lossy(&output.stdout);
    let taken_up = says.lines().next().is_some_and(|line| !line.ends_with(" 0 there"));
    assert!(taken_up, "{says}{}", String::from_utf8_lossy(&output.stderr));
    let (whole, code) = one_run(program, &sites);
    assert_eq!(output.status.code(), code, "{}", String::from_utf8_lossy(&output.stderr));
    assert!(fs::read(&reports).expect("written") == whole, "the reports differ");
}
