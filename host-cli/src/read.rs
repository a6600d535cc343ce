//! Readers: from the bytes of a file to statements in the person's words.
//!
//! Which reader fits is told by what the file holds, never by its name.

mod cable_list;
mod decode;
mod doubt;
mod encoding;
mod heading;
mod remarks;
mod settings;
mod site_file;
mod table;
mod tree;

pub use encoding::windows_1252;

use crate::field::About;
use crate::fold::Folded;
use crate::source::{Cell, Origin, Sheet, SheetId, Sheets};
use crate::statement::Statements;
use std::fmt;

/// The largest sheet that is read. A cable list of 64 cables is below 10 KB.
pub const MOST_BYTES: u64 = 4 * 1024 * 1024;

/// The longest line of a list. A note may be long; no line of a spreadsheet for one site is this
/// long.
const MOST_BYTES_IN_LINE: usize = 8 * 1024;

/// The most lines of a list: far more than a site can have, blank ones included.
const MOST_LINES: usize = 50_000;

/// Why a sheet, or a place in one, cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// The file, as the person named it.
    pub file: String,
    /// Where in the file; `None` is the file as a whole.
    pub origin: Option<Origin>,
    /// What is wrong.
    pub says: String,
    /// What was expected, or what to do.
    pub expected: Option<String>,
}

impl ReadError {
    /// An error about a whole file.
    pub fn file(name: &str, says: impl Into<String>, expected: impl Into<String>) -> Self {
        Self {
            file: name.to_owned(),
            origin: None,
            says: says.into(),
            expected: Some(expected.into()),
        }
    }

    /// An error about a place in a sheet.
    pub fn at(
        sheets: &Sheets,
        origin: Origin,
        says: impl Into<String>,
        expected: impl Into<String>,
    ) -> Self {
        let file = sheets.get(origin.sheet).map(|sheet| sheet.name.clone()).unwrap_or_default();
        Self { file, origin: Some(origin), says: says.into(), expected: Some(expected.into()) }
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.file, self.says)?;
        match &self.expected {
            Some(expected) => write!(f, "; expected {expected}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for ReadError {}

pub(crate) use heading::Column;

/// The keys of a site file under which a thing has its name.
pub(crate) const fn names_of_things(about: About) -> &'static [&'static str] {
    site_file::names_of(about)
}

/// What a column under these words holds.
pub(crate) fn column(words: &Folded) -> Option<Column> {
    heading::known(words)
}

/// The words that a heading can have, for proposals.
pub(crate) fn heading_words() -> impl Iterator<Item = &'static str> {
    heading::Heading::all_words()
}

/// The text of a file, in whatever encoding it was saved.
///
/// # Errors
/// If it is no text, or too large.
pub fn text_of(file: &RawSheet) -> Result<String, ReadError> {
    decode::decode(&file.name, &file.bytes)
}

/// Whether a sheet is a site file, in TOML or JSON.
pub(crate) fn is_site_file(text: &str) -> bool {
    text.trim_start().starts_with('{') || tree::looks_like_toml(text)
}

/// The columns of the cable list that a sheet holds, and the sign between its cells.
pub(crate) fn columns_of_cables(sheet: SheetId, text: &str) -> Option<(u8, Vec<(Column, Cell)>)> {
    table::columns_of_cables(sheet, text)
}

/// The words over the columns of a cable list: for each column all the words for it.
#[doc(hidden)]
pub fn heading_synonyms() -> Vec<&'static [&'static str]> {
    heading::synonyms().collect()
}

/// A file as it was given: name and bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RawSheet {
    /// The name that the person used.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// Reads all files of one site.
