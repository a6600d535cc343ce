//! Finds the page that the program is to hold, and puts it where the compiler takes it from.
//!
//! It is made by `cargo dev page` and lies in this package, so that the package can be built from
//! anywhere: in the repository, by `cargo install --path`, and as `cargo package` packs it.

use std::path::PathBuf;
use std::{env, fs};

/// The page, if it lies elsewhere.
const ELSEWHERE: &str = "COLDCHECK_PAGE";

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
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
