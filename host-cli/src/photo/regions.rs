//! From a map of where text is likely to boxes around it.

use super::engine::TextBox;
use super::rows::median;
use crate::picture::Point;

/// From this likelihood on a pixel counts as text.
const LIKELY: f32 = 0.3;

/// A region whose mean likelihood is less is none.
const SURE_ENOUGH: f32 = 0.5;

/// The network marks the kernel of a line; a box is that much larger on each side: its area times
/// this, by its perimeter.
const GROWTH: f64 = 1.5;

/// Smaller kernels, in pixels of the map, are dirt.
const SMALLEST: f64 = 2.5;

/// Boxes around the connected regions of a map. A region that is too short to show the direction
/// of its writing is taken to run like the others.
pub(super) fn boxes(map: &[f32], width: usize, height: usize) -> Vec<TextBox> {
    let is_text: Vec<bool> = map.iter().map(|value| *value > LIKELY).collect();
    let mut regions = components(&is_text, width, height);
    regions.retain(|region| confidence(region, map) >= SURE_ENOUGH);
    let directions: Vec<Option<Point>> =
        regions.iter().map(|region| direction(region, map, width)).collect();
    let slope = |direction: &Point| direction.y / direction.x.max(0.1);
    let usual = median(directions.iter().flatten().map(slope).collect());
    let mut boxes = Vec::new();
    for (region, direction) in regions.iter().zip(directions) {
        let direction = direction.unwrap_or(Point::new(1.0, usual));
        if let Some(corners) = grown(region, width, direction) {
            boxes.push(TextBox { corners, confidence: confidence(region, map) });
        }
    }
    boxes
}

fn confidence(region: &[usize], map: &[f32]) -> f32 {
    region.iter().map(|at| map[*at]).sum::<f32>() / region.len() as f32
}

/// The direction of a long region: along it its pixels, weighed by their likelihood, are spread
/// most. This tells a slope far below a pixel; a rectangle around the region does not.
fn direction(region: &[usize], map: &[f32], width: usize) -> Option<Point> {
    let pixel = |at: &usize| ((at % width) as f64, (at / width) as f64, f64::from(map[*at]));
    let (mut all, mut x_sum, mut y_sum) = (0.0, 0.0, 0.0);
    for (x, y, weight) in region.iter().map(pixel) {
        all += weight;
        x_sum += x * weight;
        y_sum += y * weight;
    }
    let (x_mean, y_mean) = (x_sum / all, y_sum / all);
    let (mut across, mut both, mut down) = (0.0, 0.0, 0.0);
    for (x, y, weight) in region.iter().map(pixel) {
        let (x, y) = (x - x_mean, y - y_mean);
        across += weight * x * x;
        both += weight * x * y;
        down += weight * y * y;
    }
    let half = libm::hypot((across - down) / 2.0, both);
    let (most, least) = (f64::midpoint(across, down) + half, f64::midpoint(across, down) - half);
    // At least twice as long as high.
    if most < 4.0 * least || half <= 0.0 {
        return None;
    }
    let along = if across >= down { (most - down, both) } else { (both, most - across) };
    let length = libm::hypot(along.0, along.1);
    Some(Point::new(along.0 / length, along.1 / length))
}

/// The connected regions (over sides and corners) of the pixels that are set, as their positions.
pub(super) fn components(set: &[bool], width: usize, height: usize) -> Vec<Vec<usize>> {
    let mut seen = vec![false; set.len()];
    let mut regions = Vec::new();
    let mut open = Vec::new();
    for start in 0..set.len().min(width * height) {
        if !set[start] || seen[start] {
            continue;
        }
        let mut region = Vec::new();
        seen[start] = true;
        open.push(start);
        while let Some(at) = open.pop() {
            region.push(at);
            let (x, y) = (at % width, at / width);
            for row in y.saturating_sub(1)..=(y + 1).min(height - 1) {
                for column in x.saturating_sub(1)..=(x + 1).min(width - 1) {
                    let next = row * width + column;
                    if set[next] && !seen[next] {
                        seen[next] = true;
                        open.push(next);
                    }
                }
            }
        }
        regions.push(region);
    }
    regions
}

