//! The power side as a one-line diagram: a row for each unit, a bar for everything that two or more
//! terminals are joined to, a dot where a conductor meets its bar.

mod bonds;
mod nets;
mod sides;

use super::marks::{self, Marks};
use super::measure::{Face, fit, plain, short, width, wrap};
use super::order::{Node, order};
use super::palette;
use super::scene::{Anchor, Area, Paint, Role, Scene, Shape};
use crate::declared::Subject;
use crate::engine::Site;
use crate::field::Field;
use coldcheck_core::place::{Place, UnitId};
use coldcheck_core::plan::Scope;
use nets::{Bar, Bars, Side};
use sides::{draw_line, draw_side, row_height, side_height};

const PAD: i32 = 8;
/// Between two conductors that are drawn beside each other.
const CLOSE: i32 = 5;
/// A row with a conductor and its words.
const ROW: i32 = 16;
/// Between two bars: at the most, and at the least.
const BARS: (i32, i32) = (26, 12);
/// From a unit to the first bar.
const STUB: i32 = 14;
/// Between two units.
const GAP: i32 = 8;
/// Room for what is said of neutral and earth.
const BONDS: i32 = 120;
/// Room for the words of a unit.
const WORDS: i32 = 150;

/// The power side of a site.
#[derive(Debug)]
pub(super) struct Power<'s> {
    site: &'s Site,
    marks: &'s Marks,
    bars: Bars,
    /// Units in the order of the link.
    units: Vec<usize>,
}

/// A column to draw in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    pub(super) x: i32,
    pub(super) y: i32,
    pub(super) w: i32,
}

/// Whether anything of the power side is declared.
pub(super) fn is_declared(site: &Site) -> bool {
    let declared = &site.declared;
    let of_unit = [Field::Bank, Field::AcOut, Field::AcIn, Field::GeneratorIn];
    let has = |subject, field| !declared.stated(subject, field).is_empty();
    let units = 0..declared.units.len();
    units.into_iter().any(|unit| of_unit.iter().any(|field| has(Subject::Unit(unit), *field)))
        || [Field::Bonds, Field::Arrays].iter().any(|field| has(Subject::Group, *field))
}

impl<'s> Power<'s> {
    pub(super) fn of(site: &'s Site, marks: &'s Marks) -> Self {
        let units = order(site).into_iter().filter_map(|(node, _)| match node {
            Node::Unit(unit) => Some(unit),
            Node::Device(_) | Node::Pack(_) | Node::Sensor(_) | Node::Loose(_) => None,
        });
        Self { site, marks, bars: Bars::of(site), units: units.collect() }
    }

    /// The bars for which there is room.
    fn drawn(&self, w: i32) -> (&[Bar], i32) {
        let room = (w - WORDS).max(0);
        let fitting = usize::try_from(room / BARS.1).unwrap_or(0);
        let bars = &self.bars.all[..self.bars.all.len().min(fitting)];
        let count = i32::try_from(bars.len()).unwrap_or(1).max(1);
        (bars, (room / count).clamp(BARS.1, BARS.0))
    }

    /// Height of all units below each other.
    pub(super) fn height(&self, w: i32) -> i32 {
        let (bars, _) = self.drawn(w);
        let own: i32 = self.units.iter().map(|unit| self.unit_height(*unit, bars, w) + GAP).sum();
        own + self.top(w) + BONDS
    }

    /// Height of the heading and of the bars' names.
    fn top(&self, w: i32) -> i32 {
        let (bars, pitch) = self.drawn(w);
        let room = Self::words_room(bars, pitch, w);
        let names: i32 = bars.iter().map(|bar| row_height(&name(bar, room))).sum();
        let lines = i32::try_from(self.not_drawn(w).len()).unwrap_or(0);
        let words = Face::PLAIN.line() * lines;
        Face::HEAD.line() + 6 + names + words + 4
    }

    /// What is said of bars for which there is no room.
    fn not_drawn(&self, w: i32) -> Vec<String> {
        let (bars, _) = self.drawn(w);
        let names: Vec<_> = self.bars.all[bars.len()..].iter().map(|bar| &*bar.name).collect();
        let says = format!("Without a line of their own, for want of room: {}", names.join(", "));
        if names.is_empty() { Vec::new() } else { wrap(&says, Face::PLAIN, w, 12) }
    }

