//! From rows that were cut into stretches to the cells of a list: text, state, other readings.

use super::accept::{self, Seen};
use super::columns::Column;
use super::decode::{Found, is_stroke};
use super::ink;
use super::list::{Cell, Certainty, Doubt, List, Row};
use super::look::{Looked, Piece};
use super::number;
use super::similar::distance;
use super::table::{Read, Table, TableRow};
use super::words::{Word, Words};
use crate::picture::{Grey, Point};

/// A box further off its line, as a part of the distance to the next line, may belong to that one.
const OFF_LINE: f64 = 0.33;

/// Words that cost no more than this above what was read are shown as other readings.
const NEAR: f32 = 1.3;

/// More other readings help nobody.
const MOST_ALTERNATIVES: usize = 4;

/// The list of a table.
pub(super) fn list(
    table: &Table,
    looked: &Looked,
    words: &Words,
    unit: Option<&'static str>,
    notes: Vec<String>,
) -> List {
    let columns: Vec<Column> =
        Column::ALL.into_iter().filter(|column| table.order.contains(column)).collect();
    let build = |row: &TableRow| Row {
        cells: columns
            .iter()
            .map(|column| cell(table, row, *column, looked, words, unit))
            .collect(),
    };
    let mut list = List {
        rows: table.rows.iter().map(build).collect(),
        columns,
        notes,
        length_unit_stated: unit.is_some() || any_unit(table),
    };
    settle_labels(&mut list);
    list
}

/// Whether any length has its unit beside it.
fn any_unit(table: &Table) -> bool {
    let cells = table.rows.iter().flat_map(|row| row.reads[0].cut.cells.iter().flatten());
    cells.into_iter().any(|found| !found.unit.is_empty())
}

fn cell(
    table: &Table,
    row: &TableRow,
    column: Column,
    looked: &Looked,
    words: &Words,
    unit: Option<&'static str>,
) -> Cell {
    let at = table.order.iter().position(|own| *own == column).unwrap_or(0);
    let [one, other] = row.reads.each_ref().map(|read| seen(read, at));
    let text = |seen: &Seen| value(&seen.found, column, unit);
    let corners = corners(table, row, at, looked);
    let whole = Cell {
        text: String::new(),
        state: Certainty::Unread,
        confidence: 0.0,
        alternatives: Vec::new(),
        doubt: Some(Doubt::NothingRead),
        corners,
        frame: looked.sheet.frame(corners),
        photo: 0,
    };
    let judged = match (&one, &other) {
        (None, None) => return whole,
        (Some(only), None) | (None, Some(only)) => (text(only), 0.0, Err(Doubt::ReadingsDiffer)),
        (Some(first), Some(second)) => {
            let judged =
                judge(column, first, second, words).and_then(|()| clear(table, row, at, looked));
            let judged = if column == Column::Length {
                by_ink(judged, first, &row.reads[0], corners, looked)
            } else {
                judged
            };
            // Where the readings differ, the one that had to bend less is shown first.
            let better = if second.found.cost < first.found.cost { second } else { first };
            (text(better), accept::confidence(first, second), judged)
        }
    };
    let (text_read, confidence, judged) = judged;
    let others = [&one, &other].into_iter().flatten().map(text);
    let mut alternatives: Vec<String> = others.collect();
    let seen = one.iter().chain(&other);
    match column {
        Column::Length => alternatives.extend(with_decimal_sign(&text_read)),
        Column::Label => {}
        Column::FromUnit | Column::ToUnit => {
            seen.for_each(|seen| near(seen, &words.units, &mut alternatives));
        }
        Column::FromPort | Column::ToPort => {
            seen.for_each(|seen| near(seen, &words.ports, &mut alternatives));
        }
        Column::Kind => seen.for_each(|seen| near(seen, &words.kinds, &mut alternatives)),
    }
    let mut cell = Cell { text: text_read, confidence, ..whole };
    match judged {
        Ok(()) => (cell.state, cell.doubt) = (Certainty::Sure, None),
        Err(doubt) => {
            (cell.state, cell.doubt) = (Certainty::Doubtful, Some(doubt));
            offer(&mut cell, alternatives);
        }
    }
    cell
}

fn seen(read: &Read, column: usize) -> Option<Seen> {
    let found = read.cell(column)?.clone();
    let signs = read.glyphs[found.start..found.end].to_vec();
    Some(Seen { found, signs })
}

/// The value in the words of the output: a length without a unit of its own has that of the sheet.
fn value(found: &Found, column: Column, unit: Option<&'static str>) -> String {
    let of_sheet = unit.filter(|_| column == Column::Length && found.unit.is_empty());
    of_sheet
        .and_then(|unit| number::metres(&found.value, unit))
        .unwrap_or_else(|| found.value.clone())
}

