//! Ink itself, counted without any network: how many signs a number has, and whether anything lies
//! between them. A network that takes a strip as a whole overlooks a point of a pixel or a digit
//! that it has just seen; columns of ink do not.

use crate::picture::Grey;

/// Ink beyond this part of full black, in the upper part of a line, is a sign.
const SIGN: f32 = 0.42;

/// Within a sign its thinnest stroke is at least this dark: the arch of a nought in a light typeface.
const STROKE: f32 = 0.22;

/// Ink beyond this part, low on the line, may be a point or a comma.
const SPECK: f32 = 0.2;

/// How far down from the top of a line a digit may begin, as a part of its height; the head of a
/// comma lies lower.
const DIGIT_BEGINS: f32 = 0.4;

/// The same at the border to a unit, where a part of its first letter may lie in the strip: a small
/// letter begins a quarter of the height lower than a digit.
const DIGIT_BEGINS_AT_UNIT: f32 = 0.18;

/// Below this difference between paper and ink nothing is told.
const LEAST_CONTRAST: f32 = 30.0;

/// Between two digits without a decimal sign lies less than this part of their height. With one, the
/// gap holds the sign and the room on both of its sides.
const WIDEST_GAP: f32 = 0.5;

/// What the ink of a number shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ink {
    /// How many signs stand beside each other, points and commas left out.
    pub(super) signs: usize,
    /// Whether the gaps between the digits are narrow and empty, so that no decimal sign is lost.
    pub(super) gaps_are_empty: bool,
}

/// Looks at a number of so many digits, at whose right end a unit may begin; `None` if the picture is
/// too pale to tell.
pub(super) fn count(strip: &Grey, digits: usize, before_unit: bool) -> Option<Ink> {
    let ink = Inked::of(strip)?;
    let (top, base) = ink.line()?;
    let high = (base - top) as f32;
    let band = |x: usize, from: f32, to: f32| {
        let row =
            |part: f32| (top as f32 + part * high).round().clamp(0.0, ink.height as f32) as usize;
        (row(from)..row(to)).map(|y| ink.at(x, y)).fold(0.0, f32::max)
    };
    let upper: Vec<f32> = (0..ink.width).map(|x| band(x, 0.0, 0.68)).collect();
    let mut runs = Vec::new();
    let mut start = None;
    for (x, value) in upper.iter().chain(std::iter::once(&0.0)).enumerate() {
        match (start, *value > STROKE) {
            (None, true) => start = Some(x),
            (Some(from), false) => {
                if upper[from..x].iter().any(|value| *value > SIGN) {
                    runs.push((from, x));
                }
                start = None;
            }
            (None, false) | (Some(_), true) => {}
        }
    }
    runs.retain(|(from, to)| {
        let is_at_unit = before_unit && *to == ink.width;
        let reach = if is_at_unit { DIGIT_BEGINS_AT_UNIT } else { DIGIT_BEGINS };
        (*from..*to).any(|x| band(x, 0.0, reach) > SIGN)
    });
    runs.retain(|(from, to)| {
        (to - from) as f32 > 0.07 * high && !ink.is_ruling(*from, *to, top, base)
    });
    let between = runs.windows(2).take(digits.saturating_sub(1));
    let gaps_are_empty = runs.len() >= digits
        && between.map(|pair| (pair[0].1, pair[1].0)).all(|(from, to)| {
            let wide = (to - from) as f32;
            // The foot of a digit may reach into the gap, but not over half of it.
            let dark = (from..to).filter(|x| band(*x, 0.62, 1.3) > SPECK).count() as f32;
            let middle = band(usize::midpoint(from, to), 0.62, 1.3);
            wide <= WIDEST_GAP * high && dark <= 0.5 * wide && middle <= SPECK
        });
    Some(Ink { signs: runs.len(), gaps_are_empty })
}

/// How dark each pixel is: 0 is paper, 1 the darkest ink of the strip.
struct Inked {
    width: usize,
    height: usize,
    values: Vec<f32>,
}

impl Inked {
    fn of(strip: &Grey) -> Option<Self> {
        let (width, height) = (strip.width(), strip.height());
        let mut sorted: Vec<u8> = strip.values().iter().map(|[grey]| *grey).collect();
        sorted.sort_unstable();
        let part = |hundredths: usize| f32::from(sorted[sorted.len() * hundredths / 100]);
        if sorted.is_empty() || part(85) - part(2) < LEAST_CONTRAST {
            return None;
        }
        let (paper, black) = (part(85), part(2));
        let value =
            |[grey]: &[u8; 1]| ((paper - f32::from(*grey)) / (paper - black)).clamp(0.0, 1.0);
        let mut ink = Self { width, height, values: strip.values().iter().map(value).collect() };
        ink.take_out_rulings();
        Some(ink)
    }

    fn at(&self, x: usize, y: usize) -> f32 {
        if x < self.width && y < self.height { self.values[y * self.width + x] } else { 0.0 }
    }