    fn words_room(bars: &[Bar], pitch: i32, w: i32) -> i32 {
        let between = pitch * (i32::try_from(bars.len()).unwrap_or(0) - 1).max(0);
        if bars.is_empty() { w } else { w - STUB - between - 4 }
    }

    fn place(&self, unit: usize) -> Option<Place> {
        let units = &self.site.assembled.map.units;
        crate::assemble::position_of(units, unit).map(|id| Place::Unit(UnitId(id)))
    }

    fn unit_height(&self, unit: usize, bars: &[Bar], w: i32) -> i32 {
        let (_, pitch) = self.drawn(w);
        let room = Self::words_room(bars, pitch, w) - 2 * PAD;
        let own = self.place(unit).map_or(&[][..], |place| self.marks.of_power(place));
        let sides = self.beside_name(unit, room).1;
        let rows: i32 = sides.iter().map(|side| side_height(side, bars, room)).sum();
        4 + self.name(unit, room).1 + marks::rows(own, room).1 + rows + 4
    }

    /// A unit's name in lines, and their height.
    fn name(&self, unit: usize, room: i32) -> (Vec<String>, i32) {
        let lines = wrap(&self.site.declared.units[unit].name, Face::NAME, room, 3);
        let height = Face::NAME.line() * i32::try_from(lines.len()).unwrap_or(1).max(1);
        (lines, height)
    }

    /// The side that fits on one line with the unit's name, and all others.
    fn beside_name(&self, unit: usize, room: i32) -> (Option<&Side>, &[Side]) {
        let sides = self.bars.sides(unit);
        let name = width(&plain(&self.site.declared.units[unit].name), Face::NAME);
        match sides.split_first() {
            Some((first, others)) if first.lines.len() < 2 => {
                let own = width(&plain(&first.whole()), Face::PLAIN);
                if name + 12 + own <= room { (Some(first), others) } else { (None, sides) }
            }
            _ => (None, sides),
        }
    }

    /// Draws the units in these columns, in as many rows of them as it takes to keep each below
    /// this height, and gives the height below the lowest.
    pub(super) fn draw(&self, scene: &mut Scene, columns: &[Column], highest: i32) -> i32 {
        let Some(first) = columns.first() else { return 0 };
        let (bars, _) = self.drawn(first.w);
        let top_height = self.top(first.w);
        let heights: Vec<_> =
            self.units.iter().map(|unit| self.unit_height(*unit, bars, first.w) + GAP).collect();
        let total: i32 = heights.iter().sum();
        let count = i32::try_from(columns.len()).unwrap_or(1);
        let room = (highest - top_height - BONDS).max(ROW);
        let rows = (total + count * room - 1) / (count * room);
        let each = total / (rows * count) + 1;
        let (mut from, mut position) = (0, 0);
        let (mut top, mut below) = (first.y, first.y);
        while from < heights.len() || position == 0 {
            let at = position % columns.len();
            if at == 0 && position > 0 {
                top = below + 10;
                scene.cuts.push(top);
            }
            let mut height = 0;
            let mut to = from;
            while to < heights.len() && (to == from || height + heights[to] / 2 <= each) {
                height += heights[to];
                to += 1;
            }
            let column = Column { y: top, ..columns[at] };
            let ends = to == heights.len();
            let units = &self.units[from..to];
            below = below.max(self.column(scene, column, units, position, ends));
            (from, position) = (to, position + 1);
        }
        below
    }

    fn column(
        &self,
        scene: &mut Scene,
        column: Column,
        units: &[usize],
        position: usize,
        is_last: bool,
    ) -> i32 {
        let Column { x, y, w } = column;
        let (bars, pitch) = self.drawn(w);
        scene.group(Role::Frame, "");
        let heading = match (position, self.site.scope.covers(Scope::POWER)) {
            (0, true) => "Power side",
            (0, false) => "Power side (out of scope, not checked)",
            _ => "Power side, continued",
        };
        let heading = fit(heading, Face::HEAD, w);
        scene.write((x, y + Face::HEAD.size), Anchor::Start, Face::HEAD, palette::INK, heading);
        let room = Self::words_room(bars, pitch, w);
        let bar_x = |at: i32| x + room + STUB + at * pitch;
        let mut below = y + self.top(w);
        let lines = self.not_drawn(w);
        let names_at = scene.lines(x, y + Face::HEAD.line() + 6, Face::PLAIN, palette::INK, &lines);
        let tops = Self::bar_names(scene, bars, (x, names_at), room, &bar_x);
        let mut boxes = Vec::new();
        for unit in units {
            let height = self.unit_height(*unit, bars, w);
            boxes.push((*unit, Area { x, y: below, w: room, h: height }));
            below += height + GAP;
        }
        let bonds_at = below;
        let bonds = if is_last { self.bonds(room - 2 * PAD) } else { Vec::new() };
        for (lines, _) in &bonds {
            below += 8 + Face::PLAIN.line() * i32::try_from(lines.len()).unwrap_or(1);
        }
        Self::draw_bars(scene, bars, &tops, below - 2, &bar_x);
        for (unit, area) in &boxes {
            self.unit(scene, *unit, *area, bars, &bar_x);
        }
        if is_last {
            self.draw_bonds(scene, &bonds, (x, bonds_at), room, bars, &bar_x);
        }
        below
    }

