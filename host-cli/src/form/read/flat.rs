//! The sheet made flat: from millimetres on paper to pixels of the picture, also where the paper is
//! curled or the lens bends straight lines.

use super::order::ranked;
use crate::form::layout::{Frame, TICK};
use crate::picture::{Grey, Homography, Point, byte, number};

/// Pixels a millimetre of the flat sheet.
pub(super) const SCALE: usize = 8;
/// How far a tick is looked for, in millimetres.
const REACH: f64 = 2.6;
/// Steps of the search, in millimetres.
const STEP: f64 = 0.2;
/// A tick is found where it is so much darker than its surroundings.
const CONTRAST: f64 = 0.3;

/// A place on the paper in millimetres.
pub(super) fn paper(x: f32, y: f32) -> Point {
    Point::new(f64::from(x), f64::from(y))
}

/// Where the paper lies in the picture.
#[derive(Clone, Debug)]
pub(super) struct View {
    frame: Frame,
    plane: Homography,
    /// How far the paper lies off the plane at its edges, in pixels: left, right, upper, lower.
    edges: [Vec<Off>; 4],
    /// Share of the ticks that were found.
    pub(super) ticks: f64,
}

/// How far something lies from where it was expected.
#[derive(Clone, Copy, Debug)]
struct Off {
    /// Where along the edge, in millimetres.
    at: f64,
    x: f64,
    y: f64,
}

impl View {
    /// The paper as a plane with its corner marks at these places, clockwise from the upper left one.
    pub(super) fn plane(frame: Frame, corners: [Point; 4]) -> Option<Self> {
        let plane = Homography::of_corners(frame.corners().map(|(x, y)| paper(x, y)), corners)?;
        Some(Self { frame, plane, edges: [const { Vec::new() }; 4], ticks: 0.0 })
    }

    /// Where a place on the paper is in the picture.
    pub(super) fn map(&self, place: Point) -> Point {
        let flat = self.plane.map(place);
        let [left, right, upper, lower] = &self.edges;
        let [first, _, last, _] = self.frame.corners();
        let (u, v) = (
            (place.x - f64::from(first.0)) / f64::from(last.0 - first.0),
            (place.y - f64::from(first.1)) / f64::from(last.1 - first.1),
        );
        let mut moved = flat;
        for (edge, along, weight) in [
            (left, place.y, 1.0 - u),
            (right, place.y, u),
            (upper, place.x, 1.0 - v),
            (lower, place.x, v),
        ] {
            let (x, y) = between(edge, along);
            moved.x += weight * x;
            moved.y += weight * y;
        }
        moved
    }

    /// Pixels of the picture for a millimetre of paper, where there are fewest.
    pub(super) fn finest(&self) -> f64 {
        let corners = self.frame.corners().map(|(x, y)| paper(x, y));
        let stretch = |at: &Point, x: f64, y: f64| {
            self.plane.map(*at).distance(self.plane.map(Point::new(at.x + x, at.y + y)))
        };
        corners
            .iter()
            .flat_map(|at| [stretch(at, 1.0, 0.0), stretch(at, 0.0, 1.0)])
            .fold(f64::INFINITY, f64::min)
    }

    /// Looks for the ticks at the edges and follows them.
    pub(super) fn follow(&mut self, picture: &Grey) {
        let [left, right] = self.frame.side_ticks();
        let [upper, lower] = self.frame.level_ticks();
        let [first, _, last, _] = self.frame.corners();
        let (mut found, mut all) = (0.0, 0.0);
        for (edge, ticks) in [left, right, upper, lower].into_iter().enumerate() {
            let along = |place: (f32, f32)| f64::from(if edge < 2 { place.1 } else { place.0 });
            let mut offs = vec![Off { at: along(first), x: 0.0, y: 0.0 }];
            // A curled edge leads away step by step: each tick is looked for where the last one led.
            let mut led = (0.0, 0.0);
            for tick in ticks {
                all += 1.0;
                if let Some((x, y)) = self.tick(picture, tick, led) {
                    found += 1.0;
                    led = (x, y);
                    let expected = self.plane.map(paper(tick.0, tick.1));
                    let seen =
                        self.plane.map(Point::new(f64::from(tick.0) + x, f64::from(tick.1) + y));
                    offs.push(Off {
                        at: along(tick),
                        x: seen.x - expected.x,
                        y: seen.y - expected.y,
                    });
                }
            }
            offs.push(Off { at: along(last), x: 0.0, y: 0.0 });
            self.edges[edge] = offs;
        }
        self.ticks = found / all;
    }

