//! How much ink is in each bubble, and what that makes of it.

use super::light::Ink;
use super::order::ranked;
use crate::form::layout::{BUBBLE, Bubble, Layout, Row};

/// The part of a bubble in which ink is measured: its outline does not reach there.
const INNER: f32 = 0.74;
/// A place has ink from so much above the blank level on.
const INKED: f32 = 0.13;
/// A bubble is blank up to so much more ink than its like on the sheet.
const BLANK: f32 = 0.06;
/// and if no more of it is covered than so much more than its like.
const COVERED_MORE: f32 = 0.10;
/// Ink of a sign in a bubble at the most, and what two bubbles differ in beside that.
const SIGN_INK: (f32, f32) = (0.02, 0.05);
/// A bubble is filled if so much of it has ink,
const COVERED: f32 = 0.70;
/// and so much on the whole,
const FILLED: f32 = 0.22;
/// and not far less than the other marks of the sheet.
const LIKE_THE_OTHERS: f32 = 0.6;
/// Faint ink that goes on outside of the bubble is a smudge: up to so much of it inside, and from so
/// large a part of it outside.
const SMUDGE: (f32, f32) = (0.5, 0.6);
/// A filled bubble is struck out if ink leads away from it: so much in one direction.
const STROKE: f32 = 0.10;
/// Paper darker than this part of the brightest cannot be told from ink.
const NIGHT: f32 = 0.16;
/// How far a row may lie off where the edges say it is, in millimetres.
const OFF: f32 = 1.4;

/// What is in a bubble.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    Blank,
    Filled,
    /// A faint or partial mark, a smudge, a stroke.
    Unclear,
}

/// A bubble as it was seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    pub(super) state: State,
    /// Ink inside above that of a blank bubble, 0 to 1.
    pub(super) ink: f32,
}

/// The measures of one bubble.
#[derive(Clone, Copy, Debug)]
struct Measure {
    mean: f32,
    covered: f32,
    around: f32,
    night: bool,
    /// The most ink in one direction outside of it, if it is filled: a stroke that leads away.
    stroke: f32,
}

/// Everything that was seen on a sheet: by row, by group, by bubble.
pub(super) fn see(layout: &Layout, ink: &Ink) -> Vec<Vec<Vec<Seen>>> {
    let black = black(layout, ink).max(0.2);
    let brightest = brightest(layout, ink);
    let level = blank_level(layout, ink, black);
    let measured: Vec<Vec<Vec<Measure>>> = layout
        .rows
        .iter()
        .map(|row| {
            let shifts = Shifts::of(row, ink);
            let measure = |bubble: &Bubble| {
                let mut moved = bubble.clone();
                let (x, y) = shifts.at(bubble.x);
                (moved.x, moved.y) = (bubble.x + x, bubble.y + y);
                let mut own = measure(&moved, ink, black, level, brightest);
                if own.covered >= COVERED {
                    own.stroke = stroke(bubble, (x, y), row, ink) / black;
                }
                own
            };
            row.groups.iter().map(|group| group.bubbles.iter().map(measure).collect()).collect()
        })
        .collect();
    let like = usual_ink(&measured, level);
    let mut seen = Vec::with_capacity(measured.len());
    for row in &measured {
        let mut groups = Vec::with_capacity(row.len());
        for (at, group) in row.iter().enumerate() {
            let mut bubbles = Vec::with_capacity(group.len());
            for (bubble, measure) in group.iter().enumerate() {
                // The signs that are printed in it: the ink of its like in the other rows.
                let code = layout.rows[0].groups[at].bubbles[bubble].code.chars().count();
                let own = column_level(&measured, at, bubble, code, level);
                bubbles.push(judged(measure, own, like));
            }
            groups.push(bubbles);
        }
        seen.push(groups);
    }
    seen
}

fn judged(measure: &Measure, (blank, covered): (f32, f32), like: f32) -> Seen {
    let ink = (measure.mean - blank).max(0.0);
    let smudge = ink < SMUDGE.0 && measure.around > SMUDGE.1 * measure.mean;
    let state = if measure.night {
        State::Unclear
    } else if ink < BLANK && measure.covered < covered + COVERED_MORE {
        State::Blank
    } else if ink >= FILLED.max(LIKE_THE_OTHERS * like)
        && measure.covered >= COVERED
        && measure.stroke < STROKE
        && !smudge
    {
        State::Filled
    } else {
        State::Unclear
    };
    Seen { state, ink }
}

