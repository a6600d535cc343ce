//! A report to print and sign: one HTML file that holds everything it shows. The text of sheets
//! is escaped by the template library.

mod added;
mod findings;
mod lists;
mod one_line;
pub mod policy;
mod sheet;
mod taken;

pub use added::{all, of_meter, of_settings, of_sizes};

use crate::diagnosis::{Day, Diagnosis};
use crate::draw::{Parts, Width, draw, svg};
use crate::engine::Site;
use crate::powerup;
use crate::read::RawSheet;
use crate::render::told::{self, Open};
use crate::visible::in_markup;
use crate::words::CAUTIONS;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};
use std::fmt::Write;

const STYLE: &str = include_str!("../../assets/report.css");

/// What a drawing may take of a printed page, in pixels: 269 mm less its heading.
const HIGHEST_FIGURE: i32 = 960;

/// What the report was made of.
#[derive(Clone, Copy, Debug)]
pub struct Made<'m> {
    /// The sheets.
    pub sheets: &'m [RawSheet],
    /// The text of the profile.
    pub profile: &'m str,
    /// The day that the report bears.
    pub day: Day,
}

/// A table that another part of the program makes: what to measure, sizes, settings.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// Its heading.
    pub title: String,
    /// Why nobody begins with it, if so: above all else.
    pub stop: Option<String>,
    /// What is said above it.
    pub says: Vec<String>,
    /// Headings of its columns.
    pub head: Vec<String>,
    /// Its rows. A table without any is left out with its heading.
    pub rows: Vec<Vec<String>>,
    /// Whether paper has room for its two halves side by side.
    pub is_narrow: bool,
    /// What is said below it: what is done last.
    pub below: Vec<String>,
}

impl Table {
    /// Head and rows as a printed page has them.
    fn on_paper(&self) -> (Vec<String>, Vec<Vec<String>>) {
        if !self.is_narrow {
            return (self.head.clone(), self.rows.clone());
        }
        let (left, right) = self.rows.split_at(self.rows.len().div_ceil(2));
        let none = vec![String::new(); self.head.len()];
        let beside = |(at, row): (usize, &Vec<String>)| {
            [row.as_slice(), right.get(at).unwrap_or(&none)].concat()
        };
        ([self.head.as_slice(), &self.head].concat(), left.iter().enumerate().map(beside).collect())
    }
}

/// The power-up of a site, as the first page tells it.
#[derive(Clone, Copy, Debug)]
pub struct FirstPage<'p> {
    /// Its steps and where they stand.
    pub told: &'p powerup::told::Told<'p>,
    /// What is drawn in one line.
    pub outline: &'p powerup::Outline,
}

impl FirstPage<'_> {
    fn sheet(&self, made: &Made<'_>) -> Markup {
        let clock = if made.day.from_clock { " (UTC)" } else { "" };
        sheet::sheet(self.told, self.outline, &format!("{}{clock}", made.day.date))
    }
}

/// The sheet of the power-up alone: one page.
pub fn one_page(site: &Site, made: &Made<'_>, first_page: FirstPage<'_>) -> String {
    let sheet = first_page.sheet(made);
    page(told::site_name(site), &html! { (sheet) }, false)
}

/// A part of a photograph that a sheet was read from.
#[derive(Clone, Debug)]
pub struct Picture {
    /// What it shows.
    pub says: String,
    /// The picture as JPEG.
    pub jpeg: Vec<u8>,
}

/// The report, with the sheet of the power-up before it.
pub fn report(
    site: &Site,
    diagnosis: &Diagnosis,
    made: &Made<'_>,
    tables: &[Table],
    first_page: Option<FirstPage<'_>>,
) -> String {
    report_with_pictures(site, diagnosis, made, tables, first_page, &[])
}

/// The report of a site whose list came from a photograph, with the rows that are asked about.
pub fn report_with_pictures(
    site: &Site,
    diagnosis: &Diagnosis,
    made: &Made<'_>,
    tables: &[Table],
    first_page: Option<FirstPage<'_>>,
    pictures: &[Picture],
) -> String {
    let name = told::site_name(site);
    let open = Open::of(&diagnosis.not_checked);
    let body = html! {
        @if let Some(first_page) = first_page { (first_page.sheet(made)) }
        h1 { bdi { (in_markup(name)) } }
        (head(site, diagnosis, made))
        p.cautions { (CAUTIONS) }
        (lists::open_dangers(&open))
        (findings::in_short(diagnosis))
        (drawing(site, diagnosis))
        (findings::findings(site, diagnosis))
        (findings::questions(site, diagnosis))
        (seen(pictures))
        (findings::done(site))
        (findings::waivers(site, diagnosis))
        (lists::open(site, diagnosis, open))
        @for table in tables { (more(table)) }
        @if let Some(first_page) = first_page { (more(&taken::of_readings(first_page.told))) }
        (lists::met(diagnosis))
        (sign())
        (origin(site, made))
        p.cautions { (CAUTIONS) }
    };
    page(name, &body, !pictures.is_empty())
}