    /// How far a tick lies off its place, in millimetres of the plane.
    fn tick(&self, picture: &Grey, (x, y): (f32, f32), led: (f64, f64)) -> Option<(f64, f64)> {
        let (wide, high) = (f64::from(TICK.0), f64::from(TICK.1));
        let reach = (wide.max(high) / 2.0 + REACH + 1.0) / STEP;
        let half = whole(reach);
        let side = 2 * half + 1;
        let (middle_x, middle_y) = (f64::from(x) + led.0, f64::from(y) + led.1);
        let offset = |at: i32| f64::from(at - half) * STEP;
        let mut patch = Patch::new(side);
        for row in 0..side {
            for column in 0..side {
                let place = Point::new(middle_x + offset(column), middle_y + offset(row));
                patch.push(sample(picture, self.plane.map(place)));
            }
        }
        let light = patch.light();
        let (half_wide, half_high) = (whole(wide / 2.0 / STEP), whole(high / 2.0 / STEP));
        let around = whole(0.8 / STEP);
        let mut best = (0.0, 0, 0);
        let room = half - half_wide.max(half_high) - around;
        for down in -room..=room {
            for right in -room..=room {
                let at = (half + right, half + down);
                let inside = patch.mean(at, half_wide, half_high);
                let outside = patch.mean(at, half_wide + around, half_high + around);
                let (own, all) =
                    (area(half_wide, half_high), area(half_wide + around, half_high + around));
                let ring = (outside * all - inside * own) / (all - own);
                let contrast = (ring - inside) / light;
                // Of places that are alike the nearest.
                let far = f64::from(right.abs().max(down.abs())) * 0.002;
                if contrast - far > best.0 {
                    best = (contrast - far, right, down);
                }
            }
        }
        let (contrast, right, down) = best;
        (contrast > CONTRAST)
            .then(|| (led.0 + f64::from(right) * STEP, led.1 + f64::from(down) * STEP))
    }

    /// The sheet as it would look from straight above, at [`SCALE`] pixels a millimetre.
    pub(super) fn flattened(&self, picture: &Grey) -> Grey {
        let size =
            |millimetres: f32| usize::try_from(whole(f64::from(millimetres))).unwrap_or(0) * SCALE;
        let (width, height) = (size(self.frame.width), size(self.frame.height));
        let scale = f64::from(u32::try_from(SCALE).unwrap_or(1));
        // The view is followed exactly at every eighth pixel and straight in between.
        let blocks = |length: usize| length.div_ceil(SCALE) + 1;
        let (columns, rows) = (blocks(width), blocks(height));
        let knot = |x: usize, y: usize| {
            self.map(Point::new(number(x * SCALE) / scale, number(y * SCALE) / scale))
        };
        let knots: Vec<Point> = (0..rows)
            .flat_map(|y| (0..columns).map(move |x| (x, y)))
            .map(|(x, y)| knot(x, y))
            .collect();
        let samples = if self.finest() > 1.4 * scale { 2 } else { 1 };
        let step = 1.0 / scale;
        Grey::made(width, height, |x, y| {
            let (block, line) = (x / SCALE, y / SCALE);
            let at = line * columns + block;
            let corners = [at, at + 1, at + columns, at + columns + 1]
                .map(|at| knots.get(at).copied().unwrap_or_default());
            let mut sum = 0.0;
            for sub in 0..samples * samples {
                let inner = |position: usize, part: usize| {
                    (number(position % SCALE) + (number(part) + 0.5) / number(samples)) * step
                };
                let (right, down) = (inner(x, sub % samples), inner(y, sub / samples));
                sum += sample(picture, inside(corners, right, down));
            }
            [byte(sum / number(samples * samples))]
        })
    }
}