/// Ink of what was printed black: the middle of the ticks.
fn black(layout: &Layout, ink: &Ink) -> f32 {
    let frame = layout.frame();
    let ticks = frame.side_ticks().into_iter().chain(frame.level_ticks()).flatten();
    let mut values: Vec<f32> = ticks
        .map(|(x, y)| {
            let near = [(0.0, 0.0), (0.6, 0.0), (-0.6, 0.0), (0.0, 0.3), (0.0, -0.3)];
            near.iter().map(|(right, down)| ink.at(x + right, y + down)).sum::<f32>() / 5.0
        })
        .collect();
    middle(&mut values)
}

fn brightest(layout: &Layout, ink: &Ink) -> f32 {
    let places = layout.rows.iter().flat_map(|row| &row.groups).flat_map(|group| &group.bubbles);
    places.map(|bubble| ink.paper(bubble.x, bubble.y)).fold(1.0, f32::max)
}

/// The ink of most bubbles, which are blank.
fn blank_level(layout: &Layout, ink: &Ink, black: f32) -> f32 {
    let places = layout.rows.iter().flat_map(|row| &row.groups).flat_map(|group| &group.bubbles);
    let mut values: Vec<f32> =
        places.map(|bubble| measure(bubble, ink, black, 0.0, 1.0).mean).collect();
    middle(&mut values)
}

/// The ink that the marks of the sheet commonly have.
fn usual_ink(measured: &[Vec<Vec<Measure>>], blank: f32) -> f32 {
    let all = measured.iter().flatten().flatten();
    let mut filled: Vec<f32> = all
        .filter(|measure| measure.covered >= COVERED)
        .map(|measure| measure.mean - blank)
        .filter(|ink| *ink >= FILLED)
        .collect();
    if filled.len() < 6 { 0.0 } else { middle(&mut filled) }
}

/// The ink that a bubble has in the blanker rows, and how much of it is covered: what its signs have.
/// So many signs have no more than this, even if the bubble is filled in every row.
fn column_level(
    measured: &[Vec<Vec<Measure>>],
    group: usize,
    bubble: usize,
    signs: usize,
    blank: f32,
) -> (f32, f32) {
    let own = || measured.iter().filter_map(|row| row.get(group)?.get(bubble));
    let low = |mut values: Vec<f32>| ranked(&mut values, 25);
    let mean = low(own().map(|measure| measure.mean).collect());
    let covered = low(own().map(|measure| measure.covered).collect());
    let signs = f32::from(u8::try_from(signs).unwrap_or(u8::MAX));
    (
        mean.clamp(blank - 0.06, blank + SIGN_INK.0 + SIGN_INK.1 * signs),
        covered.min(0.1 + 0.1 * signs),
    )
}

fn middle(values: &mut [f32]) -> f32 {
    ranked(values, 50)
}

fn length(x: f32, y: f32) -> f32 {
    libm::sqrtf(x * x + y * y)
}

fn measure(bubble: &Bubble, ink: &Ink, black: f32, level: f32, brightest: f32) -> Measure {
    let (half_wide, half_high) = (bubble.w / 2.0, BUBBLE.0 / 2.0);
    let straight = half_wide - half_high;
    let (mut count, mut sum, mut covered) = (0.0, 0.0, 0.0);
    let (mut ring, mut around) = (0.0, 0.0);
    // Twelve places a bubble's radius, in a rectangle around it.
    let step = half_high / 12.0;
    let reach = half_high + 0.45;
    let mut y = -reach;
    while y <= reach {
        let mut x = -(straight + reach);
        while x <= straight + reach {
            // How far outside of the bubble's middle line.
            let out = length((x.abs() - straight).max(0.0), y) / half_high;
            let here = || (ink.at(bubble.x + x, bubble.y + y) / black).min(1.0);
            if out <= INNER {
                let own = here();
                count += 1.0;
                sum += own;
                covered += f32::from(own > level + INKED);
            } else if out > 1.14 && out < 1.26 {
                ring += 1.0;
                around += here();
            }
            x += step;
        }
        y += step;
    }
    Measure {
        mean: sum / count,
        covered: covered / count,
        around: around / ring,
        night: ink.paper(bubble.x, bubble.y) < NIGHT * brightest,
        stroke: 0.0,
    }
}

