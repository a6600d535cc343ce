//! Headless Chromium by playwright-core, with axe-core: Debian's browser, packages of npm in
//! `target/browser`.

use crate::{page, paths, tools};
use coldcheck::draw::measure::{Face, width};
use serde_json::json;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Where the packages are installed.
fn modules() -> PathBuf {
    paths::workspace().join("target").join("browser")
}

/// Installs the packages that `tests/browser` names, if they are not there.
///
/// # Errors
/// What went wrong, as text.
pub fn set_up() -> Result<(), String> {
    let (from, to) = (paths::tests().join("browser"), modules());
    fs::create_dir_all(&to).map_err(|error| error.to_string())?;
    let lock = "package-lock.json";
    let same = fs::read(from.join(lock)).ok() == fs::read(to.join(lock)).ok();
    if same && to.join("node_modules/axe-core").exists() {
        return Ok(());
    }
    for file in ["package.json", lock] {
        fs::copy(from.join(file), to.join(file)).map_err(|error| error.to_string())?;
    }
    let mut npm = Command::new("npm");
    npm.current_dir(&to).args(["ci", "--silent", "--no-audit", "--no-fund", "--ignore-scripts"]);
    let output = npm.output().map_err(|error| format!("npm cannot be started: {error}"))?;
    let says = String::from_utf8_lossy(&output.stderr).into_owned();
    if output.status.success() { Ok(()) } else { Err(format!("npm ci: {says}")) }
}

/// What the browser finds wrong with the files in a folder. A PDF and a picture of each page are
/// left there.
///
/// # Panics
/// If the browser cannot be run.
pub fn look(folder: &Path) -> Vec<String> {
    let widths = folder.join("widths.json");
    fs::write(&widths, all_widths().to_string()).expect("the target folder is writable");
    let mut node = Command::new("node");
    node.arg(paths::tests().join("browser/look.mjs")).args([&modules(), folder, &widths]);
    serde_json::from_slice(&tools::run(&mut node).stdout).expect("the script answers in JSON")
}

/// The widths that the drawing reckons with, at 1000 pixels.
fn all_widths() -> serde_json::Value {
    let others = "…·–—→ÄÖÜßéñçØЖДЩωΩ“”µ°²";
    let signs = (' '..='~').chain(others.chars());
    let both = signs.flat_map(|sign| [(sign, false), (sign, true)]);
    both.map(|(sign, bold)| {
        json!({ "sign": sign, "bold": bold, "width": width(&sign.to_string(), Face { size: 1000, bold }) })
    })
    .collect()
}

/// Runs a script of `tests/page` on the page and gives what it printed.
///
/// # Panics
/// If it finds anything wrong; the message holds what.
pub fn work(script: &str, further: &[&OsStr]) -> String {
    let mut node = Command::new("node");
    node.arg(paths::tests().join("page").join(script)).arg(modules()).arg(page::file());
    let output = tools::run(node.args(further));
    String::from_utf8_lossy(&output.stdout).into_owned()
}
