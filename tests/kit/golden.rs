//! Golden files: what a command printed when a person last read it and found it good.

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
    let mut goldens = Vec::new();
    for case in crate::cases::all() {
        let (site, diagnosis) = case.examine().expect("a case can be read");
        let style = coldcheck::render::terminal::Style { colour: false, quiet: false };
        let text = coldcheck::render::terminal::check(&site, &diagnosis, style);
        let json = format!("{:#}\n", coldcheck::render::json::check(&site, &diagnosis));
        goldens.push(Golden::new(&case.folder, "check.txt", text));
        goldens.push(Golden::new(&case.folder, "check.json", json));
        let image = coldcheck::image::write(&site);
        let (plan, names) = coldcheck::image::read(&image).expect("an image as it was written");
        let shown = coldcheck::image::describe(&plan, &names);
        goldens.push(Golden::new(&case.folder, "image.txt", shown));
    }
    for folder in crate::cases::folders("refused") {
        goldens.push(Golden::new(&folder, "errors.txt", refusal(&folder)));
    }
    goldens
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
        .map(|path| coldcheck::read::RawSheet {
            name: path.file_name().expect("a name").to_string_lossy().into_owned(),
            bytes: fs::read(path).expect("it can be read"),
        })
        .collect();
    let refusal = crate::cases::examine_sheets(&sheets, None)
        .err()
        .unwrap_or_else(|| panic!("{} was not refused", folder.display()));
    coldcheck::render::terminal::errors(&refusal.sheets, &refusal.errors, false)
}
