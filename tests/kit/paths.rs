//! Where things are, whatever folder a command was started in.

use std::path::PathBuf;

/// The folder of the workspace.
pub fn workspace() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The folder of the tests.
pub fn tests() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A folder for what tests build, made if it is missing. Apart from cargo's own, so that a build
/// inside a test does not wait for the lock of the build around it.
///
/// # Panics
/// If the folder cannot be made.
pub fn scratch(name: &str) -> PathBuf {
    let folder = workspace().join("target").join("tests").join(name);
    std::fs::create_dir_all(&folder).expect("the target folder is writable");
    folder
}
