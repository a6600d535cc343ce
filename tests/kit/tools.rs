//! Running other programs.

use std::ffi::OsStr;
use std::path::Path;
use std::process::{Command, Output};

/// Runs a program and gives its output.
///
/// # Panics
/// If it cannot be started, or ends with an error; the message holds what it said.
pub fn run(command: &mut Command) -> Output {
    let output =
        command.output().unwrap_or_else(|error| panic!("{command:?} cannot be started: {error}"));
    assert!(
        output.status.success(),
        "{command:?} failed:\n{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    output
}

/// Whether a program is on this machine.
pub fn is_there(program: &str) -> bool {
    // Poppler's programs take only the short word.
    ["--version", "-v"].iter().any(|word| {
        Command::new(program).arg(word).output().is_ok_and(|output| output.status.success())
    })
}

/// Whether cargo has this further command.
pub fn cargo_has(command: &str) -> bool {
    let output = Command::new("cargo").args([command, "--version"]).output();
    output.is_ok_and(|output| output.status.success())
}

/// Whether the compiler warned, told from what cargo says line by line: a warning about code has its
/// place below it, one of the network has none.
#[derive(Clone, Copy, Debug, Default)]
pub struct CodeWarnings {
    begins: bool,
    /// Whether there was one.
    pub any: bool,
}

impl CodeWarnings {
    /// Looks at the next line.
    pub fn line(&mut self, line: &str) {
        self.any |= self.begins && line.trim_start().starts_with("--> ");
        self.begins = line.starts_with("warning: ");
    }
}

/// Cargo, for a build inside a test. What the build around it has set is taken away. In a folder of its
/// own it does not wait for another build; in the workspace's own it finds what that built.
pub fn cargo(target_folder: &Path) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(crate::paths::workspace()).arg("--quiet");
    for (key, _) in std::env::vars_os() {
        let name = key.to_string_lossy();
        // With incremental files or without, with line numbers, or optimised, is another build: it must
        // be that of the build around.
        let kept = ["CARGO_HOME", "CARGO_INCREMENTAL"];
        let is_kept = name.starts_with("CARGO_PROFILE_DEV_") || kept.contains(&name.as_ref());
        if name.starts_with("CARGO_") && !is_kept {
            command.env_remove(&key);
        }
    }
    command.env("CARGO_TARGET_DIR", AsRef::<OsStr>::as_ref(target_folder));
    if target_folder != crate::paths::workspace().join("target") {
        // What others wrote is built once for all folders; a cargo before 1.91 builds it in each.
        command.env("CARGO_BUILD_BUILD_DIR", crate::paths::scratch("parts"));
    }
    command
}
