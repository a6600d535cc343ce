//! `cargo dev sites`, `bench`, `fleet` and `memory`: what belongs to `batch`.

use coldcheck_tests::generate::Dice;
use coldcheck_tests::python::FLEET;
use coldcheck_tests::{fleet, generate_faulty, lines, paths, program, tools};
use std::io::{self, BufWriter, Write};
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::Instant;

/// Writes so many generated sites to standard output, right and faulty ones: of two to nine units,
/// or all of the same number.
pub(crate) fn sites(arguments: &[&str]) -> Result<(), String> {
    let number = |text: &str| text.parse().map_err(|_| format!("{text} is no number"));
    let (count, units) = match arguments {
        [count] => (number(count)?, None),
        [count, units] => (number(count)?, Some(number(units)?)),
        _ => return Err("cargo dev sites COUNT [UNITS]".to_owned()),
    };
    let units = units.map(|units| usize::try_from(units).unwrap_or(usize::MAX));
    if units.is_some_and(|units| !(2..=32).contains(&units)) {
        return Err("a generated site has 2 to 32 units".to_owned());
    }
    let of_size = |units: usize| {
        let site = move |draw| generate_faulty::site_of(units, &mut Dice::new(draw));
        (0..count).map(move |draw| site(draw).json().to_string())
    };
    let mut out = BufWriter::new(io::stdout().lock());
    let mut write = |line: String| writeln!(out, "{line}");
    let written = match units {
        Some(units) => of_size(units).try_for_each(&mut write),
        None => lines::of_sites(0..count).try_for_each(&mut write),
    };
    match written.and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(error.to_string()),
        _ => Ok(()),
    }
}

/// Builds and runs the benchmark, then counts instructions and times one check as a process.
pub(crate) fn bench() -> Result<(), String> {
    let target = paths::workspace().join("target").join("bench");
    let manifest = paths::tests().join("bench/Cargo.toml");
    tools::run(tools::cargo(&target).args(["build", "--release", "--manifest-path"]).arg(manifest));
    let bench =
        target.join("release").join(format!("coldcheck-bench{}", std::env::consts::EXE_SUFFIX));
    let status = Command::new(&bench).status().map_err(|error| error.to_string())?;
    if !status.success() {
        return Err("the benchmark failed".to_owned());
    }
    one_check()?;
    if !tools::is_there("valgrind") {
        println!("instructions: not counted, valgrind is not here (Debian package valgrind)");
        return Ok(());
    }
    for job in ["batch", "core: check alone", "batch --images"] {
        for units in ["4", "16", "32"] {
            println!(
                "{job}, {units} units: {} instructions a site",
                instructions(&bench, job, units)?
            );
        }
    }
    Ok(())
}

/// Instructions of one job over all sites, without those of making them.
fn instructions(bench: &PathBuf, job: &str, units: &str) -> Result<u64, String> {
    let count = |turns: &str| -> Result<u64, String> {
        let output = Command::new("valgrind")
            .args(["--tool=callgrind", "--callgrind-out-file=/dev/null"])
            .arg(bench)
            .args([job, units])
            .env("TURNS", turns)
            .env("SITES", "100")
            .output()
            .map_err(|error| error.to_string())?;
        let says = String::from_utf8_lossy(&output.stderr);
        let line = says.lines().find(|line| line.contains("Collected"));
        let number = line.and_then(|line| line.split_whitespace().last()?.parse().ok());
        number.ok_or_else(|| format!("callgrind says: {says}"))
    };
    // The first turn learns the words; the difference of two counts is that of turns alone.
    Ok(count("11")?.saturating_sub(count("1")?) / (10 * 100))
}

/// One check of 16 units as a process, from its start to its end.
fn one_check() -> Result<(), String> {
    let program = release_program();
    let folder = program::folder("bench");
    let file = folder.join("site.json");
    let site = generate_faulty::right_site_of(16, &mut Dice::new(1));
    std::fs::write(&file, site.json().to_string()).map_err(|error| error.to_string())?;
    let mut best = f64::MAX;
    for _ in 0..50 {
        let start = Instant::now();
        Command::new(&program)
            .arg("check")
            .arg(&file)
            .stdout(Stdio::null())
            .status()
            .map_err(|error| error.to_string())?;
        best = best.min(start.elapsed().as_secs_f64() * 1e3);
    }
    println!("coldcheck check of 16 units as a process: {best:.1} ms, best of 50");
    Ok(())
}

/// The program as it is shipped.
fn release_program() -> PathBuf {
    let target = paths::workspace().join("target");
    tools::run(tools::cargo(&target).args(["build", "--release", "--package", "coldcheck"]));
    target.join("release").join(format!("coldcheck{}", std::env::consts::EXE_SUFFIX))
}

/// 100,000 sites on two Dask workers, killed once, held against one run.
pub(crate) fn on_workers() {
    FLEET.set_up().expect("the packages can be had");
    let start = Instant::now();
    fleet::prove(&release_program(), &program::folder("fleet"), 100_000, 5_000);
    println!("100,000 sites on two workers, killed once: the same as one run");
    println!("{:.0} s with the making of the sites", start.elapsed().as_secs_f32());
}

/// Memory at its most: a million sites, and one line of a gigabyte.
pub(crate) fn memory() -> Result<(), String> {
    let program = release_program();
    let run = |name: &str, write: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>| {
        let start = Instant::now();
        let mut child = Command::new(&program)
            .arg("batch")
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .spawn()
            .map_err(|error| error.to_string())?;
        let process = child.id();
        let mut pipe = BufWriter::new(child.stdin.take().ok_or("a pipe")?);
        write(&mut pipe).and_then(|()| pipe.flush()).map_err(|error| error.to_string())?;
        // The input is still open, so the process is still there.
        let status = std::fs::read_to_string(format!("/proc/{process}/status"));
        drop(pipe);
        child.wait().map_err(|error| error.to_string())?;
        let most = status.ok().and_then(|text| {
            let line = text.lines().find(|line| line.starts_with("VmHWM"))?.to_owned();
            line.split_whitespace().nth(1)?.parse::<u64>().ok()
        });
        let most = most.ok_or("this system does not tell the memory of a process")?;
        println!("{name}: {} KiB at most, {:.0} s", most, start.elapsed().as_secs_f32());
        if most > 64 * 1024 { Err(format!("{name}: more than 64 MiB")) } else { Ok(()) }
    };
    let block = vec![b'x'; 1 << 20];
    run("one line of 1 GiB", &mut |out| (0..1024).try_for_each(|_| out.write_all(&block)))?;
    let sites: Vec<String> = lines::of_sites(0..20_000).collect();
    run("a million sites, 20,000 kinds", &mut |out| {
        (0..50).try_for_each(|_| sites.iter().try_for_each(|line| writeln!(out, "{line}")))
    })
}
