//! A sheet on a bench as a telephone sees it: askew, curled, in shadow, out of focus, noisy, packed.

use super::raster::{byte, number};
use super::{happens, within};
use crate::generate::Dice;
use coldcheck::picture::{Grey, Homography, Point};
use image::{ExtendedColorType, ImageFormat};
use std::io::Cursor;

/// How a picture was taken.
#[derive(Clone, Debug)]
pub struct Shot {
    /// Size of the picture.
    pub size: (usize, usize),
    /// Where the corners of the paper are in the picture, clockwise from its upper left one.
    pub corners: [Point; 4],
    /// How far the paper bulges, in millimetres, along its long side.
    pub curl: (f32, f32),
    /// How far the lens bends lines outward or inward, as a part of the picture.
    pub barrel: f64,
    /// Brightness of paper at the left, the right, the upper and the lower side.
    pub light: [f32; 4],
    /// A shadow: how dark, where its edge runs, how soft it is in pixels.
    pub shadow: Option<(f32, f32, f32, f32)>,
    /// Spread of the blur, in pixels.
    pub blur: f32,
    /// Spread of the noise.
    pub noise: f32,
    /// Quality of the packing, 1 to 100.
    pub quality: u8,
    /// Whether it shows the sheet as a mirror does.
    pub mirrored: bool,
}

impl Shot {
    /// A picture as people take them. `hard` is from 0 (on a scanner) to 1.
    pub fn at_random(dice: &mut Dice, paper: (f32, f32), hard: f32) -> Self {
        let wide = 1700 + 4 * dice.roll(500);
        let size = (wide, wide * 3 / 4);
        let (width, height) = (number(size.0), number(size.1));
        // The sheet fills 78 to 96 hundredths of the picture.
        let fill = within(dice, 0.78, 0.96);
        let scale = (width / paper.0).min(height / paper.1) * fill;
        let turn = within(dice, -0.07, 0.07) * hard;
        let tilt = 0.055 * hard;
        let (half_wide, half_high) = (paper.0 * scale / 2.0, paper.1 * scale / 2.0);
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| {
            let (x, y): (f32, f32) = (
                x * half_wide * (1.0 - within(dice, 0.0, tilt)),
                y * half_high * (1.0 - within(dice, 0.0, tilt)),
            );
            let (x, y) = (x * turn.cos() - y * turn.sin(), x * turn.sin() + y * turn.cos());
            Point::new(f64::from(width / 2.0 + x), f64::from(height / 2.0 + y))
        });
        let brightness = within(dice, 130.0, 240.0);
        let mut side = || brightness * (1.0 - within(dice, 0.0, 0.3) * hard);
        let light = [side(), side(), side(), side()];
        let shadow = happens(dice, 0.5 * hard).then(|| {
            let angle = within(dice, 0.0, std::f32::consts::TAU);
            (
                within(dice, 0.2, 0.55),
                angle,
                within(dice, -0.3, 0.3) * width,
                within(dice, 2.0, 60.0),
            )
        });
        Self {
            size,
            corners,
            curl: (within(dice, -2.5, 2.5) * hard, within(dice, -1.5, 1.5) * hard),
            barrel: f64::from(within(dice, -0.012, 0.012) * hard),
            light,
            shadow,
            blur: within(dice, 0.3, 0.4 + 1.1 * hard),
            noise: within(dice, 0.5, 1.0 + 5.0 * hard),
            quality: 60 + u8::try_from(dice.roll(36)).expect("small"),
            mirrored: false,
        }
    }

    /// Takes the picture of a sheet of a size in millimetres.
    pub fn take(&self, sheet: &Grey, paper: (f32, f32), dice: &mut Dice) -> Grey {
        let (width, height) = (number(sheet.width()), number(sheet.height()));
        let flat = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
            .map(|(x, y)| Point::new(f64::from(x), f64::from(y)));
        let to_sheet = Homography::of_corners(self.corners, flat).expect("four corners");
        let scale = width / paper.0;
        let desk = within(dice, 40.0, 120.0);
        let (wide, high) = (number(self.size.0), number(self.size.1));
        let mut seen = vec![0.0_f32; self.size.0 * self.size.1];
        for y in 0..self.size.1 {
            for x in 0..self.size.0 {
                let (px, py) = (number(x) + 0.5, number(y) + 0.5);
                let mut sum = 0.0;
                for (right, down) in [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)] {
                    let place = self.bent(px + right, py + down, wide, high);
                    let on = to_sheet.map(place);
                    sum += self.reflected(sheet, on, scale, (width, height), desk);
                }
                seen[y * self.size.0 + x] = sum / 4.0 * self.lit(px, py, wide, high) / 255.0;
            }
        }
        blurred(&mut seen, self.size.0, self.blur);
        let picture =
            Grey::made(self.size.0, self.size.1, |x, y| [byte(seen[y * self.size.0 + x])]);
        let picture = self.noisy(picture, dice);
        let picture = if self.mirrored {
            Grey::made(picture.width(), picture.height(), |x, y| {
                picture.at(picture.width() - 1 - x, y)
            })
        } else {
            picture
        };
        packed(&picture, self.quality)
    }

    /// Where the lens brings a place from.
    fn bent(&self, x: f32, y: f32, wide: f32, high: f32) -> Point {
        let (dx, dy) = (f64::from(x / wide - 0.5), f64::from((y - high / 2.0) / wide));
        let stretch = 1.0 + self.barrel * (dx * dx + dy * dy) * 4.0;
        Point::new(
            f64::from(wide) * (0.5 + dx * stretch),
            f64::from(high) / 2.0 + f64::from(wide) * dy * stretch,
        )
    }

    /// What a place of the sheet, or of the bench beside it, reflects.
    fn reflected(&self, sheet: &Grey, on: Point, scale: f32, size: (f32, f32), desk: f32) -> f32 {
        #[allow(clippy::cast_possible_truncation, reason = "places of a picture")]
        let (x, y) = (on.x as f32, on.y as f32);
        // A curled sheet: points between its ends are moved up or down, and a little along.
        let along = (x / size.0).clamp(0.0, 1.0);
        let bulge = 4.0 * along * (1.0 - along);
        let twist = (along - 0.5) * bulge;
        let y = y + (self.curl.0 * bulge + self.curl.1 * twist * 2.0) * scale;
        if x < 0.0 || y < 0.0 || x >= size.0 || y >= size.1 {
            let grain = ((x * 0.013).sin() + (y * 0.041 + x * 0.003).sin()) * 12.0;
            return desk + grain;
        }
        let (x, y) = ((x - 0.5).max(0.0), (y - 0.5).max(0.0));
        let (left, top) = (super::raster::whole(x), super::raster::whole(y));
        let (right, down) = (x - number(left), y - number(top));
        let at = |x: usize, y: usize| f32::from(sheet.at(x, y)[0]);
        let upper = at(left, top) * (1.0 - right) + at(left + 1, top) * right;
        let lower = at(left, top + 1) * (1.0 - right) + at(left + 1, top + 1) * right;
        // Toner reflects some light, too.
        22.0 + (upper * (1.0 - down) + lower * down) * (233.0 / 255.0)
    }

    fn lit(&self, x: f32, y: f32, wide: f32, high: f32) -> f32 {
        let (u, v) = (x / wide, y / high);
        let [left, right, upper, lower] = self.light;
        let plain = f32::midpoint(left + (right - left) * u, upper + (lower - upper) * v);
        let shade = self.shadow.map_or(0.0, |(dark, angle, off, soft)| {
            let far = (x - wide / 2.0) * angle.cos() + (y - high / 2.0) * angle.sin() - off;
            dark / (1.0 + (-far / soft * 4.0).exp())
        });
        plain * (1.0 - shade)
    }

    fn noisy(&self, mut picture: Grey, dice: &mut Dice) -> Grey {
        for y in 0..picture.height() {
            for pixel in picture.row_mut(y) {
                // The sum of four is round enough.
                let sum: usize = (0..2).map(|_| dice.roll(201)).sum();
                let off = (f32::from(u16::try_from(sum).expect("small")) / 100.0 - 2.0) * 1.2;
                *pixel = [byte(f32::from(pixel[0]) + off * self.noise)];
            }
        }
        picture
    }
}

