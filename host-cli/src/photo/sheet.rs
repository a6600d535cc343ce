//! Where the sheet lies in a photograph, and the sheet made flat.

use super::engine::STRIP_HEIGHT;
use super::outline::{area, four_corners, hull};
use super::regions::components;
use crate::picture::{Colour, Grey, Homography, Point, warp};

/// The outline is sought in a picture of this size: edges of a sheet are long.
const SEARCH_SIDE: usize = 480;

/// How long the longer side of a flat sheet counts, whatever the photograph's size.
const FLAT_SIDE: f64 = 2400.0;

/// Brightness levels that are tried as the border between sheet and table. A shadow makes every
/// single one wrong somewhere.
const LEVELS: usize = 28;

/// A sheet that is smaller than this part of the photograph is not what it was taken for.
const SMALLEST_PART: f64 = 0.12;

/// Least part of the four-cornered outline that the bright region fills.
const FILLED: f64 = 0.88;

/// Least part of each edge along which the sheet is brighter than what lies beside it.
const EDGE_SEEN: f64 = 0.6;

/// A flat sheet: its own coordinates, and where they lie in the photograph.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Width in its own coordinates.
    pub width: f64,
    /// Height in its own coordinates.
    pub height: f64,
    /// From its own coordinates to pixels of the photograph.
    pub to_photo: Homography,
    /// Whether an outline was found; else it is the whole photograph.
    pub outlined: bool,
}

impl Sheet {
    /// The whole photograph as it is.
    pub fn whole(photo: &Colour) -> Option<Self> {
        let (width, height) = (photo.width() as f64, photo.height() as f64);
        let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        let mut sheet = Self::of_corners(corners)?;
        sheet.outlined = false;
        Some(sheet)
    }

    /// The sheet with these corners in the photograph, top left first.
    pub fn of_corners(corners: [Point; 4]) -> Option<Self> {
        let [top_left, top_right, bottom_right, bottom_left] = corners;
        let across = top_left.distance(top_right).max(bottom_left.distance(bottom_right));
        let down = top_left.distance(bottom_left).max(top_right.distance(bottom_right));
        let mut ratio = down / across.max(1.0);
        // Paper of the A sizes; seen from the side it looks shorter than it is.
        for paper in [std::f64::consts::SQRT_2, std::f64::consts::FRAC_1_SQRT_2] {
            if (ratio / paper).max(paper / ratio) < 1.25 {
                ratio = paper;
                break;
            }
        }
        let (width, height) = if ratio > 1.0 {
            (FLAT_SIDE / ratio, FLAT_SIDE)
        } else {
            (FLAT_SIDE, FLAT_SIDE * ratio)
        };
        let flat = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
        let to_photo = Homography::of_corners(flat.map(|(x, y)| Point::new(x, y)), corners)?;
        Some(Self { width, height, to_photo, outlined: true })
    }

    /// A part of the flat sheet with these corners (top left first) as a picture of this size.
    pub fn view(
        &self,
        photo: &Colour,
        corners: [Point; 4],
        width: usize,
        height: usize,
    ) -> Option<Colour> {
        let corners = corners.map(|corner| self.to_photo.map(corner));
        let (right, bottom) = (width as f64, height as f64);
        let flat = [(0.0, 0.0), (right, 0.0), (right, bottom), (0.0, bottom)];
        let to_photo = Homography::of_corners(flat.map(|(x, y)| Point::new(x, y)), corners)?;
        let [top_left, top_right, _, bottom_left] = corners;
        let scale =
            (top_left.distance(top_right) / right).max(top_left.distance(bottom_left) / bottom);
        let samples = (scale + 0.4).floor().clamp(1.0, 4.0) as usize;
        Some(warp(photo, &to_photo, width, height, samples))
    }

    /// A line of text with these corners, as a strip for a text engine, made wider by a factor.
    pub fn strip(&self, photo: &Colour, corners: [Point; 4], stretch: f64) -> Option<Colour> {
        let [top_left, top_right, _, bottom_left] = corners;
        let ratio = top_left.distance(top_right) / top_left.distance(bottom_left).max(1.0);
        let width = (STRIP_HEIGHT as f64 * ratio * stretch).round().clamp(8.0, 4000.0) as usize;
        self.view(photo, corners, width, STRIP_HEIGHT)
    }

    /// Left, top, width and height in pixels of the photograph of a part of the sheet.
    pub fn frame(&self, corners: [Point; 4]) -> [u32; 4] {
        let seen = corners.map(|corner| self.to_photo.map(corner));
        let low = seen.iter().fold(Point::new(f64::MAX, f64::MAX), |low, corner| {
            Point::new(low.x.min(corner.x), low.y.min(corner.y))
        });
        let high = seen.iter().fold(Point::new(0.0, 0.0), |high, corner| {
            Point::new(high.x.max(corner.x), high.y.max(corner.y))
        });
        let (left, top) = (low.x.max(0.0).floor(), low.y.max(0.0).floor());
        [left as u32, top as u32, (high.x - left).ceil() as u32, (high.y - top).ceil() as u32]
    }
}

