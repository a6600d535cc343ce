//! Pixels of 8 bits a channel, row by row from the top left.

/// A picture with so many channels of 8 bits.
#[derive(Clone, PartialEq, Eq)]
pub struct Pixels<const CHANNELS: usize> {
    width: usize,
    height: usize,
    values: Vec<[u8; CHANNELS]>,
}

/// Brightness only: 0 is black.
pub type Grey = Pixels<1>;

/// Red, green and blue.
pub type Colour = Pixels<3>;

/// How far a picture must be turned clockwise to stand upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// It stands upright.
    None,
    /// By a quarter.
    Quarter,
    /// By a half.
    Half,
    /// By three quarters.
    ThreeQuarters,
}

impl<const CHANNELS: usize> std::fmt::Debug for Pixels<CHANNELS> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} x {} pixels of {CHANNELS} channels", self.width, self.height)
    }
}

impl<const CHANNELS: usize> Pixels<CHANNELS> {
    /// A picture of one colour.
    pub fn filled(width: usize, height: usize, value: [u8; CHANNELS]) -> Self {
        Self { width, height, values: vec![value; width * height] }
    }

    /// A picture of these bytes, channel by channel, pixel by pixel, row by row; `None` if they are
    /// not as many as the picture needs.
    pub fn of_bytes(width: usize, height: usize, bytes: &[u8]) -> Option<Self> {
        if bytes.len() != width.checked_mul(height)?.checked_mul(CHANNELS)? {
            return None;
        }
        let values = bytes.as_chunks::<CHANNELS>().0.to_vec();
        Some(Self { width, height, values })
    }

    /// A picture made pixel by pixel, from column and row.
    pub fn made(
        width: usize,
        height: usize,
        pixel: impl Fn(usize, usize) -> [u8; CHANNELS],
    ) -> Self {
        let mut values = Vec::with_capacity(width * height);
        for y in 0..height {
            values.extend((0..width).map(|x| pixel(x, y)));
        }
        Self { width, height, values }
    }

    /// Pixels from left to right.
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Pixels from top to bottom.
    pub const fn height(&self) -> usize {
        self.height
    }

    /// All pixels, row by row.
    pub fn values(&self) -> &[[u8; CHANNELS]] {
        &self.values
    }

    /// One row of pixels; empty outside of the picture.
    pub fn row(&self, y: usize) -> &[[u8; CHANNELS]] {
        let start = y.saturating_mul(self.width);
        self.values.get(start..start.saturating_add(self.width)).unwrap_or(&[])
    }

    /// One row of pixels, to be changed; empty outside of the picture.
    pub fn row_mut(&mut self, y: usize) -> &mut [[u8; CHANNELS]] {
        let start = y.saturating_mul(self.width);
        self.values.get_mut(start..start.saturating_add(self.width)).unwrap_or(&mut [])
    }

    /// A pixel; the nearest one outside of the picture, black if it has none.
    pub fn at(&self, x: usize, y: usize) -> [u8; CHANNELS] {
        let x = x.min(self.width.saturating_sub(1));
        let y = y.min(self.height.saturating_sub(1));
        self.values.get(y * self.width + x).copied().unwrap_or([0; CHANNELS])
    }

    /// The bytes, channel by channel, pixel by pixel, row by row.
    pub fn bytes(&self) -> &[u8] {
        self.values.as_flattened()
    }

    /// The part of a picture that begins at a column and a row, as far as there is one.
    #[must_use]
    pub fn part(&self, x: usize, y: usize, width: usize, height: usize) -> Self {
        let width = width.min(self.width.saturating_sub(x));
        let height = height.min(self.height.saturating_sub(y));
        Self::made(width, height, |column, row| self.at(x + column, y + row))
    }

    /// The picture turned clockwise.
    #[must_use]
    pub fn turned(&self, turn: Turn) -> Self {
        let (width, height) = (self.width, self.height);
        match turn {
            Turn::None => self.clone(),
            Turn::Quarter => Self::made(height, width, |x, y| self.at(y, height - 1 - x)),
            Turn::Half => Self::made(width, height, |x, y| self.at(width - 1 - x, height - 1 - y)),
            Turn::ThreeQuarters => Self::made(height, width, |x, y| self.at(width - 1 - y, x)),
        }
    }

