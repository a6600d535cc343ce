//! A page to print as pixels, with soft edges.

use coldcheck::picture::Grey;
use coldcheck::print::{Anchor, Face, Page, Shape, level, width};

/// Places each way at which a pixel is looked at.
const SAMPLES: u16 = 3;

/// Pixels with their scale: what a page is drawn on, and later filled on.
#[derive(Clone, Debug)]
pub struct Canvas {
    /// The pixels.
    pub picture: Grey,
    /// Pixels a millimetre.
    pub scale: f32,
}

impl Canvas {
    /// White paper of a size in millimetres.
    pub fn blank(width: f32, height: f32, scale: f32) -> Self {
        Self { picture: Grey::filled(whole(width * scale), whole(height * scale), [255]), scale }
    }

    /// A page as it is printed.
    pub fn of(page: &Page, scale: f32) -> Self {
        let mut canvas = Self::blank(page.width, page.height, scale);
        for shape in &page.shapes {
            canvas.draw(shape);
        }
        canvas
    }

    fn draw(&mut self, shape: &Shape) {
        match shape {
            Shape::Block { x, y, w, h, ink } => {
                let (left, top, right, bottom) = (*x, *y, x + w, y + h);
                self.put((left, top, right, bottom), level(*ink), |x, y| {
                    x >= left && x < right && y >= top && y < bottom
                });
            }
            Shape::Disc { x, y, radius, ink } => {
                let (x, y, radius) = (*x, *y, *radius);
                let area = (x - radius, y - radius, x + radius, y + radius);
                self.put(area, level(*ink), |px, py| (px - x).hypot(py - y) < radius);
            }
            Shape::Outline { x, y, w, h, radius, stroke, ink } => {
                let (x, y, w, h, radius, half) = (*x, *y, *w, *h, *radius, stroke / 2.0);
                let area = (x - half, y - half, x + w + half, y + h + half);
                self.put(area, level(*ink), |px, py| {
                    let dx = (px - x - w / 2.0).abs() - (w / 2.0 - radius);
                    let dy = (py - y - h / 2.0).abs() - (h / 2.0 - radius);
                    let out = dx.max(0.0).hypot(dy.max(0.0)) + dx.max(dy).min(0.0);
                    (out - radius).abs() < half
                });
            }
            Shape::Text { x, y, anchor, face, text } => self.text((*x, *y), *anchor, *face, text),
        }
    }

    /// Signs as an eight of strokes: about the ink that letters have, and where they have it.
    fn text(&mut self, (x, y): (f32, f32), anchor: Anchor, face: Face, text: &str) {
        let wide = width(text, face);
        let mut left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - wide / 2.0,
            Anchor::End => x - wide,
        };
        let stroke = face.size * if face.bold { 0.13 } else { 0.085 };
        let high = face.size * 0.71;
        for sign in text.chars() {
            let advance = width(&sign.to_string(), face);
            if sign != ' ' {
                let (inner, top) = (advance * 0.8, y - high);
                for (dx, dy, w, h) in [
                    (0.0, 0.0, stroke, high),
                    (inner - stroke, 0.0, stroke, high),
                    (0.0, 0.0, inner, stroke),
                    (0.0, high - stroke, inner, stroke),
                ] {
                    let (x, y) = (left + advance * 0.1 + dx, top + dy);
                    self.draw(&Shape::Block { x, y, w, h, ink: face.ink });
                }
            }
            left += advance;
        }
    }

    /// Lays a shade over all places that are inside, as far as a pixel is.
    fn put(&mut self, area: (f32, f32, f32, f32), shade: u8, inside: impl Fn(f32, f32) -> bool) {
        self.blend(area, |x, y| if inside(x, y) { Some(f32::from(shade)) } else { None });
    }

    /// Lays what a place gives over the pixels, as far as a pixel is covered.
    fn blend(&mut self, area: (f32, f32, f32, f32), shade: impl Fn(f32, f32) -> Option<f32>) {
        let (left, top, right, bottom) = area;
        let scale = self.scale;
        let first = |at: f32| whole((at * scale).floor().max(0.0));
        let last = |at: f32, most: usize| whole((at * scale).ceil().max(0.0)).min(most);
        let (from_x, to_x) = (first(left), last(right, self.picture.width()));
        for y in first(top)..last(bottom, self.picture.height()) {
            let row = self.picture.row_mut(y);
            for (x, pixel) in row.iter_mut().enumerate().take(to_x).skip(from_x) {
                let (mut sum, mut count) = (0.0, 0.0);
                for sub in 0..SAMPLES * SAMPLES {
                    let part = |of: u16| (f32::from(of) + 0.5) / f32::from(SAMPLES);
                    let at = (number(x) + part(sub % SAMPLES), number(y) + part(sub / SAMPLES));
                    if let Some(shade) = shade(at.0 / scale, at.1 / scale) {
                        sum += shade;
                        count += 1.0;
                    }
                }
                let all = f32::from(SAMPLES * SAMPLES);
                let under = f32::from(pixel[0]);
                *pixel = [byte((sum + under * (all - count)) / all)];
            }
        }
    }

    /// Ink over what is there: it darkens, and never brightens. `ink` is how dark each place becomes.
    pub fn ink(&mut self, area: (f32, f32, f32, f32), ink: impl Fn(f32, f32) -> f32) {
        let (left, top, right, bottom) = area;
        let scale = self.scale;
        let (from_x, to_x) = (whole((left * scale).max(0.0)), whole((right * scale).max(0.0)));
        let (from_y, to_y) = (whole((top * scale).max(0.0)), whole((bottom * scale).max(0.0)));
        for y in from_y..to_y.min(self.picture.height()) {
            let row = self.picture.row_mut(y);
            for (x, pixel) in row.iter_mut().enumerate().take(to_x).skip(from_x) {
                let dark = ink((number(x) + 0.5) / scale, (number(y) + 0.5) / scale);
                if dark > 0.0 {
                    *pixel = [byte(f32::from(pixel[0]).min(255.0 * (1.0 - dark)))];
                }
            }
        }
    }

    /// A stroke of a pen.
    pub fn stroke(&mut self, from: (f32, f32), to: (f32, f32), wide: f32, dark: f32) {
        let half = wide / 2.0;
        let area = (
            from.0.min(to.0) - half,
            from.1.min(to.1) - half,
            from.0.max(to.0) + half,
            from.1.max(to.1) + half,
        );
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let square = (dx * dx + dy * dy).max(1e-6);
        self.ink(area, |x, y| {
            let part = (((x - from.0) * dx + (y - from.1) * dy) / square).clamp(0.0, 1.0);
            let off = (x - from.0 - part * dx).hypot(y - from.1 - part * dy);
            if off < half { dark } else { 0.0 }
        });
    }
}

/// A count as a coordinate.
#[allow(clippy::cast_precision_loss, reason = "counts of pixels")]
pub fn number(count: usize) -> f32 {
    count as f32
}

/// A coordinate as a count.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places within a picture"
)]
pub fn whole(value: f32) -> usize {
    value.max(0.0) as usize
}

/// A brightness.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within a byte")]
pub fn byte(value: f32) -> u8 {
    (value + 0.5).clamp(0.0, 255.0) as u8
}