/// Outlines that may be the sheet's, the largest first: bright inside and darker outside along all
/// four edges. `text` are places where text was found: the sheet that a list stands on has all of
/// it, and an outline along a shadow does not.
pub fn outlines(photo: &Colour, text: &[Point]) -> Vec<Sheet> {
    let factor = photo.width().max(photo.height()).div_ceil(SEARCH_SIDE);
    let small = smooth(&photo.shrunk(factor).to_grey());
    let (width, height) = (small.width(), small.height());
    let whole = (width * height) as f64;
    let mut found: Vec<(f64, [Point; 4])> = Vec::new();
    let mut sorted: Vec<u8> = small.values().iter().map(|[grey]| *grey).collect();
    sorted.sort_unstable();
    for level in 1..LEVELS {
        let border = sorted[sorted.len() * level / LEVELS];
        let bright: Vec<bool> = small.values().iter().map(|[grey]| *grey > border).collect();
        let Some(region) = components(&bright, width, height).into_iter().max_by_key(Vec::len)
        else {
            continue;
        };
        let Some(corners) = outline_of(&region, width) else { continue };
        let size = area(&corners);
        let is_new = found.iter().all(|(other, _)| (other - size).abs() > 0.002 * whole);
        if is_new
            && size >= SMALLEST_PART * whole
            && is_a_sheet(&corners)
            && edges_seen(&small, &corners)
        {
            found.push((size, corners));
        }
    }
    found.sort_by(|left, right| right.0.total_cmp(&left.0));
    let scale = factor as f64;
    found
        .into_iter()
        .map(|(_, corners)| corners.map(|at| Point::new(at.x * scale, at.y * scale)))
        .filter(|corners| holds(corners, text))
        .filter_map(|corners| Sheet::of_corners(from_top_left(corners)))
        .collect()
}

/// Whether nearly all places lie within an outline: a speck of the table may look like text.
fn holds(corners: &[Point; 4], places: &[Point]) -> bool {
    let inside =
        |place: &Point| (0..4).all(|at| corners[at].cross(corners[(at + 1) % 4], *place) >= 0.0);
    let held = places.iter().filter(|place| inside(place)).count();
    held * 20 >= places.len() * 19
}

/// Mean of nine pixels, against noise.
fn smooth(grey: &Grey) -> Grey {
    Grey::made(grey.width(), grey.height(), |x, y| {
        let mut sum = 0;
        for row in [y.saturating_sub(1), y, y + 1] {
            for column in [x.saturating_sub(1), x, x + 1] {
                sum += u32::from(grey.at(column, row)[0]);
            }
        }
        [(sum / 9) as u8]
    })
}

/// The four corners of a region that fills them, clockwise.
fn outline_of(region: &[usize], width: usize) -> Option<[Point; 4]> {
    // The ends of each row are enough for the hull, and what lies between them counts as filled:
    // letters are dark.
    let mut rows: Vec<(usize, usize, usize)> = Vec::new();
    let mut sorted = region.to_vec();
    sorted.sort_unstable();
    for at in sorted {
        let (x, y) = (at % width, at / width);
        match rows.last_mut() {
            Some((row, _, last)) if *row == y => *last = x,
            _ => rows.push((y, x, x)),
        }
    }
    let filled: usize = rows.iter().map(|(_, first, last)| last - first + 1).sum();
    let ends = rows.iter().flat_map(|(y, first, last)| {
        let (y, left, right) = (*y as f64, *first as f64, (*last + 1) as f64);
        [(left, y), (right, y), (left, y + 1.0), (right, y + 1.0)].map(|(x, y)| Point::new(x, y))
    });
    let corners = four_corners(&simple(hull(ends.collect())))?;
    (filled as f64 >= FILLED * area(&corners)).then_some(corners)
}

/// An outline without sides of a pixel or two, which would turn anywhere when they are made longer.
fn simple(hull: Vec<Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for point in hull {
        if kept.last().is_none_or(|last| last.distance(point) > 2.5) {
            kept.push(point);
        }
    }
    kept
}

/// Whether four corners can be a sheet of paper seen from above, more or less.
fn is_a_sheet(corners: &[Point; 4]) -> bool {
    let side = |at: usize| corners[at % 4].distance(corners[(at + 1) % 4]);
    let opposite = |at: usize| (side(at) / side(at + 2)).max(side(at + 2) / side(at));
    let (across, down) = (side(0) + side(2), side(1) + side(3));
    let right_enough = (0..4).all(|at| {
        let (before, corner, after) = (corners[(at + 3) % 4], corners[at], corners[(at + 1) % 4]);
        let turn = before.cross(corner, after) / (before.distance(corner) * corner.distance(after));
        // The sine of 60 degrees: a corner of 60 to 120 degrees.
        turn > 0.866
    });
    right_enough
        && opposite(0) < 2.0
        && opposite(1) < 2.0
        && (across / down).max(down / across) < 2.0
}

