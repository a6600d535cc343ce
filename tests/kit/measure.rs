//! Instructions and stack of a boot, counted by a plugin of the emulator.

use crate::firmware::{END, Firmware};
use crate::{elf, paths, tools};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

/// What a boot cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cost {
    /// Instructions for reading the image.
    pub load: u64,
    /// Instructions for clearing what is heard and what is found.
    pub room: u64,
    /// Instructions for the check.
    pub check: u64,
    /// Instructions for comparing.
    pub compare: u64,
    /// Deepest stack in bytes, with the memory that is lent to the report and what was heard.
    pub stack: u64,
    /// Frames that were heard.
    pub frames: u64,
    /// Fewest and most instructions for hearing a frame.
    pub hear: [u64; 2],
    /// The same, with reading it from its text.
    pub frame: [u64; 2],
}

/// The plugin, built at the first call.
fn plugin() -> &'static PathBuf {
    static PLUGIN: OnceLock<PathBuf> = OnceLock::new();
    PLUGIN.get_or_init(|| {
        let library = paths::scratch("qemu").join("libcount.so");
        tools::run(
            Command::new("rustc")
                .args(["--edition", "2024", "-O", "--crate-type", "cdylib", "-o"])
                .arg(&library)
                .arg(paths::tests().join("qemu").join("count.rs")),
        );
        library
    })
}

/// Boots with an image and what comes down the line, and counts.
///
/// # Panics
/// If the emulator cannot be run, or a part of the boot was not entered as often as it should.
pub fn measure(firmware: &Firmware, name: &str, image: &[u8], line: &[u8]) -> Cost {
    let log = paths::scratch("qemu").join(format!("{name}.log"));
    let mut arguments = plugin().display().to_string();
    for (key, symbol) in [
        ("load", "coldcheck_gateway4load"),
        ("room", "coldcheck_gateway13nothing_heard"),
        ("check", "coldcheck_gateway5check"),
        ("log", "coldcheck_gateway3log3log"),
        ("listen", "coldcheck_gateway6listen6listen"),
        ("compare", "coldcheck_gateway7compare"),
        ("stack_end", "_stack_end"),
        ("stack_start", "_stack_start"),
    ] {
        let _ = write!(arguments, ",{key}={}", elf::address(&firmware.elf, symbol));
    }
    for (key, symbol) in [
        ("in_listen", "coldcheck_gateway6listen6listen"),
        ("push", "coldcheck_gateway7adapter7Adapter4push"),
        ("hear", "coldcheck_gateway6listen4hear"),
        ("interrupt", "coldcheck_gateway5board13line_received"),
    ] {
        let bounds = elf::bounds(&firmware.elf, symbol);
        let _ = write!(arguments, ",{key}_start={},{key}_end={}", bounds.start, bounds.end);
    }
    let mut emulator =
        firmware.emulator(&format!("measure-{name}"), image, &[line, &[END]].concat());
    emulator.args(["-plugin", &arguments, "-d", "plugin", "-D"]).arg(&log);
    let _ = emulator.output().expect("the emulator can be started");
    let text = fs::read_to_string(&log).expect("the plugin has written its log");
    let numbers: BTreeMap<&str, u64> = text
        .lines()
        .filter_map(|line| line.split_once(' '))
        .filter_map(|(name, number)| Some((name, number.parse().ok()?)))
        .collect();
    let number = |name: &str| {
        *numbers.get(name).unwrap_or_else(|| panic!("the plugin does not say {name}: {text}"))
    };
    for part in ["load", "room", "check", "log", "listen", "compare"] {
        let times = if part == "log" { 2 } else { 1 };
        let entries = number(&format!("{part}-entries"));
        assert_eq!(entries, times, "{part} was entered so often: {text}");
    }
    Cost {
        load: number("load"),
        room: number("room"),
        check: number("check"),
        compare: number("compare"),
        stack: number("stack"),
        frames: number("frames"),
        hear: [number("hear-fewest"), number("hear-most")],
        frame: [number("frame-fewest"), number("frame-most")],
    }
}
