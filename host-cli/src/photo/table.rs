//! The rows of a list, each cut into cells by both readings, and where its columns lie.

use super::columns::{Column, Order};
use super::decode::{Costs, Cut, Found, Glyph};
use super::engine::{EngineError, TextBox, TextEngine};
use super::look::{self, Looked, Piece, TIGHT, WIDE};
use super::reader::{first, second};
use super::rows::median;
use super::words::Words;
use crate::picture::Point;

/// One reading of a row.
#[derive(Clone, Debug)]
pub(super) struct Read {
    pub(super) glyphs: Vec<Glyph>,
    pub(super) cut: Cut,
}

/// A row by both readings.
#[derive(Clone, Debug)]
pub(super) struct TableRow {
    pub(super) line: usize,
    pub(super) reads: [Read; 2],
    /// Columns in which another order that fits as well has something else.
    pub(super) unclear: Vec<Column>,
}

/// Where the cells of a column lie along the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lane {
    pub(super) left: f64,
    pub(super) right: f64,
}

/// All rows of a list.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) order: Order,
    pub(super) rows: Vec<TableRow>,
    /// Where each column lies, by rows in which all was found; `None` where no two such rows are.
    pub(super) lanes: Vec<Option<Lane>>,
}

impl Read {
    /// The cell of a column, by its place in the order.
    pub(super) fn cell(&self, column: usize) -> Option<&Found> {
        self.cut.cells.get(column)?.as_ref()
    }

    /// Whether every cell was found and nothing is left over.
    fn is_whole(&self) -> bool {
        self.cut.left_over == 0 && self.cut.cells.iter().all(Option::is_some)
    }

    /// Where a cell begins and ends along the sheet.
    pub(super) fn extent(&self, found: &Found) -> (f64, f64) {
        let xs = || self.glyphs[found.start..found.end].iter().map(|glyph| glyph.x);
        (xs().fold(f64::MAX, f64::min), xs().fold(f64::MIN, f64::max))
    }
}

impl Table {
    /// Cuts every row by both readings. Where a cell is missing, the place where it should be is
    /// looked at by itself: small words alone in a cell are what is overlooked most.
    pub(super) fn of(
        engine: &dyn TextEngine,
        looked: &mut Looked,
        lines: &[usize],
        orders: &[Order],
        words: &Words,
    ) -> Result<Self, EngineError> {
        let order = orders.first().cloned().unwrap_or_default();
        let rows = lines.iter().map(|line| row(looked, *line, orders, words)).collect();
        let mut table = Self { lanes: vec![None; order.len()], order, rows };
        table.lanes = (0..table.order.len()).map(|column| table.lane(column)).collect();
        for at in 0..table.rows.len() {
            if table.fill_holes(engine, looked, at)? {
                table.rows[at] = row(looked, table.rows[at].line, orders, words);
            }
        }
        Ok(table)
    }

    fn lane(&self, column: usize) -> Option<Lane> {
        let whole = self.rows.iter().map(|row| &row.reads[0]).filter(|read| read.is_whole());
        let extents: Vec<(f64, f64)> =
            whole.filter_map(|read| Some(read.extent(read.cell(column)?))).collect();
        if extents.len() < 2 {
            return None;
        }
        let left = median(extents.iter().map(|extent| extent.0).collect());
        let right = median(extents.iter().map(|extent| extent.1).collect());
        Some(Lane { left, right })
    }

    /// Whether a cell stands where its column lies: nearer to it than to any other.
    pub(super) fn stands_in_lane(&self, read: &Read, column: usize) -> bool {
        let (Some(found), Some(own)) = (read.cell(column), self.lanes[column]) else {
            return false;
        };
        let (left, right) = read.extent(found);
        let off = |lane: Lane| {
            let middle = (lane.left + lane.right - left - right).abs() / 2.0;
            (lane.left - left).abs().min((lane.right - right).abs()).min(middle)
        };
        let others = self.lanes.iter().enumerate().filter(|(at, _)| *at != column);
        let nearest = others.filter_map(|(_, lane)| lane.map(off)).fold(f64::MAX, f64::min);
        // Lanes may lie close together, but never so close that half of the way is doubtful.
        off(own) * 2.0 < nearest
    }

