//! Reads a filled form from a picture: marks at the corners, the strip, the bubbles. No text is
//! recognised and no library is needed, so that the page reads as the command line does.

mod corners;
mod decide;
mod find;
mod flat;
mod light;
mod marks;
pub(crate) mod order;

use super::choices::Choices;
use super::code::SheetId;
use super::layout::Layout;
use super::sheet::row_label;
use crate::picture::{Grey, Point};
use crate::print::Paper;
use std::fmt;

pub use decide::{Cell, FilledRow};

/// Fewer pixels a millimetre cannot show a bubble: it has 3.4 mm.
const FEWEST_PIXELS: f64 = 3.2;

/// What the reader knows beforehand and how it learns the rest.
pub struct Knowledge<'k> {
    /// The choices that the person named, by profile and number of units.
    pub given: Option<Choices>,
    /// The choices of a form by its number: of a profile that is known here.
    pub known: &'k dyn Fn(SheetId) -> Option<Choices>,
    /// The text of a QR code in a part of the picture, where there is a reader for it.
    pub code: &'k dyn Fn(&Grey) -> Option<String>,
}

/// A sheet that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// Which sheet of which form; `None` if only the person's word for it is there.
    pub id: Option<SheetId>,
    /// What could be chosen.
    pub choices: Choices,
    /// The rows that were used.
    pub rows: Vec<FilledRow>,
    /// What else the person must know, each a sentence.
    pub notes: Vec<String>,
    /// By how many quarters of a turn the picture must be turned clockwise to stand upright.
    pub quarters: u8,
}

/// Why a picture gives no cable list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// It shows no printed form.
    NoForm,
    /// One corner mark is not there.
    Corner {
        /// Whether it is one of the two upper ones in the picture.
        upper: bool,
        /// Whether it is one of the two left ones.
        left: bool,
        /// Whether it would lie outside of the picture.
        cut: bool,
    },
    /// The sheet is too small in it.
    TooSmall,
    /// Neither strip nor QR code can be read, and nobody said which form it is.
    NoCode,
    /// A form of other choices than those that the person named.
    OtherForm {
        /// Units that can be chosen on the form.
        units: u8,
    },
    /// A form of a profile that is not known here.
    UnknownForm {
        /// Units that can be chosen on the form.
        units: u8,
        /// Its number.
        number: u32,
    },
    /// Too few of the marks at the edges are seen: the sheet is covered, crumpled or rolled up.
    Edges,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoForm => {
                f.write_str("no printed form is seen: its four corner marks are missing")
            }
            Self::Corner { upper, left, cut } => write!(
                f,
                "the corner mark at the {} {} of the picture is {}",
                if *upper { "upper" } else { "lower" },
                if *left { "left" } else { "right" },
                if *cut { "cut off" } else { "covered or too dark" }
            ),
            Self::TooSmall => {
                f.write_str("the form is too small in the picture to tell its bubbles")
            }
            Self::NoCode => {
                f.write_str("neither the strip nor the QR code of the form can be read")
            }
            Self::OtherForm { units } => write!(
                f,
                "this is another form, for {} or with other sockets",
                crate::phrase::counted((*units).into(), "unit")
            ),
            Self::UnknownForm { units, number } => write!(
                f,
                "this form ({number:06X}, {}) was made with a profile that is not known here",
                crate::phrase::counted((*units).into(), "unit")
            ),
            Self::Edges => {
                f.write_str("too few marks at the edges are seen: the sheet is covered or not flat")
            }
        }
    }
}

impl Refusal {
    /// What the person can do about it.
    pub const fn expected(&self) -> &'static str {
        match self {
            Self::NoForm | Self::Corner { .. } => {
                "a picture of the whole sheet, with all four corner marks"
            }
            Self::TooSmall => "a picture that the sheet fills, at least 1000 pixels wide",
            Self::NoCode => "a sharper picture, or --profile and --units as for `form`",
            Self::OtherForm { .. } => {
                "the profile and the number of units that the form was made with"
            }
            Self::UnknownForm { .. } => "--profile FILE and --units N as for `form`",
            Self::Edges => "a flat sheet with nothing lying on its edges",
        }
    }
}

impl Refusal {
    /// The same where no profile can be named: in the page.
    pub const fn expected_in_page(&self) -> &'static str {
        match self {
            Self::NoCode => "a sharper picture",
            Self::UnknownForm { .. } => {
                "the command line, with the profile that the form was made with"
            }
            Self::NoForm
            | Self::Corner { .. }
            | Self::TooSmall
            | Self::OtherForm { .. }
            | Self::Edges => self.expected(),
        }
    }
}

