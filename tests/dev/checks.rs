//! Setting a machine up, and every check that CI runs.

use coldcheck_tests::firmware::{Board, Build};
use coldcheck_tests::python::{BUSES, ORACLES, SHARING};
use coldcheck_tests::{browser, firmware, paths, tools, wasm};
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::time::Instant;

/// Programs that the checks run, with Debian's package for each.
const PROGRAMS: &[(&str, &str)] = &[
    ("qemu-system-arm", "qemu-system-arm"),
    ("node", "nodejs"),
    ("npm", "npm"),
    ("chromium", "chromium fonts-dejavu-core"),
    ("pdftotext", "poppler-utils"),
    ("zbarimg", "zbar-tools"),
    ("python3", "python3 python3-venv"),
    ("ngspice", "ngspice"),
];

/// All tests but those of photographs.
const TESTS: &[&str] = &[
    "test",
    "--quiet",
    "--locked",
    "--workspace",
    "--exclude",
    "coldcheck-gateway",
    // It compares with a record that `cargo dev mutants` makes.
    "--exclude",
    "coldcheck-answers",
    "--exclude",
    "coldcheck-bench",
    "--",
    "--include-ignored",
    // Many wait for an emulator's or a browser's clock, while cores are free.
    "--test-threads=3",
    // They build the program once more, with the text engine: `cargo dev photos` runs
    // them, so that this stays below 15 minutes.
    "--skip",
    "of_the_samples_is_wrong",
    "--skip",
    "a_photograph_is_checked_beside",
    "--skip",
    "a_page_to_confirm_it",
    "--skip",
    "what_cannot_be_read_is_refused_with_advice",
];

/// The tests of the parts that only a build with photographs has.
pub(crate) const PHOTOGRAPHS: &[&str] = &[
    "test",
    "--quiet",
    "--locked",
    "--package",
    "coldcheck",
    "--lib",
    "--features",
    "photo",
    "photo::",
];

/// Installs what is missing; what is there is left alone.
pub(crate) fn setup() -> Result<(), String> {
    toolchain()?;
    programs()
}

/// What every build needs.
fn toolchain() -> Result<(), String> {
    for component in ["clippy", "rustfmt"] {
        step("rustup", &["component", "add", component])?;
    }
    step("rustup", &["target", "add", firmware::TARGET, firmware::TARGET_M4, wasm::TARGET])
}

/// What only tests need.
fn programs() -> Result<(), String> {
    let missing: Vec<_> = PROGRAMS
        .iter()
        .filter(|(program, _)| !tools::is_there(program))
        .map(|(_, package)| *package)
        .collect();
    if !missing.is_empty() {
        install(&missing)?;
    }
    // A Debian Python may lack the module that makes environments.
    ORACLES.set_up().or_else(|_| {
        install(&["python3-venv"])?;
        ORACLES.set_up()
    })?;
    BUSES.set_up()?;
    SHARING.set_up()?;
    browser::set_up()
}

/// Installs Debian packages.
fn install(missing: &[&str]) -> Result<(), String> {
    println!("installing {}", missing.join(", "));
    let install = format!(
        "export DEBIAN_FRONTEND=noninteractive; run=$([ \"$(id -u)\" = 0 ] || echo sudo); \
         $run apt-get update -qq && $run apt-get install -y -qq {}",
        missing.join(" ")
    );
    step("sh", &["-c", &install]).map_err(|error| {
        format!("{error}\ninstall {} by hand, then try again", missing.join(" and "))
    })
}

