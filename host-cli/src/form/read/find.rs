//! Finds the sheet in a picture: which marks are its corners, which corner is which, what its strip
//! says.

use super::Refusal;
use super::corners::{self, Mark};
use super::flat::{View, narrow, paper, sample};
use super::order::{ranked, sort_short};
use crate::form::code::{BITS, SheetId};
use crate::form::layout::{BAR, Frame, SQUARE};
use crate::picture::{Grey, Point};
use crate::print::Paper;

/// Corner marks of one sheet differ no more in size than this, whatever the view.
const ALIKE: f64 = 2.6;
/// The bar of the upper left corner is so much darker than what lies beside it.
const BAR_CONTRAST: f64 = 0.3;
/// A square of the strip is black from so much of the darkest on.
const HALF: f64 = 0.5;

/// The sheet as it was found.
pub(super) struct Found {
    pub(super) view: View,
    pub(super) paper: Paper,
    /// What the strip says, if it could be read.
    pub(super) id: Option<SheetId>,
    /// Whether the picture shows the sheet from behind, as a mirror does.
    pub(super) mirrored: bool,
}

/// Looks for a sheet.
pub(super) fn sheet(picture: &Grey) -> Result<Found, Refusal> {
    let mut marks = Vec::new();
    let mut best: Option<Found> = None;
    for way in corners::WAYS {
        marks = corners::find(picture, way, marks);
        if let Some(found) = among(picture, &marks) {
            if found.id.is_some() {
                return Ok(found);
            }
            best = best.or(Some(found));
        }
    }
    best.ok_or_else(|| missing(picture, &marks))
}

/// The sheet whose corners are among some marks: the one whose strip can be read, else the one with
/// most of its ticks.
fn among(picture: &Grey, marks: &[Mark]) -> Option<Found> {
    let mut best: Option<Found> = None;
    for four in fours(marks) {
        for (mirrored, paper, corners) in ways(four) {
            let Some(plane) = View::plane(Frame::of(paper), corners) else { continue };
            if bar(picture, &plane) < BAR_CONTRAST {
                continue;
            }
            let mut view = plane.clone();
            view.follow(picture);
            let id = strip(picture, &view, paper).or_else(|| strip(picture, &plane, paper));
            let found = Found { view, paper, id, mirrored };
            if found.id.is_some() {
                return Some(found);
            }
            let least = best.as_ref().map_or(0.5, |best| best.view.ticks);
            if found.view.ticks > least {
                best = Some(found);
            }
        }
    }
    best
}

/// All fours of marks that could be the corners of one sheet, clockwise, the widest apart first.
fn fours(marks: &[Mark]) -> Vec<[Point; 4]> {
    let mut fours: Vec<(f64, [Point; 4])> = Vec::new();
    let count = marks.len();
    for a in 0..count {
        for b in a + 1..count {
            for c in b + 1..count {
                for d in c + 1..count {
                    let [a, b, c, d] = [a, b, c, d].map(|at| marks[at]);
                    // The marks come sorted by size.
                    if a.size > ALIKE * d.size {
                        continue;
                    }
                    if let Some((area, four)) = clockwise([a, b, c, d].map(|mark| mark.at)) {
                        // Paper has some twenty times the width of its marks, and not ten.
                        if area > 100.0 * a.size * d.size {
                            fours.push((area, four));
                        }
                    }
                }
            }
        }
    }
    sort_short(&mut fours, |one, other| one.0 > other.0);
    fours.into_iter().map(|(_, four)| four).collect()
}

/// Four places in the order in which they are met clockwise as seen in the picture, with the area
/// between them; `None` if one of them lies within the others.
fn clockwise(mut four: [Point; 4]) -> Option<(f64, [Point; 4])> {
    let middle = Point::new(
        four.iter().map(|point| point.x).sum::<f64>() / 4.0,
        four.iter().map(|point| point.y).sum::<f64>() / 4.0,
    );
    // Grows with the angle, from -1 to 3.
    let angle = |point: Point| {
        let (x, y) = (point.x - middle.x, point.y - middle.y);
        let slope = y / (x.abs() + y.abs()).max(1e-9);
        if x < 0.0 { 2.0 - slope } else { slope }
    };
    let mut by_angle = four.map(|point| (angle(point), point));
    sort_short(&mut by_angle, |one, other| one.0 < other.0);
    four = by_angle.map(|(_, point)| point);
    let [a, b, c, d] = four;
    let turns = [a.cross(b, c), b.cross(c, d), c.cross(d, a), d.cross(a, b)];
    let area = f64::midpoint(turns[0], turns[2]);
    turns.iter().all(|turn| *turn > 0.0).then_some((area, four))
}