/// Rows of a photograph, each with what is asked about it.
fn seen(pictures: &[Picture]) -> Markup {
    html! {
        @if !pictures.is_empty() {
            section {
                h2 { "In the photograph" }
                @for picture in pictures {
                    figure {
                        img alt=(in_markup(&picture.says)) src={ "data:image/jpeg;base64," (policy::base64(&picture.jpeg)) };
                        figcaption { (in_markup(&picture.says)) }
                    }
                }
            }
        }
    }
}

/// A whole file.
fn page(name: &str, body: &Markup, has_pictures: bool) -> String {
    page_called(&format!("Report: {name}"), body, has_pictures)
}

/// A whole file of this title.
pub(crate) fn page_called(title: &str, body: &Markup, has_pictures: bool) -> String {
    let mut allowed = policy::of(&policy::hash(STYLE));
    if has_pictures {
        allowed += "; img-src data:";
    }
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(allowed);
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (in_markup(title)) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    (body)
                }
            }
        }
    };
    page.into_string() + "\n"
}

fn head(site: &Site, diagnosis: &Diagnosis, made: &Made<'_>) -> Markup {
    let (word, says) = told::verdict(diagnosis);
    let clock = if made.day.from_clock { " (UTC)" } else { "" };
    html! {
        p.verdict { strong { (word) ":" } " " (says) }
        dl {
            dt { "Date" } dd { (made.day.date) (clock) }
            dt { "Profile" } dd { (in_markup(&told::profile(site))) }
            dt { "Scope" } dd { (told::scope(site)) }
            @if let Some(assumed) = told::sensors_by_number(site) {
                dt { "Sensors" } dd { (in_markup(&assumed)) }
            }
            dt { "Looked at" } dd { (diagnosis.stages.join(", ")) }
        }
    }
}

/// The drawing in parts that fit a page each, and one for a phone's screen.
fn drawing(site: &Site, diagnosis: &Diagnosis) -> Markup {
    let page = draw(site, diagnosis, Width::Page, Parts::Picture);
    let phone = draw(site, diagnosis, Width::Phone, Parts::Picture);
    let parts = page.pages(HIGHEST_FIGURE);
    let caption = |at: usize| {
        let mut caption = page.caption.clone();
        if parts.len() > 1 {
            let _ = write!(caption.title, ", part {} of {}", at + 1, parts.len());
        }
        caption
    };
    let whole = phone.pages(i32::MAX);
    html! {
        section {
            h2 { "Drawing" }
            div.broad {
                @for (at, area) in parts.iter().enumerate() {
                    figure { (svg::window(&page.scene, *area, &caption(at), &format!("page-{at}"))) }
                }
            }
            div.narrow {
                @for area in whole {
                    figure { (svg::window(&phone.scene, area, &phone.caption, "phone")) }
                }
            }
        }
    }
}

fn more(table: &Table) -> Markup {
    let (head, rows) = table.on_paper();
    html! {
        @if !table.rows.is_empty() {
            section {
                h2 { (in_markup(&table.title)) }
                @if let Some(stop) = &table.stop {
                    p.stop { strong { "STOP:" } " " (in_markup(stop)) }
                }
                @for says in &table.says { p { (in_markup(says)) } }
                // Wide on a phone, and then it is moved by finger or by key.
                div.scroll tabindex="0" role="region" aria-label=(in_markup(&table.title)) {
                    table {
                        thead {
                            tr { @for cell in &head { th scope="col" { (in_markup(cell)) } } }
                        }
                        tbody {
                            @for row in &rows {
                                tr { @for cell in row { td { (in_markup(cell)) } } }
                            }
                        }
                    }
                }
                @for says in &table.below { p { (in_markup(says)) } }
            }
        }
    }
}

fn sign() -> Markup {
    html! {
        section.sign {
            h2 { "Signatures" }
            table {
                thead { tr {
                    th scope="col" { "What was done" }
                    th scope="col" { "Name" }
                    th scope="col" { "Date" }
                    th scope="col" { "Signature" }
                } }
                tbody {
                    @for done in [
                        "Wired the plant and wrote the sheets",
                        "Compared the sheets with the plant",
                        "Mended every finding and proved it",
                        "Read what was not checked, and decided what to do about it",
                    ] {
                        tr { th scope="row" { (done) } td {} td {} td {} }
                    }
                }
            }
        }
    }
}

/// Version, profile and sheets, each with its hash, so that a changed one is known.
fn origin(site: &Site, made: &Made<'_>) -> Markup {
    let named = site.profile_named.as_deref().unwrap_or(&site.profile.name);
    html! {
        section {
            h2 { "Made from" }
            table {
                thead { tr { th scope="col" { "What" } th scope="col" { "SHA-256" } } }
                tbody {
                    tr {
                        td { "coldcheck " (env!("CARGO_PKG_VERSION")) }
                        td { "the program, by its version" }
                    }
                    tr {
                        td { "profile " (in_markup(named)) }
                        td.hash { (hash(made.profile.as_bytes())) }
                    }
                    @for sheet in made.sheets {
                        tr {
                            td { "sheet " bdi { (in_markup(&sheet.name)) } }
                            td.hash { (hash(&sheet.bytes)) }
                        }
                    }
                }
            }
        }
    }
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_hash_is_that_of_the_standard() {
        // FIPS 180-2, appendix B.1: the message "abc" (from memory).
        let wanted = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(super::hash(b"abc"), wanted);
    }
}
