//! From a photograph to a list: the one way through all of it.

use super::cells;
use super::columns::{Column, Order, orders, turned};
use super::decode::{Costs, Cut, Glyph};
use super::engine::{EngineError, TextEngine};
use super::heading;
use super::list::List;
use super::look::{self, Looked, Piece, WIDE};
use super::sheet::Sheet;
use super::table::Table;
use super::words::Words;
use crate::picture::Colour;

/// A list, and the photograph that it was read in.
pub struct Reading {
    /// What was read.
    pub list: List,
    /// The photograph, as it was turned for reading.
    pub photo: Colour,
    /// Where the sheet lies in it.
    pub sheet: Sheet,
}

/// A line that costs more than this is no row of the list: the worst row that can be read at all
/// has half of its cells.
const NO_ROW: f32 = 6.5;

/// Orders whose costs differ by less than this fit equally well.
const AS_GOOD: f32 = 1.0;

/// Reads a photograph. `None` if there is no list in it.
///
/// # Errors
/// If the text engine gives no answer.
pub fn read(
    engine: &dyn TextEngine,
    photo: Colour,
    words: &Words,
    progress: &mut dyn FnMut(f32),
) -> Result<Option<Reading>, EngineError> {
    let Some(mut looked) = look::look(engine, photo, progress)? else { return Ok(None) };
    let firsts: Vec<Vec<Glyph>> = (0..looked.lines.len()).map(|at| first(&looked, at)).collect();
    let costs: Vec<Costs<'_>> = firsts.iter().map(|line| Costs::of(line, words)).collect();
    let ranked = ranked(&costs);
    let Some((order, _)) = ranked.first() else { return Ok(None) };
    let is_row: Vec<bool> = costs.iter().map(|costs| is_row(&costs.cut(order), order)).collect();
    drop(costs);
    let (Some(top), Some(bottom)) =
        (is_row.iter().position(|is| *is), is_row.iter().rposition(|is| *is))
    else {
        return Ok(None);
    };
    // A line among the rows, or right beside them, that has boxes of several columns is a row that
    // was read badly: a person must see it, and it must not be lost among the notes.
    let is_row: Vec<bool> = (0..is_row.len())
        .map(|at| {
            let beside = at + 1 >= top && at <= bottom + 1 && looked.lines[at].boxes.len() >= 3;
            is_row[at] || (beside && !is_heading(&looked, at))
        })
        .collect();
    let top = is_row.iter().position(|is| *is).unwrap_or(top);
    let headings = headings(&looked, top);
    let turn = |order: &Order| if headings.to_before_from { turned(order) } else { order.clone() };
    let orders: Vec<Order> = ranked.iter().map(|(order, _)| turn(order)).collect();
    let rows: Vec<usize> = (0..is_row.len()).filter(|at| is_row[*at]).collect();
    let notes = notes(&looked, &is_row);
    let unit = headings.unit.or_else(|| notes.iter().find_map(|note| heading::unit_in_note(note)));
    look_again(engine, &mut looked, &rows, progress)?;
    let table = Table::of(engine, &mut looked, &rows, &orders, words)?;
    let list = cells::list(&table, &looked, words, unit, notes);
    progress(1.0);
    Ok(Some(Reading { list, photo: looked.photo, sheet: looked.sheet }))
}

/// The signs of a line as they were read first.
pub(super) fn first(looked: &Looked, line: usize) -> Vec<Glyph> {
    look::glyphs(pieces(looked, line), |piece| &piece.first)
}

/// The signs of a line as they were read the second time.
pub(super) fn second(looked: &Looked, line: usize) -> Vec<Glyph> {
    look::glyphs(pieces(looked, line), |piece| piece.second.as_ref().unwrap_or(&piece.first))
}

fn pieces(looked: &Looked, line: usize) -> impl Iterator<Item = &Piece> {
    looked.lines[line].boxes.iter().map(|at| &looked.pieces[*at])
}

/// Orders of columns by what they cost over all lines, the cheapest first, as far as they are
/// nearly as good as it. A line that is no row costs every order the same.
fn ranked(costs: &[Costs<'_>]) -> Vec<(Order, f32)> {
    let all = orders();
    let mut ranked: Vec<(Order, f32)> = all
        .into_iter()
        .map(|order| {
            let line = |costs: &Costs<'_>| costs.cut(&order).cost.min(NO_ROW);
            let cost = costs.iter().map(line).sum();
            (order, cost)
        })
        .collect();
    ranked.sort_by(|left, right| left.1.total_cmp(&right.1));
    let least = ranked.first().map_or(0.0, |(_, cost)| *cost);
    ranked.retain(|(_, cost)| *cost < least + AS_GOOD);
    ranked
}

/// Whether a line is a row of the list: half of its cells are words that can stand there, one of
/// them a unit.
fn is_row(cut: &Cut, order: &Order) -> bool {
    let good = |column: Column, cut: &Cut| {
        let at = order.iter().position(|own| *own == column);
        let cell = at.and_then(|at| cut.cells.get(at)?.as_ref());
        cell.is_some_and(|cell| cell.cost < 1.0)
    };
    let count = order.iter().filter(|column| good(**column, cut)).count();
    let has_unit = good(Column::FromUnit, cut) || good(Column::ToUnit, cut);
    cut.cost < NO_ROW && has_unit && count >= 2 && 2 * count >= order.len()
}

/// Whether a line is one of headings.
fn is_heading(looked: &Looked, line: usize) -> bool {
    let words: Vec<String> = pieces(looked, line).map(Piece::words).collect();
    let known = heading::told(&words).known;
    known >= 2 && 2 * known >= words.len()
}

/// What the line above the first row says, if it is one of headings.
fn headings(looked: &Looked, top: usize) -> heading::Told {
    let lines = (0..top).rev().take(2);
    let told = lines.map(|line| {
        let words: Vec<String> = pieces(looked, line).map(Piece::words).collect();
        heading::told(&words)
    });
    told.max_by_key(|told| told.known).filter(|told| told.known >= 2).unwrap_or_default()
}

/// The text of every line that is no row.
fn notes(looked: &Looked, is_row: &[bool]) -> Vec<String> {
    let others = (0..looked.lines.len()).filter(|at| !is_row[*at]);
    let text = |line| pieces(looked, line).map(Piece::words).collect::<Vec<_>>().join("  ");
    others.map(text).filter(|text| !text.is_empty()).collect()
}

/// Reads the boxes of all rows a second time.
fn look_again(
    engine: &dyn TextEngine,
    looked: &mut Looked,
    rows: &[usize],
    progress: &mut dyn FnMut(f32),
) -> Result<(), EngineError> {
    let count = rows.len().max(1) as f32;
    for (done, line) in rows.iter().enumerate() {
        let boxes = looked.lines[*line].boxes.clone();
        for (place, at) in boxes.iter().enumerate() {
            let piece = &looked.pieces[*at];
            let corners = piece.text.corners;
            let high = corners[0].distance(corners[3]).max(1.0);
            let before = place.checked_sub(1).map(|before| looked.pieces[boxes[before]].right());
            let behind = boxes.get(place + 1).map(|behind| looked.pieces[*behind].left());
            let to_left = before.map_or(f64::MAX, |before| (piece.left() - before) / high);
            let to_right = behind.map_or(f64::MAX, |behind| (behind - piece.right()) / high);
            let cutting = WIDE.held(to_left, to_right);
            let signs = look::read(engine, &looked.photo, &looked.sheet, &corners, cutting)?;
            looked.pieces[*at].second = Some(signs);
        }
        progress(0.65 + 0.25 * done as f32 / count);
    }
    Ok(())
}
