//! Tells the program its version, and finds the page that it is to hold.
//!
//! The page is made by `cargo dev page` and lies in this package, so that it can be built from
//! anywhere: in the repository, by `cargo install --path`, and as `cargo package` packs it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

/// The page, if it lies elsewhere.
const ELSEWHERE: &str = "COLDCHECK_PAGE";

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rustc-env=COLDCHECK_VERSION={}", version());
    if env::var_os("CARGO_FEATURE_PAGE").is_none() {
        return;
    }
    println!("cargo::rerun-if-env-changed={ELSEWHERE}");
    let folder = |key: &str| env::var_os(key).map(PathBuf::from).unwrap_or_default();
    let own = || folder("CARGO_MANIFEST_DIR").join("coldcheck.html");
    let page = env::var_os(ELSEWHERE).map_or_else(own, PathBuf::from);
    println!("cargo::rerun-if-changed={}", page.display());
    if let Err(error) = fs::copy(&page, folder("OUT_DIR").join("coldcheck.html")) {
        println!(
            "cargo::error=the page is not at {}: {error}; make it with `cargo dev page`, or say \
             in {ELSEWHERE} where it is",
            page.display()
        );
    }
}

/// The package's version; in a program to be given away, with the commit that it was built from.
/// Others would be built anew after each commit.
fn version() -> String {
    let text = |key: &str| env::var(key).unwrap_or_default();
    let own = text("CARGO_PKG_VERSION");
    if text("PROFILE") != "release" {
        return own;
    }
    if let Some(log) = git(&["rev-parse", "--git-path", "logs/HEAD"])
        && Path::new(&log).exists()
    {
        println!("cargo::rerun-if-changed={log}");
    }
    // A package that was fetched lies in no repository.
    match git(&["log", "-1", "--format=%h %cs"]) {
        Some(commit) => format!("{own} (commit {commit})"),
        None => own,
    }
}

/// What `git` says in this package's folder.
fn git(arguments: &[&str]) -> Option<String> {
    let output = Command::new("git").args(arguments).output().ok()?;
    let said = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| said.trim().to_owned())
}
