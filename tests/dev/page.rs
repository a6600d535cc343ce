//! The page as one file.

use coldcheck_tests::{page, paths, tools};
use std::process::Command;

pub(crate) fn print() -> Result<(), String> {
    let bytes = page::make()?;
    println!("{} bytes of {} at the most: {}", bytes, page::MOST_BYTES, page::file().display());
    held_by_a_program()?;
    println!("a program that was built with it writes the same");
    println!("to have it in yours: cargo build -p coldcheck --features page");
    Ok(())
}

/// Whether a program that is built with the page holds it, and finds it wherever it is built.
fn held_by_a_program() -> Result<(), String> {
    let folder = paths::scratch("page-program");
    let mut build = tools::cargo(&folder);
    tools::run(build.args(["build", "--package", "coldcheck", "--features", "page"]));
    let program = folder.join("debug").join(format!("coldcheck{}", std::env::consts::EXE_SUFFIX));
    let output = tools::run(Command::new(program).arg("page"));
    let page = std::fs::read(page::file()).map_err(|error| error.to_string())?;
    if output.stdout == page { Ok(()) } else { Err("the program writes another page".to_owned()) }
}
