//! What a text engine does, whichever it is: it finds text, and it reads a strip of it.

use crate::picture::{Colour, Point};
use std::fmt;

/// How high a strip of text is, in pixels.
pub const STRIP_HEIGHT: usize = 48;

/// Why an engine gives no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EngineError(pub String);

impl fmt::Display for EngineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A place where text stands: four corners along its writing, top left first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TextBox {
    /// Top left, top right, bottom right, bottom left.
    pub corners: [Point; 4],
    /// How sure the engine is that it is text.
    pub confidence: f32,
}

/// One sign that was read in a strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sign {
    /// The sign.
    pub sign: char,
    /// How sure the engine is of it.
    pub confidence: f32,
    /// The best other sign at this place, and how sure the engine is of that.
    pub other: Option<(char, f32)>,
    /// The middle of it, as a part of the strip's width.
    pub at: f32,
}

/// A program that finds and reads text.
pub trait TextEngine {
    /// Where text stands in a picture.
    fn find(&self, picture: &Colour) -> Result<Vec<TextBox>, EngineError>;

    /// The signs of one line of text, from left to right. The strip is [`STRIP_HEIGHT`] high.
    fn read(&self, strip: &Colour) -> Result<Vec<Sign>, EngineError>;

    /// The size of the picture in which text is best sought: its longer side.
    fn finding_side(&self) -> usize;
}
