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

/// Bytes of flash that the symbols with such a name take; constants without a name are left out.
///
/// # Panics
/// If it is no ELF file.
pub fn size_of(elf: &[u8], is_so: impl Fn(&str) -> bool) -> u64 {
    let file = object::File::parse(elf).expect("the firmware is an ELF file");
    let of_flash = |name: &str| matches!(name, ".vector_table" | ".text" | ".rodata");
    file.symbols()
        .filter(|symbol| {
            let section = symbol.section_index().and_then(|at| file.section_by_index(at).ok());
            section.is_some_and(|section| section.name().is_ok_and(of_flash))
                && symbol.name().is_ok_and(&is_so)
        })
        .map(|symbol| symbol.size())
        .sum()
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
