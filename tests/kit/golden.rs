//! Golden files: what a command printed when a person last read it and found it good.

pub use crate::meter::goldens::meter_goldens;
use crate::paths;
use crate::stored::Stored;
use coldcheck::date::Date;
use coldcheck::diagnosis::Day;
use coldcheck::read::RawSheet;
use coldcheck::start::start;
use coldcheck::tidy::{Untidy, tidy};
use coldcheck::{profile, render};
use std::fs;
use std::path::Path;

/// A golden file and what it should hold.
#[derive(Debug)]
pub struct Golden {
    /// The file.
    pub path: std::path::PathBuf,
    /// What the program says now.
    pub now: String,
}

impl Golden {
    /// A golden file in a folder.
    pub fn new(folder: &Path, file: &str, now: String) -> Self {
        Self { path: folder.join(file), now }
    }

    /// Whether the file holds what the program says now.
    pub fn agrees(&self) -> bool {
        fs::read_to_string(&self.path).is_ok_and(|then| then == self.now)
    }

    /// The first line that differs, for a test's message.
    pub fn difference(&self) -> String {
        let then = fs::read_to_string(&self.path).unwrap_or_default();
        let (mut old, mut new) = (then.lines(), self.now.lines());
        for number in 1.. {
            match (old.next(), new.next()) {
                (Some(a), Some(b)) if a == b => {}
                (None, None) => break,
                (a, b) => {
                    return format!(
                        "{}:{number}\n  then: {}\n  now:  {}",
                        self.path.display(),
                        a.unwrap_or("(end)"),
                        b.unwrap_or("(end)")
                    );
                }
            }
        }
        format!("{}: the ends of lines differ", self.path.display())
    }

    /// Writes the file. Says whether it changed.
    ///
    /// # Errors
    /// If the file cannot be written.
    pub fn bless(&self) -> std::io::Result<bool> {
        if self.agrees() {
            return Ok(false);
        }
        fs::write(&self.path, &self.now)?;
        Ok(true)
    }
}

/// Every golden file of the tests with what it should hold now.
///
/// # Panics
/// If a case cannot be read.
pub fn all() -> Vec<Golden> {
    let mut goldens: Vec<_> = crate::stored::all().iter().map(Stored::golden).collect();
    for case in crate::cases::all() {
        let (site, diagnosis) = case.examine().expect("a case can be read");
        let style = render::terminal::Style { colour: false, quiet: false };
        let text = render::terminal::check(&site, &diagnosis, style);
        let json = format!("{:#}\n", render::json::check(&site, &diagnosis));
        goldens.push(Golden::new(&case.folder, "check.txt", text));
        goldens.push(Golden::new(&case.folder, "check.json", json));
        let image = coldcheck::image::write(&site);
        let (plan, names) = coldcheck::image::read(&image).expect("an image as it was written");
        let shown = coldcheck::image::describe(&plan, &names);
        goldens.push(Golden::new(&case.folder, "image.txt", shown));
    }
    goldens.extend(of_commands());
    goldens.extend(meter_goldens());
    goldens.extend(crate::powerup::goldens());
    goldens.extend(crate::drawings::goldens());
    for folder in crate::cases::folders("refused") {
        goldens.push(Golden::new(&folder, "errors.txt", refusal(&folder)));
    }
    goldens
}

/// The day that the waivers of golden files are held against.
///
/// # Panics
/// Never: the calendar has it.
pub fn day() -> Day {
    Day { date: Date::new(2027, 1, 1).expect("a day of the calendar"), from_clock: false }
}

/// What the commands beside `check` write: profiles, new sites, tidied sites, waivers.
fn of_commands() -> Vec<Golden> {
    let mut goldens = Vec::new();
    let folder = paths::tests().join("golden");
    for name in profile::builtin_names() {
        let text = profile::builtin(name).expect("built in");
        let parsed = profile::parse(name, text).expect("sound");
        let shown = render::profile::show(&parsed);
        goldens.push(Golden::new(&folder, &format!("profile-{name}.txt"), shown));
        let site = start(&parsed, name, 3).expect("three units fit every profile");
        goldens.push(Golden::new(&folder, &format!("new-{name}.toml"), site.toml()));
        goldens.push(Golden::new(&folder, &format!("new-{name}.csv"), site.cable_list()));
        goldens.push(Golden::new(
            &folder,
            &format!("new-{name}-settings.txt"),
            site.settings_list(),
        ));
    }
    for (name, sheets) in crate::sizes::all() {
        let (site, sizes) = crate::sizes::of_sheets(&sheets);
        let style = render::terminal::Style { colour: false, quiet: false };
        let text = render::terminal::sizes(&site, &sizes, style);
        goldens.push(Golden::new(&folder, &format!("size-{name}.txt"), text));
        let json = format!("{:#}\n", render::json::sizes::sizes(&site, &sizes));
        goldens.push(Golden::new(&folder, &format!("size-{name}.json"), json));
    }
    for case in crate::cases::all() {
        let request = crate::cases::request(&case.sheets, case.scope);
        let (site, diagnosis) = case.examine().expect("a case can be read");
        let style = render::terminal::Style { colour: false, quiet: false };
        goldens.push(match tidy(&site, &request) {
            Ok(text) => Golden::new(&case.folder, "tidy.toml", text),
            Err(Untidy::Questions(_)) => {
                let text = render::terminal::questions(&site, &diagnosis, style);
                Golden::new(&case.folder, "tidy.txt", text)
            }
            Err(Untidy::NoWords(error)) => panic!("{}: {error}", case.name),
        });
    }
    goldens.extend(of_waivers());
    goldens
}

fn of_waivers() -> [Golden; 3] {
    let folder = paths::tests().join("waived");
    let bytes = fs::read(folder.join("site.toml")).expect("the site");
    let sheets = [RawSheet { name: "site.toml".to_owned(), bytes }];
    let (site, mut diagnosis) =
        crate::cases::examine_sheets(&sheets, None).expect("it can be read");
    diagnosis.waive(&site, day());
    let style = render::terminal::Style { colour: false, quiet: false };
    let text = render::terminal::check(&site, &diagnosis, style);
    let json = format!("{:#}\n", render::json::check(&site, &diagnosis));
    let sarif = format!("{:#}\n", render::sarif::check(&site, &diagnosis)["runs"][0]["results"]);
    [
        Golden::new(&folder, "check.txt", text),
        Golden::new(&folder, "check.json", json),
        Golden::new(&folder, "results.sarif.json", sarif),
    ]
}

/// What is said about sheets that cannot be read.
///
/// # Panics
/// If they can be read after all.
pub fn refusal(folder: &Path) -> String {
    let mut files: Vec<_> = fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.file_name().is_some_and(|name| name != "errors.txt"))
        .collect();
    files.sort();
    let sheets: Vec<_> = files
        .iter()
        .map(|path| RawSheet {
            name: path.file_name().expect("a name").to_string_lossy().into_owned(),
            bytes: fs::read(path).expect("it can be read"),
        })
        .collect();
    let refusal = crate::cases::examine_sheets(&sheets, None)
        .err()
        .unwrap_or_else(|| panic!("{} was not refused", folder.display()));
    render::terminal::errors(&refusal.sheets, &refusal.errors, false)
}
