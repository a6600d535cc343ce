//! The page as one file.

use coldcheck_tests::page;

pub(crate) fn print() -> Result<(), String> {
    let bytes = page::make()?;
    println!("{} bytes of {} at the most: {}", bytes, page::MOST_BYTES, page::file().display());
    println!("to have it in the program: cargo build -p coldcheck --features page");
    Ok(())
}
