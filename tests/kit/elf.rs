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

/// Where the bytes of flash go: a name for each part of the program, with its bytes.
///
/// A part holds the functions and constants whose symbols lie in its modules. Small functions that
/// rules hand over have no module in their name; constants without a symbol, and what the linker
/// fills up, are what is left.
///
/// # Panics
/// If it is no ELF file.
pub fn parts(elf: &[u8]) -> Vec<(&'static str, u64)> {
    let file = object::File::parse(elf).expect("the firmware is an ELF file");
    let in_flash = |symbol: &object::Symbol<'_, '_>| {
        let section = symbol.section_index().and_then(|at| file.section_by_index(at).ok());
        let name = section.and_then(|section| section.name().ok().map(str::to_owned));
        symbol.size() > 0 && matches!(name.as_deref(), Some(".text" | ".rodata"))
    };
    // Functions that were folded into one have several names at one address.
    let mut named: Vec<_> = file.symbols().filter(in_flash).collect();
    named.sort_by_key(|symbol| (symbol.address(), std::cmp::Reverse(symbol.size())));
    named.dedup_by_key(|symbol| symbol.address());
    let mut parts: Vec<(&'static str, u64)> = PARTS.iter().map(|(part, _)| (*part, 0)).collect();
    for symbol in named {
        let name = symbol.name().unwrap_or_default();
        let position = PARTS.iter().position(|(_, marks)| marks.iter().any(|m| name.contains(m)));
        if let Some((_, bytes)) = position.and_then(|at| parts.get_mut(at)) {
            *bytes += symbol.size();
        }
    }
    let sizes = sizes(elf);
    parts.push(("vectors", sizes.vectors));
    let known: u64 = parts.iter().map(|(_, bytes)| bytes).sum();
    parts.push(("constants without a name, filling", sizes.flash.saturating_sub(known)));
    parts
}

/// The part that is the example's own.
pub const OWN: &str = "gateway itself: board, line, traits of CAN, start";
/// Parts that do not load, check, hear or compare.
pub const NOT_ENGINE: [&str; 5] =
    ["log", "SLCAN", OWN, "vectors", "constants without a name, filling"];

/// Parts of the program with the marks of their symbols; the first that fits counts.
const PARTS: &[(&str, &[&str])] = &[
    ("log", &["defmt", "gateway3log", "gateway4wire", "semihosting"]),
    ("load: image and plan", &["gateway4load", "checksum", "core5image", "core4plan"]),
    (
        "hear: frames in three dialects",
        &["core5heard", "core5frame", "6listen4hear", "13nothing_heard"],
    ),
    ("SLCAN", &["core5slcan", "gateway7adapter"]),
    ("compare: tables", &["core8compared", "gateway7compare"]),
    ("rules: heard", &["rules5heard"]),
    ("tables of the link and of nets", &["core5links", "core4nets", "core5alike", "core4sets"]),
    ("list of rules, runner", &["rules4step", "rules3run", "rules5check", "core5rules6RuleId"]),
    ("report", &["core6report", "core7finding"]),
    ("rules: link", &["rules4link"]),
    ("rules: port", &["rules4port"]),
    ("rules: termination", &["rules11termination"]),
    ("rules: identity", &["rules8identity", "core8switches"]),
    ("rules: firmware", &["rules8firmware"]),
    ("rules: battery link", &["rules12battery_link"]),
    ("rules: sensor", &["rules6sensor"]),
    ("rules: sheet", &["rules5sheet"]),
    ("rules: power", &["rules5power"]),
    ("rules: small functions that they hand over", &["call_once"]),
    ("physics of the bus", &["core3bus"]),
    ("shared by the compiler: pieces of functions", &["OUTLINED_FUNCTION"]),
    ("copying and clearing", &["memcpy", "memset", "memclr", "memory_fill", "compiler_builtins"]),
    (OWN, &["gateway", "Reset", "main", "Fault", "Default"]),
    ("the rest", &[""]),
];

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
