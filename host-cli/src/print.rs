//! Pages to print, as shapes at places in millimetres: written as SVG or as PDF, drawn the same.
//!
//! Text is set in the plain sans serif face that every PDF reader has built in (Helvetica), so that
//! no font is carried along; its widths are known here, so that text can be centred and broken.

pub mod pdf;
pub mod qr;
pub mod svg;

/// Size of the paper, lying on its long side or standing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216: 297 by 210 mm.
    A4,
    /// ANSI Y14.1: 11 by 8.5 inches, 279.4 by 215.9 mm.
    Letter,
}

impl Paper {
    /// Both.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The longer and the shorter side, in millimetres.
    pub const fn sides(self) -> (f32, f32) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::Letter => (279.4, 215.9),
        }
    }

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }
}

/// Where a text's place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its beginning.
    Start,
    /// In its middle.
    Middle,
    /// At its end.
    End,
}

/// How a text looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Face {
    /// Size in millimetres (a point has 0.3528).
    pub size: f32,
    /// Whether it is bold.
    pub bold: bool,
    /// How dark: 0 is white, 1 black.
    pub ink: f32,
}

impl Face {
    /// Black text of a size in points.
    pub const fn plain(points: f32) -> Self {
        Self { size: points * MILLIMETRES_A_POINT, bold: false, ink: 1.0 }
    }

    /// Bold black text of a size in points.
    pub const fn bold(points: f32) -> Self {
        Self { size: points * MILLIMETRES_A_POINT, bold: true, ink: 1.0 }
    }

    /// The same text less dark.
    #[must_use]
    pub const fn grey(self, ink: f32) -> Self {
        Self { ink, ..self }
    }
}

/// A point of print.
pub const MILLIMETRES_A_POINT: f32 = 25.4 / 72.0;

/// Something on a page. Places are in millimetres from the upper left corner of the paper.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A filled rectangle.
    Block {
        /// Left side.
        x: f32,
        /// Upper side.
        y: f32,
        /// Width.
        w: f32,
        /// Height.
        h: f32,
        /// How dark: 0 is white, 1 black.
        ink: f32,
    },
    /// The outline of a rectangle with round ends of this radius, on the middle of the stroke.
    Outline {
        /// Left side.
        x: f32,
        /// Upper side.
        y: f32,
        /// Width.
        w: f32,
        /// Height.
        h: f32,
        /// Radius of its corners.
        radius: f32,
        /// Width of the stroke.
        stroke: f32,
        /// How dark.
        ink: f32,
    },
    /// A filled disc.
    Disc {
        /// Middle.
        x: f32,
        /// Middle.
        y: f32,
        /// Radius.
        radius: f32,
        /// How dark.
        ink: f32,
    },
    /// A line of text; `y` is its base line.
    Text {
        /// Where its anchor is.
        x: f32,
        /// Base line.
        y: f32,
        /// Which of its points is at `x`.
        anchor: Anchor,
        /// How it looks.
        face: Face,
        /// What it says.
        text: String,
    },
}

/// One sheet of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Width in millimetres.
    pub width: f32,
    /// Height in millimetres.
    pub height: f32,
    /// What is on it, from the ground up.
    pub shapes: Vec<Shape>,
}

impl Page {
    /// An empty page, lying or standing.
    pub const fn new(paper: Paper, lying: bool) -> Self {
        let (long, short) = paper.sides();
        let (width, height) = if lying { (long, short) } else { (short, long) };
        Self { width, height, shapes: Vec::new() }
    }

    /// Adds a filled rectangle.
    pub fn block(&mut self, (x, y): (f32, f32), (w, h): (f32, f32), ink: f32) {
        self.shapes.push(Shape::Block { x, y, w, h, ink });
    }

    /// Adds a filled disc.
    pub fn disc(&mut self, (x, y): (f32, f32), radius: f32, ink: f32) {
        self.shapes.push(Shape::Disc { x, y, radius, ink });
    }

    /// Adds an outline with sharp corners.
    pub fn frame(&mut self, (x, y): (f32, f32), (w, h): (f32, f32), stroke: f32, ink: f32) {
        self.shapes.push(Shape::Outline { x, y, w, h, radius: 0.0, stroke, ink });
    }

    /// Adds a text whose base line begins here.
    pub fn text(&mut self, (x, y): (f32, f32), face: Face, text: impl Into<String>) {
        self.shapes.push(Shape::Text { x, y, anchor: Anchor::Start, face, text: text.into() });
    }

    /// Adds a text around the middle of its base line.
    pub fn centred(&mut self, (x, y): (f32, f32), face: Face, text: impl Into<String>) {
        self.shapes.push(Shape::Text { x, y, anchor: Anchor::Middle, face, text: text.into() });
    }

    /// Adds a text in lines no wider than this, and gives the base line of the one that would follow.
    pub fn lines(&mut self, (x, y): (f32, f32), wide: f32, face: Face, text: &str) -> f32 {
        let mut base = y;
        for line in broken(text, face, wide) {
            self.text((x, base), face, line);
            base += face.size * LINE;
        }
        base
    }
}

/// The level of grey of an ink, 0 to 255.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float is cut to the range of a byte"
)]
pub fn level(ink: f32) -> u8 {
    ((1.0 - ink) * 255.0 + 0.5) as u8
}

/// Distance of two base lines, in sizes of the face.
pub const LINE: f32 = 1.22;

/// Widths of the signs from space to `~`, in thousandths of the size: the metrics of the built-in
/// face Helvetica (Adobe Core 14 AFM files; held against a font of the same metrics by a test).
const PLAIN: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];
/// The same for Helvetica Bold.
const BOLD: [u16; 95] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667,
    611, 778, 722, 278, 556, 722, 611, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556,
    278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584,
];

/// Width of a text in millimetres. A sign beyond ASCII counts as a wide one.
pub fn width(text: &str, face: Face) -> f32 {
    let table = if face.bold { &BOLD } else { &PLAIN };
    let advance = |sign: char| {
        let at = u32::from(sign).checked_sub(32).and_then(|at| usize::try_from(at).ok());
        at.and_then(|at| table.get(at)).copied().unwrap_or(722)
    };
    text.chars().map(|sign| f32::from(advance(sign))).sum::<f32>() * face.size / 1000.0
}

/// A text in lines no wider than this many millimetres; a longer word keeps a line of its own.
pub fn broken(text: &str, face: Face, wide: f32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(line, face) + width(" ", face) + width(word, face) <= wide => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) | None => lines.push(word.to_owned()),
        }
    }
    lines
}

/// A text cut to a width, with an ellipsis of three points where it is cut.
pub fn cut(text: &str, face: Face, wide: f32) -> String {
    if width(text, face) <= wide {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while !kept.is_empty() && width(&kept, face) + width("...", face) > wide {
        kept.pop();
    }
    format!("{}...", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_to_their_width_and_to_the_words() {
        let face = Face::plain(8.0);
        let text = "Fill the bubble wholly, and nothing beside it.";
        let lines = broken(text, face, 25.0);
        assert!(lines.len() > 1 && lines.iter().all(|line| width(line, face) <= 25.0));
        assert_eq!(lines.join(" "), text);
    }

    #[test]
    fn what_is_too_wide_is_cut_and_shows_it() {
        let face = Face::bold(9.0);
        let short = cut("a very long name of a unit", face, 20.0);
        assert!(short.ends_with("...") && width(&short, face) <= 20.0);
        assert_eq!(cut("unit 1", face, 20.0), "unit 1");
    }
}
