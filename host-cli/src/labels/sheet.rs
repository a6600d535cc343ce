//! Draws sheets of labels: two columns, the two ends of a cable side by side, thin lines to cut at.

use super::Label;
use crate::print::{Anchor, Face, Page, Paper, Shape, cut, qr, width};
use crate::words::CAUTIONS;

/// Room left at the edges of the paper, in millimetres.
const MARGIN: f32 = 10.0;
/// Height of a label.
const HIGH: f32 = 29.0;
/// Height of what stands below the labels.
const FOOT: f32 = 13.0;
/// Side of the code with its quiet zone.
const CODE: f32 = 27.0;
const LINE_INK: f32 = 0.35;

/// A code that would be too long to be printed: the name of the cable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooLong(pub String);

/// The sheets.
///
/// # Errors
/// If the words of a label do not fit into a code.
pub fn pages(labels: &[Label], paper: Paper, site: &str) -> Result<Vec<Page>, TooLong> {
    let (high, wide) = paper.sides();
    let cell = (wide / 2.0 - MARGIN, HIGH);
    let mut rows: Vec<Vec<&Label>> = Vec::new();
    for label in labels {
        // The second end of a cable stands beside the first.
        match rows.last_mut() {
            Some(row) if row.len() == 1 && row[0].cable == label.cable => row.push(label),
            Some(_) | None => rows.push(vec![label]),
        }
    }
    let fit =
        (1_u8..40).take_while(|rows| f32::from(*rows) * HIGH <= high - 2.0 * MARGIN - FOOT).count();
    let sheets = rows.chunks(fit.max(1));
    let count = sheets.len();
    let mut pages = Vec::with_capacity(count);
    for (number, rows) in (1..).zip(sheets) {
        let mut page = Page::new(paper, false);
        let mut y = MARGIN;
        for row in rows {
            let mut x = MARGIN;
            for label in row {
                page.frame((x, y), cell, 0.15, LINE_INK);
                draw(&mut page, label, (x, y), cell.0)?;
                x += cell.0;
            }
            y += HIGH;
        }
        let foot = high - MARGIN - FOOT + 5.0;
        let face = Face::plain(6.5);
        let below = page.lines((MARGIN, foot), wide - 2.0 * MARGIN, face, CAUTIONS);
        let what = format!("{site}: cable labels, sheet {number} of {count}");
        page.text((MARGIN, below), face, cut(&what, face, wide - 2.0 * MARGIN));
        pages.push(page);
    }
    Ok(pages)
}

fn draw(page: &mut Page, label: &Label, (x, y): (f32, f32), wide: f32) -> Result<(), TooLong> {
    qr::draw(page, &label.text(), (x + 0.8, y + 1.0), CODE)
        .ok_or_else(|| TooLong(label.cable.clone()))?;
    let left = x + CODE + 1.5;
    let room = wide - CODE - 3.5;
    let name = fitted(&label.cable, Face::bold(15.0), room);
    page.text((left, y + 6.8), name.0, name.1);
    let small = Face::plain(7.0).grey(0.75);
    page.text((left, y + 10.8), small, "this end in");
    let here = fitted(&label.here, Face::bold(11.0), room);
    page.text((left, y + 15.3), here.0, here.1);
    page.text((left, y + 19.2), small, "other end in");
    let there = fitted(&label.there, Face::plain(9.5), room);
    page.text((left, y + 23.2), there.0, there.1);
    let rest = [label.kind.as_str(), label.length.as_str()];
    let rest: Vec<&str> = rest.into_iter().filter(|word| !word.is_empty()).collect();
    let text = cut(&rest.join(", "), small, room);
    let at = (left + room, y + 27.2);
    page.shapes.push(Shape::Text { x: at.0, y: at.1, anchor: Anchor::End, face: small, text });
    Ok(())
}

/// A text made smaller until it fits, and cut where it would become too small to read.
fn fitted(text: &str, face: Face, room: f32) -> (Face, String) {
    let least = Face::plain(7.0).size;
    let share = (room / width(text, face)).min(1.0);
    let face = Face { size: (face.size * share).max(least), ..face };
    (face, cut(text, face, room))
}
