//! Photographs of cable lists with their truth, and the program that reads them.

use crate::{paths, tools};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

/// The package that holds the models, as the program names it.
const PACKAGE: &str = "rapidocr==3.10.0";
const WHEEL: &str = "rapidocr-3.10.0-py3-none-any.whl";

/// The columns of a file of truth behind the number of the row, as JSON names them.
pub const COLUMNS: [&str; 7] =
    ["label", "from_unit", "from_port", "to_unit", "to_port", "kind", "length_m"];

/// Where the package is kept once it is fetched.
fn wheel() -> PathBuf {
    paths::workspace().join("target").join("text-engine").join(WHEEL)
}

/// Fetches the package with the models, if it is not there.
///
/// # Errors
/// What went wrong, as text.
pub fn set_up() -> Result<(), String> {
    let wheel = wheel();
    if wheel.exists() {
        return Ok(());
    }
    let mut pip = Command::new("python3");
    pip.args(["-m", "pip", "download", "--quiet", "--no-deps", "--dest"]);
    let output = pip.arg(wheel.parent().unwrap_or(&wheel)).arg(PACKAGE).output();
    let output = output.map_err(|error| format!("{pip:?}: {error}"))?;
    let says = String::from_utf8_lossy(&output.stderr);
    if output.status.success() { Ok(()) } else { Err(format!("{pip:?}: {says}")) }
}

/// The program with the part that reads photographs, and its engine set up.
#[derive(Debug)]
pub struct Reader {
    program: PathBuf,
    engine: PathBuf,
}

/// Builds the program and sets its engine up.
///
/// # Panics
/// If it cannot be built, or the package is not there.
pub fn reader(release: bool) -> Reader {
    let target = paths::workspace().join("target");
    let mut build = tools::cargo(&target);
    build.args(["build", "--package", "coldcheck", "--features", "photo"]);
    if release {
        build.arg("--release");
    }
    tools::run(&mut build);
    let folder = target.join(if release { "release" } else { "debug" });
    let name = format!("coldcheck{}", std::env::consts::EXE_SUFFIX);
    // The next build without this part puts its own program there.
    let own = paths::scratch("photos");
    let program = own.join(&name);
    fs::copy(folder.join(&name), &program).expect("the program can be copied");
    let reader = Reader { program, engine: own.join("engine") };
    let output = reader.command().arg("read").arg("--set-up").arg(wheel()).output();
    let output = output.expect("the program can be started");
    let says = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{says}\nthe package is fetched by: cargo dev setup");
    reader
}

/// The same for the tests of one program, built once.
pub fn test_reader() -> &'static Reader {
    static READER: OnceLock<Reader> = OnceLock::new();
    READER.get_or_init(|| reader(false))
}

impl Reader {
    /// The program, with its engine.
    pub fn command(&self) -> Command {
        let mut command = Command::new(&self.program);
        command.env("COLDCHECK_ENGINE", &self.engine).env_remove("NO_COLOR");
        command
    }

    /// Reads a photograph and holds it against its truth.
    ///
    /// # Panics
    /// If the program cannot be started, or a file of truth is damaged.
    pub fn read(&self, photo: &Photo) -> Outcome {
        let start = Instant::now();
        let mut child = self
            .command()
            .args(["read", "--quiet", "--format", "json", "--words"])
            .arg(&photo.words)
            .arg(&photo.picture)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program can be started");
        let mut most = 0;
        // The answer fills no pipe until the program is nearly done, so that waiting is safe for
        // lists of a page; the system keeps the most that was ever held.
        let mut out = child.stdout.take().expect("a pipe");
        let reading = std::thread::spawn(move || {
            let mut text = String::new();
            std::io::Read::read_to_string(&mut out, &mut text).map(|_| text)
        });
        while child.try_wait().expect("the program runs").is_none() {
            most = most.max(held(child.id()));
            std::thread::sleep(Duration::from_millis(10));
        }
        let took = start.elapsed();
        let text = reading.join().expect("a thread").expect("text");
        let told = serde_json::from_str(&text).unwrap_or(Value::Null);
        Outcome { tally: tally(&told, &photo.truth), told, took, mebibytes: most / 1024 }
    }
}

/// The most memory that a process has held, in kibibytes; 0 where the system does not say.
fn held(process: u32) -> u64 {
    let status = fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse().ok()).unwrap_or(0)
}

