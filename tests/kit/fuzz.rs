//! What must hold for any bytes at all. Each target is one function of bytes: the smoke test calls
//! it with changed cases, and libFuzzer (`tests/fuzz`) with whatever it thinks of.

pub mod corpus;
mod lines;
mod logs;
pub mod mutate;
mod outputs;
mod plans;
mod profiles;
mod readings;
mod sheets;
mod text;

use coldcheck::read::RawSheet;

/// A part of the program that takes bytes from outside.
#[derive(Clone, Copy, Debug)]
pub struct Target {
    /// Its name, and that of its libFuzzer program.
    pub name: &'static str,
    /// Panics if a property does not hold.
    pub body: fn(&[u8]),
    /// Inputs to begin with.
    pub corpus: fn() -> Vec<Vec<u8>>,
    /// The longest input that is worth trying.
    pub most_bytes: usize,
}

/// Between two sheets of one input. It stands in no text that a person writes.
pub const NEXT_SHEET: u8 = 0x1E;
/// No site is described in more files here.
const MOST_SHEETS: usize = 4;

/// Every target.
pub const TARGETS: &[Target] = &[
    Target { name: "cable_list", body: cable_list, corpus: corpus::cable_lists, most_bytes: 4096 },
    Target { name: "settings", body: settings, corpus: corpus::settings, most_bytes: 4096 },
    Target { name: "site_toml", body: one_sheet, corpus: corpus::site_files, most_bytes: 8192 },
    Target { name: "site_json", body: one_sheet, corpus: corpus::json_files, most_bytes: 8192 },
    Target { name: "batch_line", body: lines::body, corpus: corpus::lines, most_bytes: 8192 },
    Target { name: "mixed", body: mixed, corpus: corpus::mixed, most_bytes: 8192 },
    Target { name: "profile", body: profiles::body, corpus: corpus::profiles, most_bytes: 8192 },
    Target { name: "image", body: plans::image, corpus: corpus::images, most_bytes: 16_384 },
    Target { name: "plan", body: plans::plan, corpus: corpus::plans, most_bytes: 8192 },
    Target { name: "log", body: logs::log, corpus: corpus::logs, most_bytes: 8192 },
    Target { name: "readings", body: readings::body, corpus: readings::corpus, most_bytes: 4096 },
    Target { name: "slcan", body: logs::slcan, corpus: corpus::slcan_lines, most_bytes: 2048 },
];

/// The target with this name.
///
/// # Panics
/// If there is none.
pub fn target(name: &str) -> Target {
    let found = TARGETS.iter().find(|target| target.name == name);
    *found.unwrap_or_else(|| panic!("there is no target {name}"))
}

fn raw(name: &str, bytes: &[u8]) -> RawSheet {
    RawSheet { name: name.to_owned(), bytes: bytes.to_vec() }
}

/// A list of cables of units that another sheet lists.
fn cable_list(bytes: &[u8]) {
    const UNITS: &[u8] = b"unit 1 = coordinator, addr 1, count 3, term on, bank A\n\
        unit 2 = follower, addr 2, count 3, term off, bank A\n\
        unit 3 = follower, addr 3, count 3, term on, bank A\nmax link total = 30 m\n";
    sheets::body(&[raw("cables.csv", bytes), raw("settings.txt", UNITS)]);
}

/// Settings of units that another sheet joins.
fn settings(bytes: &[u8]) {
    const CABLES: &[u8] = b"cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,2 m\n\
        C2,unit 2 A,unit 3 B,link,2 m\nB1,unit 1 battery,pack 1 data,battery,1 m\n\
        S1,unit 1 CT,CT L1,sensor,4 m\n";
    sheets::body(&[raw("cables.csv", CABLES), raw("settings.txt", bytes)]);
}

fn one_sheet(bytes: &[u8]) {
    sheets::body(&[raw("site", bytes)]);
}

/// Several sheets of any kind, one behind the other.
fn mixed(bytes: &[u8]) {
    let names = ["one", "two", "three", "four"];
    let parts = bytes.splitn(MOST_SHEETS, |byte| *byte == NEXT_SHEET);
    let files: Vec<_> = names.iter().zip(parts).map(|(name, part)| raw(name, part)).collect();
    sheets::body(&files);
}
