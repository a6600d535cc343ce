//! Small sites with faults, and what the commands say of them.

use crate::program::{err, folder, out, run_in};
use serde_json::Value;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

/// A right line of so many units in a folder of its own, with these texts replaced.
///
/// # Panics
/// If a text is not there, or the folder cannot be written.
pub fn site(name: &str, units: usize, changes: &[(&str, &str)]) -> PathBuf {
    let folder = folder(name);
    let mut cables = String::from("cable,from,from port,to,to port,kind,length\n");
    for unit in 1..units {
        let _ = writeln!(cables, "C{unit},U{unit},A,U{},B,link,2 m", unit + 1);
    }
    cables += "P1,pack 1,data,U1,battery,battery,2 m\nS1,CT L1,,U1,CT,CT,4 m\n";
    cables += "S2,CT L2,,U1,CT,CT,4 m\n";
    let mut settings = String::from("scope = communication\n");
    for unit in 1..=units {
        let role = if unit == 1 { "coordinator" } else { "follower" };
        let terminator = if unit == 1 || unit == units { "on" } else { "off" };
        let _ = writeln!(
            settings,
            "U{unit} = {role}, addr {unit}, count {units}, fw 2.1, term {terminator}, bank A"
        );
    }
    let mut all = format!("{cables}\u{0}{settings}");
    for (from, to) in changes {
        assert!(all.contains(from), "{from}");
        all = all.replacen(from, to, 1);
    }
    let (cables, settings) = all.split_once('\u{0}').expect("both");
    fs::write(folder.join("cables.csv"), cables).expect("writable");
    fs::write(folder.join("settings.txt"), settings).expect("writable");
    folder
}

/// What `mend` says of its two sheets, and its exit code.
///
/// # Panics
/// If it is no JSON.
pub fn mend(folder: &Path, arguments: &[&str]) -> (Value, i32) {
    let sheets = ["mend", "cables.csv", "settings.txt", "--format", "json"];
    let output = run_in(folder, &[&sheets, arguments].concat());
    let told = serde_json::from_str(&out(&output))
        .unwrap_or_else(|error| panic!("{error}: {}", err(&output)));
    (told, output.status.code().expect("it ended by itself"))
}

/// What the acts of an answer say.
///
/// # Panics
/// If they say nothing.
pub fn acts(told: &Value, answer: usize) -> Vec<&str> {
    let acts = told["answers"][answer]["acts"].as_array().expect("acts");
    acts.iter().map(|act| act["says"].as_str().expect("words")).collect()
}

/// What `check` says of sheets, and its exit code.
///
/// # Panics
/// If it is no JSON.
pub fn check(folder: &Path, arguments: &[&str]) -> (Value, i32) {
    let output = run_in(folder, &[&["check", "--format", "json"], arguments].concat());
    let told = serde_json::from_str(&out(&output))
        .unwrap_or_else(|error| panic!("{error}: {}", err(&output)));
    (told, output.status.code().expect("it ended by itself"))
}

/// Lines of a settings list for the AC outputs of units, with a bond at the main board.
pub fn outputs(of_units: &[&str]) -> String {
    let lines = (1..).zip(of_units).map(|(unit, line)| format!("U{unit} ac out = {line}\n"));
    format!("neutral-earth bond = main board (fixed)\n{}", lines.collect::<String>())
}

/// A line of units in a folder of its own, the power side in scope, with these lines of settings more.
///
/// # Panics
/// If the folder cannot be written.
pub fn site_with(name: &str, units: usize, lines: &str) -> PathBuf {
    let folder = site(name, units, &[("scope = communication\n", "")]);
    let path = folder.join("settings.txt");
    let settings = fs::read_to_string(&path).expect("there");
    fs::write(&path, settings + lines).expect("writable");
    folder
}