/// Every way to lay a paper onto four places: quarters of a turn, mirrored or not, size.
fn ways(four: [Point; 4]) -> impl Iterator<Item = (bool, Paper, [Point; 4])> {
    let laid = move |quarters: usize, mirrored: bool| -> [Point; 4] {
        std::array::from_fn(|at| four[if mirrored { 4 + quarters - at } else { quarters + at } % 4])
    };
    [false, true].into_iter().flat_map(move |mirrored| {
        (0..4).flat_map(move |quarters| {
            Paper::ALL.map(|paper| (mirrored, paper, laid(quarters, mirrored)))
        })
    })
}

/// How much darker the bar at the upper left corner is than the paper below and above it.
fn bar(picture: &Grey, view: &View) -> f64 {
    let line = |y: f32| {
        let step = BAR.w / 12.0;
        let places = (1..12_u8).map(|at| paper(BAR.x + step * f32::from(at), y));
        places.map(|place| sample(picture, view.map(place))).sum::<f64>() / 11.0
    };
    let inside = line(BAR.y + BAR.h / 2.0);
    let outside = line(BAR.y - 1.2).min(line(BAR.y + BAR.h + 1.2));
    1.0 - inside / outside.max(1.0)
}

/// What one of the two strips says.
fn strip(picture: &Grey, view: &View, size: Paper) -> Option<SheetId> {
    let strips = Frame::of(size).strips();
    let ids = strips.map(|strip| SheetId::of_bits(&squares(picture, view, strip)));
    match ids {
        [Some(one), Some(other)] if one != other => None,
        [one, other] => one.or(other).filter(|id| id.paper == size),
    }
}

fn squares(picture: &Grey, view: &View, (left, top): (f32, f32)) -> [bool; BITS] {
    let mut x = left + SQUARE / 2.0;
    let y = top + SQUARE / 2.0;
    let mut ink = [0.0; BITS];
    for own in &mut ink {
        let grey = |right: f32, down: f32| sample(picture, view.map(paper(x + right, y + down)));
        let inner = [(0.0, 0.0), (0.5, 0.5), (0.5, -0.5), (-0.5, 0.5), (-0.5, -0.5)];
        let seen = inner.iter().map(|(right, down)| grey(*right, *down)).sum::<f64>() / 5.0;
        // Paper is the brighter part of all around; of it a square cannot hide more than a third.
        let mut around: Vec<f32> = Vec::with_capacity(77);
        for row in -3_i8..=3 {
            around.extend(
                (-5_i8..=5).map(|column| narrow(grey(f32::from(column), f32::from(row) * 0.9))),
            );
        }
        let light = f64::from(ranked(&mut around, 90)).max(1.0);
        *own = 1.0 - seen / light;
        x += SQUARE;
    }
    let darkest = ink.iter().copied().fold(0.0, f64::max);
    ink.map(|own| own > HALF * darkest)
}

/// Why there is no sheet: no form, or one with a corner missing.
fn missing(picture: &Grey, marks: &[Mark]) -> Refusal {
    let [a, b, c, ..] = marks else { return Refusal::NoForm };
    if a.size > ALIKE * c.size {
        return Refusal::NoForm;
    }
    // The corner opposite of the longest side of the three has the right angle; the fourth lies
    // across from it.
    let [a, b, c] = [a.at, b.at, c.at];
    let (corner, one, other) = [(a, b, c), (b, c, a), (c, a, b)]
        .into_iter()
        .max_by(|first, second| first.1.distance(first.2).total_cmp(&second.1.distance(second.2)))
        .unwrap_or((a, b, c));
    let fourth = Point::new(one.x + other.x - corner.x, one.y + other.y - corner.y);
    if one.cross(corner, other).abs() < 100.0 * marks[0].size * marks[0].size {
        return Refusal::NoForm;
    }
    let size = |pixels: usize| f64::from(u32::try_from(pixels).unwrap_or(u32::MAX));
    let (width, height) = (size(picture.width()), size(picture.height()));
    let margin = marks[0].size * 0.6;
    let inside = |at: f64, most: f64| at > margin && at < most - margin;
    let middle = Point::new(f64::midpoint(one.x, other.x), f64::midpoint(one.y, other.y));
    Refusal::Corner {
        upper: fourth.y < middle.y,
        left: fourth.x < middle.x,
        cut: !(inside(fourth.x, width) && inside(fourth.y, height)),
    }
}
