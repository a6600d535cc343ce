//! How much of the core and of the host the tests reach, by `cargo llvm-cov`.

use coldcheck_tests::{paths, tools};
use serde_json::Value;
use std::collections::BTreeMap;
use std::process::Command;

/// Parts of the tree that are told apart, the first that fits.
const PARTS: &[(&str, &str)] = &[
    ("core/src/rules", "core: rules"),
    ("core/src/", "core: everything else"),
    ("host-cli/src/read", "readers: form"),
    ("host-cli/src/declared", "readers: meaning"),
    ("host-cli/src/value", "readers: values"),
    ("host-cli/src/profile", "readers: profiles"),
    ("host-cli/src/", "host: everything else"),
];

/// Files of the parts with the most regions that no test reaches.
const MOST_FILES: usize = 12;

#[derive(Clone, Copy, Default)]
struct Share {
    covered: u64,
    all: u64,
}

impl Share {
    fn of(summary: &Value) -> Self {
        let number = |key: &str| summary[key].as_u64().unwrap_or(0);
        Self { covered: number("covered"), all: number("count") }
    }

    fn add(&mut self, other: Self) {
        self.covered += other.covered;
        self.all += other.all;
    }

    fn percent(self) -> String {
        let tenths = (self.covered * 1000).checked_div(self.all).unwrap_or(1000);
        format!("{}.{} %", tenths / 10, tenths % 10)
    }
}

/// Runs the tests that need no other machine and prints the shares.
pub(crate) fn print() -> Result<(), String> {
    if !tools::cargo_has("llvm-cov") {
        return Err("cargo-llvm-cov is missing: rustup component add llvm-tools, \
                    cargo install --locked cargo-llvm-cov"
            .to_owned());
    }
    let tested = Command::new("cargo")
        .current_dir(paths::workspace())
        .args(["llvm-cov", "test", "--no-report", "--quiet", "--workspace"])
        .args(["--exclude", "coldcheck-gateway", "--exclude", "coldcheck-page"])
        .status()
        .map_err(|error| format!("cargo llvm-cov cannot be started: {error}"))?;
    if !tested.success() {
        return Err("the tests failed".to_owned());
    }
    report()
}

/// Prints what the last run reached.
fn report() -> Result<(), String> {
    let output = Command::new("cargo")
        .current_dir(paths::workspace())
        .args(["llvm-cov", "report", "--json", "--summary-only"])
        .output()
        .map_err(|error| error.to_string())?;
    let report: Value = serde_json::from_slice(&output.stdout).map_err(|error| {
        format!("no report: {error}\n{}", String::from_utf8_lossy(&output.stderr))
    })?;
    let mut parts: BTreeMap<usize, (Share, Share)> = BTreeMap::new();
    let mut files: Vec<(u64, String, Share)> = Vec::new();
    for file in report["data"][0]["files"].as_array().into_iter().flatten() {
        let name = file["filename"].as_str().unwrap_or("").replace('\\', "/");
        let Some(part) = PARTS.iter().position(|(folder, _)| name.contains(folder)) else {
            continue;
        };
        let lines = Share::of(&file["summary"]["lines"]);
        let regions = Share::of(&file["summary"]["regions"]);
        let (all_lines, all_regions) = parts.entry(part).or_default();
        all_lines.add(lines);
        all_regions.add(regions);
        let start = name.rfind(PARTS[part].0).unwrap_or(0);
        let short = name.get(start..).unwrap_or(&name).to_owned();
        files.push((regions.all - regions.covered, short, regions));
    }
    println!("{:<24} {:>8} {:>8} {:>9} {:>9}", "part", "lines", "reached", "regions", "reached");
    for (part, (lines, regions)) in &parts {
        println!(
            "{:<24} {:>8} {:>8} {:>9} {:>9}",
            PARTS[*part].1,
            lines.all,
            lines.percent(),
            regions.all,
            regions.percent()
        );
    }
    files.sort_by(|one, two| (two.0, &one.1).cmp(&(one.0, &two.1)));
    println!("\nmost regions that no test reaches:");
    for (missed, name, regions) in files.iter().take(MOST_FILES) {
        println!("{missed:>5} of {:<5} {name}", regions.all);
    }
    Ok(())
}
