//! Boxes of text as lines from top to bottom, each from left to right.
//!
//! A flattened sheet is still bent: its lines rise, fall and curve, neighbours alike. So the slope is
//! taken as a smooth function of the place, fitted to all of the writing, and boxes are compared by
//! the height that they would have on an even sheet.

use super::engine::TextBox;
use crate::picture::Point;
use nalgebra::{DMatrix, DVector};

/// Boxes of one line lie within this part of a letter's height, one to the next.
const SAME_LINE: f64 = 0.42;

/// One line of boxes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    /// Positions of its boxes, from left to right.
    pub(super) boxes: Vec<usize>,
    /// How far a box may lie off the line, as a part of the distance to the nearest other line: by
    /// the box that fits least, and by slopes of the writing that differ from that of the lines.
    pub(super) off: f64,
}

/// A box as far as lines are concerned.
#[derive(Clone, Copy, Debug)]
struct Mark {
    left: Point,
    right: Point,
    middle: Point,
    high: f64,
    /// Its height on an even sheet.
    even: f64,
}

impl Mark {
    fn of(text: &TextBox) -> Self {
        let [a, b, c, d] = text.corners;
        let mean =
            |p: Point, q: Point| Point::new(f64::midpoint(p.x, q.x), f64::midpoint(p.y, q.y));
        let (left, right) = (mean(a, d), mean(b, c));
        let middle = mean(left, right);
        Self { left, right, middle, high: a.distance(d), even: middle.y }
    }

    fn width(&self) -> f64 {
        self.right.x - self.left.x
    }
}

/// The lines of text, from top to bottom.
pub(super) fn lines(boxes: &[TextBox]) -> Vec<Line> {
    let mut marks: Vec<Mark> = boxes.iter().map(Mark::of).collect();
    if marks.is_empty() {
        return Vec::new();
    }
    let high = median(marks.iter().map(|mark| mark.high).collect());
    let frame = Frame::of(&marks);
    let slopes = Slopes::of(&marks, &frame);
    let drift = slopes.as_ref().map_or(0.0, |slopes| slopes.drift(&marks, &frame));
    for mark in &mut marks {
        let (x, y) = frame.place(mark.middle);
        let height = slopes.as_ref().map_or(y, |slopes| slopes.height_at_middle(x, y));
        mark.even = height * frame.size;
    }
    let mut groups = group(&marks, SAME_LINE * high);
    for _ in 0..3 {
        straighten_by_lines(&mut marks, &groups, &frame);
        groups = group(&marks, SAME_LINE * high);
    }
    let heights: Vec<f64> = groups.iter().map(|group| mean_of(group, &marks)).collect();
    let lines = groups.into_iter().enumerate().map(|(at, mut boxes)| {
        boxes.sort_by(|left, right| marks[*left].middle.x.total_cmp(&marks[*right].middle.x));
        let own = heights[at];
        let near = |other: Option<&f64>| other.map_or(f64::MAX, |other| (other - own).abs());
        let before = at.checked_sub(1).and_then(|before| heights.get(before));
        let pitch = near(before).min(near(heights.get(at + 1)));
        let furthest = boxes.iter().map(|one| (marks[*one].even - own).abs()).fold(0.0, f64::max);
        Line { boxes, off: furthest.max(drift) / pitch }
    });
    lines.collect()
}

/// The middle and the size of what is written, so that coordinates are about one.
struct Frame {
    x: f64,
    y: f64,
    size: f64,
}

impl Frame {
    fn of(marks: &[Mark]) -> Self {
        let range = |of: &dyn Fn(&Mark) -> f64| {
            let low = marks.iter().map(of).fold(f64::MAX, f64::min);
            let high = marks.iter().map(of).fold(f64::MIN, f64::max);
            (low, high)
        };
        let ((left, right), (top, bottom)) =
            (range(&|mark| mark.middle.x), range(&|mark| mark.middle.y));
        let size = ((right - left).max(bottom - top) / 2.0).max(1.0);
        Self { x: f64::midpoint(left, right), y: f64::midpoint(top, bottom), size }
    }

    fn place(&self, at: Point) -> (f64, f64) {
        ((at.x - self.x) / self.size, (at.y - self.y) / self.size)
    }
}

/// The slope of writing as a smooth function of the place.
struct Slopes {
    terms: [f64; 6],
}

fn slope_terms(x: f64, y: f64) -> [f64; 6] {
    [1.0, x, y, x * x, x * y, y * y]
}

