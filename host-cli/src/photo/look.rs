//! From a photograph to lines of boxes whose text has been read.

use super::decode::Glyph;
use super::engine::{EngineError, Sign, TextBox, TextEngine};
use super::rows::{Line, lines, median};
use super::sheet::{Sheet, outlines};
use super::similar::folded;
use crate::picture::{Colour, Point, Turn};

/// How a box is cut out for one reading: room added on each side, in heights of the box, and how
/// much wider the strip is made. The two differ so that a slip of one is seldom that of the other:
/// signs fall into other steps of the network, and what a tight cut loses at an edge a wide one has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cutting {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) above: f64,
    pub(super) stretch: f64,
}

pub(super) const TIGHT: Cutting = Cutting { left: 0.0, right: 0.0, above: 0.0, stretch: 1.0 };
pub(super) const WIDE: Cutting = Cutting { left: 0.25, right: 0.25, above: 0.06, stretch: 1.25 };

impl Cutting {
    /// With no more room than half of the way to the boxes beside, in heights of the box.
    pub(super) fn held(self, to_left: f64, to_right: f64) -> Self {
        let half = |room: f64, gap: f64| room.min(gap / 2.0).max(0.0);
        Self { left: half(self.left, to_left), right: half(self.right, to_right), ..self }
    }
}

/// The height of a box, in pixels, at which words are found best: as on a page of 11 points that
/// fills the picture.
const BEST_HEIGHT: f64 = 24.0;

/// A box and what was read in it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) text: TextBox,
    /// As cut tight.
    pub(super) first: Vec<Sign>,
    /// As cut wide; read only where it matters.
    pub(super) second: Option<Vec<Sign>>,
}

impl Piece {
    /// The text as it was read first.
    pub(super) fn words(&self) -> String {
        let signs: String = self.first.iter().map(|sign| sign.sign).collect();
        signs.trim().to_owned()
    }

    pub(super) fn left(&self) -> f64 {
        f64::midpoint(self.text.corners[0].x, self.text.corners[3].x)
    }

    pub(super) fn right(&self) -> f64 {
        f64::midpoint(self.text.corners[1].x, self.text.corners[2].x)
    }

    /// A part of its corners, from one place along the sheet to another.
    pub(super) fn between(&self, left: f64, right: f64) -> [Point; 4] {
        let [a, b, c, d] = self.text.corners;
        let width = (self.right() - self.left()).max(1.0);
        let at = |from: Point, to: Point, x: f64| {
            let part = ((x - self.left()) / width).clamp(0.0, 1.0);
            Point::new(from.x + (to.x - from.x) * part, from.y + (to.y - from.y) * part)
        };
        [at(a, b, left), at(a, b, right), at(d, c, right), at(d, c, left)]
    }
}

/// A sheet with its boxes in lines.
pub(super) struct Looked {
    pub(super) photo: Colour,
    pub(super) sheet: Sheet,
    pub(super) pieces: Vec<Piece>,
    pub(super) lines: Vec<Line>,
}

