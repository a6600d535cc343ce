//! Instructions and stack of a boot, counted by a plugin of the emulator.

use crate::firmware::Firmware;
use crate::{elf, paths, tools};
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
    /// Instructions for the check.
    pub check: u64,
    /// Deepest stack in bytes, with the memory that is lent to the report.
    pub stack: u64,
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

/// Boots with an image and counts.
///
/// # Panics
/// If the emulator cannot be run, or a part of the boot was not entered exactly once.
pub fn measure(firmware: &Firmware, name: &str, image: &[u8]) -> Cost {
    let folder = paths::scratch("qemu");
    let (file, log) = (folder.join(format!("{name}.bin")), folder.join(format!("{name}.log")));
    fs::write(&file, image).expect("the target folder is writable");
    let address = |part| elf::address(&firmware.elf, part);
    let mut arguments = plugin().display().to_string();
    for (key, symbol) in [
        ("load", "coldcheck_gateway4load"),
        ("check", "coldcheck_gateway5check"),
        ("log", "coldcheck_gateway3log17"),
        ("stack_end", "_stack_end"),
        ("stack_start", "_stack_start"),
    ] {
        let _ = write!(arguments, ",{key}={}", address(symbol));
    }
    let mut emulator = firmware.emulator(&file);
    emulator.args(["-plugin", &arguments, "-d", "plugin", "-D"]).arg(&log);
    let _ = emulator.output().expect("the emulator can be started");
    let text = fs::read_to_string(&log).expect("the plugin has written its log");
    let words: Vec<&str> = text.split_whitespace().collect();
    let ["load", load, "check", check, "stack", stack, "entries", "[1,", "1,", "1]"] =
        words.as_slice()
    else {
        panic!("the plugin says: {text}");
    };
    let number = |word: &&str| word.parse().expect("a number");
    Cost { load: number(load), check: number(check), stack: number(stack) }
}
