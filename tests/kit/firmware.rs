//! The gateway in an emulator: built once for each board, booted with a plan image in its flash
//! and with what comes down its serial line.

use crate::{paths, tools};
use defmt_decoder::{DecodeError, Table};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Mutex, OnceLock, PoisonError};

/// A board that the emulator knows and the gateway is built for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Board {
    /// lm3s6965evb, with a Cortex-M3.
    CortexM3,
    /// mps2-an386, with a Cortex-M4F.
    CortexM4,
}

/// How the gateway is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// As on a board: one image.
    One,
    /// With a list of images where the one image lies, each booted with in turn.
    Many,
    /// As on a board whose owner wants the verdict as a frame.
    Status,
}

/// The target of the first board.
pub const TARGET: &str = "thumbv7m-none-eabi";
/// The target of the second board.
pub const TARGET_M4: &str = "thumbv7em-none-eabihf";

impl Board {
    /// The target that the board runs.
    pub const fn target(self) -> &'static str {
        match self {
            Self::CortexM3 => TARGET,
            Self::CortexM4 => TARGET_M4,
        }
    }

    /// Processor and machine, as the emulator names them.
    const fn machine(self) -> [&'static str; 2] {
        match self {
            Self::CortexM3 => ["cortex-m3", "lm3s6965evb"],
            Self::CortexM4 => ["cortex-m4", "mps2-an386"],
        }
    }

    /// Where the plan image lies and how much room it has; `firmware-example/build.rs` says the
    /// same.
    const fn plan(self, build: Build) -> (u64, usize) {
        match (self, build) {
            (Self::CortexM3, Build::One | Build::Status) => (0x3_C000, 16 << 10),
            (Self::CortexM3, Build::Many) => (0x1_0000, 192 << 10),
            (Self::CortexM4, _) => (0x10_0000, 3 << 20),
        }
    }
}

/// A firmware that was built.
#[derive(Debug)]
pub struct Firmware {
    /// The board that it runs on.
    pub board: Board,
    /// How it was built.
    pub build: Build,
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
    /// What went out on the serial line.
    pub sent: Vec<u8>,
}

/// The firmware of the first board in profile `firmware`, built at the first call.
pub fn firmware() -> &'static Firmware {
    built(Board::CortexM3, Build::One)
}

/// A firmware in profile `firmware`, built at the first call.
///
/// # Panics
/// If it cannot be built.
pub fn built(board: Board, kind: Build) -> &'static Firmware {
    static FOLDER: Mutex<()> = Mutex::new(());
    static BUILT: [OnceLock<Firmware>; 6] = [const { OnceLock::new() }; 6];
    let (row, name, features): (_, _, &[&str]) = match kind {
        Build::One => (0, "one", &[]),
        Build::Many => (2, "many", &["many-images"]),
        Build::Status => (4, "status", &["status-frame"]),
    };
    let place = row + usize::from(board == Board::CortexM4);
    BUILT[place].get_or_init(|| {
        // One folder for all, so that what runs on this machine to build them is built once. The next
        // one is put in the place of the last, so each is kept under its own name.
        let alone = FOLDER.lock().unwrap_or_else(PoisonError::into_inner);
        let folder = paths::scratch("firmware");
        tools::run(&mut build(board, &folder, features));
        let made = folder.join(board.target()).join("firmware").join("coldcheck-gateway");
        let elf = fs::read(made).expect("cargo has built it");
        drop(alone);
        let path = folder.join(format!("{name}-{board:?}.elf"));
        fs::write(&path, &elf).expect("the target folder is writable");
        Firmware { board, build: kind, path, elf }
    })
}

/// The command that builds the firmware.
pub fn build(board: Board, folder: &Path, features: &[&str]) -> Command {
    let mut cargo = tools::cargo(folder);
    cargo.args(["build", "--package", "coldcheck-gateway", "--target", board.target()]);
    cargo.args(["--profile", "firmware"]);
    if !features.is_empty() {
        cargo.args(["--features", &features.join(",")]);
    }
    cargo
}

/// Ends what comes down the serial line, so that the gateway does not wait for the window to pass.
pub const END: u8 = 0x04;

impl Firmware {
    /// Bytes that fit where the plan image lies.
    pub fn room(&self) -> usize {
        self.board.plan(self.build).1
    }

