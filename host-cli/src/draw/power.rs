//! The power side as a one-line diagram: a row for each unit, a bar for everything that two or more
//! terminals are joined to, a dot where a conductor meets its bar.

mod nets;

use super::marks::{self, Marks};
use super::measure::{Face, fit, plain, short, width, wrap};
use super::order::{Node, order};
use super::palette;
use super::scene::{Anchor, Area, Paint, Role, Scene, Shape};
use super::things::stated;
use crate::declared::Subject;
use crate::engine::Site;
use crate::field::Field;
use coldcheck_core::place::{Place, UnitId};
use coldcheck_core::plan::{Datum, Scope};
use nets::{Bar, Bars, Line, Side};

const PAD: i32 = 8;
/// Between two conductors that are drawn beside each other.
const CLOSE: i32 = 5;
/// A row with a conductor and its words.
const ROW: i32 = 16;
/// Between two bars: at the most, and at the least.
const BARS: (i32, i32) = (26, 16);
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
        own + Self::top(bars) + BONDS
    }

    fn top(bars: &[Bar]) -> i32 {
        Face::HEAD.line() + 6 + ROW * i32::try_from(bars.len()).unwrap_or(0) + 4
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
        let rows: i32 = sides.iter().map(|side| side_height(side, bars)).sum();
        4 + Face::NAME.line() + marks::rows(own, room).1 + rows + 4
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
        let heights: Vec<_> =
            self.units.iter().map(|unit| self.unit_height(*unit, bars, first.w) + GAP).collect();
        let total: i32 = heights.iter().sum();
        let count = i32::try_from(columns.len()).unwrap_or(1);
        let room = (highest - Self::top(bars) - BONDS).max(ROW);
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
        let mut below = y + Self::top(bars);
        let tops = Self::bar_names(scene, bars, (x, y + Face::HEAD.line() + 6), room, &bar_x);
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
        for (row, (position, bar)) in (0..).zip(bars.iter().enumerate().rev()) {
            let y = at.1 + row * ROW + 8;
            let text = fit(&bar.name, Face::PLAIN, room - 6);
            let right = at.0 + room - 2;
            scene.write((right, y + 4), Anchor::End, Face::PLAIN, palette::INK, text);
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
        let text = fit(name, Face::NAME, room);
        scene.write((area.x + PAD, y + 13), Anchor::Start, Face::NAME, palette::INK, text);
        let (beside, below) = self.beside_name(unit, room);
        if let Some(side) = beside {
            let ink = if side.lines.is_empty() { palette::FAINT } else { palette::INK };
            let at = (area.x + area.w - PAD, y + 13);
            scene.write(at, Anchor::End, Face::PLAIN, ink, plain(&side.whole()));
            if let Some(line) = side.lines.first() {
                draw_line(scene, line, (area.right(), y + 8), bars, bar_x);
            }
        }
        y += Face::NAME.line();
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

    /// Words for each place where neutral and earth are joined, each with whether it is one.
    fn bonds(&self, room: i32) -> Vec<(Vec<String>, bool)> {
        let declared = &self.site.declared;
        let mut rows = Vec::new();
        let mut row = |text: String, is_bond| {
            rows.push((wrap(&text, Face::PLAIN, room, 6), is_bond));
        };
        match self.bars.bonds.as_slice() {
            [] => {
                let says = stated(declared, Subject::Group, Field::Bonds);
                let says = says.unwrap_or_else(|| "not declared".to_owned());
                row(format!("{}: {says}", Datum::Bonds.noun()), false);
            }
            bonds => {
                for bond in bonds {
                    row(format!("{}: {bond}", Datum::Bonds.noun()), true);
                }
            }
        }
        for field in [Field::ChangeoverNeutral, Field::SupplyBreaker, Field::Interlock] {
            if let Some(says) = stated(declared, Subject::Group, field) {
                row(format!("{}: {says}", field.key()), false);
            }
        }
        rows
    }

    fn draw_bonds(
        &self,
        scene: &mut Scene,
        bonds: &[(Vec<String>, bool)],
        at: (i32, i32),
        room: i32,
        bars: &[Bar],
        bar_x: &dyn Fn(i32) -> i32,
    ) {
        let of = |wanted: Option<usize>| wanted.filter(|bar| *bar < bars.len());
        let joined = of(self.bars.neutral).zip(of(self.bars.earth));
        let mut y = at.1;
        for (lines, is_bond) in bonds {
            scene.group(Role::Thing, short(&lines.join(" "), 200));
            let below = scene.lines(at.0 + PAD, y + 2, Face::PLAIN, palette::INK, lines);
            if let (true, Some((neutral, earth))) = (*is_bond, joined) {
                let x = |bar: usize| bar_x(i32::try_from(bar).unwrap_or(0));
                let middle = y + 10;
                let line = Paint::line(palette::INK, 30, "");
                let from = at.0
                    + room
                        .min(PAD + lines.first().map_or(0, |line| width(line, Face::PLAIN)) + PAD);
                let near = x(neutral).min(x(earth));
                let faint = Paint::line(palette::RULE, 10, "");
                scene.draw(Shape::Line(vec![(from, middle), (near, middle)], faint));
                scene.draw(Shape::Line(vec![(x(neutral), middle), (x(earth), middle)], line));
                for bar in [neutral, earth] {
                    let square = Area { x: x(bar) - 4, y: middle - 4, w: 8, h: 8 };
                    scene.draw(Shape::Rect(square, 0, Paint::filled(palette::INK)));
                }
            }
            y = below + 6;
        }
    }
}

fn side_height(side: &Side, bars: &[Bar]) -> i32 {
    if side.is_close(bars) {
        let count = i32::try_from(side.lines.len()).unwrap_or(1);
        return ROW.max(count * CLOSE + 6);
    }
    ROW * i32::try_from(side.lines.len().max(1)).unwrap_or(1)
}

/// Draws the conductors of one side of a unit and gives the height below them.
fn draw_side(
    scene: &mut Scene,
    side: &Side,
    (x, y, w): (i32, i32, i32),
    bars: &[Bar],
    bar_x: &dyn Fn(i32) -> i32,
) -> i32 {
    let height = side_height(side, bars);
    let room = w - 2 * PAD;
    let mut words = |y: i32, text: &str, ink| {
        let text = fit(text, Face::PLAIN, room);
        scene.write((x + PAD, y), Anchor::Start, Face::PLAIN, ink, text);
    };
    let mut ends: Vec<(i32, &Line)> = Vec::new();
    if side.lines.is_empty() {
        words(y + 12, &side.words(), palette::FAINT);
    } else if side.is_close(bars) {
        words(y + height / 2 + 4, &side.words(), palette::INK);
        let count = i32::try_from(side.lines.len()).unwrap_or(1);
        let first = y + height / 2 - (count - 1) * CLOSE / 2;
        ends.extend((0..).zip(&side.lines).map(|(at, line)| (first + at * CLOSE, line)));
    } else {
        for (at, line) in (0..).zip(&side.lines) {
            words(y + at * ROW + 12, &line.words(side.word, bars), palette::INK);
            ends.push((y + at * ROW + ROW / 2, line));
        }
    }
    for (y, line) in ends {
        draw_line(scene, line, (x + w, y), bars, bar_x);
    }
    y + height
}

/// Draws a conductor from the edge of a unit to its bar, if that is drawn.
fn draw_line(
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
