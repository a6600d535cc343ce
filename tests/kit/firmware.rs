//! The gateway in an emulator: built once, booted with a plan image in its flash.

use crate::{paths, tools};
use defmt_decoder::{DecodeError, Table};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// The target that the emulated board runs.
pub const TARGET: &str = "thumbv7m-none-eabi";
/// Where the emulator puts the plan image; `firmware-example/build.rs` says the same.
pub const PLAN_ADDRESS: u64 = 0x3_C000;

/// A firmware that was built.
#[derive(Debug)]
pub struct Firmware {
    /// The file.
    pub path: PathBuf,
    /// What it holds.
    pub elf: Vec<u8>,
}

/// What a boot said, and how it ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Boot {
    /// The lines that were logged.
    pub lines: Vec<String>,
    /// The exit status.
    pub status: i32,
}

/// The firmware in profile `firmware`, built at the first call.
///
/// # Panics
/// If it cannot be built.
pub fn firmware() -> &'static Firmware {
    static FIRMWARE: OnceLock<Firmware> = OnceLock::new();
    FIRMWARE.get_or_init(|| {
        let folder = paths::scratch("firmware");
        tools::run(&mut build(&folder, &[]));
        let path = folder.join(TARGET).join("firmware").join("coldcheck-gateway");
        let elf = fs::read(&path).expect("cargo has built it");
        Firmware { path, elf }
    })
}

/// The command that builds the firmware.
pub fn build(folder: &Path, features: &[&str]) -> Command {
    let mut cargo = tools::cargo(folder);
    cargo.args(["build", "--package", "coldcheck-gateway", "--target", TARGET]);
    cargo.args(["--profile", "firmware"]);
    if !features.is_empty() {
        cargo.args(["--features", &features.join(",")]);
    }
    cargo
}

impl Firmware {
    /// The emulator with an image in flash.
    pub fn emulator(&self, image: &Path) -> Command {
        let mut qemu = Command::new("timeout");
        qemu.args(["60", "qemu-system-arm", "-cpu", "cortex-m3", "-machine", "lm3s6965evb"])
            .args(["-nographic", "-monitor", "none", "-serial", "none"])
            .args(["-semihosting-config", "enable=on,target=native"])
            .arg("-device")
            .arg(format!("loader,file={},addr={PLAN_ADDRESS:#x},force-raw=on", image.display()))
            .arg("-kernel")
            .arg(&self.path);
        qemu
    }

    /// Boots with an image and waits for the end.
    ///
    /// # Panics
    /// If the emulator cannot be started, or the log cannot be decoded.
    pub fn boot(&self, name: &str, image: &[u8]) -> Boot {
        let file = paths::scratch("images").join(format!("{name}.bin"));
        fs::write(&file, image).expect("the target folder is writable");
        let mut emulator = self.emulator(&file);
        let output = emulator
            .output()
            .unwrap_or_else(|error| panic!("{emulator:?} cannot be started: {error}"));
        Boot { lines: self.decode(&output.stdout), status: output.status.code().unwrap_or(-1) }
    }

    fn decode(&self, bytes: &[u8]) -> Vec<String> {
        let table = Table::parse(&self.elf)
            .expect("the firmware carries its log table")
            .expect("the table is not empty");
        let mut decoder = table.new_stream_decoder();
        decoder.received(bytes);
        let mut lines = Vec::new();
        loop {
            match decoder.decode() {
                Ok(frame) => lines.push(frame.display_message().to_string()),
                Err(DecodeError::UnexpectedEof) => return lines,
                Err(DecodeError::Malformed) => panic!("a frame of the log is damaged"),
            }
        }
    }
}
