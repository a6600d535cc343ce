//! Ink without light: how much darker each place of the flat sheet is than bare paper there.
//!
//! Bare paper is what is left when everything narrower than the widest mark is painted over with its
//! surroundings. A shadow is wider and stays, with its edge where it is, so that it is no ink.

use super::flat::SCALE;
use crate::picture::Grey;

/// Wider than two marks that run into each other, in pixels of the flat sheet made half as large.
const WINDOW: usize = 13 * SCALE / 4;

/// The flat sheet as ink: 0 is paper, 255 lets no light back.
pub(super) struct Ink {
    pub(super) picture: Grey,
    /// Brightness of bare paper, half as large.
    paper: Grey,
}

impl Ink {
    pub(super) fn of(flat: &Grey) -> Self {
        let small = flat.shrunk(2);
        let grown = passed(&passed(&small, u8::max), u8::min);
        let paper = blurred(&grown);
        let picture = Grey::made(flat.width(), flat.height(), |x, y| {
            let light = u32::from(paper.at(x / 2, y / 2)[0].max(1));
            let seen = u32::from(flat.at(x, y)[0]).min(light);
            [u8::try_from(255 * (light - seen) / light).unwrap_or(u8::MAX)]
        });
        Self { picture, paper }
    }

    /// Ink at a place in millimetres, from 0 to 1.
    pub(super) fn at(&self, x: f32, y: f32) -> f32 {
        f32::from(self.picture.at(pixel(x), pixel(y))[0]) / 255.0
    }

    /// Brightness of bare paper at a place in millimetres, from 0 to 255.
    pub(super) fn paper(&self, x: f32, y: f32) -> f32 {
        f32::from(self.paper.at(pixel(x) / 2, pixel(y) / 2)[0])
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place on paper; what lies left or above of it is its edge"
)]
fn pixel(millimetres: f32) -> usize {
    (millimetres * 8.0) as usize
}

const _: () = assert!(SCALE == 8, "pixel() counts with it");

/// The largest (or smallest) value in a square around each pixel: along rows, then along columns.
fn passed(picture: &Grey, better: fn(u8, u8) -> u8) -> Grey {
    let along = |picture: &Grey| {
        let mut out = picture.clone();
        for y in 0..picture.height() {
            let line: Vec<u8> = picture.row(y).iter().map(|[grey]| *grey).collect();
            for (pixel, best) in out.row_mut(y).iter_mut().zip(best_of(&line, better)) {
                *pixel = [best];
            }
        }
        out
    };
    let turned =
        |picture: &Grey| Grey::made(picture.height(), picture.width(), |x, y| picture.at(y, x));
    turned(&along(&turned(&along(picture))))
}

/// The best value in a window around each place of a line. Blocks of one window are walked forward and
/// backward, so that the cost does not depend on the window.
fn best_of(line: &[u8], better: fn(u8, u8) -> u8) -> Vec<u8> {
    let half = WINDOW / 2;
    let window = 2 * half + 1;
    let (Some(first), Some(last)) = (line.first(), line.last()) else { return Vec::new() };
    let mut padded = vec![*first; half];
    padded.extend_from_slice(line);
    padded.extend(std::iter::repeat_n(*last, half));
    let mut forward = padded.clone();
    for at in 1..padded.len() {
        if !at.is_multiple_of(window) {
            forward[at] = better(forward[at - 1], padded[at]);
        }
    }
    let mut backward = padded;
    for at in (0..backward.len() - 1).rev() {
        if !(at + 1).is_multiple_of(window) {
            backward[at] = better(backward[at + 1], backward[at]);
        }
    }
    (0..line.len()).map(|at| better(backward[at], forward[at + window - 1])).collect()
}

/// The mean of a small square, against grain.
fn blurred(picture: &Grey) -> Grey {
    Grey::made(picture.width(), picture.height(), |x, y| {
        let (left, top) = (x.saturating_sub(1), y.saturating_sub(1));
        let nine = (0..9).map(|at| u32::from(picture.at(left + at % 3, top + at / 3)[0]));
        [u8::try_from(nine.sum::<u32>() / 9).unwrap_or(u8::MAX)]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shadow_is_no_ink_and_a_mark_in_it_is() {
        // 40 by 20 mm, the right half in shadow, with a mark of 3.5 mm in either half.
        let flat = Grey::made(320, 160, |x, y| {
            let light = if x < 160 { 220 } else { 110 };
            let mark = (70..98).contains(&y) && (x % 160).abs_diff(80) < 14;
            [if mark { light / 4 } else { light }]
        });
        let ink = Ink::of(&flat);
        for x in [10.0, 30.0] {
            assert!((ink.at(x, 10.5) - 0.75).abs() < 0.02, "{x}: {}", ink.at(x, 10.5));
            assert!(ink.at(x, 3.0) < 0.01);
        }
        assert!(ink.at(19.0, 3.0) < 0.02 && ink.at(21.0, 3.0) < 0.02);
        assert!(ink.paper(10.0, 10.5) > 200.0 && ink.paper(30.0, 10.5) < 120.0);
    }
}