impl Slopes {
    /// From the slopes of the boxes themselves: a long one tells it well, one of two letters does
    /// not.
    fn of(marks: &[Mark], frame: &Frame) -> Option<Self> {
        let told = told_slopes(marks, frame);
        let rows = told.iter().map(|(x, y, slope, weight)| (slope_terms(*x, *y), *slope, *weight));
        // Bends are held small unless much writing tells of them.
        if let Some(terms) = fit(&rows.collect::<Vec<_>>(), [1e-6, 0.01, 0.01, 0.03, 0.03, 0.03]) {
            return Some(Self { terms });
        }
        let simple = told.iter().map(|(x, y, slope, weight)| ([1.0, *x, *y], *slope, *weight));
        let [level, by_x, by_y] = fit(&simple.collect::<Vec<_>>(), [1e-6, 0.01, 0.01])?;
        Some(Self { terms: [level, by_x, by_y, 0.0, 0.0, 0.0] })
    }

    fn at(&self, x: f64, y: f64) -> f64 {
        slope_terms(x, y).iter().zip(self.terms).map(|(term, weight)| term * weight).sum()
    }

    /// Where a line of writing through a place passes the middle of the frame: the slope is
    /// followed in small steps, each by the slope at its middle.
    fn height_at_middle(&self, x: f64, y: f64) -> f64 {
        const STEPS: u8 = 16;
        let step = -x / f64::from(STEPS);
        let (mut x, mut y) = (x, y);
        for _ in 0..STEPS {
            let half = y + self.at(x, y) * step / 2.0;
            y += self.at(x + step / 2.0, half) * step;
            x += step;
        }
        y
    }

    /// By how much, across the whole frame, writing rises or falls otherwise than this says, at the
    /// most: slips in one direction add up, those that differ from box to box do not.
    fn drift(&self, marks: &[Mark], frame: &Frame) -> f64 {
        let told = told_slopes(marks, frame);
        let band = |upper: bool| {
            let (mut drift, mut doubt) = (0.0, 0.0);
            for part in -1..=1 {
                let here: Vec<(f64, f64)> = told
                    .iter()
                    .filter(|(x, y, ..)| {
                        (x * 1.5).round().clamp(-1.0, 1.0) as i32 == part && (*y < 0.0) == upper
                    })
                    .map(|(x, y, slope, weight)| (slope - self.at(*x, *y), *weight))
                    .collect();
                if here.len() < 4 {
                    continue;
                }
                let all: f64 = here.iter().map(|(_, weight)| weight).sum();
                let mean = here.iter().map(|(off, weight)| off * weight).sum::<f64>() / all;
                let spread: f64 =
                    here.iter().map(|(off, weight)| (weight / all * (off - mean)).powi(2)).sum();
                // A third of the frame, which is two wide.
                drift += mean * 2.0 / 3.0;
                doubt += spread * 4.0 / 9.0;
            }
            // What chance explains is no drift.
            (drift.abs() - 2.0 * doubt.sqrt()).max(0.0)
        };
        band(true).max(band(false)) * frame.size
    }
}

/// Place, slope and weight of every box that is long enough to tell a slope.
fn told_slopes(marks: &[Mark], frame: &Frame) -> Vec<(f64, f64, f64, f64)> {
    let long = marks.iter().filter(|mark| mark.width() > 2.0 * mark.high);
    long.map(|mark| {
        let (x, y) = frame.place(mark.middle);
        let length = mark.width() / mark.high;
        (x, y, (mark.right.y - mark.left.y) / mark.width(), length * length)
    })
    .collect()
}

/// Takes out of the heights what all lines have in common: a bend along them.
fn straighten_by_lines(marks: &mut [Mark], groups: &[Vec<usize>], frame: &Frame) {
    let terms = |x: f64, y: f64| [x, x * y, x * x, x * x * y, x * x * x, x * y * y];
    let mut rows = Vec::new();
    for group in groups.iter().filter(|group| group.len() >= 3) {
        let places: Vec<_> = group.iter().map(|at| frame.place(marks[*at].middle)).collect();
        let count = group.len() as f64;
        let mut mean = [0.0; 6];
        for (x, y) in &places {
            for (sum, term) in mean.iter_mut().zip(terms(*x, *y)) {
                *sum += term / count;
            }
        }
        let height = mean_of(group, marks);
        for (at, (x, y)) in group.iter().zip(&places) {
            let mut own = terms(*x, *y);
            own.iter_mut().zip(mean).for_each(|(term, mean)| *term -= mean);
            rows.push((own, (marks[*at].even - height) / frame.size, 1.0));
        }
    }
    let Some(bend) = fit(&rows, [1e-6; 6]) else { return };
    for mark in marks {
        let (x, y) = frame.place(mark.middle);
        let rise: f64 = terms(x, y).iter().zip(bend).map(|(term, weight)| term * weight).sum();
        mark.even -= rise * frame.size;
    }
}

