//! One plan, one answer: the laptop and WebAssembly. `gateway.rs` does it with the emulated
//! microcontroller.
//!
//! Ignored in a plain `cargo test`, because they need the other target and node; `cargo dev test`
//! sets those up and runs them.

use coldcheck::listing::listing;
use coldcheck::render::json;
use coldcheck_tests::{cases, images, wasm};
use serde_json::json;

fn on_the_laptop(image: &[u8]) -> Vec<String> {
    let (plan, _) = coldcheck::image::read(image).expect("an image as it was written");
    listing(&plan)
}

#[test]
#[ignore = "needs the wasm target and node; cargo dev test runs it"]
fn the_page_says_what_the_laptop_says() {
    let sites = images::all();
    let bytes: Vec<_> = sites.iter().map(|site| site.image.clone()).collect();
    for (site, lines) in sites.iter().zip(wasm::check_images(&bytes)) {
        assert_eq!(lines, on_the_laptop(&site.image), "{}", site.name);
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
