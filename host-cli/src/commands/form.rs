//! `coldcheck form`.

use super::{Failure, files, profile};
use crate::args::{Cli, FormArgs, OutputArgs, PrintFormat};
use crate::form::choices::Choices;
use crate::form::sheet;
use crate::phrase::counted;
use crate::print::{Page, pdf, svg};
use crate::read::ReadError;
use std::io::Write;
use std::path::{Path, PathBuf};

pub(super) fn run(
    cli: &Cli,
    args: &FormArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    let profile = profile::load(&args.profile)?;
    let choices = choices(&profile, args.units)?;
    let paper = args.paper.paper();
    let sheets = args.sheets.unwrap_or_else(|| sheet::sheets(&choices, paper));
    let pages = sheet::pages(&choices, paper, sheets);
    let title = format!("Cable list, {}", counted(args.units.into(), "unit"));
    let read = [PathBuf::from(&args.profile)];
    write_pages(&read, &args.output, out, (args.format, &title), &pages)?;
    if !cli.quiet && args.output.output.is_some() {
        let sheets = counted(sheets.into(), "sheet");
        let paper = paper.word();
        writeln!(
            err,
            "written: {sheets} of {paper}, lying. Print at 100 %, not fitted to the page."
        )?;
    }
    Ok(0)
}

/// What can be chosen in a group of so many units under a profile that allows them.
pub(super) fn choices(profile: &crate::profile::Profile, units: u16) -> Result<Choices, Failure> {
    let mut errors = Vec::new();
    crate::start::check_count(profile, units, &mut errors);
    if !errors.is_empty() {
        return Err(Failure::Errors(crate::source::Sheets::default(), errors));
    }
    Choices::of(profile, units).ok_or_else(|| {
        ReadError::file("--units", "there is no form for so many units", "at most 32").into()
    })
}

/// Writes pages as PDF into one file, or as SVG into one a page.
pub(super) fn write_pages(
    read: &[PathBuf],
    output: &OutputArgs,
    out: &mut dyn Write,
    (format, title): (PrintFormat, &str),
    pages: &[Page],
) -> Result<(), Failure> {
    match (format, pages) {
        (PrintFormat::Pdf, pages) => {
            let bytes = pdf::file(pages, title).map_err(|pdf::NoSuchSign(sign)| {
                let says = format!("the faces that every PDF has lack the sign `{sign}`");
                ReadError::file("--format pdf", says, "--format svg")
            })?;
            files::write(read, output, out, &bytes)
        }
        (PrintFormat::Svg, [page]) => {
            files::write(read, output, out, svg::file(page, title).as_bytes())
        }
        (PrintFormat::Svg, pages) => {
            let path = output.output.as_deref().filter(|path| !files::is_stream(path));
            let path = path.ok_or_else(|| {
                let says = format!("{} do not fit into one SVG", counted(pages.len(), "page"));
                ReadError::file("--format svg", says, "-o FILE, or --format pdf")
            })?;
            for (number, page) in (1..).zip(pages) {
                let text = svg::file(page, title);
                files::write_file(read, &numbered(path, number), output.force, text.as_bytes())?;
            }
            Ok(())
        }
    }
}

/// `form.svg` as `form-1.svg`.
fn numbered(path: &Path, number: usize) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().map(|ending| format!(".{}", ending.to_string_lossy()));
    path.with_file_name(format!("{stem}-{number}{}", ending.unwrap_or_default()))
}