/// Looks at a photograph: `None` if no text is found in it.
pub(super) fn look(
    engine: &dyn TextEngine,
    mut photo: Colour,
    progress: &mut dyn FnMut(f32),
) -> Result<Option<Looked>, EngineError> {
    let Some(whole) = Sheet::whole(&photo) else { return Ok(None) };
    let mut sheet = whole;
    let side = engine.finding_side();
    let mut boxes = find(engine, &photo, &sheet, None, side * 2 / 3, f64::MAX)?;
    progress(0.1);
    if boxes.is_empty() {
        return Ok(None);
    }
    let standing = boxes.iter().filter(|text| stands(text)).count();
    if standing * 3 > boxes.len() * 2 {
        // The camera was held the other way and did not note it. Which way, the reading tells.
        photo = photo.turned(Turn::Quarter);
        let Some(turned) = Sheet::whole(&photo) else { return Ok(None) };
        sheet = turned;
        boxes = find(engine, &photo, &sheet, None, side * 2 / 3, f64::MAX)?;
    }
    if reads_better_turned(engine, &photo, &sheet, &boxes)? {
        photo = photo.turned(Turn::Half);
        boxes = find(engine, &photo, &sheet, None, side * 2 / 3, f64::MAX)?;
    }
    // In a larger picture words fall apart into letters.
    let high = |corners: &[Point; 4]| corners[0].distance(corners[3]);
    let usual_in_photo = |sheet: &Sheet| {
        median(
            boxes.iter().map(|text| high(&text.corners.map(|at| sheet.to_photo.map(at)))).collect(),
        )
    };
    let in_photo = usual_in_photo(&sheet);
    let scale_for = |sheet: &Sheet| {
        let middle = Point::new(sheet.width / 2.0, sheet.height / 3.0);
        let below = Point::new(middle.x, middle.y + 10.0);
        let pixels = sheet.to_photo.map(middle).distance(sheet.to_photo.map(below)) / 10.0;
        BEST_HEIGHT * pixels / in_photo.max(1.0)
    };
    let sure = boxes.iter().filter(|text| text.confidence > 0.7);
    let places: Vec<Point> =
        sure.flat_map(|text| text.corners).map(|corner| sheet.to_photo.map(corner)).collect();
    if let Some(found) = outlines(&photo, &places).into_iter().next()
        && let Some(back) = found.to_photo.inverse()
    {
        let flat: Vec<Point> = places.iter().map(|place| back.map(*place)).collect();
        let scale = scale_for(&found);
        boxes = find(engine, &photo, &found, Some(&flat), side, scale)?;
        sheet = found;
    } else {
        let flat: Vec<Point> = sheet
            .to_photo
            .inverse()
            .map_or_else(Vec::new, |back| places.iter().map(|place| back.map(*place)).collect());
        let scale = scale_for(&sheet);
        boxes = find(engine, &photo, &sheet, Some(&flat), side, scale)?;
    }
    progress(0.3);
    let count = boxes.len().max(1) as f32;
    let mut pieces = Vec::new();
    for (at, text) in boxes.into_iter().enumerate() {
        let first = read(engine, &photo, &sheet, &text.corners, TIGHT)?;
        pieces.push(Piece { text, first, second: None });
        progress(0.3 + 0.35 * at as f32 / count);
    }
    // A box without a sign is a crease or a grain of the table.
    pieces.retain(|piece| piece.first.iter().any(|sign| sign.sign.is_alphanumeric()));
    let texts: Vec<TextBox> = pieces.iter().map(|piece| piece.text).collect();
    let lines = lines(&texts);
    Ok(Some(Looked { photo, sheet, pieces, lines }))
}

/// Whether a box is higher than wide.
fn stands(text: &TextBox) -> bool {
    text.corners[0].distance(text.corners[3]) > 1.3 * text.corners[0].distance(text.corners[1])
}

/// Whether the longest boxes are read with more confidence upside down. Those that are read well as
/// they stand are not tried.
fn reads_better_turned(
    engine: &dyn TextEngine,
    photo: &Colour,
    sheet: &Sheet,
    boxes: &[TextBox],
) -> Result<bool, EngineError> {
    let mut longest: Vec<&TextBox> = boxes.iter().collect();
    let length = |text: &TextBox| text.corners[0].distance(text.corners[1]);
    longest.sort_by(|left, right| length(right).total_cmp(&length(left)));
    let (mut upright, mut turned) = (0.0, 0.0);
    for text in longest.into_iter().take(5) {
        let [a, b, c, d] = text.corners;
        let confidence = |corners| -> Result<f32, EngineError> {
            let signs = read(engine, photo, sheet, &corners, TIGHT)?;
            let known = signs.iter().filter(|sign| sign.sign.is_ascii_alphanumeric());
            Ok(known.map(|sign| sign.confidence).sum::<f32>() / signs.len().max(1) as f32)
        };
        let as_it_is = confidence([a, b, c, d])?;
        if as_it_is > 0.85 {
            return Ok(false);
        }
        upright += as_it_is;
        turned += confidence([c, d, a, b])?;
    }
    Ok(turned > upright * 1.2)
}