    /// Rows that are dark nearly all along are rulings above and below, and no writing.
    fn take_out_rulings(&mut self) {
        let is_ruling = |row: &[f32]| {
            let dark = row.iter().filter(|value| **value > 0.25).count();
            dark * 20 > row.len() * 17
        };
        let rulings: Vec<usize> = (0..self.height)
            .filter(|y| is_ruling(&self.values[y * self.width..(y + 1) * self.width]))
            .collect();
        for y in rulings {
            for row in [y.saturating_sub(1), y, (y + 1).min(self.height - 1)] {
                self.values[row * self.width..(row + 1) * self.width].fill(0.0);
            }
        }
    }

    /// First row of the digits, and first row below them.
    fn line(&self) -> Option<(usize, usize)> {
        let sums: Vec<f32> =
            self.values.chunks_exact(self.width.max(1)).map(|row| row.iter().sum()).collect();
        let most = sums.iter().copied().fold(0.0, f32::max);
        // A line of writing is in the middle of its strip.
        let is_writing = |y: usize| sums.get(y).is_some_and(|sum| *sum > 0.22 * most);
        let middle = self.height / 2;
        let inside = (0..self.height / 4)
            .flat_map(|step| [middle.saturating_sub(step), middle + step])
            .find(|y| is_writing(*y))?;
        let top = (0..=inside).rev().find(|y| !is_writing(*y)).map_or(0, |y| y + 1);
        let base = (inside..self.height).find(|y| !is_writing(*y)).unwrap_or(self.height);
        (base - top >= 8).then_some((top, base))
    }

    /// Whether a run of columns is a line from above the digits to below them.
    fn is_ruling(&self, from: usize, to: usize, top: usize, base: usize) -> bool {
        let reach = (base - top) / 4;
        let dark = |y: usize| (from..to).any(|x| self.at(x, y) > 0.3);
        let above = top.checked_sub(reach).is_some_and(dark);
        above && dark(base + reach)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Digits as upright bars 8 wide and 28 high, each at its place, with marks at the foot.
    fn strip(bars: &[usize], marks: &[usize]) -> Grey {
        Grey::made(120, 64, |x, y| {
            let bar = bars.iter().any(|at| (*at..at + 8).contains(&x)) && (18..46).contains(&y);
            let mark = marks.iter().any(|at| (*at..at + 4).contains(&x)) && (42..46).contains(&y);
            [if bar || mark { 40 } else { 220 }]
        })
    }

    #[test]
    fn a_point_between_two_digits_is_seen_and_its_room_too() {
        let close = count(&strip(&[20, 36], &[]), 2, false).unwrap();
        assert_eq!(close, Ink { signs: 2, gaps_are_empty: true });
        assert!(!count(&strip(&[20, 38], &[31]), 2, false).unwrap().gaps_are_empty);
        // So pale that only its room is left.
        assert!(!count(&strip(&[20, 48], &[]), 2, false).unwrap().gaps_are_empty);
    }

    #[test]
    fn a_comma_that_hangs_low_is_no_sign() {
        let comma = Grey::made(120, 64, |x, y| {
            let bar = [20, 60].iter().any(|at| (*at..at + 8).contains(&x)) && (18..46).contains(&y);
            let comma = (40..45).contains(&x) && (36..54).contains(&y);
            [if bar || comma { 40 } else { 220 }]
        });
        assert_eq!(count(&comma, 2, false), Some(Ink { signs: 2, gaps_are_empty: false }));
    }

    #[test]
    fn a_digit_that_was_not_read_is_counted() {
        assert_eq!(count(&strip(&[20, 36, 52], &[]), 1, false).unwrap().signs, 3);
    }

    #[test]
    fn the_first_letter_of_a_unit_is_no_sign_and_a_digit_in_its_place_is_one() {
        let cut = |top: usize| {
            Grey::made(60, 64, move |x, y| {
                let digit = (20..28).contains(&x) && (18..46).contains(&y);
                let next = (52..60).contains(&x) && (top..46).contains(&y);
                [if digit || next { 40 } else { 220 }]
            })
        };
        let signs = |top, before_unit| count(&cut(top), 1, before_unit).unwrap().signs;
        // A small letter of a typeface with tall ones.
        assert_eq!(signs(25, true), 1);
        assert_eq!(signs(18, true), 2);
        assert_eq!(signs(25, false), 2);
    }

    #[test]
    fn rulings_are_no_signs() {
        let ruled = Grey::made(120, 64, |x, y| {
            let line = x == 4 || x == 5 || y == 3 || y == 60;
            let bar = (30..38).contains(&x) && (18..46).contains(&y);
            [if line || bar { 40 } else { 220 }]
        });
        assert_eq!(count(&ruled, 1, false).unwrap().signs, 1);
    }

    #[test]
    fn a_hollow_sign_with_thin_arches_is_one_sign() {
        let hollow = Grey::made(80, 64, |x, y| {
            let side = (30..33).contains(&x) || (45..48).contains(&x);
            let arch = (30..48).contains(&x) && (y == 18 || y == 45);
            let dark = side && (18..46).contains(&y);
            [if dark {
                40
            } else if arch {
                165
            } else {
                220
            }]
        });
        assert_eq!(count(&hollow, 1, false).unwrap().signs, 1);
    }

    #[test]
    fn a_pale_picture_tells_nothing() {
        assert_eq!(
            count(&Grey::made(90, 64, |x, _| [if x == 40 { 180 } else { 200 }]), 1, false),
            None
        );
    }
}
