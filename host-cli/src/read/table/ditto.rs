//! Signs that stand for the cell above: a quote, two strokes, `ditto`.

use super::super::heading::{Column, Heading};
use crate::fold::Folded;
use crate::source::Cell;

/// Words for it.
const WORDS: &[&str] = &["ditto", "do", "as above", "same", "same as above", "idem"];

/// Whether a cell says that it is as the one above.
fn is_ditto(cell: &Cell) -> bool {
    let is_stroke = |c: char| {
        matches!(
            c,
            '"' | '\u{2033}' | '\u{201C}' | '\u{201D}' | '\u{201E}' | '\u{3003}' | '\u{2193}'
        )
    };
    let text = cell.text.as_str();
    let strokes = text.chars().filter(|c| is_stroke(*c)).count()
        + text.matches("''").count()
        + text.matches(",,").count();
    let others = |c: char| {
        !is_stroke(c)
            && !c.is_whitespace()
            && !matches!(c, '\'' | '-' | '\u{2013}' | '\u{2014}' | ',')
    };
    let folded = Folded::of(text);
    strokes > 0 && !text.contains(others) || WORDS.iter().any(|word| folded.is(word))
}

/// Fills such cells in from the row above. Labels and notes are each row's own.
pub(super) fn fill_in(heading: &Heading, cells: &mut [Cell], above: &[Cell]) {
    for (((column, _), cell), above) in heading.columns.iter().zip(cells).zip(above) {
        if !matches!(column, Column::Label | Column::Note | Column::Unit) && is_ditto(cell) {
            cell.text.clone_from(&above.text);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SheetId;

    #[test]
    fn strokes_and_words_mean_as_above_and_a_dash_does_not() {
        let is = |text: &str| is_ditto(&Cell::of(SheetId(0), text, 0..text.len()));
        for text in ["\"", "''", "-\"-", "\u{2014} \" \u{2014}", "ditto", "do.", "Same", "\u{3003}"]
        {
            assert!(is(text), "{text}");
        }
        for text in ["", "-", "'", "6\"", "unit 1", "no", "same room"] {
            assert!(!is(text), "{text}");
        }
    }
}
