//! Boxes drawn, or only measured: one way through, so that the two cannot differ.

use super::marks::{self, Mark};
use super::measure::{Face, fit, plain, short, width, wrap};
use super::order::Node;
use super::palette;
use super::scene::{Anchor, Area, Paint, Role, Scene, Shape};
use super::things::{CableEnd, Ending, Entry, Socket, Thing};
use coldcheck_core::place::Place;

/// Inside of a box, at its edges.
const PAD: i32 = 8;
/// Height of a row with a socket.
pub(super) const ROW: i32 = 20;
/// Half the side of a socket's square.
const SOCKET: i32 = 4;
/// Width and height of a terminator.
pub(super) const TERMINATOR: (i32, i32) = (18, 9);
/// A tag on a cable has no more marks beside each other.
const TAG_MARKS: usize = 4;
/// Lines of facts in one box.
const MOST_LINES: usize = 6;

/// Where a box put its sockets.
#[derive(Clone, Debug, Default)]
pub(super) struct Laid {
    /// Height of the box.
    pub(super) height: i32,
    /// Each cable's end, and where it leaves the box.
    pub(super) ends: Vec<(CableEnd, (i32, i32))>,
}

/// Width of the tag that holds a cable's marks.
pub(super) fn tag_width(marks: &[Mark]) -> i32 {
    if marks.is_empty() {
        return 0;
    }
    marks.chunks(TAG_MARKS).map(marks::all_wide).max().unwrap_or(0) + 6
}

/// Height of a row for a cable with these marks.
fn entry_height(entry: &Entry) -> i32 {
    let rows = entry.marks.len().div_ceil(TAG_MARKS).max(1);
    ROW * i32::try_from(rows).unwrap_or(1)
}

struct Pen<'p> {
    scene: Option<&'p mut Scene>,
    x: i32,
    y: i32,
    w: i32,
    laid: Laid,
}

/// How high a box of this width is, and where its sockets are, seen from its upper left corner. `tags`
/// says which cables show their marks at this end.
pub(super) fn measured(thing: &Thing, w: i32, tags: &dyn Fn(CableEnd) -> bool) -> Laid {
    laid(thing, None, Area { x: 0, y: 0, w, h: 0 }, tags)
}

/// Draws a box in an area as high as it was measured.
pub(super) fn lay(thing: &Thing, scene: &mut Scene, area: Area, tags: &dyn Fn(CableEnd) -> bool) {
    laid(thing, Some(scene), area, tags);
}

fn laid(
    thing: &Thing,
    scene: Option<&mut Scene>,
    area: Area,
    tags: &dyn Fn(CableEnd) -> bool,
) -> Laid {
    let mut pen = Pen { scene, x: area.x, y: area.y, w: area.w, laid: Laid::default() };
    pen.frame(thing, area.h);
    pen.head(thing);
    for socket in &thing.sockets {
        pen.socket(thing, socket, tags);
    }
    pen.foot(thing);
    pen.laid.height = pen.y - area.y + 3;
    pen.laid
}