/// A photograph with what stands in it.
#[derive(Clone, Debug)]
pub struct Photo {
    /// Its name, without folder and ending.
    pub name: String,
    /// The folder it lies in: how hard it is.
    pub grade: String,
    /// The picture.
    pub picture: PathBuf,
    /// The vocabulary of its site.
    pub words: PathBuf,
    /// Its cells, row by row in the order of [`COLUMNS`]; empty where there is no such column.
    pub truth: Vec<Vec<String>>,
}

/// All photographs in the folders of a folder.
///
/// # Errors
/// If a folder cannot be read, or a photograph lacks its truth.
pub fn all(folder: &Path) -> Result<Vec<Photo>, String> {
    let listed = |folder: &Path| -> Result<Vec<PathBuf>, String> {
        let entries =
            fs::read_dir(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        Ok(paths)
    };
    let text = |path: &Path| {
        fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))
    };
    let mut photos = Vec::new();
    for grade in listed(folder)?.into_iter().filter(|path| path.is_dir()) {
        for picture in listed(&grade)? {
            if picture.extension().is_none_or(|ending| ending != "jpg") {
                continue;
            }
            let truth = text(&picture.with_extension("truth.csv"))?;
            let rows = truth.lines().skip(1).filter(|line| !line.trim().is_empty());
            let cells =
                |row: &str| row.split(',').skip(1).map(|cell| cell.trim().to_owned()).collect();
            let meta: Value = serde_json::from_str(&text(&picture.with_extension("meta.json"))?)
                .map_err(|error| format!("{}: {error}", picture.display()))?;
            let site = meta["site"].as_str().unwrap_or("").to_owned();
            let name =
                |path: &Path| path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            photos.push(Photo {
                name: name(&picture),
                grade: name(&grade),
                words: folder.join("vocab").join(format!("{site}.json")),
                truth: rows.map(cells).collect(),
                picture,
            });
        }
    }
    Ok(photos)
}

/// What became of the cells of a photograph.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Cells that are printed.
    pub cells: usize,
    /// Cells that were read as they are printed, sure or not.
    pub right: usize,
    /// Cells that a person must confirm.
    pub asked: usize,
    /// Sure and wrong, each in words.
    pub wrong: Vec<String>,
    /// Rows that were read, less those that are printed.
    pub surplus_rows: i64,
}

impl Tally {
    /// Adds the cells of another photograph.
    pub fn add(&mut self, other: &Self) {
        self.cells += other.cells;
        self.right += other.right;
        self.asked += other.asked;
        self.wrong.extend(other.wrong.iter().cloned());
        self.surplus_rows += other.surplus_rows.abs();
    }
}

/// A photograph that was read.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// What became of its cells.
    pub tally: Tally,
    /// The answer, `null` if there was none.
    pub told: Value,
    /// How long it took, with starting the program and loading the engine.
    pub took: Duration,
    /// The most memory that it held.
    pub mebibytes: u64,
}

/// Holds an answer against the truth, row by row. A row that was lost or made up in the middle
/// makes all rows after it wrong, as it would on the sheet.
pub fn tally(told: &Value, truth: &[Vec<String>]) -> Tally {
    let rows = told["rows"].as_array().map(Vec::as_slice).unwrap_or_default();
    let count = |rows: usize| i64::try_from(rows).unwrap_or(i64::MAX);
    let mut tally =
        Tally { surplus_rows: count(rows.len()) - count(truth.len()), ..Tally::default() };
    for at in 0..truth.len().max(rows.len()) {
        for (column, key) in COLUMNS.into_iter().enumerate() {
            let wanted = truth.get(at).and_then(|row| row.get(column)).map_or("", String::as_str);
            let cell = rows.get(at).map(|row| &row[key]).filter(|cell| cell.is_object());
            let text = cell.and_then(|cell| cell["text"].as_str()).unwrap_or("");
            let is_sure = cell.is_some_and(|cell| cell["state"] == "sure");
            if is_sure && text != wanted {
                tally.wrong.push(format!("row {}, {key}: {text:?} for {wanted:?}", at + 1));
            }
            if wanted.is_empty() {
                continue;
            }
            tally.cells += 1;
            tally.right += usize::from(text == wanted);
            tally.asked += usize::from(!is_sure);
        }
    }
    tally
}
