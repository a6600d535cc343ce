//! Photographs of printed forms, for every command that takes sheets.

use super::super::{Failure, files, form, pictures, profile as profiles};
use super::is_picture;
use crate::args::{Cli, ReadArgs, ReadFormat, SiteArgs};
use crate::form::choices::Choices;
use crate::form::list::{Different, List, join};
use crate::form::read::{Knowledge, Refusal, builtin, read};
use crate::form::sheet::MOST_SHEETS;
use crate::phrase::counted;
use crate::picture::load;
use crate::profile::{self, ASSUMED};
use crate::read::{RawSheet, ReadError};
use std::io::Write;

/// Exit code: cells must be confirmed.
const ASK: u8 = 3;

/// `read` of photographs of a printed form; `None` if they show none.
pub(super) fn run(
    cli: &Cli,
    args: &ReadArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Option<u8>, Failure> {
    if args.set_up.is_some() {
        return Ok(None);
    }
    let files = files::sheets(&args.files)?;
    let photos: Vec<RawSheet> = files.into_iter().filter(is_picture).collect();
    if photos.is_empty() {
        return Ok(None);
    }
    let named = args.profile.as_deref();
    let given = match args.units {
        Some(units) => Some(form::choices(&profiles::load(named.unwrap_or(ASSUMED))?, units)?),
        None => None,
    };
    let Some(list) = list(&photos, given.as_ref(), named)? else { return Ok(None) };
    if args.review.is_some() {
        let says = "a printed form needs no page to confirm it";
        let expected = "the question marks in the list, or the page of `coldcheck page`";
        return Err(ReadError::file("--review", says, expected).into());
    }
    let text = match args.format {
        ReadFormat::Csv => list.text(),
        ReadFormat::Json => format!("{:#}\n", list.json()),
    };
    files::write(&args.files, &args.output, out, text.as_bytes())?;
    if !cli.quiet {
        write!(err, "{}", summary(&list))?;
    }
    Ok(Some(if list.asked() > 0 { ASK } else { 0 }))
}

/// Sheets of a site with its printed forms read; `None` if no photograph among them shows one.
pub(super) fn as_sheets(
    args: &SiteArgs,
    files: &[RawSheet],
) -> Result<Option<Vec<RawSheet>>, Failure> {
    let copy = |file: &&RawSheet| RawSheet { name: file.name.clone(), bytes: file.bytes.clone() };
    let photos: Vec<RawSheet> =
        files.iter().filter(|file| is_picture(file)).map(|file| copy(&file)).collect();
    if photos.is_empty() {
        return Ok(None);
    }
    let Some(list) = list(&photos, None, args.profile.as_deref())? else { return Ok(None) };
    let mut sheets =
        vec![RawSheet { name: list.photos.join(", "), bytes: list.text().into_bytes() }];
    sheets.extend(files.iter().filter(|file| !is_picture(file)).map(|file| copy(&file)));
    Ok(Some(sheets))
}

/// The list of photographs that show sheets of one printed form; `None` if they show none at all. If
/// `given` says which form it is, they must.
fn list(
    photos: &[RawSheet],
    given: Option<&Choices>,
    named: Option<&str>,
) -> Result<Option<List>, Failure> {
    if photos.len() > usize::from(MOST_SHEETS) * 2 {
        let says = format!("{} are given for one form", counted(photos.len(), "photograph"));
        return Err(ReadError::file("read", says, "one or two of each sheet").into());
    }
    let mut sheets = Vec::with_capacity(photos.len());
    for photo in photos {
        let picture = load::picture(&photo.name, &photo.bytes)?.to_grey();
        let known = |id: crate::form::code::SheetId| {
            // A profile of the person's own is tried beside those that are built in.
            let own = named.filter(|name| profile::builtin(name).is_none());
            let own = own.and_then(|name| profiles::load(name).ok());
            let own = own.and_then(|profile| Choices::of(&profile, id.units.into()));
            own.filter(|own| own.checksum() == id.choices).or_else(|| builtin(id))
        };
        let knowledge =
            Knowledge { given: given.cloned(), known: &known, code: &pictures::code_of };
        match read(&picture, &knowledge) {
            Ok(filled) => sheets.push((photo.name.clone(), filled)),
            Err(Refusal::NoForm) if sheets.is_empty() && given.is_none() => return Ok(None),
            Err(refusal) => {
                let expected = refusal.expected();
                return Err(ReadError::file(&photo.name, refusal.to_string(), expected).into());
            }
        }
    }
    join(sheets).map(Some).map_err(|Different { one, other }| {
        let says = format!("this is a sheet of another form than {one}");
        ReadError::file(&other, says, "sheets of one form").into()
    })
}

/// What is said beside a list that was read, in lines of the usual width.
fn summary(list: &List) -> String {
    let asked = list.asked();
    let rows = counted(list.rows.len(), "row");
    let open = if asked == 0 { "nothing".to_owned() } else { counted(asked, "cell") };
    let mut text = format!("Printed form: {rows} read, {open} to confirm.\n");
    let options = || {
        textwrap::Options::new(crate::words::WIDTH).initial_indent("  ").subsequent_indent("    ")
    };
    let mut say = |line: &str| {
        text += &textwrap::fill(&crate::visible::visible(line), options());
        text.push('\n');
    };
    for note in &list.notes {
        say(note);
    }
    for ask in list.asks() {
        say(&format!("row {}, {}: {}", ask.row, ask.heading, ask.reading));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_picture_is_an_error_and_no_empty_list() {
        let photo = RawSheet { name: "list.jpg".to_owned(), bytes: vec![0xFF, 0xD8, 0xFF] };
        assert!(list(&[photo], None, None).is_err());
    }
}
