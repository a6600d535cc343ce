//! Finds the corner marks in a picture: rings with a dot in their middle.

use super::order::sort_short;
use crate::picture::{Grey, Point};

/// The longer side of the picture in which marks are looked for, in pixels at the most.
const SEARCHED: usize = 1500;
/// More candidates than these are no form.
const MOST: usize = 14;
/// Ways to tell dark from light, tried one after the other: the square around a pixel as a part of the
/// picture's shorter side, and how bright a dark pixel is at the most, in hundredths of the mean there. The
/// first suits most light; the others find a mark that the edge of a shadow runs through.
pub(super) const WAYS: [(usize, u32); 3] = [(10, 80), (10, 58), (30, 80)];

/// A mark: its middle in the picture, and the diameter of its ring there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    pub(super) at: Point,
    pub(super) size: f64,
}

/// Pieces of dark pixels that hang together.
#[derive(Clone, Copy, Debug)]
struct Piece {
    left: u32,
    right: u32,
    top: u32,
    bottom: u32,
    pixels: u32,
    sum_x: u64,
    sum_y: u64,
}

impl Piece {
    fn size(&self) -> f64 {
        f64::midpoint(f64::from(self.right - self.left + 1), f64::from(self.bottom - self.top + 1))
    }

    fn middle(&self) -> Point {
        Point::new(
            f64::midpoint(f64::from(self.left), f64::from(self.right)) + 0.5,
            f64::midpoint(f64::from(self.top), f64::from(self.bottom)) + 0.5,
        )
    }

    #[allow(
        clippy::cast_precision_loss,
        reason = "sums of places in a picture of some million pixels"
    )]
    fn weight_point(&self) -> Point {
        let pixels = f64::from(self.pixels);
        Point::new(self.sum_x as f64 / pixels + 0.5, self.sum_y as f64 / pixels + 0.5)
    }
}

/// The marks that one of the [`WAYS`] shows, beside those that are known, the largest first.
pub(super) fn find(picture: &Grey, way: (usize, u32), known: Vec<Mark>) -> Vec<Mark> {
    let longest = picture.width().max(picture.height());
    let factor = longest.div_ceil(SEARCHED).max(1);
    let small = picture.shrunk(factor);
    let pieces = pieces(&small, way);
    let scale = f64::from(u32::try_from(factor).unwrap_or(1));
    let mut marks = known;
    let rings = pieces.iter().filter(|piece| looks_like_a_ring(piece, &small));
    for ring in rings {
        let size = ring.size();
        let middle = ring.middle();
        let dot = pieces.iter().find(|dot| {
            let share = f64::from(dot.pixels) / f64::from(ring.pixels);
            let wide = dot.size() / size;
            (0.08..0.36).contains(&share)
                && (0.2..0.5).contains(&wide)
                && dot.weight_point().distance(middle) < 0.09 * size
                && ring.weight_point().distance(middle) < 0.07 * size
        });
        if let Some(dot) = dot {
            let at = Point::new(
                f64::midpoint(middle.x, dot.weight_point().x) * scale,
                f64::midpoint(middle.y, dot.weight_point().y) * scale,
            );
            let size = size * scale;
            if marks.iter().all(|mark| mark.at.distance(at) > size / 2.0) {
                marks.push(Mark { at, size });
            }
        }
    }
    sort_short(&mut marks, |one, other| one.size > other.size);
    marks.truncate(MOST);
    marks
}

/// As high as wide but for the view, and as full as a ring is: 0.44 of its rectangle.
fn looks_like_a_ring(piece: &Piece, picture: &Grey) -> bool {
    let (wide, high) =
        (f64::from(piece.right - piece.left + 1), f64::from(piece.bottom - piece.top + 1));
    let full = f64::from(piece.pixels) / (wide * high);
    let most = picture.width().max(picture.height()) / 6;
    wide.min(high) >= 9.0
        && piece.size() < f64::from(u32::try_from(most).unwrap_or(u32::MAX))
        && (0.45..2.2).contains(&(wide / high))
        && (0.25..0.62).contains(&full)
}

