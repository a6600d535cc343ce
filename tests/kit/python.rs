//! Virtual environments of Python, for tests that hold the program against packages of PyPI. Each is
//! named after a folder of tests with a `requirements.txt`.

use crate::paths;
use std::path::PathBuf;
use std::process::Command;

/// One environment.
#[derive(Clone, Copy, Debug)]
pub struct Environment {
    folder: &'static str,
    /// What its programs import.
    modules: &'static str,
}

/// For the judges in `tests/oracles`.
pub const ORACLES: Environment = Environment { folder: "oracles", modules: "clingo, networkx" };
/// For `tests/fleet`.
pub const FLEET: Environment = Environment { folder: "fleet", modules: "distributed" };
/// For `tests/buses` and `tests/listening`.
pub const BUSES: Environment =
    Environment { folder: "buses", modules: "can, canopen, cantools, j1939, serial" };

/// For `tests/sharing` and the records in `tests/facts/changeover`.
pub const SHARING: Environment = Environment { folder: "sharing", modules: "numpy" };

impl Environment {
    /// Where it is put.
    pub fn place(self) -> PathBuf {
        paths::workspace().join("target").join(self.folder)
    }

    /// Its Python.
    pub fn python(self) -> PathBuf {
        self.place().join(if cfg!(windows) { "Scripts" } else { "bin" }).join("python")
    }

    /// Makes it, if it is not there or lacks a package.
    ///
    /// # Errors
    /// What went wrong, as text.
    pub fn set_up(self) -> Result<(), String> {
        let import = format!("import {}", self.modules);
        let ready = Command::new(self.python()).args(["-c", &import]).output();
        if ready.is_ok_and(|output| output.status.success()) {
            return Ok(());
        }
        let run = |command: &mut Command| {
            let output = command.output().map_err(|error| format!("{command:?}: {error}"))?;
            let says = String::from_utf8_lossy(&output.stderr);
            if output.status.success() { Ok(()) } else { Err(format!("{command:?}: {says}")) }
        };
        run(Command::new("python3").args(["-m", "venv"]).arg(self.place()))?;
        let pip = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-r"];
        let requirements = paths::tests().join(self.folder).join("requirements.txt");
        run(Command::new(self.python()).args(pip).arg(requirements))
    }
}