/// A blur of a spread in pixels: three passes of a box come near to a bell.
fn blurred(values: &mut [f32], width: usize, spread: f32) {
    let radius = spread;
    for _ in 0..2 {
        for row in values.chunks_mut(width) {
            softened(row, radius);
        }
        let height = values.len() / width;
        let mut column = vec![0.0; height];
        for x in 0..width {
            for (y, value) in column.iter_mut().enumerate() {
                *value = values[y * width + x];
            }
            softened(&mut column, radius);
            for (y, value) in column.iter().enumerate() {
                values[y * width + x] = *value;
            }
        }
    }
}

/// A box whose edges may lie within a pixel.
fn softened(line: &mut [f32], radius: f32) {
    let source = line.to_vec();
    let full = super::raster::whole(radius);
    let edge = radius - number(full);
    let weight = 1.0 + 2.0 * radius;
    let last = source.len() - 1;
    for (at, value) in line.iter_mut().enumerate() {
        let near = |off: isize| source[at.saturating_add_signed(off).min(last)];
        let mut sum = near(0);
        for off in 1..=isize::try_from(full).expect("small") {
            sum += near(off) + near(-off);
        }
        let off = isize::try_from(full + 1).expect("small");
        *value = (sum + edge * (near(off) + near(-off))) / weight;
    }
}

/// A picture packed as JPEG and unpacked again.
pub fn packed(picture: &Grey, quality: u8) -> Grey {
    let bytes = jpeg(picture, quality);
    let read = image::load_from_memory_with_format(&bytes, ImageFormat::Jpeg).expect("just packed");
    Grey::of_bytes(picture.width(), picture.height(), read.to_luma8().as_raw())
        .expect("the same size")
}

/// A picture as a JPEG file.
pub fn jpeg(picture: &Grey, quality: u8) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let size = |pixels: usize| u32::try_from(pixels).expect("small");
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, quality)
        .encode(
            picture.bytes(),
            size(picture.width()),
            size(picture.height()),
            ExtendedColorType::L8,
        )
        .expect("a picture can be packed");
    bytes.into_inner()
}