impl Pen<'_> {
    fn room(&self) -> i32 {
        self.w - 2 * PAD
    }

    fn frame(&mut self, thing: &Thing, height: i32) {
        let area = Area { x: self.x, y: self.y, w: self.w, h: height };
        let Some(scene) = self.scene.as_deref_mut() else { return };
        let title = match thing.node {
            Node::Loose(_) => thing.name.clone(),
            Node::Unit(_) | Node::Device(_) | Node::Pack(_) | Node::Sensor(_) => {
                format!("{}: {}; {}", thing.name, thing.role, thing.facts.join(", "))
            }
        };
        scene.group(Role::Thing, short(&title, 300));
        let (fill, r) = match thing.node {
            Node::Unit(_) => (palette::UNIT, 4),
            Node::Device(_) | Node::Pack(_) | Node::Sensor(_) => (palette::OTHER, 4),
            Node::Loose(_) => (palette::PAPER, 4),
        };
        let tenths = if thing.leads { 25 } else { 12 };
        let mut paint = Paint::framed(fill, palette::INK, tenths);
        if matches!(thing.node, Node::Loose(_)) {
            paint.dash = "4 3";
        }
        scene.draw(Shape::Rect(area, r, paint));
        if let Some(place) = thing.place {
            scene.is_at(place, area);
        }
    }

    fn write(&mut self, x: i32, anchor: Anchor, face: Face, ink: &'static str, says: &str) {
        let y = self.y;
        if let Some(scene) = self.scene.as_deref_mut() {
            let says = plain(says);
            scene.write((x, y + face.size), anchor, face, ink, says);
        }
    }

    fn lines(&mut self, lines: &[String], face: Face, ink: &'static str) {
        for line in lines {
            self.write(self.x + PAD, Anchor::Start, face, ink, line);
            self.y += face.line();
        }
    }

    /// Name and role on one line if both fit, else below each other; then marks, arrow and facts.
    fn head(&mut self, thing: &Thing) {
        self.y += 4;
        let name = fit(&thing.name, Face::NAME, self.room());
        self.write(self.x + PAD, Anchor::Start, Face::NAME, palette::INK, &name);
        let left = self.room() - width(&name, Face::NAME) - 10;
        let role = plain(&thing.role);
        if width(&role, Face::PLAIN) > left && !role.is_empty() {
            self.y += Face::NAME.line();
            let role = fit(&role, Face::PLAIN, self.room());
            self.write(self.x + PAD, Anchor::Start, Face::PLAIN, palette::INK, &role);
            self.y += Face::PLAIN.line();
        } else {
            self.y += 1;
            let right = self.x + self.w - PAD;
            self.write(right, Anchor::End, Face::PLAIN, palette::INK, &role);
            self.y += Face::NAME.line();
        }
        self.marks(&thing.marks, thing.place);
        if let Some(arrow) = &thing.arrow {
            self.arrow(arrow);
        }
        let facts = joined(&thing.facts, self.room());
        self.lines(&facts, Face::PLAIN, palette::FAINT);
        if let Some(ending) = &thing.ending {
            self.ending(ending);
        }
        self.y += 1;
    }

    fn marks(&mut self, marks: &[Mark], place: Option<Place>) {
        let (_, height) = marks::rows(marks, self.room());
        let (at, room) = ((self.x + PAD, self.y), self.room());
        if let (Some(scene), Some(place)) = (self.scene.as_deref_mut(), place) {
            marks::draw_rows(scene, marks, place, at, room);
        }
        self.y += height;
    }

    /// A conductor from the street to the house with the sensor's arrow on it.
    fn arrow(&mut self, says: &str) {
        let (x, y) = (self.x + PAD, self.y);
        let text = fit(&format!("arrow to {says}"), Face::PLAIN, self.room() - 40);
        self.write(x + 40, Anchor::Start, Face::PLAIN, palette::INK, &text);
        if let Some(scene) = self.scene.as_deref_mut() {
            let middle = y + 9;
            let line = Paint::line(palette::INK, 15, "");
            scene.draw(Shape::Line(vec![(x, middle), (x + 32, middle)], line));
            let (back, tip) = if says == "street" { (x + 21, x + 9) } else { (x + 11, x + 23) };
            let points = vec![(back, middle - 6), (tip, middle), (back, middle + 6)];
            scene.draw(Shape::Polygon(points, Paint::filled(palette::SENSOR)));
        }
        self.y += Face::PLAIN.line() + 1;
    }

    /// The terminator, with a resistor's box at the edge: filled if it is on. Its marks stand beside
    /// the words if there is room, else below.
    fn ending(&mut self, ending: &Ending) {
        let top = self.y;
        let room = self.room() - TERMINATOR.0 - 8;
        let text = wrap(&ending.says, Face::PLAIN, room, 2);
        let wide = text.iter().map(|line| width(line, Face::PLAIN)).max().unwrap_or(0) + 10;
        let is_beside = text.len() == 1 && wide + marks::all_wide(&ending.marks) <= room;
        self.y += 2;
        self.lines(&text, Face::PLAIN, palette::INK);
        self.y += 2;
        let (at, room) = if is_beside {
            ((self.x + PAD + wide, top), room - wide)
        } else {
            ((self.x + PAD, self.y), self.room())
        };
        let (_, height) = marks::rows(&ending.marks, room);
        if let (Some(scene), Some(place)) = (self.scene.as_deref_mut(), ending.place) {
            marks::draw_rows(scene, &ending.marks, place, at, room);
        }
        self.y = self.y.max(at.1 + height);
        let symbol = (self.x + self.w - PAD - TERMINATOR.0, top + 5);
        let row = Area { x: self.x + 1, y: top, w: self.w - 2, h: self.y - top };
        let Some(scene) = self.scene.as_deref_mut() else { return };
        let shapes = vec![terminator(symbol, ending.is_on)];
        scene.lay_above(Role::Thing, short(&ending.says, 100), shapes);
        if let Some(place) = ending.place {
            scene.is_at(place, row);
        }
    }

    /// A socket: its name, its marks, the cables in it, and a square at the edge for each cable.
    /// Marks stand behind the name if the first cable's label still fits, else below.
    fn socket(&mut self, thing: &Thing, socket: &Socket, tags: &dyn Fn(CableEnd) -> bool) {
        let top = self.y;
        let right = self.x + self.w;
        let name = fit(&socket.name, Face::PLAIN, self.room() * 2 / 5);
        self.y += 3;
        self.write(self.x + PAD, Anchor::Start, Face::PLAIN, palette::INK, &name);
        self.y = top;
        let mut indent = if name.is_empty() { 0 } else { (width(&name, Face::PLAIN) + 10).max(26) };
        let marks_wide = marks::all_wide(&socket.marks);
        let is_inline = !socket.marks.is_empty() && indent + marks_wide + 84 <= self.room();
        if let (true, Some(place)) = (is_inline, socket.place) {
            let at = (self.x + PAD + indent, top);
            if let Some(scene) = self.scene.as_deref_mut() {
                marks::draw_rows(scene, &socket.marks, place, at, marks_wide);
            }
            indent += marks_wide + 8;
        }
        if socket.entries.is_empty() {
            self.square(right, top + ROW / 2, true);
            self.y += ROW;
        }
        for entry in &socket.entries {
            let plug = if entry.plug.is_some() { TERMINATOR.0 + 4 } else { 0 };
            let label = fit(&entry.label, Face::PLAIN, self.room() - indent - SOCKET - plug);
            let end = right - PAD - SOCKET - plug;
            self.y += 3;
            self.write(end, Anchor::End, Face::PLAIN, palette::INK, &label);
            self.y -= 3;
            self.entry(thing, entry, tags(entry.end));
        }
        if let (Some(place), false, false) = (socket.place, is_inline, socket.marks.is_empty()) {
            self.marks(&socket.marks, Some(place));
        }
        let area = Area { x: self.x + 1, y: top, w: self.w + SOCKET - 1, h: self.y - top };
        if let (Some(scene), Some(place)) = (self.scene.as_deref_mut(), socket.place) {
            scene.is_at(place, area);
        }
    }

    fn entry(&mut self, thing: &Thing, entry: &Entry, has_tag: bool) {
        let right = self.x + self.w;
        let middle = self.y + ROW / 2;
        let height = if has_tag { entry_height(entry) } else { ROW };
        if let Some(ends) = entry.plug {
            let symbol = (right - PAD - TERMINATOR.0, middle - 5);
            if let Some(scene) = self.scene.as_deref_mut() {
                let not = if ends { "" } else { ", where it does not end the link" };
                let title = format!("terminator plug {} in {}{not}", entry.label, thing.name);
                let shapes = plug(symbol, ends);
                scene.lay_above(Role::Thing, short(&title, 200), shapes);
            }
        } else {
            let is_loose = matches!(thing.node, Node::Loose(_));
            self.square(right, middle, is_loose);
            self.laid.ends.push((entry.end, (right + SOCKET, middle)));
        }
        if let (Some(place), true, Some(scene)) = (entry.place, has_tag, self.scene.as_deref_mut())
        {
            tag(scene, entry, place, (right + 2 * SOCKET, self.y), height);
        }
        self.y += height;
    }

    /// A socket's square on the edge of the box.
    fn square(&mut self, x: i32, y: i32, hollow: bool) {
        let Some(scene) = self.scene.as_deref_mut() else { return };
        let area = Area { x: x - SOCKET, y: y - SOCKET, w: 2 * SOCKET, h: 2 * SOCKET };
        let fill = if hollow { palette::PAPER } else { palette::INK };
        scene.draw(Shape::Rect(area, 0, Paint::framed(fill, palette::INK, 12)));
    }

    /// The sockets that hold nothing.
    fn foot(&mut self, thing: &Thing) {
        if thing.free.is_empty() {
            return;
        }
        let text = format!("free: {}", thing.free.join(", "));
        let lines = wrap(&text, Face::SMALL, self.room(), 3);
        self.y += 1;
        self.lines(&lines, Face::SMALL, palette::FAINT);
    }
}

