//! The developers' own commands; `cargo dev help` lists them.

mod batch;
mod checks;
mod coverage;
mod damage;
mod docs;
mod drill;
mod forms;
mod full;
mod fuzz;
mod graphs;
mod mend;
mod meter;
mod mutants;
mod oracles;
mod page;
mod photos;
mod rig;
mod size;

use std::process::ExitCode;

/// The whole proof reads millions of sheets, and a third of that is memory taken and given back.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

const HELP: &str = "\
cargo dev COMMAND

  test          set up this machine, then run every check that CI runs
  setup         install what the checks need and this machine lacks
  bless         rewrite the golden files; read the difference before you commit it
  bench         sites a second of batch, as ratios to parsers, a plain peer and other judges
  damage        every flipped bit and every cut of every image, and a million damaged images
                (with --release)
  drill [N]     the ideal search of drills followed for 1,000 numbers, or for so many
                (with --release)
  docs          rewrite the generated parts of README.md; with --check only compare
  fleet         100,000 sites on two Dask workers, killed once, against one run of batch
  forms [N] [FIRST]
                printed forms filled at random, photographed and read (600; with --release)
  full          the whole proof, or a part of it such as: singles 6-8, heard 2-16
                (with --release)
  coverage      how much of core and readers the tests reach, by cargo llvm-cov;
                with --last what the last run reached
  fuzz          libFuzzer over every reader, the image and the check; with --seconds N for
                each target (600), or with the names of some
  graphs        all graphs of 2 to 4 units, core against oracle; with --all whole
  memory        memory of batch at its most: a million sites, a line of a gigabyte
  mend [N]      groups of 2 to 4 units with one fault and with two (one in N): the cheapest acts
                against brute force (with --release)
  meter [TIMES] every single fault of lines of 3 to 8 units, read with errors and ranked, each
                so many times (20; with --release): how often the true one comes first
  mutants       small changes of the core, each of which must be noticed (cargo-mutants)
  oracles       generated sites with faults, core against three other judges
  page          the page as one HTML file in target/page, and its size
  photos [FOLDER]
                photographs with truth (those of tests/photos, or of a folder of folders): cells
                right, to confirm, sure and wrong, time and memory
  rig [UNITS]   every group of 2 to 8 units with one fault, on the emulated gateway and on the
                laptop (with --release); or of so many units, or one in so many: rig 6-8 1/10
  sites N [U]   N generated sites as lines of JSON, right and faulty, of U units each
  size          image, flash, memory, stack and instructions of the gateway";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        ["test"] => checks::test(),
        ["setup"] => checks::setup(),
        ["bless"] => bless(),
        ["docs"] => docs::write(),
        ["docs", "--check"] => docs::check(),
        ["drill"] => drill::print(None),
        ["drill", numbers] => drill::print(Some(numbers)),
        ["graphs"] => graphs::print(false),
        ["graphs", "--all"] => graphs::print(true),
        ["oracles"] => oracles::print(),
        ["page"] => page::print(),
        ["photos"] => photos::print(None),
        ["photos", folder] => photos::print(Some(folder)),
        ["bench"] => batch::bench(),
        ["fleet"] => {
            batch::on_workers();
            Ok(())
        }
        ["memory"] => batch::memory(),
        ["meter"] => meter::print(None),
        ["meter", times] => meter::print(Some(times)),
        ["mend"] => mend::print(None),
        ["mend", one_in] => mend::print(Some(one_in)),
        ["sites", what @ ..] => batch::sites(what),
        ["forms", what @ ..] => forms::run(what),
        ["size"] => size::print(),
        ["damage"] => damage::run(),
        ["rig", what @ ..] => rig::run(what),
        ["mutants", further @ ..] => mutants::run(further),
        ["full", what @ ..] => full::run(what),
        ["coverage"] => coverage::print(),
        ["coverage", "--last"] => coverage::report(),
        ["fuzz", what @ ..] => fuzz::run(what),
        ["help"] => {
            println!("{HELP}");
            Ok(())
        }
        _ => Err(format!("unknown command\n\n{HELP}")),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::FAILURE
        }
    }
}

fn bless() -> Result<(), String> {
    for golden in coldcheck_tests::golden::all() {
        if golden.bless().map_err(|error| format!("{}: {error}", golden.path.display()))? {
            println!("changed: {}", golden.path.display());
        }
    }
    Ok(())
}