/// The pieces of all that is dark.
fn pieces(picture: &Grey, (part, most): (usize, u32)) -> Vec<Piece> {
    let (width, height) = (picture.width(), picture.height());
    let window = (width.min(height) / part).max(8);
    let mut found: Vec<Piece> = Vec::new();
    // Pieces that turned out to be one: the number of the one that a piece belongs to.
    let mut joined: Vec<usize> = Vec::new();
    let mut above: Vec<Run> = Vec::new();
    let dark = dark(picture, window, most);
    for y in 0..height {
        let row = dark.get(y * width..(y + 1) * width).unwrap_or(&[]);
        let mut runs = runs(row);
        let mut first = 0;
        for run in &mut runs {
            while above.get(first).is_some_and(|over| over.end < run.start) {
                first += 1;
            }
            let mut own = None;
            // Pixels that meet at a corner hang together.
            for over in above.iter().skip(first).take_while(|over| over.start <= run.end) {
                let root = root(&joined, over.piece);
                match own {
                    None => own = Some(root),
                    Some(piece) if piece != root => {
                        joined[root] = piece;
                        let gone = found[root];
                        absorb(&mut found[piece], &gone);
                    }
                    Some(_) => {}
                }
            }
            run.piece = own.unwrap_or_else(|| {
                joined.push(found.len());
                found.push(Piece {
                    left: u32::MAX,
                    right: 0,
                    top: u32::MAX,
                    bottom: 0,
                    pixels: 0,
                    sum_x: 0,
                    sum_y: 0,
                });
                found.len() - 1
            });
            let piece = root(&joined, run.piece);
            let of = run.as_piece(y);
            absorb(&mut found[piece], &of);
        }
        above = runs;
    }
    let own = found.iter().enumerate().filter(|(at, _)| joined[*at] == *at);
    own.map(|(_, piece)| *piece).filter(|piece| piece.pixels >= 5).collect()
}

#[derive(Clone, Copy, Debug)]
struct Run {
    start: usize,
    end: usize,
    piece: usize,
}

impl Run {
    /// A stretch of one row as a piece of its own; its end is not part of it.
    fn as_piece(self, y: usize) -> Piece {
        let [start, end, y] = [self.start, self.end, y].map(|at| u32::try_from(at).unwrap_or(0));
        let pixels = end - start;
        let (first, last) = (u64::from(start), u64::from(end - 1));
        Piece {
            left: start,
            right: end - 1,
            top: y,
            bottom: y,
            pixels,
            sum_x: (first + last) * u64::from(pixels) / 2,
            sum_y: u64::from(y) * u64::from(pixels),
        }
    }
}

fn absorb(piece: &mut Piece, other: &Piece) {
    piece.left = piece.left.min(other.left);
    piece.right = piece.right.max(other.right);
    piece.top = piece.top.min(other.top);
    piece.bottom = piece.bottom.max(other.bottom);
    piece.pixels += other.pixels;
    piece.sum_x += other.sum_x;
    piece.sum_y += other.sum_y;
}

fn root(joined: &[usize], mut piece: usize) -> usize {
    while joined[piece] != piece {
        piece = joined[piece];
    }
    piece
}

fn runs(row: &[bool]) -> Vec<Run> {
    let mut runs = Vec::new();
    let mut start = None;
    for (at, dark) in row.iter().copied().chain([false]).enumerate() {
        match (dark, start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                runs.push(Run { start: from, end: at, piece: 0 });
                start = None;
            }
            (true, Some(_)) | (false, None) => {}
        }
    }
    runs
}

/// Which pixels are darker than the mean of a square around them.
fn dark(picture: &Grey, window: usize, most: u32) -> Vec<bool> {
    let (width, height) = (picture.width(), picture.height());
    let stride = width + 1;
    let mut sums = vec![0_u32; stride * (height + 1)];
    for y in 0..height {
        let mut line = 0_u32;
        for (x, [grey]) in picture.row(y).iter().enumerate() {
            line += u32::from(*grey);
            sums[(y + 1) * stride + x + 1] = sums[y * stride + x + 1] + line;
        }
    }
    let half = window / 2;
    let mut dark = Vec::with_capacity(width * height);
    for y in 0..height {
        let (top, bottom) = (y.saturating_sub(half), (y + half + 1).min(height));
        for (x, [grey]) in picture.row(y).iter().enumerate() {
            let (left, right) = (x.saturating_sub(half), (x + half + 1).min(width));
            let count = u32::try_from((bottom - top) * (right - left)).unwrap_or(1);
            let sum = sums[bottom * stride + right] + sums[top * stride + left]
                - sums[top * stride + right]
                - sums[bottom * stride + left];
            dark.push(u32::from(*grey) * 100 < sum / count * most);
        }
    }
    dark
}