    /// The emulator with these bytes in flash, and these on the serial line.
    ///
    /// # Panics
    /// If the files for it cannot be written, or the bytes do not fit.
    pub fn emulator(&self, name: &str, flash: &[u8], line: &[u8]) -> Command {
        let (address, room) = self.board.plan(self.build);
        assert!(flash.len() <= room, "{name}: {} bytes do not fit", flash.len());
        let file = self.file(name, "bin");
        for (ending, bytes) in [("bin", flash), ("in", line), ("out", &[])] {
            fs::write(self.file(name, ending), bytes).expect("the target folder is writable");
        }
        let [processor, machine] = self.board.machine();
        let mut qemu = Command::new("timeout");
        qemu.args(["120", "qemu-system-arm", "-cpu", processor, "-machine", machine])
            .args(["-nographic", "-monitor", "none", "-serial", "chardev:line"])
            .args(["-semihosting-config", "enable=on,target=native"])
            .arg("-chardev")
            .arg(format!("pipe,id=line,path={}", file.with_extension("").display()))
            .arg("-device")
            .arg(format!("loader,file={},addr={address:#x},force-raw=on", file.display()))
            .arg("-kernel")
            .arg(&self.path);
        qemu
    }

    fn file(&self, name: &str, ending: &str) -> PathBuf {
        let folder = format!("images/{:?}-{:?}", self.board, self.build);
        paths::scratch(&folder).join(format!("{name}.{ending}"))
    }

    /// Boots with an image and what comes down the line, and waits for the end.
    ///
    /// # Panics
    /// If the emulator cannot be started, or the log cannot be decoded.
    pub fn boot(&self, name: &str, image: &[u8], line: &[u8]) -> Boot {
        let mut emulator = self.emulator(name, image, &[line, &[END]].concat());
        let output = emulator
            .output()
            .unwrap_or_else(|error| panic!("{emulator:?} cannot be started: {error}"));
        let sent = fs::read(self.file(name, "out")).expect("written before");
        let status = output.status.code().unwrap_or(-1);
        Boot { lines: self.decode(&output.stdout), status, sent }
    }

    /// Boots with as many images at a time as fit, each with what comes down the line for it;
    /// `None` for an image that is to be refused, since nobody listens then.
    ///
    /// # Panics
    /// As [`Firmware::boot`]; and if a boot ends before the last image.
    pub fn boot_many(&self, name: &str, boots: &[(Vec<u8>, Option<Vec<u8>>)]) -> Vec<Boot> {
        assert_eq!(self.build, Build::Many);
        let mut told = Vec::new();
        let mut rest = boots;
        while !rest.is_empty() {
            let (mut flash, mut line, mut count) = (Vec::new(), Vec::new(), 0);
            for (image, heard) in rest {
                // The list ends with four bytes of zero.
                if flash.len() + image.len() + 8 > self.room() {
                    break;
                }
                flash.extend(u32::try_from(image.len()).expect("short").to_le_bytes());
                flash.extend(image);
                if let Some(heard) = heard {
                    line.extend(heard);
                    line.push(END);
                }
                count += 1;
            }
            assert!(count > 0, "{name}: an image does not fit");
            flash.extend([0; 4]);
            let output = self.emulator(name, &flash, &line).output().expect("it can be started");
            let sent = fs::read(self.file(name, "out")).expect("written before");
            let lines = self.decode(&output.stdout);
            let before = told.len();
            told.extend(split(&lines, &sent));
            assert_eq!(told.len() - before, count, "{name}: it ended early: {:?}", lines.last());
            rest = &rest[count..];
        }
        told
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
                Err(DecodeError::Malformed) => {
                    panic!("a frame of the log is damaged, after {:?}", lines.last())
                }
            }
        }
    }
}

/// The boots of a list: each ends with its status and lamp.
fn split(lines: &[String], sent: &[u8]) -> Vec<Boot> {
    let mut boots = Vec::new();
    let mut said = Vec::new();
    for line in lines {
        if let Some(end) = line.strip_prefix("end ") {
            let (status, lamp) = end.split_once(' ').expect("status and lamp");
            let mut lines = std::mem::take(&mut said);
            lines.push(format!("lamp {lamp}"));
            boots.push(Boot {
                lines,
                status: status.parse().expect("a number"),
                sent: sent.into(),
            });
        } else {
            said.push(line.clone());
        }
    }
    boots
}
