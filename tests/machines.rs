//! One plan, one answer: the laptop, WebAssembly and the emulated microcontroller.
//!
//! Ignored in a plain `cargo test`, because they need the other targets, QEMU and node;
//! `cargo dev test` sets those up and runs them.

use coldcheck::engine::read_site;
use coldcheck::listing::listing;
use coldcheck::render::explain::{broken, sheets};
use coldcheck::render::json;
use coldcheck_core::finding::Verdict;
use coldcheck_core::rules::RULES;
use coldcheck_tests::cases::{self, request};
use coldcheck_tests::firmware::{build, firmware};
use coldcheck_tests::generate::{Dice, Model};
use coldcheck_tests::{elf, paths, wasm};
use serde_json::json;

/// Images of every case, of every rule's example and of some generated sites.
fn images() -> Vec<(String, Vec<u8>)> {
    let mut images = Vec::new();
    for case in cases::all() {
        let site = case.read().expect("a case can be read");
        images.push((case.name, coldcheck::image::write(&site)));
    }
    for (_, rule) in RULES {
        let sheets = sheets(&broken(&rule.text.example));
        let site = read_site(&request(&sheets, None)).expect("an example can be read");
        images.push((rule.slug.to_owned(), coldcheck::image::write(&site)));
    }
    for units in [2, 3, 8, 16, 32] {
        let sheets = Model::line(units, &mut Dice::new(5)).sheets();
        let site = read_site(&request(&sheets, None)).expect("a generated site can be read");
        images.push((format!("line-of-{units}"), coldcheck::image::write(&site)));
    }
    images
}

fn on_the_laptop(image: &[u8]) -> Vec<String> {
    let (plan, _) = coldcheck::image::read(image).expect("an image as it was written");
    listing(&plan)
}

#[test]
#[ignore = "needs the thumb target and QEMU; cargo dev test runs it"]
fn the_microcontroller_says_what_the_laptop_says() {
    let firmware = firmware();
    for (name, image) in images() {
        let boot = firmware.boot(&name, &image);
        assert_eq!(boot.lines, on_the_laptop(&image), "{name}");
        let ends_so = |(verdict, _): &&(Verdict, &str)| {
            boot.lines.last() == Some(&format!("verdict {verdict:?}"))
        };
        let code = Verdict::WORDS.iter().find(ends_so).map(|(verdict, _)| verdict.exit_code());
        assert_eq!(code.map(i32::from), Some(boot.status), "{name}");
    }
}

#[test]
#[ignore = "needs the thumb target and QEMU; cargo dev test runs it"]
fn the_microcontroller_refuses_a_damaged_image() {
    let firmware = firmware();
    let (_, image) = images().swap_remove(0);
    let body_end = image.len() / 2;
    let mut flipped = image.clone();
    flipped[body_end / 2] ^= 0x10;
    for (name, bytes, says) in [
        ("flipped", flipped, "refused Image(ChecksumMismatch)"),
        ("cut", image[..body_end].to_vec(), "refused Image(ChecksumMismatch)"),
        ("empty", vec![0; 64], "refused Image(NotAnImage)"),
        ("erased", vec![0xFF; 64], "refused Image(NotAnImage)"),
    ] {
        let boot = firmware.boot(name, &bytes);
        assert_eq!(boot.lines, [says], "{name}");
        assert_eq!(boot.status, 2, "{name}");
    }
}

#[test]
#[ignore = "needs the wasm target and node; cargo dev test runs it"]
fn the_page_says_what_the_laptop_says() {
    let images = images();
    let bytes: Vec<_> = images.iter().map(|(_, image)| image.clone()).collect();
    for ((name, image), lines) in images.iter().zip(wasm::check_images(&bytes)) {
        assert_eq!(lines, on_the_laptop(image), "{name}");
    }
}

#[test]
#[ignore = "needs the wasm target and node; cargo dev test runs it"]
fn the_page_gives_the_same_report_for_sheets() {
    for case in cases::all() {
        let (site, diagnosis) = case.examine().expect("a case can be read");
        // The page takes text; a file's encoding is the browser's business.
        let sheets: Vec<_> = case
            .sheets
            .iter()
            .map(|sheet| json!({ "name": sheet.name, "text": String::from_utf8_lossy(&sheet.bytes) }))
            .collect();
        let scope = case.scope.map(|_| "communication");
        let report = wasm::check_sheets(&json!({ "sheets": sheets, "scope": scope }));
        assert_eq!(report, json::check(&site, &diagnosis), "{}", case.name);
    }
}

#[test]
#[ignore = "needs the thumb target; cargo dev test runs it"]
fn a_panic_path_keeps_the_firmware_from_linking() {
    let folder = paths::scratch("firmware-with-panic");
    let output = build(&folder, &["with-panic-path"]).output().expect("cargo can be started");
    let says = String::from_utf8_lossy(&output.stderr);
    assert!(!output.status.success(), "the negative control has linked");
    assert!(says.contains("undefined symbol: a_panic_path_is_linked"), "{says}");
}

#[test]
#[ignore = "needs the thumb target; cargo dev test runs it"]
fn the_firmware_is_a_program_and_carries_no_words_of_rules() {
    let elf_file = &firmware().elf;
    let sizes = elf::sizes(elf_file);
    assert!(sizes.flash > 8 * 1024, "the linker threw the code away: {sizes:?}");
    for (_, rule) in RULES {
        let opening: String = rule.text.why.chars().take(24).collect();
        for words in [rule.text.title, &opening, rule.slug] {
            assert!(!elf::flash_holds(elf_file, words.as_bytes()), "flash holds: {words}");
            assert!(!whole_file_holds(elf_file, words.as_bytes()), "the file holds: {words}");
        }
    }
    // The search can find something: the log's own words stand in the file, outside flash.
    assert!(
        whole_file_holds(elf_file, b"outcome {=?} {=?}") || whole_file_holds(elf_file, b"verdict")
    );
}

fn whole_file_holds(file: &[u8], bytes: &[u8]) -> bool {
    file.windows(bytes.len()).any(|window| window == bytes)
}