    /// Adds boxes where a row lacks cells. Says whether any was added.
    fn fill_holes(
        &self,
        engine: &dyn TextEngine,
        looked: &mut Looked,
        at: usize,
    ) -> Result<bool, EngineError> {
        let row = &self.rows[at];
        let mut added = false;
        for column in 0..self.order.len() {
            let Some(lane) = self.lanes[column] else { continue };
            if row.reads.iter().any(|read| read.cell(column).is_some()) {
                continue;
            }
            let high = look::usual_height(&looked.pieces);
            let lane = Lane { left: lane.left - 0.7 * high, right: lane.right + 0.7 * high };
            let taken = looked.lines[row.line].boxes.iter().any(|one| {
                let piece = &looked.pieces[*one];
                piece.right().min(lane.right) - piece.left().max(lane.left)
                    > 0.3 * (lane.right - lane.left)
            });
            let Some(corners) = place(looked, row.line, lane).filter(|_| !taken) else { continue };
            let first = look::read(engine, &looked.photo, &looked.sheet, &corners, TIGHT)?;
            if !first.iter().any(|sign| sign.sign.is_alphanumeric()) {
                continue;
            }
            let second = look::read(engine, &looked.photo, &looked.sheet, &corners, WIDE)?;
            let text = TextBox { corners, confidence: 0.0 };
            looked.pieces.push(Piece { text, first, second: Some(second) });
            let new = looked.pieces.len() - 1;
            looked.lines[row.line].boxes.push(new);
            let Looked { lines, pieces, .. } = looked;
            lines[row.line]
                .boxes
                .sort_by(|one, other| pieces[*one].left().total_cmp(&pieces[*other].left()));
            added = true;
        }
        Ok(added)
    }
}

/// Cuts a line by both readings, with the columns in which the orders differ.
fn row(looked: &Looked, line: usize, orders: &[Order], words: &Words) -> TableRow {
    let by_orders = |glyphs: Vec<Glyph>| -> (Read, Vec<Column>) {
        let costs = Costs::of(&glyphs, words);
        let mut ways = orders.iter().map(|order| costs.cut(order));
        let first = ways.next().unwrap_or_default();
        let value = |cut: &Cut, order: &Order, column: Column| {
            let at = order.iter().position(|own| *own == column)?;
            cut.cells.get(at)?.as_ref().map(|found| found.value.clone())
        };
        let mut unclear = Vec::new();
        for (cut, order) in ways.zip(orders.iter().skip(1)) {
            let differs =
                |column: &Column| value(&cut, order, *column) != value(&first, &orders[0], *column);
            unclear.extend(Column::ALL.into_iter().filter(differs));
        }
        (Read { cut: first, glyphs: glyphs.clone() }, unclear)
    };
    let (one, unclear) = by_orders(first(looked, line));
    let (other, _) = by_orders(second(looked, line));
    TableRow { line, reads: [one, other], unclear }
}

/// The corners of a place in a line, by the boxes to its left and right.
fn place(looked: &Looked, row: usize, lane: Lane) -> Option<[Point; 4]> {
    let boxes: Vec<&Piece> = looked.lines[row].boxes.iter().map(|at| &looked.pieces[*at]).collect();
    let middle = |piece: &Piece| {
        let [a, _, c, _] = piece.text.corners;
        Point::new(f64::midpoint(a.x, c.x), f64::midpoint(a.y, c.y))
    };
    let before = boxes.iter().rev().find(|piece| piece.right() < lane.left + 1.0);
    let behind = boxes.iter().find(|piece| piece.left() > lane.right - 1.0);
    let (from, to) = match (before, behind) {
        (Some(before), Some(behind)) => (middle(before), middle(behind)),
        // At an end of the line its last two boxes tell the slope.
        _ => (middle(boxes.first()?), middle(boxes.last()?)),
    };
    if to.x - from.x < 1.0 {
        return None;
    }
    let high = median(
        boxes.iter().map(|piece| piece.text.corners[0].distance(piece.text.corners[3])).collect(),
    );
    let at = |x: f64, down: f64| {
        Point::new(x, from.y + (to.y - from.y) * (x - from.x) / (to.x - from.x) + down * high / 2.0)
    };
    Some([at(lane.left, -1.0), at(lane.right, -1.0), at(lane.right, 1.0), at(lane.left, 1.0)])
}
