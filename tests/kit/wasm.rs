//! The page's library in node: built once, fed with images or sheets.

use crate::{paths, tools};
use serde_json::{Value, json};
use std::fs;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// The target of the page.
pub const TARGET: &str = "wasm32-unknown-unknown";

/// Options of the compiler for that target alone.
const RUSTFLAGS: &str = "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS";

/// The library, built at the first call.
///
/// # Panics
/// If it cannot be built.
pub fn library() -> &'static PathBuf {
    static LIBRARY: OnceLock<PathBuf> = OnceLock::new();
    LIBRARY.get_or_init(|| {
        let folder = paths::scratch("page");
        let mut cargo = tools::cargo(&folder);
        cargo.args(["build", "--package", "coldcheck-page", "--target", TARGET]);
        // Where a panic came from is nobody's to read in a page, and weighs 10 KB of it. Stable Rust has
        // no switch for that.
        cargo.env("RUSTC_BOOTSTRAP", "1").env(RUSTFLAGS, "-Zlocation-detail=none");
        let built = tools::run(cargo.args(["--profile", "page"]));
        // Clippy sees the library with all that its other users ask for. Without that, and for this
        // target, the compiler alone looks at it: no line of it hangs on either but by features.
        let says = String::from_utf8_lossy(&built.stderr);
        let mut warnings = tools::CodeWarnings::default();
        says.lines().for_each(|line| warnings.line(line));
        assert!(!warnings.any, "the page's build warns:\n{says}");
        folder.join(TARGET).join("page").join("coldcheck_page.wasm")
    })
}

/// The lines that the library gives for each image.
///
/// # Panics
/// If node cannot be run.
pub fn check_images(images: &[Vec<u8>]) -> Vec<Vec<String>> {
    let requests: Vec<_> =
        images.iter().map(|image| json!({ "call": "check_image", "bytes": image })).collect();
    ask(&Value::Array(requests))
        .into_iter()
        .map(|answer| answer.lines().map(ToOwned::to_owned).collect())
        .collect()
}

/// The report that the library gives for sheets.
///
/// # Panics
/// If node cannot be run.
pub fn check_sheets(request: &Value) -> Value {
    check_all_sheets(std::slice::from_ref(request)).remove(0)
}

/// The reports that the library gives for the sheets of many sites.
///
/// # Panics
/// If node cannot be run.
pub fn check_all_sheets(requests: &[Value]) -> Vec<Value> {
    let request = |request: &Value| json!({ "call": "check_sheets", "bytes": request.to_string().into_bytes() });
    let answers = ask(&requests.iter().map(request).collect());
    let read = |answer: &String| serde_json::from_str(answer).expect("the library answers in JSON");
    answers.iter().map(read).collect()
}

fn ask(requests: &Value) -> Vec<String> {
    // Tests run side by side, each with a file of its own.
    static ASKED: AtomicUsize = AtomicUsize::new(0);
    let number = ASKED.fetch_add(1, Ordering::Relaxed);
    let file =
        paths::scratch("page").join(format!("requests-{}-{number}.json", std::process::id()));
    fs::write(&file, requests.to_string()).expect("the target folder is writable");
    let script = paths::tests().join("page").join("ask.mjs");
    let output = tools::run(Command::new("node").arg(script).arg(library()).arg(&file));
    let _ = fs::remove_file(&file);
    serde_json::from_slice(&output.stdout).expect("the script answers in JSON")
}