/// Whether along each edge most of it is brighter inside than outside. A sheet may reach beyond the
/// photograph on one side; an outline that lies on two of its borders is the photograph itself.
fn edges_seen(grey: &Grey, corners: &[Point; 4]) -> bool {
    let step = 3.0;
    let (width, height) = (grey.width() as f64, grey.height() as f64);
    let beyond = |at: Point| at.x < 1.0 || at.y < 1.0 || at.x > width - 1.0 || at.y > height - 1.0;
    let value = |at: Point| f64::from(grey.at(at.x.max(0.0) as usize, at.y.max(0.0) as usize)[0]);
    let mut cut_off = 0;
    for at in 0..4 {
        let (from, to) = (corners[at], corners[(at + 1) % 4]);
        let length = from.distance(to);
        let inward = Point::new(-(to.y - from.y) / length, (to.x - from.x) / length);
        let (mut seen, mut outside_of_photo) = (0, 0);
        for part in 1..40 {
            let part = f64::from(part) / 40.0;
            let place =
                Point::new(from.x + (to.x - from.x) * part, from.y + (to.y - from.y) * part);
            let inside = Point::new(place.x + inward.x * step, place.y + inward.y * step);
            let outside = Point::new(place.x - inward.x * step, place.y - inward.y * step);
            outside_of_photo += u32::from(beyond(outside));
            seen += u32::from(!beyond(outside) && value(inside) > value(outside) * 1.12 + 3.0);
        }
        if f64::from(seen + outside_of_photo) < 39.0 * EDGE_SEEN {
            return false;
        }
        cut_off += u32::from(f64::from(seen) < 39.0 * EDGE_SEEN);
    }
    cut_off <= 1
}

/// The corner nearest to the photograph's top left first; the corners go round clockwise.
fn from_top_left(corners: [Point; 4]) -> [Point; 4] {
    let first = (0..4).min_by(|left, right| {
        let reach = |at: &usize| corners[*at].x + corners[*at].y;
        reach(left).total_cmp(&reach(right))
    });
    let first = first.unwrap_or(0);
    std::array::from_fn(|at| corners[(first + at) % 4])
}

#[cfg(test)]
mod tests {
    use super::*;

    const CORNERS: [(f64, f64); 4] = [(60.0, 40.0), (330.0, 60.0), (320.0, 440.0), (40.0, 420.0)];

    fn inside(corners: &[Point; 4], place: Point) -> bool {
        (0..4).all(|at| corners[at].cross(corners[(at + 1) % 4], place) >= 0.0)
    }

    fn photo(light: impl Fn(f64, f64) -> f64) -> Colour {
        let corners = CORNERS.map(|(x, y)| Point::new(x, y));
        Colour::made(400, 480, |x, y| {
            let place = Point::new(x as f64 + 0.5, y as f64 + 0.5);
            let paper = if inside(&corners, place) { 220.0 } else { 60.0 };
            [(paper * light(place.x, place.y)) as u8; 3]
        })
    }

    fn first_corners(photo: &Colour, text: &[Point]) -> Option<[Point; 4]> {
        let sheet = outlines(photo, text).into_iter().next()?;
        let flat =
            [(0.0, 0.0), (sheet.width, 0.0), (sheet.width, sheet.height), (0.0, sheet.height)];
        Some(flat.map(|(x, y)| sheet.to_photo.map(Point::new(x, y))))
    }

    #[test]
    fn a_bright_sheet_on_a_dark_table_is_found() {
        let found = first_corners(&photo(|_, _| 1.0), &[]).unwrap();
        for (found, (x, y)) in found.into_iter().zip(CORNERS) {
            assert!(found.distance(Point::new(x, y)) < 4.0, "{found:?}");
        }
    }

    #[test]
    fn an_outline_along_a_shadow_leaves_text_out_and_is_not_taken() {
        // So deep a shadow over the lower half that there the sheet is as dark as the table.
        let shaded = photo(|_, y| if y > 250.0 { 0.25 } else { 1.0 });
        let text = [Point::new(150.0, 120.0), Point::new(150.0, 380.0)];
        assert!(first_corners(&shaded, &text[..1]).is_some());
        assert_eq!(first_corners(&shaded, &text), None);
    }

    #[test]
    fn a_bright_band_is_no_sheet() {
        let corners = [(0.0, 100.0), (400.0, 100.0), (400.0, 180.0), (0.0, 180.0)];
        assert!(!is_a_sheet(&corners.map(|(x, y)| Point::new(x, y))));
        let corners = CORNERS.map(|(x, y)| Point::new(x, y));
        assert!(is_a_sheet(&corners));
        let slanted = [(0.0, 0.0), (200.0, 0.0), (330.0, 200.0), (130.0, 200.0)];
        assert!(!is_a_sheet(&slanted.map(|(x, y)| Point::new(x, y))));
    }
}