/// Facts beside each other as far as they fit; one that is wider than a line is wrapped.
fn joined(facts: &[String], room: i32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for fact in facts {
        let fact = plain(fact);
        let longer = lines.last().map(|line| format!("{line} · {fact}"));
        match longer.filter(|longer| width(longer, Face::PLAIN) <= room) {
            Some(longer) => {
                lines.pop();
                lines.push(longer);
            }
            None => lines.extend(wrap(&fact, Face::PLAIN, room, MOST_LINES)),
        }
    }
    lines
}

/// A terminator as a resistor's box: filled if it is on, dashed if nobody says.
pub(super) fn terminator(at: (i32, i32), is_on: Option<bool>) -> Shape {
    let area = Area { x: at.0, y: at.1, w: TERMINATOR.0, h: TERMINATOR.1 };
    let paint = match is_on {
        Some(true) => Paint::framed(palette::LINK, palette::INK, 12),
        Some(false) => Paint::framed(palette::PAPER, palette::RULE, 12),
        None => Paint { dash: "2 2", ..Paint::framed(palette::PAPER, palette::INK, 12) },
    };
    Shape::Rect(area, 0, paint)
}

/// A terminator plug: where it ends nothing, as what it is, crossed out.
pub(super) fn plug(at: (i32, i32), ends: bool) -> Vec<Shape> {
    let body = terminator(at, Some(ends));
    let Area { x, y, w, h } = body.area();
    let mut shapes = vec![body];
    if !ends {
        let cross = Paint::line(palette::INK, 15, "");
        shapes.push(Shape::Line(vec![(x, y), (x + w, y + h)], cross));
        shapes.push(Shape::Line(vec![(x, y + h), (x + w, y)], cross));
    }
    shapes
}

/// A tag on the cable, just behind its socket, with its marks.
fn tag(scene: &mut Scene, entry: &Entry, place: Place, at: (i32, i32), height: i32) {
    if entry.marks.is_empty() {
        return;
    }
    let area = Area { x: at.0, y: at.1, w: tag_width(&entry.marks), h: height };
    let frame = Shape::Rect(area, 3, Paint::framed(palette::PAPER, palette::RULE, 10));
    scene.lay_above(Role::Thing, short(&format!("cable {}", entry.label), 200), vec![frame]);
    scene.is_at(place, area);
    for (row, marks) in (0..).zip(entry.marks.chunks(TAG_MARKS)) {
        let at = (area.x + 3, area.y + row * ROW);
        marks::draw_rows(scene, marks, place, at, area.w);
    }
}
