//! Photographs of printed forms, for every command that takes sheets.

use super::{Failure, pictures};
use crate::form::choices::Choices;
use crate::form::list::{Different, List, join};
use crate::form::read::{Knowledge, Refusal, builtin, read};
use crate::form::sheet::MOST_SHEETS;
use crate::phrase::counted;
use crate::profile;
use crate::read::{RawSheet, ReadError};

/// The list of photographs that show sheets of one printed form; `None` if they show none at all. If
/// `given` says which form it is, they must.
pub(super) fn list(
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
        let picture = pictures::grey(&photo.name, &photo.bytes)?;
        let known = |id: crate::form::code::SheetId| {
            // A profile of the person's own is tried beside those that are built in.
            let own = named.filter(|name| profile::builtin(name).is_none());
            let own = own.and_then(|name| super::profile::load(name).ok());
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
pub(super) fn summary(list: &List) -> String {
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