/// Where text stands on a sheet, or on the part of it that holds these places.
fn find(
    engine: &dyn TextEngine,
    photo: &Colour,
    sheet: &Sheet,
    around: Option<&[Point]>,
    side: usize,
    most: f64,
) -> Result<Vec<TextBox>, EngineError> {
    let (mut low, mut high) = (Point::new(0.0, 0.0), Point::new(sheet.width, sheet.height));
    if let Some(places) = around.filter(|places| !places.is_empty()) {
        let margin = 0.03 * sheet.width.max(sheet.height);
        let edge = |of: &dyn Fn(&Point) -> f64, least: f64, most: f64| {
            let (first, last) = places
                .iter()
                .map(of)
                .fold((f64::MAX, f64::MIN), |(low, high), value| (low.min(value), high.max(value)));
            ((first - margin).max(least), (last + margin).min(most))
        };
        (low.x, high.x) = edge(&|place| place.x, 0.0, sheet.width);
        (low.y, high.y) = edge(&|place| place.y, 0.0, sheet.height);
    }
    let (width, height) = (high.x - low.x, high.y - low.y);
    let scale = (side as f64 / width.max(height).max(1.0)).min(most);
    let corners = [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)];
    let pixels = |length: f64| (length * scale).round().max(32.0) as usize;
    let Some(view) = sheet.view(photo, corners, pixels(width), pixels(height)) else {
        return Ok(Vec::new());
    };
    let mut boxes = engine.find(&view)?;
    for corner in boxes.iter_mut().flat_map(|text| &mut text.corners) {
        *corner = Point::new(low.x + corner.x / scale, low.y + corner.y / scale);
    }
    Ok(boxes)
}

/// Reads a box.
pub(super) fn read(
    engine: &dyn TextEngine,
    photo: &Colour,
    sheet: &Sheet,
    corners: &[Point; 4],
    cutting: Cutting,
) -> Result<Vec<Sign>, EngineError> {
    let [a, b, _, d] = *corners;
    let (long, high) = (a.distance(b).max(1.0), a.distance(d).max(1.0));
    let along = Point::new((b.x - a.x) / long, (b.y - a.y) / long);
    let down = Point::new((d.x - a.x) / high, (d.y - a.y) / high);
    let (left, right) = (cutting.left * high, cutting.right * high);
    let above = cutting.above * high;
    let rooms = [(-left, -above), (right, -above), (right, above), (-left, above)];
    let mut grown = *corners;
    for (corner, (beside, lower)) in grown.iter_mut().zip(rooms) {
        corner.x += beside * along.x + lower * down.x;
        corner.y += beside * along.y + lower * down.y;
    }
    let Some(strip) = sheet.strip(photo, grown, cutting.stretch) else { return Ok(Vec::new()) };
    let mut read = engine.read(&strip)?;
    // As a part of the box itself.
    for sign in &mut read {
        sign.at = ((f64::from(sign.at) * (long + left + right) - left) / long) as f32;
    }
    Ok(read)
}

/// The signs of a line of boxes, folded, with what separates them noted.
pub(super) fn glyphs<'p>(
    pieces: impl Iterator<Item = &'p Piece>,
    signs: impl Fn(&'p Piece) -> &'p [Sign],
) -> Vec<Glyph> {
    let mut glyphs = Vec::new();
    for (place, piece) in pieces.enumerate() {
        let mut parted = false;
        for sign in signs(piece) {
            let x = piece.left() + f64::from(sign.at) * (piece.right() - piece.left());
            match folded(sign.sign) {
                Some(folded) => {
                    let confidence = sign.confidence;
                    glyphs.push(Glyph { sign: folded, confidence, piece: place, x, parted });
                    parted = false;
                }
                None => parted = true,
            }
        }
    }
    glyphs
}

/// The usual height of a box.
pub(super) fn usual_height(pieces: &[Piece]) -> f64 {
    let high = |piece: &Piece| piece.text.corners[0].distance(piece.text.corners[3]);
    median(pieces.iter().map(high).collect())
}
