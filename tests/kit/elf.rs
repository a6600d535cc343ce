//! What an ELF file holds: sizes of its parts and addresses of its symbols.

use object::{Object, ObjectSection, ObjectSymbol};
use std::ops::Range;

/// Sizes of a firmware, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sizes {
    /// Vector table, code, constants and initial values.
    pub flash: u64,
    /// The vector table alone.
    pub vectors: u64,
    /// Variables.
    pub ram: u64,
}

/// The sizes of a firmware.
///
/// # Panics
/// If it is no ELF file.
pub fn sizes(elf: &[u8]) -> Sizes {
    let file = object::File::parse(elf).expect("the firmware is an ELF file");
    let size = |name: &str| file.section_by_name(name).map_or(0, |section| section.size());
    Sizes {
        flash: [".vector_table", ".text", ".rodata", ".data"].into_iter().map(size).sum(),
        vectors: size(".vector_table"),
        ram: [".data", ".bss", ".uninit"].into_iter().map(size).sum(),
    }
}

/// The address of the symbol whose name holds this text.
///
/// # Panics
/// If there is no such symbol, or more than one.
pub fn address(elf: &[u8], part: &str) -> u64 {
    bounds(elf, part).start
}

/// The bounds of the symbol whose name holds this text.
///
/// # Panics
/// If there is no such symbol, or more than one.
pub fn bounds(elf: &[u8], part: &str) -> Range<u64> {
    let file = object::File::parse(elf).expect("the firmware is an ELF file");
    let found: Vec<_> = file
        .symbols()
        .filter(|symbol| {
            symbol.name().is_ok_and(|name| name.contains(part) && !name.contains("switch"))
        })
        .map(|symbol| (symbol.address(), symbol.size()))
        .collect();
    let [(address, size)] = found.as_slice() else { panic!("{part}: {} symbols", found.len()) };
    // Thumb code: the lowest bit is a mark.
    let start = *address & !1;
    start..start + size
}

/// Whether the bytes stand anywhere in the parts that are loaded into flash.
///
/// # Panics
/// If it is no ELF file.
pub fn flash_holds(elf: &[u8], bytes: &[u8]) -> bool {
    let file = object::File::parse(elf).expect("the firmware is an ELF file");
    [".text", ".rodata", ".data"]
        .into_iter()
        .filter_map(|name| file.section_by_name(name)?.data().ok())
        .any(|data| data.windows(bytes.len()).any(|window| window == bytes))
}