/// Least squares with weights, outliers weighed less the second time; `None` if there is too little
/// to fit to. Each term is held back by a part of the weight of all rows.
fn fit<const N: usize>(rows: &[([f64; N], f64, f64)], held: [f64; N]) -> Option<[f64; N]> {
    if rows.len() < 2 * N {
        return None;
    }
    let mut weights: Vec<f64> = rows.iter().map(|row| row.2).collect();
    let mut solution = [0.0; N];
    for _ in 0..3 {
        let all: f64 = weights.iter().sum();
        let mut matrix = DMatrix::<f64>::zeros(N, N);
        for (at, part) in held.iter().enumerate() {
            matrix[(at, at)] = part * all.max(1e-6);
        }
        let mut right = DVector::<f64>::zeros(N);
        for ((terms, value, _), weight) in rows.iter().zip(&weights) {
            for i in 0..N {
                right[i] += weight * terms[i] * value;
                for j in 0..N {
                    matrix[(i, j)] += weight * terms[i] * terms[j];
                }
            }
        }
        let found = matrix.cholesky()?.solve(&right);
        solution.iter_mut().zip(found.iter()).for_each(|(own, found)| *own = *found);
        let error = |(terms, value, _): &([f64; N], f64, f64)| {
            let told: f64 = terms.iter().zip(&solution).map(|(term, weight)| term * weight).sum();
            (told - value).abs()
        };
        let usual = median(rows.iter().map(error).collect()).max(1e-9);
        for (weight, row) in weights.iter_mut().zip(rows) {
            let times = error(row) / usual;
            *weight = row.2 / (1.0 + (times / 3.0) * (times / 3.0));
        }
    }
    Some(solution)
}

/// Groups of heights with no gap within them; the gap is measured to the mean, so that a chain of
/// small steps does not join two lines.
fn group(marks: &[Mark], gap: f64) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..marks.len()).collect();
    order.sort_by(|left, right| marks[*left].even.total_cmp(&marks[*right].even));
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for at in order {
        match groups.last_mut() {
            Some(group) if marks[at].even - mean_of(group, marks) <= gap => group.push(at),
            _ => groups.push(vec![at]),
        }
    }
    groups
}

fn mean_of(group: &[usize], marks: &[Mark]) -> f64 {
    group.iter().map(|at| marks[*at].even).sum::<f64>() / group.len().max(1) as f64
}

/// The middle value; 0 of none.
pub(super) fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines of boxes, five across, whose heights are bent by a function.
    fn bent(lines: usize, bend: impl Fn(f64, f64) -> f64) -> Vec<TextBox> {
        let mut boxes = Vec::new();
        for line in 0..lines {
            for column in 0..5 {
                let (x, y) = (f64::from(column) * 300.0, line as f64 * 50.0);
                let wide = if column == 1 { 30.0 } else { 180.0 };
                let at = |x: f64, down: f64| Point::new(x, y + down + bend(x, y));
                let corners = [at(x, 0.0), at(x + wide, 0.0), at(x + wide, 28.0), at(x, 28.0)];
                boxes.push(TextBox { corners, confidence: 0.9 });
            }
        }
        boxes
    }

    fn assert_lines(boxes: &[TextBox], count: usize) {
        let found = lines(boxes);
        assert_eq!(found.len(), count, "{found:?}");
        for (at, line) in found.iter().enumerate() {
            let expected: Vec<usize> = (at * 5..at * 5 + 5).collect();
            assert_eq!(line.boxes, expected);
            assert!(line.off < 0.33, "{}", line.off);
        }
    }

    #[test]
    fn lines_that_rise_by_more_than_their_distance_stay_apart() {
        assert_lines(&bent(12, |x, _| -0.09 * x), 12);
    }

    #[test]
    fn lines_on_a_bent_sheet_stay_apart() {
        assert_lines(&bent(12, |x, y| 60.0 * ((x - 500.0) / 700.0).powi(2) + 0.0001 * x * y), 12);
    }

    #[test]
    fn lines_seen_from_the_side_stay_apart() {
        // They run together to the right, and rise by many times their distance.
        let seen = |x: f64, y: f64| (y + 0.4 * x) / (1.0 + 0.0004 * x) - y;
        assert_lines(&bent(14, seen), 14);
    }

    #[test]
    fn one_short_line_is_a_line() {
        assert_lines(&bent(1, |_, _| 0.0), 1);
        assert_eq!(lines(&[]), []);
    }
}
