//! Margins and columns of a width.

use super::Width;
use super::communication::BETWEEN;

/// How a width is divided.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    /// Empty at the edges.
    pub(super) margin: i32,
    /// Between the margins.
    pub(super) inside: i32,
    /// Width of a column.
    pub(super) column: i32,
}

impl Frame {
    pub(super) fn of(width: Width) -> Self {
        let margin = if width == Width::Phone { 10 } else { 16 };
        let inside = width.pixels() - 2 * margin;
        let columns = i32::try_from(width.columns()).unwrap_or(1);
        let column = (inside - (columns - 1) * BETWEEN) / columns;
        Self { margin, inside, column }
    }
}
