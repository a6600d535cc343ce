//! Draws the form.

use super::choices::{Choice, Choices};
use super::code::{BITS, SheetId};
use super::layout::{
    Area, Ask, BAR, BUBBLE, Bubble, HEAD, Layout, MARGIN, MARK, ROW, Row, SQUARE, TABLE, TICK,
};
use crate::phrase::counted;
use crate::print::{Anchor, Face, MILLIMETRES_A_POINT, Page, Paper, Shape, cut, qr, width};
use crate::words::CAUTIONS;

/// Rows that a site has beside one for each unit: terminators, battery, three sensors, meter.
const FURTHER_ROWS: usize = 7;
/// The most sheets of a form: two digits, as its code has room for.
pub const MOST_SHEETS: u8 = 20;
/// How dark what stands in a bubble is, and the bubble's outline. Little beside a mark, and to be read.
const CODE_INK: f32 = 0.5;
const OUTLINE: (f32, f32) = (0.2, 0.7);
/// How dark the lines of the table are.
const LINE_INK: f32 = 0.45;

const HOW: &str = "Fill one bubble of each group wholly with a dark pen: one row a cable. For a plug that \
    terminates (TRM) leave \"to\" empty. A wrong mark is not mended: fill \"void\" of that row and take a \
    new row. Photograph the whole sheet from above, with all four corner marks.";

/// How many sheets a site of so many units commonly fills.
pub fn sheets(choices: &Choices, paper: Paper) -> u8 {
    let rows = Layout::new(choices, paper).rows.len();
    let cables = usize::from(choices.units) + FURTHER_ROWS;
    u8::try_from(cables.div_ceil(rows)).unwrap_or(MOST_SHEETS).clamp(1, MOST_SHEETS)
}

/// All sheets of a form.
pub fn pages(choices: &Choices, paper: Paper, sheets: u8) -> Vec<Page> {
    let layout = Layout::new(choices, paper);
    let id =
        |sheet| SheetId { paper, units: choices.units, sheet, sheets, choices: choices.checksum() };
    (1..=sheets).map(|sheet| page(choices, &layout, id(sheet))).collect()
}

/// The number of a row as a person and a cable list have it, counted through all sheets.
pub fn row_label(layout: &Layout, id: SheetId, row: &Row) -> String {
    let before = layout.rows.len() * usize::from(id.sheet.saturating_sub(1));
    (before + usize::from(row.at) + 1).to_string()
}

fn page(choices: &Choices, layout: &Layout, id: SheetId) -> Page {
    let mut page = Page::new(layout.paper, true);
    marks(&mut page, layout, id);
    head(&mut page, choices, layout, id);
    table(&mut page, layout);
    for row in &layout.rows {
        page.text((MARGIN + 0.5, row.y + 1.1), Face::bold(8.5), row_label(layout, id, row));
        for group in &row.groups {
            for one in &group.bubbles {
                bubble(&mut page, one);
            }
        }
    }
    page
}

/// What the reader finds its way by.
fn marks(page: &mut Page, layout: &Layout, id: SheetId) {
    let frame = layout.frame();
    let (ring, hole, dot) = MARK;
    for corner in frame.corners() {
        for (radius, ink) in [(ring, 1.0), (hole, 0.0), (dot, 1.0)] {
            page.disc(corner, radius, ink);
        }
    }
    page.block((BAR.x, BAR.y), (BAR.w, BAR.h), 1.0);
    for (x, y) in frame.side_ticks().into_iter().chain(frame.level_ticks()).flatten() {
        page.block((x - TICK.0 / 2.0, y - TICK.1 / 2.0), TICK, 1.0);
    }
    let bits = id.bits();
    for (left, y) in frame.strips() {
        let mut x = left;
        let mut begun = None;
        // Black squares side by side are one block, so that no hairline shows between them.
        for at in 0..=BITS {
            let black = bits.get(at).copied().unwrap_or(false);
            match (black, begun) {
                (true, None) => begun = Some(x),
                (false, Some(from)) => {
                    page.block((from, y), (x - from, SQUARE), 1.0);
                    begun = None;
                }
                (true, Some(_)) | (false, None) => {}
            }
            x += SQUARE;
        }
    }
}