fn judge(column: Column, first: &Seen, second: &Seen, words: &Words) -> Result<(), Doubt> {
    match column {
        Column::Label => accept::label(first, second),
        Column::Length => accept::length(first, second),
        Column::FromUnit | Column::ToUnit => accept::word(first, second, &words.units),
        Column::FromPort | Column::ToPort => accept::word(first, second, &words.ports),
        Column::Kind => accept::word(first, second, &words.kinds),
    }
}

/// A length beside its ink: no more signs than were read, and no room for a decimal sign that was
/// not.
fn by_ink(
    judged: Result<(), Doubt>,
    seen: &Seen,
    read: &Read,
    corners: [Point; 4],
    looked: &Looked,
) -> Result<(), Doubt> {
    let lost_sign = judged == Err(Doubt::NoDecimalSign);
    let Some((digits, _)) = seen.found.length.filter(|_| lost_sign || judged.is_ok()) else {
        return judged;
    };
    let Some(ink) = number_strip(&seen.found, read, corners, looked)
        .and_then(|strip| ink::count(&strip, digits, !seen.found.unit.is_empty()))
    else {
        return judged;
    };
    if ink.signs > digits {
        return Err(Doubt::InkBeside);
    }
    if lost_sign && ink.signs == digits && ink.gaps_are_empty { Ok(()) } else { judged }
}

/// A number without its unit, with some room on its left, where digits are lost.
fn number_strip(found: &Found, read: &Read, corners: [Point; 4], looked: &Looked) -> Option<Grey> {
    const HEIGHT: usize = 64;
    let [a, b, c, d] = corners;
    let high = a.distance(d);
    let at = |sign: usize| read.glyphs.get(sign).map(|glyph| (glyph.x, glyph.piece));
    let first = at(found.start)?;
    let stands_first =
        found.start.checked_sub(1).and_then(at).is_none_or(|before| before.1 != first.1);
    let room = if stands_first { 0.5 * high / a.distance(b).max(1.0) } else { 0.0 };
    // The unit begins half of the way from the last digit to its first letter.
    let unit = found.end - found.unit.len();
    let until = match (at(unit - 1), at(unit).filter(|_| unit < found.end)) {
        (Some(digit), Some(letter)) => {
            let border = f64::midpoint(digit.0, letter.0);
            ((border - a.x.min(d.x)) / (b.x - a.x).max(1.0)).clamp(0.1, 1.0)
        }
        (_, _) => 1.0,
    };
    let along = |from: Point, to: Point, part: f64| {
        Point::new(from.x + (to.x - from.x) * part, from.y + (to.y - from.y) * part)
    };
    let corners = [along(a, b, -room), along(a, b, until), along(d, c, until), along(d, c, -room)];
    let long = corners[0].distance(corners[1]);
    let width = (HEIGHT as f64 * long / high.max(1.0)).round().clamp(16.0, 2000.0);
    Some(looked.sheet.view(&looked.photo, corners, width as usize, HEIGHT)?.to_grey())
}

/// Whether it is clear that this stands in this row and in this column.
fn clear(table: &Table, row: &TableRow, at: usize, looked: &Looked) -> Result<(), Doubt> {
    if row.unclear.contains(&table.order[at]) {
        return Err(Doubt::ColumnsUnclear);
    }
    if looked.lines[row.line].off > OFF_LINE {
        return Err(Doubt::LineUnclear);
    }
    for read in &row.reads {
        let has_hole = read.cut.cells.iter().any(Option::is_none) || read.cut.left_over > 0;
        // A word moves into a hole beside it and is a right word still: only its place tells.
        if has_hole && (surplus_inside(table, read) || !table.stands_in_lane(read, at)) {
            return Err(Doubt::RowUnclear);
        }
    }
    Ok(())
}

/// Whether a whole box among the columns belongs to no cell: it may be of another row.
fn surplus_inside(table: &Table, read: &Read) -> bool {
    let used = |at: usize| {
        read.cut.cells.iter().flatten().any(|found| (found.start..found.end).contains(&at))
    };
    let lanes = || table.lanes.iter().flatten();
    let left = lanes().map(|lane| lane.left).fold(f64::MAX, f64::min);
    let right = lanes().map(|lane| lane.right).fold(f64::MIN, f64::max);
    read.glyphs.iter().enumerate().any(|(at, glyph)| {
        let of_piece =
            || read.glyphs.iter().enumerate().filter(|(_, one)| one.piece == glyph.piece);
        !is_stroke(&read.glyphs, at)
            && (left..=right).contains(&glyph.x)
            && of_piece().all(|(at, _)| !used(at))
            && !used(at)
    })
}

