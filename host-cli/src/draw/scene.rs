//! A drawing as data: shapes at whole pixels, in groups that each stand for one thing.

use super::measure::{Face, width};
use super::palette;
use coldcheck_core::place::Place;

/// A rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    /// Left edge.
    pub x: i32,
    /// Top edge.
    pub y: i32,
    /// Width.
    pub w: i32,
    /// Height.
    pub h: i32,
}

impl Area {
    /// Right edge.
    pub const fn right(self) -> i32 {
        self.x + self.w
    }

    /// Bottom edge.
    pub const fn bottom(self) -> i32 {
        self.y + self.h
    }

    /// Whether another lies inside.
    pub const fn holds(self, other: Self) -> bool {
        other.x >= self.x
            && other.y >= self.y
            && other.right() <= self.right()
            && other.bottom() <= self.bottom()
    }

    /// Whether two have a common point inside.
    pub const fn meets(self, other: Self) -> bool {
        other.x < self.right()
            && self.x < other.right()
            && other.y < self.bottom()
            && self.y < other.bottom()
    }
}

/// How a shape is painted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Paint {
    /// Colour inside.
    pub fill: Option<&'static str>,
    /// Colour of the line.
    pub stroke: Option<&'static str>,
    /// Width of the line in tenths of a pixel.
    pub tenths: i32,
    /// Dashes and gaps; empty for a solid line.
    pub dash: &'static str,
}

impl Paint {
    /// A filled shape without a line.
    pub const fn filled(fill: &'static str) -> Self {
        Self { fill: Some(fill), stroke: None, tenths: 0, dash: "" }
    }

    /// A line.
    pub const fn line(stroke: &'static str, tenths: i32, dash: &'static str) -> Self {
        Self { fill: None, stroke: Some(stroke), tenths, dash }
    }

    /// A filled shape with a line around it.
    pub const fn framed(fill: &'static str, stroke: &'static str, tenths: i32) -> Self {
        Self { fill: Some(fill), stroke: Some(stroke), tenths, dash: "" }
    }
}

/// Where the given point of a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its beginning.
    Start,
    /// In its middle.
    Middle,
    /// At its end.
    End,
}

/// A shape.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A rectangle, with the radius of its corners.
    Rect(Area, i32, Paint),
    /// A line through points.
    Line(Vec<(i32, i32)>, Paint),
    /// A closed line through points.
    Polygon(Vec<(i32, i32)>, Paint),
    /// A circle: middle and radius.
    Circle((i32, i32), i32, Paint),
    /// A text on one line.
    Text(Text),
}

/// A text on one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    /// Where its anchor is, on the base line.
    pub at: (i32, i32),
    /// What the point means.
    pub anchor: Anchor,
    /// Size and weight.
    pub face: Face,
    /// Colour.
    pub ink: &'static str,
    /// What it says.
    pub says: String,
}

impl Text {
    /// The room that it takes at the most.
    pub fn area(&self) -> Area {
        let w = width(&self.says, self.face);
        let x = match self.anchor {
            Anchor::Start => self.at.0,
            Anchor::Middle => self.at.0 - w / 2,
            Anchor::End => self.at.0 - w,
        };
        Area { x, y: self.at.1 - self.face.size + 1, w, h: self.face.size + 2 }
    }
}

/// What a group of shapes stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// Headings, lists, lines between parts.
    Frame,
    /// A thing of the site, with its place in the plan if it has one.
    Thing,
    /// A cable, by its position among those declared.
    Cable(usize),
    /// The mark of a finding, or of what was not checked, at this place.
    Mark(Place),
}

/// Shapes that stand for one thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// What for.
    pub role: Role,
    /// What a screen reader says; empty for what is only looks.
    pub title: String,
    /// The shapes, the lowest first.
    pub shapes: Vec<Shape>,
}

