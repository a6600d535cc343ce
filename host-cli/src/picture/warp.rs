//! A picture seen from another place.

use super::{Homography, Pixels, Point, byte, number};

/// The picture of another view: each pixel of it is fetched from where the view maps it to, between
/// the nearest four pixels. Where one pixel covers several of the source, `samples` by `samples`
/// places of it are averaged, so that thin strokes are not lost. Outside of the source its nearest
/// pixel is taken.
#[must_use]
pub fn warp<const CHANNELS: usize>(
    source: &Pixels<CHANNELS>,
    to_source: &Homography,
    width: usize,
    height: usize,
    samples: usize,
) -> Pixels<CHANNELS> {
    let samples = u16::try_from(samples.clamp(1, 8)).unwrap_or(1);
    let step = 1.0 / f64::from(samples);
    let mut target = Pixels::filled(width, height, [0; CHANNELS]);
    for y in 0..height {
        let row = number(y);
        for (x, pixel) in target.row_mut(y).iter_mut().enumerate() {
            let column = number(x);
            let mut sums = [0.0; CHANNELS];
            for down in 0..samples {
                for right in 0..samples {
                    let place = Point::new(
                        column + (f64::from(right) + 0.5) * step,
                        row + (f64::from(down) + 0.5) * step,
                    );
                    let found = between(source, to_source.map(place));
                    for (sum, value) in sums.iter_mut().zip(found) {
                        *sum += value;
                    }
                }
            }
            let scale = 1.0 / f32::from(samples * samples);
            *pixel = sums.map(|sum| byte(f64::from(sum * scale)));
        }
    }
    target
}

/// The sheet with these corners (top left, top right, bottom right, bottom left, as the sheet is
/// read), made flat and upright; `None` if three corners lie on one line.
#[must_use]
pub fn flatten<const CHANNELS: usize>(
    source: &Pixels<CHANNELS>,
    corners: [Point; 4],
    width: usize,
    height: usize,
) -> Option<(Pixels<CHANNELS>, Homography)> {
    let (right, bottom) = (number(width), number(height));
    let flat = [
        Point::new(0.0, 0.0),
        Point::new(right, 0.0),
        Point::new(right, bottom),
        Point::new(0.0, bottom),
    ];
    let to_source = Homography::of_corners(flat, corners)?;
    let [top_left, top_right, _, bottom_left] = corners;
    let across = top_left.distance(top_right) / right.max(1.0);
    let down = top_left.distance(bottom_left) / bottom.max(1.0);
    let samples = if across.max(down) > 1.5 { 2 } else { 1 };
    Some((warp(source, &to_source, width, height, samples), to_source))
}

/// The value at a place between pixels, whose middles lie at half coordinates.
fn between<const CHANNELS: usize>(source: &Pixels<CHANNELS>, place: Point) -> [f32; CHANNELS] {
    let (x, right) = split(place.x - 0.5, source.width());
    let (y, down) = split(place.y - 0.5, source.height());
    let [upper, lower] =
        [source.row(y), source.row((y + 1).min(source.height().saturating_sub(1)))];
    let next = (x + 1).min(source.width().saturating_sub(1));
    let (Some(nw), Some(ne), Some(sw), Some(se)) =
        (upper.get(x), upper.get(next), lower.get(x), lower.get(next))
    else {
        return [0.0; CHANNELS];
    };
    std::array::from_fn(|channel| {
        let [nw, ne, sw, se] = [nw, ne, sw, se].map(|pixel| f32::from(pixel[channel]));
        let top = nw + (ne - nw) * right;
        let bottom = sw + (se - sw) * right;
        top + (bottom - top) * down
    })
}

/// The pixel before a place, and how far behind its middle the place lies; within the picture.
fn split(place: f64, length: usize) -> (usize, f32) {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held within the picture, where no number is the first pixel"
    )]
    {
        let place = place.clamp(0.0, number(length.saturating_sub(1)));
        let before = place as usize;
        (before, (place - number(before)) as f32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::picture::Grey;

    #[test]
    fn the_same_view_is_the_same_picture() {
        let source = Grey::made(7, 5, |x, y| [u8::try_from(x * 30 + y).unwrap()]);
        let corners = [(0.0, 0.0), (7.0, 0.0), (7.0, 5.0), (0.0, 5.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        let (flat, _) = flatten(&source, corners, 7, 5).unwrap();
        assert_eq!(flat, source);
    }

    #[test]
    fn a_tilted_sheet_is_made_flat() {
        // A sheet of four quarters, dark and light, seen from the side.
        let size = 40.0;
        let flat = [(0.0, 0.0), (size, 0.0), (size, size), (0.0, size)];
        let flat = flat.map(|(x, y)| Point::new(x, y));
        let seen = [(20.0, 10.0), (90.0, 24.0), (80.0, 88.0), (8.0, 70.0)];
        let seen = seen.map(|(x, y)| Point::new(x, y));
        let to_sheet = Homography::of_corners(seen, flat).unwrap();
        let photo = Grey::made(100, 100, |x, y| {
            let place = to_sheet.map(Point::new(number(x) + 0.5, number(y) + 0.5));
            [if (place.x < 20.0) == (place.y < 20.0) { 30 } else { 220 }]
        });
        let (sheet, to_photo) = flatten(&photo, seen, 40, 40).unwrap();
        for (x, y, value) in [(5, 5, 30), (34, 5, 220), (5, 34, 220), (34, 34, 30), (16, 16, 30)] {
            assert_eq!(sheet.at(x, y), [value], "at {x}, {y}");
        }
        assert!(to_photo.map(Point::new(0.0, 0.0)).distance(seen[0]) < 1e-9);
    }

    #[test]
    fn thin_strokes_survive_where_pixels_are_averaged() {
        let source = Grey::made(400, 4, |x, _| [if x % 4 == 0 { 0 } else { 200 }]);
        let corners = [(0.0, 0.0), (400.0, 0.0), (400.0, 4.0), (0.0, 4.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        let to_source = Homography::of_corners(
            [(0.0, 0.0), (100.0, 0.0), (100.0, 1.0), (0.0, 1.0)].map(|(x, y)| Point::new(x, y)),
            corners,
        )
        .unwrap();
        let small = warp(&source, &to_source, 100, 1, 4);
        assert!(
            small.values().iter().all(|[grey]| (145..=155).contains(grey)),
            "{:?}",
            small.bytes()
        );
    }
}
