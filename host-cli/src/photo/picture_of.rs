//! Parts of a photograph to be shown: a cell with some room around it, and the row that it is in.

use super::csv;
use super::list::{Cell, Certainty, List, Row};
use super::reader::Reading;
use super::sheet::Sheet;
use crate::picture::{Colour, Point};
use crate::render::html::Picture;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};

/// How good the small pictures are; letters stay sharp.
const QUALITY: u8 = 82;

/// Colour of the frame around a cell: seen on paper and ink alike.
const FRAME: [u8; 3] = [214, 0, 110];

/// Every cell that a person must look at, framed in its row.
pub fn open_cells(list: &List, readings: &[Reading]) -> Vec<Picture> {
    let mut pictures = Vec::new();
    for (at, own) in list.rows.iter().enumerate() {
        for (cell, column) in own.cells.iter().zip(&list.columns) {
            if cell.state == Certainty::Sure {
                continue;
            }
            let Some(reading) = readings.get(cell.photo) else { continue };
            let why = cell.doubt.map_or("", |doubt| doubt.says());
            let read = csv::marked(cell);
            let says = format!("Row {}, {}: {read} ({why})", at + 1, csv::heading(list, *column));
            if let Some(jpeg) = row(&reading.photo, &reading.sheet, own, cell) {
                pictures.push(Picture { says, jpeg });
            }
        }
    }
    pictures
}

/// A picture of a cell alone, so large that each letter can be seen.
pub(super) fn cell(photo: &Colour, sheet: &Sheet, cell: &Cell) -> Option<Vec<u8>> {
    let [a, b, _, d] = cell.corners;
    let (long, high) = (a.distance(b), a.distance(d));
    let corners = grown(cell.corners, 0.9 * high, 0.35 * high);
    let height = 96.0;
    let width = height * (long + 1.8 * high) / (1.7 * high).max(1.0);
    let view = sheet.view(photo, corners, width.clamp(40.0, 900.0) as usize, height as usize)?;
    jpeg(&view)
}

/// A picture of a row from its first cell to its last, with one cell framed.
pub(super) fn row(photo: &Colour, sheet: &Sheet, row: &Row, cell: &Cell) -> Option<Vec<u8>> {
    let same_photo = || row.cells.iter().filter(|other| other.photo == cell.photo);
    let corners = || same_photo().flat_map(|cell| cell.corners);
    let left = corners().map(|corner| corner.x).fold(f64::MAX, f64::min);
    let right = corners().map(|corner| corner.x).fold(f64::MIN, f64::max);
    let top = corners().map(|corner| corner.y).fold(f64::MAX, f64::min);
    let bottom = corners().map(|corner| corner.y).fold(f64::MIN, f64::max);
    let high = cell.corners[0].distance(cell.corners[3]);
    let (left, right) = (left - high, right + high);
    let (top, bottom) = (top - 0.8 * high, bottom + 0.8 * high);
    let flat = [(left, top), (right, top), (right, bottom), (left, bottom)];
    let width = 1200.0;
    let scale = width / (right - left).max(1.0);
    let height = ((bottom - top) * scale).clamp(16.0, 600.0) as usize;
    let mut view =
        sheet.view(photo, flat.map(|(x, y)| Point::new(x, y)), width as usize, height)?;
    let place = |of: &dyn Fn(&Point) -> f64, from: f64| {
        let own = cell.corners.iter().map(|corner| (of(corner) - from) * scale);
        own.fold((f64::MAX, f64::MIN), |(low, high), value| (low.min(value), high.max(value)))
    };
    let (x, y) = (place(&|corner| corner.x, left), place(&|corner| corner.y, top));
    frame(&mut view, (x.0 - 5.0, x.1 + 5.0), (y.0 - 3.0, y.1 + 3.0));
    jpeg(&view)
}

/// Corners further apart by this much.
fn grown(corners: [Point; 4], beside: f64, above: f64) -> [Point; 4] {
    let signs = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let mut grown = corners;
    for (corner, (right, down)) in grown.iter_mut().zip(signs) {
        corner.x += right * beside;
        corner.y += down * above;
    }
    grown
}

/// Draws a frame of three pixels.
fn frame(view: &mut Colour, x: (f64, f64), y: (f64, f64)) {
    let held = |value: f64, most: usize| value.clamp(0.0, most.saturating_sub(1) as f64) as usize;
    let (left, right) = (held(x.0, view.width()), held(x.1, view.width()));
    let (top, bottom) = (held(y.0, view.height()), held(y.1, view.height()));
    for row in top..=bottom {
        let is_edge = row < top + 3 || row + 3 > bottom;
        for (column, pixel) in view.row_mut(row).iter_mut().enumerate() {
            let is_side = column < left + 3 || column + 3 > right;
            if (left..=right).contains(&column) && (is_edge || is_side) {
                *pixel = FRAME;
            }
        }
    }
}

fn jpeg(view: &Colour) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let (width, height) = (u32::try_from(view.width()).ok()?, u32::try_from(view.height()).ok()?);
    JpegEncoder::new_with_quality(&mut bytes, QUALITY)
        .write_image(view.bytes(), width, height, ExtendedColorType::Rgb8)
        .ok()?;
    Some(bytes)
}