/// A drawing.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    /// Width.
    pub width: i32,
    /// Height.
    pub height: i32,
    /// The groups, the lowest first.
    pub groups: Vec<Group>,
    /// Groups that are laid over all others at the end.
    above: Vec<Group>,
    /// Where each place of the plan is drawn.
    pub places: Vec<(Place, Area)>,
    /// Heights at which a page may end.
    pub cuts: Vec<i32>,
}

impl Scene {
    /// An empty drawing of this width.
    pub fn of(width: i32) -> Self {
        Self { width, ..Self::default() }
    }

    /// Begins a group; what is drawn next belongs to it.
    pub fn group(&mut self, role: Role, title: impl Into<String>) {
        self.groups.push(Group { role, title: title.into(), shapes: Vec::new() });
    }

    /// Lays a group over all others; what is drawn next belongs to the group before.
    pub fn lay_above(&mut self, role: Role, title: impl Into<String>, shapes: Vec<Shape>) {
        self.above.push(Group { role, title: title.into(), shapes });
    }

    /// Ends the drawing.
    pub fn finish(&mut self) {
        self.groups.append(&mut self.above);
    }

    /// Draws a shape.
    pub fn draw(&mut self, shape: Shape) {
        if self.groups.is_empty() {
            self.group(Role::Frame, "");
        }
        if let Some(group) = self.groups.last_mut() {
            group.shapes.push(shape);
        }
    }

    /// Writes a text.
    pub fn write(
        &mut self,
        at: (i32, i32),
        anchor: Anchor,
        face: Face,
        ink: &'static str,
        says: impl Into<String>,
    ) {
        let says = says.into();
        if !says.is_empty() {
            self.draw(Shape::Text(Text { at, anchor, face, ink, says }));
        }
    }

    /// Writes lines below each other and gives the height behind them.
    pub fn lines(
        &mut self,
        x: i32,
        y: i32,
        face: Face,
        ink: &'static str,
        lines: &[String],
    ) -> i32 {
        let mut below = y;
        for line in lines {
            self.write((x, below + face.size), Anchor::Start, face, ink, line.clone());
            below += face.line();
        }
        below
    }

    /// A thin line from edge to edge.
    pub fn rule(&mut self, x: i32, y: i32, w: i32) {
        self.draw(Shape::Line(vec![(x, y), (x + w, y)], Paint::line(palette::RULE, 10, "")));
    }

    /// Notes where a place of the plan is drawn.
    pub fn is_at(&mut self, place: Place, area: Area) {
        self.places.push((place, area));
    }

    /// All texts.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.groups.iter().flat_map(|group| &group.shapes).filter_map(|shape| match shape {
            Shape::Text(text) => Some(text),
            Shape::Rect(..) | Shape::Line(..) | Shape::Polygon(..) | Shape::Circle(..) => None,
        })
    }
}

impl Shape {
    /// The room that it takes, without the width of its line.
    pub fn area(&self) -> Area {
        match self {
            Self::Rect(area, ..) => *area,
            Self::Line(points, _) | Self::Polygon(points, _) => around(points),
            Self::Circle((x, y), r, _) => Area { x: x - r, y: y - r, w: 2 * r, h: 2 * r },
            Self::Text(text) => text.area(),
        }
    }
}

impl Group {
    /// The room that it takes.
    pub fn area(&self) -> Area {
        let corners: Vec<_> = self
            .shapes
            .iter()
            .map(Shape::area)
            .flat_map(|area| [(area.x, area.y), (area.right(), area.bottom())])
            .collect();
        around(&corners)
    }
}

fn around(points: &[(i32, i32)]) -> Area {
    let xs = points.iter().map(|(x, _)| *x);
    let ys = points.iter().map(|(_, y)| *y);
    let (left, top) = (xs.clone().min().unwrap_or(0), ys.clone().min().unwrap_or(0));
    let (right, bottom) = (xs.max().unwrap_or(0), ys.max().unwrap_or(0));
    Area { x: left, y: top, w: right - left, h: bottom - top }
}
