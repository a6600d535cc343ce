//! The conductors of one side of a unit.

use super::nets::{Bar, Line, Side};
use super::{CLOSE, PAD, ROW};
use crate::draw::measure::{Face, wrap};
use crate::draw::palette;
use crate::draw::scene::{Paint, Scene, Shape};

/// More lines than these are not drawn of one conductor's words.
const MOST_LINES: usize = 8;

/// Words in as many lines as it takes.
fn lines(text: &str, room: i32) -> Vec<String> {
    wrap(text, Face::PLAIN, room, MOST_LINES)
}

/// A row for so many lines of words.
pub(super) fn row_height(lines: &[String]) -> i32 {
    ROW + Face::PLAIN.line() * (i32::try_from(lines.len()).unwrap_or(1) - 1).max(0)
}

/// The rows of a side: the words of each, and the conductors beside them.
fn rows<'s>(side: &'s Side, bars: &[Bar], room: i32) -> Vec<(Vec<String>, &'s [Line])> {
    if side.lines.is_empty() || side.is_close(bars) {
        return vec![(lines(&side.words(), room), side.lines.as_slice())];
    }
    let each = side
        .lines
        .iter()
        .map(|line| (lines(&line.words(side.word, bars), room), std::slice::from_ref(line)));
    each.collect()
}

fn height((words, beside): &(Vec<String>, &[Line])) -> i32 {
    let count = i32::try_from(beside.len()).unwrap_or(1);
    let close = if count > 1 { count * CLOSE + 6 } else { 0 };
    row_height(words).max(close)
}

/// Height of one side of a unit whose words have this room.
pub(super) fn side_height(side: &Side, bars: &[Bar], room: i32) -> i32 {
    rows(side, bars, room).iter().map(height).sum()
}

/// Draws the conductors of one side of a unit and gives the height below them.
pub(super) fn draw_side(
    scene: &mut Scene,
    side: &Side,
    (x, y, w): (i32, i32, i32),
    bars: &[Bar],
    bar_x: &dyn Fn(i32) -> i32,
) -> i32 {
    let ink = if side.lines.is_empty() { palette::FAINT } else { palette::INK };
    let mut top = y;
    for row in rows(side, bars, w - 2 * PAD) {
        let all = height(&row);
        let (words, beside) = row;
        let count = i32::try_from(beside.len()).unwrap_or(1);
        let is_alone = count < 2;
        let first_line = if words.len() > 1 || is_alone { top } else { top + (all - ROW) / 2 };
        scene.lines(x + PAD, first_line, Face::PLAIN, ink, &words);
        let middle = if is_alone { top + ROW / 2 } else { top + all / 2 };
        let first = middle - (count - 1) * CLOSE / 2;
        for (at, line) in (0..).zip(beside) {
            draw_line(scene, line, (x + w, first + at * CLOSE), bars, bar_x);
        }
        top += all;
    }
    top
}

/// Draws a conductor from the edge of a unit to its bar, if that is drawn.
pub(super) fn draw_line(
    scene: &mut Scene,
    line: &Line,
    from: (i32, i32),
    bars: &[Bar],
    bar_x: &dyn Fn(i32) -> i32,
) {
    let Some(bar) = line.bar.filter(|bar| *bar < bars.len()) else { return };
    let to = (bar_x(i32::try_from(bar).unwrap_or(0)), from.1);
    let colour = bars[bar].colour();
    scene.draw(Shape::Line(vec![from, to], Paint::line(colour, 13, "")));
    scene.draw(Shape::Circle(to, 3, Paint::filled(colour)));
}