///
/// # Errors
/// All errors of all files, so that a person can mend them in one go.
pub fn read(files: &[RawSheet]) -> Result<(Sheets, Vec<Statements>), (Sheets, Vec<ReadError>)> {
    let mut sheets = Sheets::default();
    let mut errors = Vec::new();
    for file in files {
        match decode::decode(&file.name, &file.bytes) {
            Ok(text) => sheets.0.push(Sheet { name: file.name.clone(), text }),
            Err(error) => errors.push(error),
        }
    }
    if files.is_empty() {
        errors.push(ReadError::file(
            "",
            "no sheet was given",
            "a cable list, a settings list or a site file",
        ));
    }
    let columns = explained_columns(&sheets);
    let mut statements = Vec::new();
    for (position, sheet) in sheets.0.iter().enumerate() {
        match read_sheet(&sheets, SheetId(position), sheet, &columns) {
            Ok(found) => statements.push(found),
            Err(found) => errors.extend(found),
        }
    }
    if errors.is_empty() { Ok((sheets, statements)) } else { Err((sheets, errors)) }
}

/// Headings that the person explains: `column von = from`. They may stand on another sheet than
/// the table, so all sheets are looked through first.
fn explained_columns(sheets: &Sheets) -> Vec<(Folded, Column)> {
    (0..sheets.0.len())
        .filter_map(|position| {
            let id = SheetId(position);
            let text = &sheets.get(id)?.text;
            text.to_lowercase().contains("column").then(|| settings::read(id, text).settings)
        })
        .flatten()
        .filter_map(|setting| {
            let word = Folded::of(&setting.key.text).after("column")?;
            let column = heading::known(&Folded::of(&setting.value.text))?;
            (!word.is_empty()).then_some((word, column))
        })
        .collect()
}

/// Longer lines, and more of them, than any sheet of one site has: refused before anything of them
/// is tried.
fn out_of_all_measure(sheets: &Sheets, id: SheetId, text: &str) -> Option<ReadError> {
    let mut start = 0;
    for (number, line) in text.split_inclusive('\n').enumerate() {
        let cell = |length: usize| Cell::of(id, text, start..start + length).origin;
        let expected = "a cable list, a settings list or a site file";
        if line.len() > MOST_BYTES_IN_LINE {
            let says = format!("this line is longer than {MOST_BYTES_IN_LINE} characters");
            return Some(ReadError::at(sheets, cell(1), says, expected));
        }
        if number >= MOST_LINES {
            let says = format!("there are more than {MOST_LINES} lines");
            return Some(ReadError::at(sheets, cell(line.len()), says, expected));
        }
        start += line.len();
    }
    None
}

fn read_sheet(
    sheets: &Sheets,
    id: SheetId,
    sheet: &Sheet,
    columns: &[(Folded, Column)],
) -> Result<Statements, Vec<ReadError>> {
    if sheet.text.trim().is_empty() {
        return Err(vec![ReadError::file(
            &sheet.name,
            "the file is empty",
            "a cable list, a settings list or a site file",
        )]);
    }
    if sheet.text.trim_start().starts_with('{') {
        return tree::json(sheets, id).and_then(|tree| site_file::read(sheets, &tree));
    }
    if tree::looks_like_toml(&sheet.text) {
        let mut found = tree::toml(sheets, id).and_then(|tree| site_file::read(sheets, &tree))?;
        found.remarks.extend(remarks::of_toml(id, &sheet.text));
        return Ok(found);
    }
    if let Some(error) = out_of_all_measure(sheets, id, &sheet.text) {
        return Err(vec![error]);
    }
    match table::find(id, &sheet.text, columns) {
        Some(table::Found::Table(table)) => {
            let mut found = table.read(sheets)?;
            found.remarks.extend(remarks::of_lines(id, &sheet.text, false));
            return Ok(found);
        }
        Some(table::Found::Unseparated(table)) => return Ok(table.read(sheets)),
        None => {}
    }
    let mut found = settings::read(id, &sheet.text);
    found.remarks.extend(remarks::of_lines(id, &sheet.text, true));
    if found.settings.is_empty() {
        let whole = Cell::of(id, &sheet.text, 0..sheet.text.len());
        let first = whole.text.lines().next().unwrap_or("").len();
        return Err(vec![ReadError::at(
            sheets,
            whole.part(0..first).origin,
            "this is not a sheet that can be read",
            "a cable list with a heading line (cable, from, to, kind, length), a settings list \
             (unit 1 = coordinator, addr 1), or a site file",
        )]);
    }
    Ok(found)
}
