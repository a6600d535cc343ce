//! The page: one HTML file, put together from `host-cli/page` and the library.

use crate::{paths, wasm};
use coldcheck::render::html::policy::hash;
use lzma_rust2::{EncodeMode, LzmaOptions, LzmaWriter, MfType};
use std::fmt::Write;
use std::fs;
use std::path::PathBuf;

/// The largest page, in bytes: README.md promises less than a megabyte (a limit of ours: it is sent by
/// message and kept on a phone).
pub const MOST_BYTES: usize = 1_000_000;

/// How the library is packed, as `script/unpack.js` takes it back: literals in the context of three
/// bits of the byte before, no bits of the position, as many bytes back as the library has.
const LZMA: LzmaOptions = LzmaOptions {
    dict_size: 1 << 23,
    lc: 3,
    lp: 0,
    pb: 0,
    mode: EncodeMode::Normal,
    nice_len: LzmaOptions::NICE_LEN_MAX,
    mf: MfType::Bt4,
    depth_limit: 512,
    preset_dict: None,
};

/// Where the page is put.
pub fn file() -> PathBuf {
    paths::workspace().join("target").join("page").join("coldcheck.html")
}

/// Builds the library and puts the page together.
///
/// # Errors
/// What is wrong with the parts, or that the page is too large.
pub fn make() -> Result<usize, String> {
    let library = fs::read(wasm::library()).map_err(|error| error.to_string())?;
    let page = assemble(&library)?;
    let file = file();
    let folder = file.parent().ok_or("the page has a folder")?;
    fs::create_dir_all(folder).map_err(|error| error.to_string())?;
    // Also where the program's build takes it from: within its package, so that it is packed.
    let packed = paths::workspace().join("host-cli").join("coldcheck.html");
    for place in [&file, &packed] {
        fs::write(place, &page).map_err(|error| error.to_string())?;
    }
    if page.len() > MOST_BYTES {
        return Err(format!("the page has {} bytes, and {MOST_BYTES} are the most", page.len()));
    }
    Ok(page.len())
}

fn assemble(library: &[u8]) -> Result<String, String> {
    let style = bare(&source("page.css")?, "/*");
    let script = bare(&joined("main.js")?, "//");
    if script.contains("</script") || style.contains("</style") {
        return Err("a part ends its own element".to_owned());
    }
    if script.lines().any(|line| line.matches('`').count() % 2 != 0) {
        return Err("a text of the scripts runs over several lines".to_owned());
    }
    // What is inline, by its hash, and nothing from anywhere.
    let policy = format!(
        "default-src 'none'; script-src {} 'wasm-unsafe-eval'; style-src {}; \
         base-uri 'none'; form-action 'none'",
        hash(&script),
        hash(&style)
    );
    let mut page = source("page.html")?;
    let engine = packed(&zipped(library)?);
    for (mark, part) in
        [("@POLICY@", policy), ("@STYLE@", style), ("@SCRIPT@", script), ("@ENGINE@", engine)]
    {
        let (before, after) =
            page.split_once(mark).ok_or_else(|| format!("page.html lacks {mark}"))?;
        page = format!("{before}{part}{after}");
    }
    Ok(page)
}

fn source(name: &str) -> Result<String, String> {
    let path = paths::workspace().join("host-cli").join("page").join(name);
    fs::read_to_string(&path).map_err(|error| format!("{}: {error}", path.display()))
}

/// Lines without what only a reader of the source needs: indentation, and comments on lines of their own.
/// No text in the parts runs over several lines.
fn bare(text: &str, comment: &str) -> String {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.filter(|line| !line.starts_with(comment)).fold(String::new(), |mut all, line| {
        all.push_str(line);
        all.push('\n');
        all
    })
}

/// A module with all that it imports, each once and before whatever needs it.
///
/// # Errors
/// If a module is not there, or imports otherwise than by names from a file beside it.
pub fn joined(module: &str) -> Result<String, String> {
    let mut done = Vec::new();
    let mut script = String::new();
    join(module, &mut done, &mut script)?;
    Ok(script)
}

fn join(module: &str, done: &mut Vec<String>, script: &mut String) -> Result<(), String> {
    if done.iter().any(|one| one == module) {
        return Ok(());
    }
    done.push(module.to_owned());
    let text = source(&format!("script/{module}"))?;
    let mut own = String::new();
    for line in text.lines() {
        if line.starts_with("import ") {
            let file = line
                .strip_suffix("\";")
                .and_then(|line| line.split_once("} from \"./"))
                .ok_or_else(|| format!("{module}: cannot join `{line}`"))?;
            join(file.1, done, script)?;
        } else {
            let _ = writeln!(own, "{}", line.strip_prefix("export ").unwrap_or(line));
        }
    }
    script.push_str(&own);
    Ok(())
}

/// Behind four bytes of its length, without the usual head and any mark at the end.
fn zipped(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let length = u32::try_from(bytes.len()).map_err(|error| error.to_string())?;
    let head = length.to_le_bytes().to_vec();
    let mut writer =
        LzmaWriter::new_no_header(head, &LZMA, false).map_err(|error| error.to_string())?;
    std::io::Write::write_all(&mut writer, bytes).map_err(|error| error.to_string())?;
    writer.finish().map_err(|error| error.to_string())
}

/// Seven bits a character: a fifth shorter than base64. The three signs that HTML would not leave as
/// they are (none, carriage return, less-than) stand 128 higher; `script/engine.js` reads it back.
fn packed(bytes: &[u8]) -> String {
    let mut text = String::new();
    let (mut held, mut bits) = (0_u32, 0);
    let mut put = |seven: u32| {
        let high = if matches!(seven, 0 | 13 | 60) { 128 } else { 0 };
        text.extend(char::from_u32(seven | high));
    };
    for byte in bytes {
        held = (held << 8 | u32::from(*byte)) & 0x7FFF;
        bits += 8;
        while bits >= 7 {
            bits -= 7;
            put(held >> bits & 127);
        }
    }
    if bits > 0 {
        put(held << (7 - bits) & 127);
    }
    text
}
