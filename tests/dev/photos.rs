//! Photographs with truth, read one by one by the program as a person starts it.

use crate::checks::PHOTOGRAPHS;
use coldcheck_tests::paths;
use coldcheck_tests::photos::{self, Tally};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::process::Command;
use std::time::Duration;

/// Reads every photograph in the folders of a folder and prints what became of their cells. It is
/// an error if any cell is sure and wrong.
pub(crate) fn print(folder: Option<&str>) -> Result<(), String> {
    photos::set_up()?;
    tests()?;
    let folder = folder.map_or_else(|| paths::tests().join("photos"), PathBuf::from);
    let photos = photos::all(&folder)?;
    if photos.is_empty() {
        return Err(format!("{}: no folder in it holds a photograph with truth", folder.display()));
    }
    let reader = photos::reader(true);
    println!("photograph       cells   right    confirm  wrong  rows  seconds  MiB");
    let mut grades: BTreeMap<String, (Tally, Duration, u64)> = BTreeMap::new();
    for photo in &photos {
        let outcome = reader.read(photo);
        line(&photo.name, &outcome.tally, outcome.took, outcome.mebibytes);
        for wrong in &outcome.tally.wrong {
            println!("  SURE AND WRONG: {wrong}");
        }
        for grade in [photo.grade.as_str(), "all"] {
            let (tally, slowest, most) = grades.entry(grade.to_owned()).or_default();
            tally.add(&outcome.tally);
            *slowest = outcome.took.max(*slowest);
            *most = outcome.mebibytes.max(*most);
        }
    }
    println!("\nby folder; rows lost or made up, slowest photograph, most memory");
    for (grade, (tally, slowest, most)) in &grades {
        line(grade, tally, *slowest, *most);
    }
    let wrong = grades.get("all").map_or(0, |(tally, ..)| tally.wrong.len());
    if wrong == 0 { Ok(()) } else { Err(format!("{wrong} cells are sure and wrong")) }
}

/// The tests of the parts that read photographs, and of the whole on some samples.
fn tests() -> Result<(), String> {
    let samples =
        ["test", "--quiet", "--locked", "--test", "whole", "--", "photos::", "--include-ignored"];
    for arguments in [PHOTOGRAPHS, &samples] {
        let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        cargo.current_dir(paths::workspace()).args(arguments);
        let status = cargo.status().map_err(|error| error.to_string())?;
        if !status.success() {
            return Err("a test of what reads photographs failed".to_owned());
        }
    }
    Ok(())
}

fn line(name: &str, tally: &Tally, took: Duration, mebibytes: u64) {
    let number = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    let part = |count: usize| 100.0 * number(count) / number(tally.cells.max(1));
    println!(
        "{name:<16} {:>5} {:>7.2} % {:>6.2} % {:>6} {:>5} {:>8.2} {mebibytes:>4}",
        tally.cells,
        part(tally.right),
        part(tally.asked),
        tally.wrong.len(),
        tally.surplus_rows,
        took.as_secs_f64()
    );
}