    /// The picture made smaller by a whole factor: each pixel is the mean of a square. What does
    /// not fill a square at the right and at the bottom is left out.
    #[must_use]
    pub fn shrunk(&self, factor: usize) -> Self {
        if factor <= 1 {
            return self.clone();
        }
        let (width, height) = (self.width / factor, self.height / factor);
        let mut values = Vec::with_capacity(width * height);
        let squares = u32::try_from(factor * factor).unwrap_or(u32::MAX);
        for y in 0..height {
            let mut sums = vec![[squares / 2; CHANNELS]; width];
            for row in y * factor..(y + 1) * factor {
                for (sum, square) in sums.iter_mut().zip(self.row(row).chunks_exact(factor)) {
                    for pixel in square {
                        for (sum, value) in sum.iter_mut().zip(pixel) {
                            *sum += u32::from(*value);
                        }
                    }
                }
            }
            values.extend(
                sums.into_iter()
                    .map(|sum| sum.map(|sum| u8::try_from(sum / squares).unwrap_or(u8::MAX))),
            );
        }
        Self { width, height, values }
    }
}

impl Colour {
    /// Brightness, weighed as the eye does (the weights of ITU-R BT.601).
    pub fn to_grey(&self) -> Grey {
        let grey = |pixel: &[u8; 3]| {
            let [red, green, blue] = pixel.map(u32::from);
            [u8::try_from((299 * red + 587 * green + 114 * blue + 500) / 1000).unwrap_or(u8::MAX)]
        };
        let values = self.values.iter().map(grey).collect();
        Grey { width: self.width, height: self.height, values }
    }
}

impl Grey {
    /// The same picture with three equal channels.
    pub fn to_colour(&self) -> Colour {
        let values = self.values.iter().map(|[grey]| [*grey; 3]).collect();
        Colour { width: self.width, height: self.height, values }
    }
}

/// A count of pixels as a coordinate.
#[expect(clippy::cast_precision_loss, reason = "no picture has so many pixels in a row")]
pub(crate) const fn number(pixels: usize) -> f64 {
    pixels as f64
}

/// A mean of bytes as a byte.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a mean of bytes is between 0 and 255, and half of a step is added to round it"
)]
pub(crate) fn byte(mean: f64) -> u8 {
    (mean + 0.5) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbered(width: usize, height: usize) -> Grey {
        Grey::made(width, height, |x, y| [u8::try_from(y * width + x).unwrap()])
    }

    #[test]
    fn bytes_must_be_as_many_as_the_picture_needs() {
        assert!(Colour::of_bytes(2, 1, &[0; 6]).is_some());
        assert!(Colour::of_bytes(2, 1, &[0; 5]).is_none());
        assert!(Colour::of_bytes(usize::MAX, 2, &[0; 6]).is_none());
    }

    #[test]
    fn four_quarters_are_a_whole_turn() {
        let picture = numbered(3, 2);
        assert_eq!(picture.turned(Turn::Quarter).bytes(), [3, 0, 4, 1, 5, 2]);
        assert_eq!(picture.turned(Turn::Half).bytes(), [5, 4, 3, 2, 1, 0]);
        let there = picture.turned(Turn::Quarter);
        assert_eq!(there.turned(Turn::ThreeQuarters), picture);
        assert_eq!(there.turned(Turn::Quarter), picture.turned(Turn::Half));
    }

    #[test]
    fn a_smaller_picture_has_the_means_of_squares() {
        assert_eq!(numbered(5, 2).shrunk(2).bytes(), [3, 5]);
        assert_eq!(numbered(5, 2).shrunk(9).bytes(), [0_u8; 0]);
    }

    #[test]
    fn a_part_ends_where_the_picture_ends() {
        assert_eq!(numbered(4, 3).part(2, 1, 9, 9).bytes(), [6, 7, 10, 11]);
        assert_eq!(numbered(4, 3).part(9, 9, 1, 1).bytes(), [0_u8; 0]);
    }

    #[test]
    fn green_is_brighter_than_blue() {
        let picture = Colour::of_bytes(3, 1, &[255, 255, 255, 0, 255, 0, 0, 0, 255]).unwrap();
        assert_eq!(picture.to_grey().bytes(), [255, 150, 29]);
    }
}