/// Reads one sheet.
///
/// # Errors
/// Why the picture gives none.
pub fn read(picture: &Grey, knowledge: &Knowledge<'_>) -> Result<Filled, Refusal> {
    let found = find::sheet(picture)?;
    if found.view.finest() < FEWEST_PIXELS {
        return Err(Refusal::TooSmall);
    }
    if found.view.ticks < 0.6 {
        return Err(Refusal::Edges);
    }
    let flat = found.view.flattened(picture);
    let (id, choices) = which(&found, &flat, knowledge)?;
    let layout = Layout::new(&choices, found.paper);
    let ink = light::Ink::of(&flat);
    let seen = marks::see(&layout, &ink);
    let mut notes = notes_of_view(&found, id);
    let mut rows = Vec::new();
    let (mut with_note, mut empty, mut void) = (Vec::new(), Vec::new(), Vec::new());
    for (row, own) in layout.rows.iter().zip(&seen) {
        let label = match id {
            Some(id) => row_label(&layout, id, row),
            None => (row.at + 1).to_string(),
        };
        let has_note = marks::has_note(row, &ink);
        let place = |x: f32, y: f32| -> Point { found.view.map(flat::paper(x, y)) };
        match decide::row(&choices, row, own, &label, &place) {
            decide::Outcome::Void => void.push(label),
            decide::Outcome::Blank if has_note => empty.push(label),
            decide::Outcome::Blank => {}
            decide::Outcome::Used(used) => {
                if has_note {
                    with_note.push(label);
                }
                rows.push(*used);
            }
        }
    }
    let mut say = |rows: &[String], what: &str| {
        if !rows.is_empty() {
            let names: Vec<&str> = rows.iter().map(String::as_str).collect();
            notes.push(format!("{what}: {}", crate::phrase::all_of(&names)));
        }
    };
    say(&void, "rows filled as void, left out");
    say(&with_note, "rows with a written note, which is not read");
    say(&empty, "rows with something written and no bubble filled, left out");
    Ok(Filled { id, choices, rows, notes, quarters: quarters(&found) })
}

/// How the picture must be turned, by where the right of the sheet lies in it.
fn quarters(found: &find::Found) -> u8 {
    let (from, to) = [100.0, 150.0].map(|x| found.view.map(flat::paper(x, 100.0))).into();
    let (right, down) = (to.x - from.x, to.y - from.y);
    match (right.abs() > down.abs(), right > 0.0, down > 0.0) {
        (true, true, _) => 0,
        (true, false, _) => 2,
        (false, _, true) => 3,
        (false, _, false) => 1,
    }
}

/// Which form it is, and what can be chosen on it.
fn which(
    found: &find::Found,
    flat: &Grey,
    knowledge: &Knowledge<'_>,
) -> Result<(Option<SheetId>, Choices), Refusal> {
    let of_code =
        || (knowledge.code)(&qr_part(flat, found.paper)).and_then(|text| SheetId::of_text(&text));
    let code = if found.id.is_none() { of_code() } else { None };
    let code = code.filter(|(id, _)| id.paper == found.paper);
    let id = found.id.or(code.as_ref().map(|(id, _)| *id));
    match (id, &knowledge.given) {
        (Some(id), Some(given)) if given.checksum() == id.choices => Ok((Some(id), given.clone())),
        (Some(id), Some(_)) => Err(Refusal::OtherForm { units: id.units }),
        (None, Some(given)) => Ok((None, given.clone())),
        (None, None) => Err(Refusal::NoCode),
        (Some(id), None) => {
            let known = (knowledge.known)(id).filter(|known| known.checksum() == id.choices);
            let choices = known
                .or_else(|| code.or_else(of_code).map(|(_, choices)| choices))
                .filter(|choices| choices.checksum() == id.choices);
            let unknown = Refusal::UnknownForm { units: id.units, number: id.choices };
            choices.map(|choices| (Some(id), choices)).ok_or(unknown)
        }
    }
}

/// The part of the flat sheet with the QR code.
fn qr_part(flat: &Grey, paper: Paper) -> Grey {
    let area = super::layout::Frame::of(paper).qr();
    let pixels = |millimetres: f32| flat::pixels(millimetres);
    flat.part(
        pixels(area.x - 1.0),
        pixels(area.y - 1.0),
        pixels(area.w + 2.0),
        pixels(area.h + 2.0),
    )
}

fn notes_of_view(found: &find::Found, id: Option<SheetId>) -> Vec<String> {
    let mut notes = Vec::new();
    if found.mirrored {
        notes.push("the picture is mirrored, and was turned back".to_owned());
    }
    match id {
        None => notes.push(
            "the sheet's own number cannot be read: profile, units and first row are as they were given"
                .to_owned(),
        ),
        Some(id) if id.sheets > 1 => notes.push(format!("sheet {} of {}", id.sheet, id.sheets)),
        Some(_) => {}
    }
    notes
}

/// The choices of a form that was made with a built-in profile.
pub fn builtin(id: SheetId) -> Option<Choices> {
    crate::profile::builtin_names().into_iter().find_map(|name| {
        let profile = crate::profile::parse(name, crate::profile::builtin(name)?).ok()?;
        Choices::of(&profile, id.units.into()).filter(|choices| choices.checksum() == id.choices)
    })
}
