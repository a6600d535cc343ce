//! The view of a plane from another place: straight lines stay straight.

/// A place in a picture, in pixels to the right and down.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Point {
    /// A place.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// How far two places are apart.
    pub fn distance(self, other: Self) -> f64 {
        libm::hypot(self.x - other.x, self.y - other.y)
    }

    /// Twice the area of the triangle from here over two others; negative if it is walked
    /// anticlockwise as seen in the picture.
    pub fn cross(self, second: Self, third: Self) -> f64 {
        (second.x - self.x) * (third.y - self.y) - (second.y - self.y) * (third.x - self.x)
    }
}

/// Maps places of one view to those of another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homography([f64; 9]);

/// Below this a matrix counts as one without an inverse; coordinates are in pixels.
const FLAT: f64 = 1e-9;

impl Homography {
    /// The one that maps four places to four others, in the same order; `None` if three of them
    /// lie on one line.
    pub fn of_corners(from: [Point; 4], to: [Point; 4]) -> Option<Self> {
        let there = Self::of_unit_square(to)?;
        let back = Self::of_unit_square(from)?.inverse()?;
        Some(there.after(back))
    }

    /// The one that maps (0,0), (1,0), (1,1), (0,1) to four places.
    #[expect(clippy::many_single_char_names, reason = "the usual names of the elements")]
    fn of_unit_square(to: [Point; 4]) -> Option<Self> {
        let [a, b, c, d] = to;
        let no_line = |p: Point, q: Point, r: Point| p.cross(q, r).abs() > FLAT;
        if !(no_line(a, b, c) && no_line(b, c, d) && no_line(c, d, a) && no_line(d, a, b)) {
            return None;
        }
        let (dx1, dx2, dx3) = (b.x - c.x, d.x - c.x, a.x - b.x + c.x - d.x);
        let (dy1, dy2, dy3) = (b.y - c.y, d.y - c.y, a.y - b.y + c.y - d.y);
        let scale = dx1 * dy2 - dx2 * dy1;
        let g = (dx3 * dy2 - dx2 * dy3) / scale;
        let h = (dx1 * dy3 - dx3 * dy1) / scale;
        Some(Self([
            b.x - a.x + g * b.x,
            d.x - a.x + h * d.x,
            a.x,
            b.y - a.y + g * b.y,
            d.y - a.y + h * d.y,
            a.y,
            g,
            h,
            1.0,
        ]))
    }

    /// Where a place is seen. Behind the horizon it is no number.
    #[expect(clippy::many_single_char_names, reason = "the usual names of the elements")]
    pub fn map(&self, point: Point) -> Point {
        let [a, b, c, d, e, f, g, h, i] = self.0;
        let depth = g * point.x + h * point.y + i;
        Point {
            x: (a * point.x + b * point.y + c) / depth,
            y: (d * point.x + e * point.y + f) / depth,
        }
    }

    /// This view of another one.
    #[must_use]
    pub fn after(&self, first: Self) -> Self {
        let mut product = [0.0; 9];
        for (at, value) in product.iter_mut().enumerate() {
            let (row, column) = (at / 3, at % 3);
            *value = (0..3).map(|k| self.0[row * 3 + k] * first.0[k * 3 + column]).sum();
        }
        Self(product)
    }

    /// The way back; `None` if there is none.
    #[expect(clippy::many_single_char_names, reason = "the usual names of the elements")]
    pub fn inverse(&self) -> Option<Self> {
        let [a, b, c, d, e, f, g, h, i] = self.0;
        let determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
        let size = self.0.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        if determinant.is_nan() || determinant.abs() <= FLAT * FLAT * size {
            return None;
        }
        Some(Self([
            (e * i - f * h) / determinant,
            (c * h - b * i) / determinant,
            (b * f - c * e) / determinant,
            (f * g - d * i) / determinant,
            (a * i - c * g) / determinant,
            (c * d - a * f) / determinant,
            (d * h - e * g) / determinant,
            (b * g - a * h) / determinant,
            (a * e - b * d) / determinant,
        ]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TILTED: [Point; 4] = [
        Point::new(12.0, 7.0),
        Point::new(310.0, 31.0),
        Point::new(288.0, 402.0),
        Point::new(-4.0, 377.0),
    ];
    const UPRIGHT: [Point; 4] = [
        Point::new(0.0, 0.0),
        Point::new(210.0, 0.0),
        Point::new(210.0, 297.0),
        Point::new(0.0, 297.0),
    ];

    fn near(left: Point, right: Point) -> bool {
        left.distance(right) < 1e-9
    }

    #[test]
    fn corners_go_where_they_are_sent_and_back() {
        let there = Homography::of_corners(UPRIGHT, TILTED).unwrap();
        let back = there.inverse().unwrap();
        for (from, to) in UPRIGHT.into_iter().zip(TILTED) {
            assert!(near(there.map(from), to));
            assert!(near(back.map(to), from));
        }
    }

    #[test]
    fn what_lies_on_a_line_stays_on_it() {
        let there = Homography::of_corners(UPRIGHT, TILTED).unwrap();
        let [first, middle, last] =
            [10.0, 100.0, 190.0].map(|x| there.map(Point::new(x, 30.0 + x)));
        let off = first.cross(middle, last) / first.distance(last);
        assert!(off.abs() < 1e-9, "{off}");
        // And the middle of the plane is not the middle of the view.
        let between = Point::new(f64::midpoint(first.x, last.x), f64::midpoint(first.y, last.y));
        assert!(middle.distance(between) > 0.1);
    }

    #[test]
    fn three_corners_on_one_line_give_no_view() {
        let mut corners = TILTED;
        corners[1] = Point::new(4.0, 192.0);
        assert_eq!(Homography::of_corners(UPRIGHT, corners), None);
        assert_eq!(Homography::of_corners(corners, UPRIGHT), None);
    }
}