/// Everything that must be green before a change lands.
pub(crate) fn test() -> Result<(), String> {
    toolchain()?;
    // It waits for the network more than for a core.
    let installing = std::thread::spawn(programs);
    let deny = [("RUSTFLAGS", "-D warnings"), ("RUSTDOCFLAGS", "-D warnings")];
    let firmware = ["--package", "coldcheck-gateway", "--target", firmware::TARGET];
    let second_board = ["--package", "coldcheck-gateway", "--target", firmware::TARGET_M4];
    // As on a real board, and with everything that is off by default.
    let real_board = [&firmware[..], &["--no-default-features", "--features", "status-frame"]];
    let clippy = ["clippy", "--quiet", "--locked"];
    let strict = ["--", "-D", "warnings"];
    // The tests need them, and each keeps one core busy for a minute: they are made beside the rest,
    // in folders of their own.
    let beside = std::thread::spawn(|| {
        wasm::library();
        for board in [Board::CortexM3, Board::CortexM4] {
            firmware::built(board, Build::One);
        }
        firmware::built(Board::CortexM3, Build::Many);
    });
    let steps: Vec<(&str, Vec<&str>)> = vec![
        ("form of the code", vec!["fmt", "--all", "--check"]),
        (
            "clippy, with pictures, photographs, listening on an interface",
            [
                &clippy[..],
                &["--workspace", "--exclude", "coldcheck-gateway", "--all-targets"],
                &["--features", "coldcheck/png,coldcheck/photo,coldcheck/live"],
                &strict,
            ]
            .concat(),
        ),
        ("clippy, gateway", [&clippy[..], &firmware, &strict].concat()),
        ("clippy, gateway, second board", [&clippy[..], &second_board, &strict].concat()),
        (
            "clippy, gateway without the emulator",
            [&clippy[..], &real_board.concat(), &strict].concat(),
        ),
        (
            "core without features",
            vec!["check", "--quiet", "--package", "coldcheck-core", "--target", firmware::TARGET],
        ),
        ("tests, with those on other machines", TESTS.to_vec()),
        (
            "documentation",
            [
                "doc",
                "--quiet",
                "--locked",
                "--workspace",
                "--exclude",
                "coldcheck-gateway",
                "--no-deps",
            ]
            .to_vec(),
        ),
    ];
    let mut installing = Some(installing);
    for (name, arguments) in steps {
        if arguments == TESTS {
            if let Some(installing) = installing.take() {
                installing.join().map_err(|_| "the machine cannot be set up")??;
            }
            if !beside.is_finished() {
                println!("== page and gateway, made beside: not yet done");
            }
        }
        let start = Instant::now();
        println!("== {name}");
        let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        cargo.current_dir(paths::workspace()).args(&arguments);
        if arguments.first() == Some(&"doc") {
            cargo.envs(deny.into_iter().skip(1));
        }
        let (success, warns) = run(&mut cargo).map_err(|error| error.to_string())?;
        // Clippy looks at the code with all its features; the tests are built without most of them.
        if !success || warns {
            let what = if success { "warns" } else { "failed" };
            return Err(format!("{name} {what}: cargo {}", arguments.join(" ")));
        }
        println!("   {:.1} s", start.elapsed().as_secs_f32());
    }
    println!("== rule table in README.md");
    crate::docs::check()?;
    println!("== size of the gateway");
    crate::size::print()?;
    beside.join().map_err(|_| "page or gateway cannot be built")?;
    println!("== all green");
    Ok(())
}

/// Runs cargo, with all that it says; whether it succeeded, and whether it warned.
fn run(cargo: &mut Command) -> std::io::Result<(bool, bool)> {
    let mut child = cargo.stderr(Stdio::piped()).spawn()?;
    let mut warnings = tools::CodeWarnings::default();
    for line in child.stderr.take().into_iter().flat_map(|said| BufReader::new(said).split(b'\n')) {
        let line = line?;
        let line = String::from_utf8_lossy(&line);
        warnings.line(&line);
        eprintln!("{line}");
    }
    Ok((child.wait()?.success(), warnings.any))
}

fn step(program: &str, arguments: &[&str]) -> Result<(), String> {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .map_err(|error| format!("{program} cannot be started: {error}"))?;
    if output.status.success() {
        return Ok(());
    }
    Err(format!("{program} {}: {}", arguments.join(" "), String::from_utf8_lossy(&output.stderr)))
}