fn head(page: &mut Page, choices: &Choices, layout: &Layout, id: SheetId) {
    let Area { x: code_x, y: code_y, w: side, .. } = layout.frame().qr();
    // Names of sockets are short: the text always fits into a code.
    let _ = qr::draw(page, &id.text(choices), (code_x, code_y), side);
    let wide = code_x - HEAD - 2.0;
    let title = Face::bold(13.0);
    page.text((HEAD, 21.2), title, "Cable list");
    let what = format!(
        "profile {}, {}, sheet {} of {}, form {:06X}",
        choices.profile,
        counted(choices.units.into(), "unit"),
        id.sheet,
        id.sheets,
        id.choices
    );
    let plain = Face::plain(9.0);
    let beside = HEAD + width("Cable list", title) + 3.0;
    page.text((beside, 21.2), plain, cut(&what, plain, wide - beside + HEAD));
    let third = wide / 3.0;
    let mut x = HEAD;
    for word in ["Site", "Date and time", "Initials"] {
        let from = x + width(word, Face::plain(8.0)) + 1.5;
        page.text((x, 27.4), Face::plain(8.0), word);
        page.block((from, 27.7), (x + third - from - 3.0, 0.15), 1.0);
        x += third;
    }
    let base = page.lines((HEAD, 31.6), wide, Face::plain(7.0), HOW);
    let _ = page.lines((HEAD, base), wide, Face::plain(7.0), &legend(choices));
    // How a filled bubble looks, beside the strip.
    let x = HEAD + 64.0 * SQUARE + 4.0;
    page.disc((x + 1.7, 42.6), 1.7, 1.0);
    page.text((x + 4.6, 43.5), Face::plain(7.0), "filled");
    let [_, (_, strip)] = layout.frame().strips();
    let foot = strip + SQUARE + 2.4;
    let _ = page.lines((HEAD, foot), layout.size.0 - 2.0 * HEAD, Face::plain(6.2), CAUTIONS);
}

/// What the codes in the bubbles mean, where it is not the same word.
fn legend(choices: &Choices) -> String {
    let told = |choice: &Choice| format!("{} = {}", choice.code, choice.word);
    let plain = |choice: &&Choice| choice.code != choice.word;
    let part = |name: &str, list: Vec<Choice>| {
        let words: Vec<String> = list.iter().filter(plain).map(told).collect();
        if words.is_empty() { String::new() } else { format!("{name}: {}. ", words.join(", ")) }
    };
    let mut text = part("Ends", choices.others());
    text.push_str(&part("Sockets", choices.sockets()));
    text.push_str(&part("Kinds", choices.kinds()));
    text
}

/// The lines of the table and what stands over its columns.
fn table(page: &mut Page, layout: &Layout) {
    let (left, right) = (MARGIN, layout.columns[5]);
    let Some((first, last)) = layout.rows.first().zip(layout.rows.last()) else { return };
    let bottom = last.y + ROW / 2.0;
    let above = first.y - ROW / 2.0;
    page.block((left, TABLE), (right - left, 0.3), 1.0);
    for row in &layout.rows {
        let y = row.y - ROW / 2.0;
        page.block((left, y), (right - left, 0.12), LINE_INK);
    }
    page.block((left, bottom), (right - left, 0.3), 1.0);
    for x in layout.columns.iter().take(5) {
        page.block((x - 1.6, TABLE), (0.12, bottom - TABLE), LINE_INK);
    }
    let names = ["From", "To", "Kind", "Length in metres", "Note"];
    for (name, x) in names.into_iter().zip(layout.columns) {
        page.text((x, TABLE + 3.4), Face::bold(8.0), name);
    }
    page.text((left + 0.5, TABLE + 3.4), Face::bold(8.0), "Cable");
    let small = Face::plain(6.5);
    let mut centred = |x: f32, text: &str| page.centred((x, above - 0.9), small, text);
    for group in &first.groups {
        let Some((one, other)) = ends(&group.bubbles) else { continue };
        let word = match group.ask {
            Ask::Void => "void",
            Ask::Unit(_) => "unit",
            Ask::UnitOnes(_) => "unit, ones",
            Ask::Other(_) => "or",
            Ask::Socket(_) => "socket",
            Ask::Kind => continue,
            Ask::UnitTens(_) | Ask::Length(0) => "tens",
            Ask::Length(1) => "ones",
            Ask::Length(_) => "tenths",
        };
        centred(f32::midpoint(one, other), word);
    }
}

/// The middles of the leftmost and the rightmost bubble.
fn ends(bubbles: &[Bubble]) -> Option<(f32, f32)> {
    let first = bubbles.first()?.x;
    Some((first, bubbles.iter().map(|bubble| bubble.x).fold(first, f32::max)))
}

fn bubble(page: &mut Page, bubble: &Bubble) {
    let (h, w) = (BUBBLE.0, bubble.w);
    page.shapes.push(Shape::Outline {
        x: bubble.x - w / 2.0,
        y: bubble.y - h / 2.0,
        w,
        h,
        radius: h / 2.0,
        stroke: OUTLINE.0,
        ink: OUTLINE.1,
    });
    if bubble.code.is_empty() {
        return;
    }
    let points = if bubble.code.chars().count() < 3 { 6.0 } else { 5.0 };
    let face = Face::plain(points).grey(CODE_INK);
    // Capitals and digits of this face are 0.72 of its size high.
    let base = bubble.y + 0.36 * points * MILLIMETRES_A_POINT;
    let text = bubble.code.clone();
    page.shapes.push(Shape::Text { x: bubble.x, y: base, anchor: Anchor::Middle, face, text });
}