/// The rectangle around a region along a direction, grown from the kernel to the line.
fn grown(region: &[usize], width: usize, direction: Point) -> Option<[Point; 4]> {
    let mut low = Point::new(f64::MAX, f64::MAX);
    let mut high = Point::new(f64::MIN, f64::MIN);
    let length = libm::hypot(direction.x, direction.y);
    let (cos, sin) = (direction.x / length, direction.y / length);
    for at in region {
        let (x, y) = ((at % width) as f64, (at / width) as f64);
        for (x, y) in [(x, y), (x + 1.0, y), (x + 1.0, y + 1.0), (x, y + 1.0)] {
            let (along, across) = (x * cos + y * sin, y * cos - x * sin);
            low = Point::new(low.x.min(along), low.y.min(across));
            high = Point::new(high.x.max(along), high.y.max(across));
        }
    }
    let turned = |along: f64, across: f64| {
        Point::new(along * cos - across * sin, along * sin + across * cos)
    };
    let corners = along_the_writing([
        turned(low.x, low.y),
        turned(high.x, low.y),
        turned(high.x, high.y),
        turned(low.x, high.y),
    ]);
    let [a, b, _, d] = corners;
    let (long, high) = (a.distance(b), a.distance(d));
    if long.min(high) < SMALLEST {
        return None;
    }
    let by = long * high * GROWTH / (2.0 * (long + high));
    let (right, down) = (step(a, b), step(a, d));
    let signs = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let mut grown = corners;
    for (corner, (along, across)) in grown.iter_mut().zip(signs) {
        corner.x += by * (along * right.x + across * down.x);
        corner.y += by * (along * right.y + across * down.y);
    }
    Some(grown)
}

/// One pixel from one place towards another.
fn step(from: Point, to: Point) -> Point {
    let length = from.distance(to).max(f64::MIN_POSITIVE);
    Point::new((to.x - from.x) / length, (to.y - from.y) / length)
}

/// Corners from the top left on, the first side along the writing. A sheet stands upright, so
/// writing runs to the right within half of a quarter turn.
fn along_the_writing(corners: [Point; 4]) -> [Point; 4] {
    let first = (0..4).max_by(|left, right| {
        let to_the_right = |at: &usize| step(corners[*at], corners[(at + 1) % 4]).x;
        to_the_right(left).total_cmp(&to_the_right(right))
    });
    let first = first.unwrap_or(0);
    std::array::from_fn(|at| corners[(first + at) % 4])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_words_are_two_boxes_larger_than_their_kernels() {
        let (width, height) = (64, 32);
        let kernel = |x: usize, y: usize| {
            (10..13).contains(&y) && ((8..20).contains(&x) || (30..50).contains(&x))
        };
        let map: Vec<f32> = (0..width * height)
            .map(|at| if kernel(at % width, at / width) { 0.9 } else { 0.1 })
            .collect();
        let mut found = boxes(&map, width, height);
        found.sort_by(|left, right| left.corners[0].x.total_cmp(&right.corners[0].x));
        let [first, second] = found.as_slice() else { panic!("{found:?}") };
        assert!(first.corners[0].x < 8.0 && first.corners[0].y < 10.0, "{first:?}");
        assert!(first.corners[2].x > 20.0 && first.corners[2].y > 13.0, "{first:?}");
        assert!(second.corners[0].x > first.corners[1].x);
        assert!((first.confidence - 0.9).abs() < 1e-3);
    }

    #[test]
    fn a_slope_of_half_a_pixel_is_told() {
        let (width, height) = (160, 40);
        // Sixty long; its soft edges rise by half a pixel from its left to its right.
        let likely = |x: usize, y: usize| {
            let middle = 20.0 + (x as f32 - 50.0) / 60.0 * 0.5;
            let edge = 4.0 - (y as f32 + 0.5 - middle).abs();
            if (50..110).contains(&x) { edge.clamp(0.0, 1.0) * 0.95 } else { 0.0 }
        };
        let map: Vec<f32> = (0..width * height).map(|at| likely(at % width, at / width)).collect();
        let [found] = boxes(&map, width, height)[..] else { panic!("one box") };
        let [a, b, ..] = found.corners;
        let slope = (b.y - a.y) / (b.x - a.x);
        assert!((slope - 0.5 / 60.0).abs() < 0.002, "{slope}");
    }

    #[test]
    fn a_pale_region_and_a_speck_are_no_text() {
        let map: Vec<f32> = (0..32 * 32)
            .map(|at| match (at % 32, at / 32) {
                (4..=20, 4..=8) => 0.35,
                (25, 25) => 0.9,
                _ => 0.0,
            })
            .collect();
        assert_eq!(boxes(&map, 32, 32), []);
    }
}
