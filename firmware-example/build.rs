//! Board settings, so that building works from any folder and needs no file outside this one.
use std::env;
use std::fs;
use std::path::PathBuf;

/// The lm3s6965evb board: 256 KiB flash and 64 KiB RAM. The last 16 KiB of flash hold the plan
/// image, which is loaded apart from the program.
const MEMORY: &str = "\
MEMORY
{
  FLASH : ORIGIN = 0x00000000, LENGTH = 240K
  PLAN  : ORIGIN = 0x0003C000, LENGTH = 16K
  RAM   : ORIGIN = 0x20000000, LENGTH = 64K
}
_plan_start = ORIGIN(PLAN);
_plan_end = ORIGIN(PLAN) + LENGTH(PLAN);
";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    println!("cargo:rerun-if-changed=build.rs");
    let out = PathBuf::from(env::var("OUT_DIR")?);
    fs::write(out.join("memory.x"), MEMORY)?;
    // Names of interrupt handlers; there are none.
    fs::write(out.join("device.x"), "")?;
    println!("cargo:rustc-link-search={}", out.display());
    for argument in ["--nmagic", "-Tlink.x", "-Tdefmt.x", "--icf=all"] {
        println!("cargo:rustc-link-arg-bins={argument}");
    }
    Ok(())
}
