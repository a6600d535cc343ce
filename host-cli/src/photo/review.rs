//! A page to confirm what was read: each doubtful cell beside its picture and its readings. One file
//! that works without a network; what is confirmed is saved as a cable list.

use super::csv;
use super::list::{Cell, Certainty, List, Row};
use super::picture_of;
use super::reader::Reading;
use crate::phrase::counted;
use crate::render::html::policy::{self, base64};
use crate::visible::in_markup;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use serde_json::json;

const STYLE: &str = include_str!("../../assets/review.css");
const SCRIPT: &str = include_str!("../../assets/review.js");

/// The page for a list. `readings` are the photographs that it was read in, in their order.
pub fn page(photos: &[String], list: &List, readings: &[Reading]) -> String {
    let (_, open) = list.counts();
    let data = json!({
        "name": name(photos),
        "before": csv::lines_before(photos, list, "\u{0}"),
        "after": csv::lines_after(list),
        "rows": list.rows.iter().map(|row| row.cells.iter().map(csv::marked).collect::<Vec<_>>()).collect::<Vec<_>>(),
    });
    // A script element ends at the first `</`, whatever is around it.
    let data = data.to_string().replace('<', "\\u003c");
    let policy = format!(
        "default-src 'none'; img-src data:; style-src {}; script-src {} {}; base-uri 'none'; form-action 'none'",
        policy::hash(STYLE),
        policy::hash(SCRIPT),
        policy::hash(&data)
    );
    let title = format!("Confirm: {}", photos.join(", "));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (in_markup(&title)) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    p.left id="left" role="status" { (counted(open, "cell")) " to confirm" }
                    button.save id="save" type="button" { "Save the cable list" }
                }
                main {
                    h1 { (in_markup(&photos.join(", "))) }
                    p { "Look at each picture and choose what stands there: click, or press the key of \
                         its number. What is not confirmed keeps its question mark in the list, and "
                        code { "coldcheck check" } " asks for it again." }
                    (rows_read(list.rows.len()))
                    @for (at, row) in list.rows.iter().enumerate() {
                        @for (column, cell) in row.cells.iter().enumerate() {
                            @if cell.state != Certainty::Sure {
                                (card(list, readings, (at, column), row, cell))
                            }
                        }
                    }
                    (table(list))
                    @if !list.notes.is_empty() {
                        h2 { "Other writing on the sheet" }
                        ul { @for note in &list.notes { li { (in_markup(note)) } } }
                    }
                }
                script type="application/json" id="data" { (PreEscaped(data)) }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

/// The file that the list is saved as.
fn name(photos: &[String]) -> String {
    let first = photos.first().map_or("photograph", String::as_str);
    let file = first.rsplit(['/', '\\']).next().unwrap_or(first);
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    format!("{stem}.csv")
}

fn rows_read(rows: usize) -> Markup {
    html! {
        section.card id="count" {
            h2 { "How many rows does the sheet have?" }
            p { (counted(rows, "row")) " read. A row at an edge, in a fold or under a shadow is lost \
                 easily: count them on the sheet itself." }
            label { "Rows on the sheet: " input id="rows" type="number" min="0" max="999" inputmode="numeric" data-read=(rows); }
            p id="rows-differ" hidden { "That is not what was read. Look for the row that is missing or too \
                 much, and mend it in the saved list." }
        }
    }
}

fn card(
    list: &List,
    readings: &[Reading],
    place: (usize, usize),
    row: &Row,
    cell: &Cell,
) -> Markup {
    let (at, column) = place;
    let heading = csv::heading(list, list.columns[column]);
    let reading = readings.get(cell.photo);
    let picture =
        |of: fn(&crate::picture::Colour, &super::sheet::Sheet, &Cell) -> Option<Vec<u8>>| {
            reading.and_then(|reading| of(&reading.photo, &reading.sheet, cell))
        };
    let own = picture(picture_of::cell);
    let whole =
        reading.and_then(|reading| picture_of::row(&reading.photo, &reading.sheet, row, cell));
    let texts =
        std::iter::once(&cell.text).chain(&cell.alternatives).filter(|text| !text.is_empty());
    let name = format!("Row {}, {heading}", at + 1);
    html! {
        section.card.open tabindex="-1" data-row=(at) data-column=(column) aria-label=(name) {
            h2 { (name) }
            @if let Some(doubt) = cell.doubt { p.why { (doubt.says()) } }
            @if let Some(picture) = whole {
                img.row alt="the row in the photograph, with the cell framed" src=(source(&picture));
            }
            @if let Some(picture) = own {
                img.cell alt="the cell in the photograph" src=(source(&picture));
            }
            div.choices {
                @for (number, text) in texts.enumerate() {
                    button type="button" data-value=(text) { kbd { (number + 1) } " " (in_markup(text)) }
                }
                label { "other: " input type="text" autocomplete="off" spellcheck="false"; }
            }
        }
    }
}

fn source(jpeg: &[u8]) -> String {
    format!("data:image/jpeg;base64,{}", base64(jpeg))
}

fn table(list: &List) -> Markup {
    html! {
        h2 { "The whole list" }
        div.wide tabindex="0" role="region" aria-label="the whole list" {
            table {
                thead { tr {
                    th scope="col" { "row" }
                    @for column in &list.columns { th scope="col" { (csv::heading(list, *column)) } }
                } }
                tbody {
                    @for (at, row) in list.rows.iter().enumerate() {
                        tr {
                            th scope="row" { (at + 1) }
                            @for (column, cell) in row.cells.iter().enumerate() {
                                td class=[(cell.state != Certainty::Sure).then_some("open")] data-cell={ (at) "-" (column) } {
                                    (in_markup(&csv::marked(cell)))
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
