//! Outlines of regions: the hull, and the four corners of a sheet.

use crate::picture::Point;

/// The convex hull, clockwise as seen in the picture.
pub(super) fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|left, right| left.x.total_cmp(&right.x).then(left.y.total_cmp(&right.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut hull: Vec<Point> = Vec::new();
    for half in 0..2 {
        let start = hull.len();
        let walk: Box<dyn Iterator<Item = &Point>> =
            if half == 0 { Box::new(points.iter()) } else { Box::new(points.iter().rev()) };
        for point in walk {
            while hull.len() >= start + 2
                && hull[hull.len() - 2].cross(hull[hull.len() - 1], *point) <= 0.0
            {
                hull.pop();
            }
            hull.push(*point);
        }
        hull.pop();
    }
    hull
}

/// The area that a closed line of points encloses.
pub(super) fn area(outline: &[Point]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    let twice: f64 = outline.iter().zip(next).map(|(a, b)| a.x * b.y - a.y * b.x).sum();
    twice.abs() / 2.0
}

/// A convex outline with only four sides left: again and again the side goes whose loss, with its
/// two neighbours made longer until they meet, adds the least area.
pub(super) fn four_corners(hull: &[Point]) -> Option<[Point; 4]> {
    let mut outline = hull.to_vec();
    while outline.len() > 4 {
        let count = outline.len();
        let least = (0..count)
            .filter_map(|at| {
                let [before, from, to, after] =
                    [count - 1, 0, 1, 2].map(|step| outline[(at + step) % count]);
                let meet = crossing(before, from, after, to)?;
                Some((area(&[from, meet, to]), at, meet))
            })
            .min_by(|left, right| left.0.total_cmp(&right.0));
        let (_, at, meet) = least?;
        outline[at] = meet;
        outline.remove((at + 1) % count);
    }
    outline.try_into().ok()
}

/// Where two lines meet beyond their second points.
fn crossing(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let (first, second) = (Point::new(b.x - a.x, b.y - a.y), Point::new(d.x - c.x, d.y - c.y));
    let turn = first.x * second.y - first.y * second.x;
    if turn.abs() < 1e-9 {
        return None;
    }
    let along = ((c.x - a.x) * second.y - (c.y - a.y) * second.x) / turn;
    let other = ((c.x - a.x) * first.y - (c.y - a.y) * first.x) / turn;
    (along >= 1.0 && other >= 1.0).then(|| Point::new(a.x + along * first.x, a.y + along * first.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(of: &[(f64, f64)]) -> Vec<Point> {
        of.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    #[test]
    fn the_hull_leaves_out_what_lies_inside() {
        let found =
            hull(points(&[(0.0, 0.0), (4.0, 0.0), (2.0, 1.0), (4.0, 3.0), (0.0, 3.0), (2.0, 0.0)]));
        assert_eq!(found.len(), 4);
        assert!((area(&found) - 12.0).abs() < 1e-9);
    }

    #[test]
    fn a_sheet_with_a_folded_corner_has_four_corners_still() {
        let sheet = points(&[(0.0, 0.0), (90.0, 0.0), (100.0, 10.0), (100.0, 140.0), (0.0, 140.0)]);
        let found = four_corners(&hull(sheet)).unwrap();
        assert!(found.iter().any(|corner| corner.distance(Point::new(100.0, 0.0)) < 1e-9));
        assert!((area(&found) - 14_000.0).abs() < 1e-6);
    }
}
