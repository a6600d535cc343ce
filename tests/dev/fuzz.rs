//! libFuzzer over the bodies that the smoke test uses, one target after the other.

use coldcheck_tests::fuzz::{TARGETS, Target};
use coldcheck_tests::{paths, tools};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Runs every target, or those that are named, each for so many seconds.
pub(crate) fn run(arguments: &[&str]) -> Result<(), String> {
    let (mut seconds, mut names) = (600, Vec::new());
    let mut rest = arguments.iter();
    while let Some(word) = rest.next() {
        if *word == "--seconds" {
            let number = rest.next().and_then(|text| text.parse().ok());
            seconds = number.ok_or("--seconds takes a whole number")?;
        } else {
            names.push(*word);
        }
    }
    if let Some(other) = names.iter().find(|name| TARGETS.iter().all(|one| one.name != **name)) {
        let known: Vec<_> = TARGETS.iter().map(|target| target.name).collect();
        return Err(format!("{other} is no target: {}", known.join(", ")));
    }
    if !tools::cargo_has("fuzz") {
        return Err("cargo-fuzz is missing: cargo install --locked cargo-fuzz".to_owned());
    }
    let own = |target: &&Target| names.is_empty() || names.contains(&target.name);
    let mut failed = Vec::new();
    for target in TARGETS.iter().filter(own) {
        if !fuzz(target, seconds)? {
            failed.push(target.name);
        }
    }
    if failed.is_empty() { Ok(()) } else { Err(format!("a body failed: {}", failed.join(", "))) }
}

/// Whether the body held for so many seconds. What it found stays in `target/tests/fuzz`.
fn fuzz(target: &Target, seconds: u64) -> Result<bool, String> {
    let corpus = corpus(target).map_err(|error| format!("the corpus: {error}"))?;
    let output = Command::new("cargo")
        .current_dir(paths::tests().join("fuzz"))
        // Coverage by sanitizer is not in the stable compiler's interface.
        .env("RUSTC_BOOTSTRAP", "1")
        .args(["fuzz", "run", "--fuzz-dir", ".", "--sanitizer", "none", target.name])
        .arg(&corpus)
        .arg("--")
        .arg(format!("-max_total_time={seconds}"))
        .arg(format!("-max_len={}", target.most_bytes))
        .args(["-timeout=20", "-print_final_stats=1"])
        .stdout(Stdio::inherit())
        .output()
        .map_err(|error| format!("cargo fuzz cannot be started: {error}"))?;
    let said = String::from_utf8_lossy(&output.stderr);
    let executed =
        said.lines().find_map(|line| line.strip_prefix("stat::number_of_executed_units:"));
    println!("{}: {seconds} s, {} runs", target.name, executed.unwrap_or("?").trim());
    if !output.status.success() {
        println!("{said}");
    }
    Ok(output.status.success())
}

/// The folder of a target's inputs, with those to begin with in it.
fn corpus(target: &Target) -> std::io::Result<PathBuf> {
    let folder: PathBuf = paths::scratch("fuzz").join(target.name);
    fs::create_dir_all(&folder)?;
    for (number, input) in (target.corpus)().iter().enumerate() {
        fs::write(Path::new(&folder).join(format!("case-{number:03}")), input)?;
    }
    Ok(folder)
}