    /// Names of bars, the last one on top, so that no line to a bar crosses another.
    fn bar_names(
        scene: &mut Scene,
        bars: &[Bar],
        at: (i32, i32),
        room: i32,
        bar_x: &dyn Fn(i32) -> i32,
    ) -> Vec<i32> {
        let mut tops = vec![0; bars.len()];
        let mut top = at.1;
        for (position, bar) in bars.iter().enumerate().rev() {
            let lines = name(bar, room);
            let y = top + 8;
            let right = at.0 + room - 2;
            for (line, text) in (0..).zip(&lines) {
                let at = (right, y + 4 + line * Face::PLAIN.line());
                scene.write(at, Anchor::End, Face::PLAIN, palette::INK, text.clone());
            }
            top += row_height(&lines);
            let x = bar_x(i32::try_from(position).unwrap_or(0));
            let line = Paint::line(palette::RULE, 10, "");
            scene.draw(Shape::Line(vec![(right + 3, y), (x, y)], line));
            tops[position] = y;
        }
        tops
    }

    fn draw_bars(
        scene: &mut Scene,
        bars: &[Bar],
        tops: &[i32],
        bottom: i32,
        bar_x: &dyn Fn(i32) -> i32,
    ) {
        for ((position, bar), top) in (0..).zip(bars).zip(tops) {
            let x = bar_x(position);
            scene.group(Role::Thing, short(&format!("bar: {}", bar.name), 120));
            scene.draw(Shape::Line(vec![(x, *top), (x, bottom)], bar.paint()));
        }
    }

    fn unit(
        &self,
        scene: &mut Scene,
        unit: usize,
        area: Area,
        bars: &[Bar],
        bar_x: &dyn Fn(i32) -> i32,
    ) {
        let name = &self.site.declared.units[unit].name;
        let sides = self.bars.sides(unit);
        let told: Vec<_> = sides.iter().map(|side| side.title()).collect();
        scene.group(Role::Thing, short(&format!("{name}, power side: {}", told.join("; ")), 300));
        scene.draw(Shape::Rect(area, 4, Paint::framed(palette::UNIT, palette::INK, 12)));
        let room = area.w - 2 * PAD;
        let mut y = area.y + 4;
        let (lines, name_height) = self.name(unit, room);
        scene.lines(area.x + PAD, y, Face::NAME, palette::INK, &lines);
        let (beside, below) = self.beside_name(unit, room);
        if let Some(side) = beside {
            let ink = if side.lines.is_empty() { palette::FAINT } else { palette::INK };
            let at = (area.x + area.w - PAD, y + 13);
            scene.write(at, Anchor::End, Face::PLAIN, ink, plain(&side.whole()));
            if let Some(line) = side.lines.first() {
                draw_line(scene, line, (area.right(), y + 8), bars, bar_x);
            }
        }
        y += name_height;
        let place = self.place(unit);
        let own = place.map_or(&[][..], |place| self.marks.of_power(place));
        let marks_at = y;
        y += marks::rows(own, room).1;
        for side in below {
            y = draw_side(scene, side, (area.x, y, area.w), bars, bar_x);
        }
        if let Some(place) = place {
            scene.is_at(place, area);
            marks::draw_rows(scene, own, place, (area.x + PAD, marks_at), room);
        }
    }
}

/// A bar's name in lines beside the bars.
fn name(bar: &Bar, room: i32) -> Vec<String> {
    wrap(&bar.name, Face::PLAIN, room - 6, 3)
}