/// A place among four corners (upper left, upper right, lower left, lower right), as parts of the way.
fn inside(corners: [Point; 4], right: f64, down: f64) -> Point {
    let mix = |of: [f64; 4]| {
        let (top, bottom) = (of[0] + (of[1] - of[0]) * right, of[2] + (of[3] - of[2]) * right);
        top + (bottom - top) * down
    };
    Point::new(mix(corners.map(|corner| corner.x)), mix(corners.map(|corner| corner.y)))
}

/// The grey of the picture at a place between pixels.
pub(super) fn sample(picture: &Grey, place: Point) -> f64 {
    let (x, y) = (place.x - 0.5, place.y - 0.5);
    let (left, top) = (index(x), index(y));
    let (right, down) = ((x - number(left)).clamp(0.0, 1.0), (y - number(top)).clamp(0.0, 1.0));
    let at = |x: usize, y: usize| f64::from(picture.at(x, y)[0]);
    let upper = at(left, top) + (at(left + 1, top) - at(left, top)) * right;
    let lower = at(left, top + 1) + (at(left + 1, top + 1) - at(left, top + 1)) * right;
    upper + (lower - upper) * down
}

/// The deviation along an edge, straight between the places where it is known.
fn between(edge: &[Off], at: f64) -> (f64, f64) {
    let Some(next) = edge.iter().position(|off| off.at >= at) else {
        return edge.last().map_or((0.0, 0.0), |off| (off.x, off.y));
    };
    let Some((before, after)) =
        next.checked_sub(1).and_then(|one| edge.get(one)).zip(edge.get(next))
    else {
        return edge.first().map_or((0.0, 0.0), |off| (off.x, off.y));
    };
    let part = (at - before.at) / (after.at - before.at).max(1e-6);
    (before.x + (after.x - before.x) * part, before.y + (after.y - before.y) * part)
}

/// A small square of brightness with its running sums.
struct Patch {
    side: i32,
    sums: Vec<f64>,
    values: Vec<f32>,
}

impl Patch {
    fn new(side: i32) -> Self {
        let stride = usize::try_from(side + 1).unwrap_or(1);
        Self { side, sums: vec![0.0; stride], values: Vec::new() }
    }

    fn push(&mut self, value: f64) {
        let stride = usize::try_from(self.side + 1).unwrap_or(1);
        if self.sums.len().is_multiple_of(stride) {
            self.sums.push(0.0);
        }
        let at = self.sums.len();
        self.sums
            .push(self.sums[at - 1] + self.sums[at - stride] - self.sums[at - stride - 1] + value);
        self.values.push(narrow(value));
    }

    /// The brightness of paper: nine tenths are darker.
    fn light(&self) -> f64 {
        f64::from(ranked(&mut self.values.clone(), 90)).max(1.0)
    }

    fn mean(&self, (x, y): (i32, i32), half_wide: i32, half_high: i32) -> f64 {
        let at = |x: i32, y: i32| {
            let place = y * (self.side + 1) + x;
            usize::try_from(place)
                .ok()
                .and_then(|place| self.sums.get(place))
                .copied()
                .unwrap_or(0.0)
        };
        let (left, right) = (x - half_wide, x + half_wide + 1);
        let (top, bottom) = (y - half_high, y + half_high + 1);
        (at(right, bottom) + at(left, top) - at(right, top) - at(left, bottom))
            / area(half_wide, half_high)
    }
}

fn area(half_wide: i32, half_high: i32) -> f64 {
    f64::from((2 * half_wide + 1) * (2 * half_high + 1))
}

#[allow(clippy::cast_possible_truncation, reason = "a small number of millimetres or steps")]
fn whole(value: f64) -> i32 {
    libm::round(value) as i32
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float is cut to the range: below zero, and no number, is the first pixel"
)]
fn index(value: f64) -> usize {
    value as usize
}

/// Millimetres as pixels of the flat sheet.
pub(super) fn pixels(millimetres: f32) -> usize {
    index(f64::from(millimetres) * number(SCALE))
}

/// A brightness with fewer digits.
#[allow(clippy::cast_possible_truncation, reason = "a brightness from 0 to 255")]
pub(super) fn narrow(value: f64) -> f32 {
    value as f32
}