/// The most ink in one of sixteen directions just outside of a bubble, where no other bubble is.
fn stroke(bubble: &Bubble, (right, down): (f32, f32), row: &Row, ink: &Ink) -> f32 {
    const DIRECTIONS: usize = 16;
    const STEP_SINE: f32 = 0.065_403_13;
    const STEP_COSINE: f32 = 0.997_858_9;
    let half = BUBBLE.0 / 2.0;
    let others = row.groups.iter().flat_map(|group| &group.bubbles);
    let near: Vec<&Bubble> =
        others.filter(|other| *other != bubble && (other.x - bubble.x).abs() < 9.0).collect();
    let outside = |of: &Bubble, x: f32, y: f32| {
        let straight = of.w / 2.0 - half;
        length(((x - of.x).abs() - straight).max(0.0), y - of.y)
    };
    let mut sums = [(0.0_f32, 0.0_f32); DIRECTIONS];
    let straight = bubble.w / 2.0 - half;
    // A ninety-sixth of a turn after the other.
    let (mut sine, mut cosine) = (0.0_f32, 1.0_f32);
    for at in 0..DIRECTIONS * 6 {
        (sine, cosine) =
            (sine * STEP_COSINE + cosine * STEP_SINE, cosine * STEP_COSINE - sine * STEP_SINE);
        for far in [1.48, 1.56, 1.64, 1.72] {
            let x = bubble.x + cosine * half * far + straight * cosine.signum();
            let y = bubble.y + sine * half * far;
            if near.iter().all(|other| outside(other, x, y) > half + 0.8) {
                let sum = &mut sums[at / 6];
                sum.0 += ink.at(x + right, y + down);
                sum.1 += 1.0;
            }
        }
    }
    let means = sums.iter().filter(|(_, count)| *count >= 8.0).map(|(sum, count)| sum / count);
    means.fold(0.0, f32::max)
}

/// How far the bubbles of a row lie off their places, left, in the middle and right: found where their
/// outlines are darkest.
struct Shifts([(f32, (f32, f32)); 3]);

impl Shifts {
    fn of(row: &Row, ink: &Ink) -> Self {
        let bubbles: Vec<&Bubble> = row.groups.iter().flat_map(|group| &group.bubbles).collect();
        let third = bubbles.len().div_ceil(3).max(1);
        let mut parts = [(0.0, (0.0, 0.0)); 3];
        for (part, own) in parts.iter_mut().zip(bubbles.chunks(third)) {
            let count: f32 = own.iter().map(|_| 1.0).sum();
            let middle = own.iter().map(|bubble| bubble.x).sum::<f32>() / count;
            *part = (middle, shift(own, ink));
        }
        Self(parts)
    }

    /// At a place between the parts: straight between their middles.
    fn at(&self, x: f32) -> (f32, f32) {
        let [left, middle, right] = self.0;
        let (one, other) = if x < middle.0 { (left, middle) } else { (middle, right) };
        let part = ((x - one.0) / (other.0 - one.0).max(1.0)).clamp(0.0, 1.0);
        let mix = |one: f32, other: f32| one + (other - one) * part;
        (mix(one.1.0, other.1.0), mix(one.1.1, other.1.1))
    }
}

/// Where the outlines of some bubbles are darkest.
fn shift(bubbles: &[&Bubble], ink: &Ink) -> (f32, f32) {
    const TURN: [(f32, f32); 8] = [
        (1.0, 0.0),
        (0.707, 0.707),
        (0.0, 1.0),
        (-0.707, 0.707),
        (-1.0, 0.0),
        (-0.707, -0.707),
        (0.0, -1.0),
        (0.707, -0.707),
    ];
    let outline = |bubble: &Bubble| {
        let half = BUBBLE.0 / 2.0;
        let straight = bubble.w / 2.0 - half;
        let (x, y) = (bubble.x, bubble.y);
        TURN.map(|(right, down)| {
            let side = if right > 0.01 {
                straight
            } else if right < -0.01 {
                -straight
            } else {
                0.0
            };
            (x + side + right * half, y + down * half)
        })
    };
    let places: Vec<(f32, f32)> = bubbles.iter().flat_map(|bubble| outline(bubble)).collect();
    let score = |right: f32, down: f32| {
        // A mark is far darker than an outline and would outweigh all of them.
        places.iter().map(|(x, y)| ink.at(x + right, y + down).min(0.25)).sum::<f32>()
    };
    let here = score(0.0, 0.0);
    let mut best = (here * 1.04, (0.0, 0.0));
    let steps = 14_i8;
    for down in -steps..=steps {
        for right in -steps..=steps {
            let (x, y) = (f32::from(right) * OFF / 14.0, f32::from(down) * OFF / 14.0);
            let own = score(x, y);
            if own > best.0 {
                best = (own, (x, y));
            }
        }
    }
    best.1
}

/// Whether something is written in the room for a note.
pub(super) fn has_note(row: &Row, ink: &Ink) -> bool {
    let note = row.note;
    let (mut inked, mut all) = (0.0, 0.0);
    let mut y = note.y + 0.6;
    while y < note.y + note.h - 0.6 {
        let mut x = note.x + 0.6;
        while x < note.x + note.w - 0.6 {
            all += 1.0;
            inked += f32::from(ink.at(x, y) > 0.3);
            x += 0.25;
        }
        y += 0.25;
    }
    inked / f32::max(all, 1.0) > 0.006
}
