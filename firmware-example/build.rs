//! Board settings, so that building works from any folder and needs no file outside this one.
//!
//! The target chooses the board: `thumbv7m-none-eabi` the one with a Cortex-M3,
//! `thumbv7em-none-eabihf` the one with a Cortex-M4F. A real board replaces one of the two.
use std::env;
use std::fs;
use std::path::PathBuf;

/// A board: its file in `src/board`, and where program, plan image and variables lie.
struct Board {
    name: &'static str,
    flash: &'static str,
    plan: &'static str,
    ram: &'static str,
}

/// 256 KiB flash, of which the last 16 hold the plan image, and 64 KiB RAM.
const LM3S6965EVB: Board = Board {
    name: "lm3s6965evb",
    flash: "ORIGIN = 0x00000000, LENGTH = 240K",
    plan: "ORIGIN = 0x0003C000, LENGTH = 16K",
    ram: "ORIGIN = 0x20000000, LENGTH = 64K",
};

/// 4 MiB for program and plan image, 4 MiB RAM.
const MPS2_AN386: Board = Board {
    name: "mps2_an386",
    flash: "ORIGIN = 0x00000000, LENGTH = 1M",
    plan: "ORIGIN = 0x00100000, LENGTH = 3M",
    ram: "ORIGIN = 0x20000000, LENGTH = 4M",
};

/// As the first board, with more room for images than for the program.
const LM3S6965EVB_MANY: Board = Board {
    flash: "ORIGIN = 0x00000000, LENGTH = 64K",
    plan: "ORIGIN = 0x00010000, LENGTH = 192K",
    ..LM3S6965EVB
};

fn board() -> Result<Board, env::VarError> {
    let many = env::var_os("CARGO_FEATURE_MANY_IMAGES").is_some();
    Ok(match env::var("TARGET")?.as_str() {
        "thumbv7em-none-eabihf" => MPS2_AN386,
        _ if many => LM3S6965EVB_MANY,
        _ => LM3S6965EVB,
    })
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    println!("cargo:rerun-if-changed=build.rs");
    let board = board()?;
    println!("cargo:rustc-check-cfg=cfg(board, values(\"lm3s6965evb\", \"mps2_an386\"))");
    println!("cargo:rustc-cfg=board=\"{}\"", board.name);
    let out = PathBuf::from(env::var("OUT_DIR")?);
    let Board { flash, plan, ram, .. } = board;
    let memory = format!(
        "MEMORY\n{{\n  FLASH : {flash}\n  PLAN : {plan}\n  RAM : {ram}\n}}\n\
         _plan_start = ORIGIN(PLAN);\n_plan_end = ORIGIN(PLAN) + LENGTH(PLAN);\n"
    );
    fs::write(out.join("memory.x"), memory)?;
    // Names of interrupt handlers; the board's own table needs none.
    fs::write(out.join("device.x"), "")?;
    println!("cargo:rustc-link-search={}", out.display());
    for argument in ["--nmagic", "-Tlink.x", "-Tdefmt.x", "--icf=all"] {
        println!("cargo:rustc-link-arg-bins={argument}");
    }
    Ok(())
}