/// The place of a cell on the sheet: of what was read in it, else of its column in this line.
fn corners(table: &Table, row: &TableRow, at: usize, looked: &Looked) -> [Point; 4] {
    let boxes: Vec<&Piece> =
        looked.lines[row.line].boxes.iter().map(|at| &looked.pieces[*at]).collect();
    for read in &row.reads {
        let Some(found) = read.cell(at) else { continue };
        let side = |glyph: usize, last: bool| {
            let own = &read.glyphs[glyph];
            let piece = boxes[own.piece];
            // To the middle between this sign and the one of the next cell in the same box.
            let next = if last {
                read.glyphs.get(glyph + 1)
            } else {
                glyph.checked_sub(1).and_then(|at| read.glyphs.get(at))
            };
            let edge = match next.filter(|next| next.piece == own.piece) {
                Some(next) => f64::midpoint(own.x, next.x),
                None if last => piece.right(),
                None => piece.left(),
            };
            (piece, edge)
        };
        let (first, left) = side(found.start, false);
        let (last, right) = side(found.end - 1, true);
        let [a, _, _, d] = first.between(left, first.right());
        let [_, b, c, _] = last.between(last.left(), right);
        return [a, b, c, d];
    }
    let lane = table.lanes[at];
    let (left, right) = lane.map_or((f64::MIN, f64::MAX), |lane| (lane.left, lane.right));
    let of_line = |of: &dyn Fn(&Piece) -> f64, pick: fn(f64, f64) -> f64, from: f64| {
        boxes.iter().map(|piece| of(piece)).fold(from, pick)
    };
    let left = left.max(of_line(&|piece| piece.left(), f64::min, f64::MAX)) - 20.0;
    let right = right.min(of_line(&|piece| piece.right(), f64::max, f64::MIN)) + 20.0;
    let top = of_line(&|piece| piece.text.corners[0].y, f64::min, f64::MAX);
    let bottom = of_line(&|piece| piece.text.corners[2].y, f64::max, f64::MIN);
    [(left, top), (right, top), (right, bottom), (left, bottom)].map(|(x, y)| Point::new(x, y))
}

/// Words that are near to what was read.
fn near(seen: &Seen, words: &[Word], into: &mut Vec<String>) {
    let read: Vec<char> = seen.signs.iter().map(|glyph| glyph.sign).collect();
    let mut near: Vec<(f32, &str)> = words
        .iter()
        .filter_map(|word| {
            let cost = word
                .printed
                .iter()
                .map(|printed| distance(&read, printed))
                .min_by(f32::total_cmp)?;
            (cost <= seen.found.cost + NEAR).then_some((cost, word.name.as_str()))
        })
        .collect();
    near.sort_by(|left, right| left.0.total_cmp(&right.0));
    into.extend(near.into_iter().map(|(_, name)| name.to_owned()));
}

/// A number without a decimal sign as it would be with one.
fn with_decimal_sign(number: &str) -> Vec<String> {
    if number.contains('.') || number.len() < 2 {
        return Vec::new();
    }
    let placed = (1..number.len()).rev().map(|at| {
        let (whole, part) = number.split_at(at);
        let part = part.trim_end_matches('0');
        if part.is_empty() { whole.to_owned() } else { format!("{whole}.{part}") }
    });
    placed.collect()
}

/// Puts other readings into a cell, each once.
fn offer(cell: &mut Cell, others: impl IntoIterator<Item = String>) {
    for other in others {
        let is_new = other != cell.text && !other.is_empty() && !cell.alternatives.contains(&other);
        if is_new && cell.alternatives.len() < MOST_ALTERNATIVES {
            cell.alternatives.push(other);
        }
    }
}

/// Labels are judged beside their neighbours.
pub(super) fn settle_labels(list: &mut List) {
    let Some(column) = list.columns.iter().position(|column| *column == Column::Label) else {
        return;
    };
    let labels: Vec<Option<String>> = list
        .rows
        .iter()
        .map(|row| {
            row.cells.get(column).map(|cell| cell.text.clone()).filter(|text| !text.is_empty())
        })
        .collect();
    let outcomes = accept::in_sequence(&labels);
    for (at, (row, outcome)) in list.rows.iter_mut().zip(outcomes).enumerate() {
        let Some(cell) = row.cells.get_mut(column) else { continue };
        if let (Certainty::Sure, Err(doubt)) = (cell.state, outcome) {
            (cell.state, cell.doubt) = (Certainty::Doubtful, Some(doubt));
        }
        if cell.state != Certainty::Sure {
            offer(cell, accept::expected_label(&labels, at));
        }
    }
}
