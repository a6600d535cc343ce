//! A site as a picture: units along the link, cables as declared, the power side as a one-line
//! diagram, findings marked where they are.
//!
//! Everything is measured before it is drawn, in whole pixels and with the widest font that a
//! viewer may have, so that the same sheets give the same bytes, and no word lies on another.

mod boxes;
mod communication;
mod frame;
mod legend;
mod marks;
pub mod measure;
mod order;
pub mod palette;
mod power;
pub mod scene;
pub mod style;
pub mod svg;
mod things;
mod wires;

use crate::diagnosis::Diagnosis;
use crate::engine::Site;
use crate::phrase::counted;
use crate::render::told;
use coldcheck_core::plan::Scope;
use coldcheck_core::rule::Severity;
use communication::{BETWEEN, Communication, Room};
use frame::Frame;
use marks::Marks;
use measure::short;
use power::{Column, Power};
use scene::{Area, Scene};
use svg::Caption;

/// More dangers than these are counted in the description, and not told.
const MOST_DANGERS: usize = 12;

/// How wide the drawing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Width {
    /// 360 pixels: a phone held upright.
    Phone,
    /// 720 pixels: between the margins of an A4 page.
    Page,
    /// 1200 pixels: a screen.
    Wide,
}

impl Width {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Phone, Self::Page, Self::Wide];

    /// Width in pixels.
    pub const fn pixels(self) -> i32 {
        match self {
            Self::Phone => 360,
            Self::Page => 720,
            Self::Wide => 1200,
        }
    }

    const fn columns(self) -> usize {
        match self {
            Self::Phone => 1,
            Self::Page => 2,
            Self::Wide => 3,
        }
    }

    /// A column is broken above this height, if there is another one.
    const fn highest(self) -> i32 {
        match self {
            Self::Phone => 900,
            Self::Page => 880,
            Self::Wide => 760,
        }
    }
}

/// What is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parts {
    /// The picture with heading, findings, and what was not checked: it can stand alone.
    Whole,
    /// The picture and its key, for a page that says the rest itself.
    Picture,
}

/// A drawing with what is said to those who cannot see it.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The shapes.
    pub scene: Scene,
    /// Title and description.
    pub caption: Caption,
}

/// Draws a site.
pub fn draw(site: &Site, diagnosis: &Diagnosis, width: Width, parts: Parts) -> Drawing {
    let draws_power = power::is_declared(site);
    let marks = Marks::of(diagnosis, draws_power && site.scope.covers(Scope::POWER));
    let frame = Frame::of(width);
    let mut scene = Scene::of(width.pixels());
    let mut y = frame.margin;
    if parts == Parts::Whole {
        y = legend::head(&mut scene, &frame, site, diagnosis, y);
    }
    y = legend::group(&mut scene, &frame, site, &marks, y);
    let room = Room {
        x: frame.margin,
        column: frame.column,
        columns: width.columns(),
        highest: width.highest(),
    };
    let communication = Communication::of(site, &marks, room);
    communication.draw(site, &mut scene, y);
    let top = y;
    y += communication.height;
    let mut next = communication.columns;
    let mut lists_at = None;
    if draws_power {
        let power = Power::of(site, &marks);
        let fits = power.height(frame.column) <= communication.height.max(width.highest());
        if next < width.columns() && communication.height <= width.highest() + 40 && fits {
            let column = Column { x: frame.column_x(next), y: top, w: frame.column };
            y = y.max(power.draw(&mut scene, &[column], i32::MAX / 64) + 10);
            next += 1;
        } else {
            scene.cuts.push(y);
            let high = power.height(frame.column) > width.highest() / 2;
            let columns = if high { width.columns() } else { 1 };
            let column = |at| Column { x: frame.column_x(at), y, w: frame.column };
            y = power.draw(
                &mut scene,
                &(0..columns).map(column).collect::<Vec<_>>(),
                width.highest(),
            ) + 10;
            next = width.columns();
        }
    }
    if next < width.columns() && width == Width::Wide && y - top > 300 {
        lists_at = Some(Area { x: frame.column_x(next), y: top, w: frame.column, h: 0 });
    }
    scene.cuts.push(y);
    let below = Area { x: frame.margin, y, w: frame.inside, h: 0 };
    let lists = lists_at.unwrap_or(below);
    let mut end = legend::key(&mut scene, site, &marks, lists);
    if parts == Parts::Whole {
        end = legend::lists(&mut scene, diagnosis, &marks, Area { y: end + 6, ..lists });
    }
    y = y.max(end);
    scene.height = y + frame.margin;
    scene.finish();
    Drawing { scene, caption: caption(site, diagnosis) }
}

impl Frame {
    fn column_x(&self, at: usize) -> i32 {
        self.margin + i32::try_from(at).unwrap_or(0) * (self.column + BETWEEN)
    }
}

impl Drawing {
    /// The drawing as an SVG file.
    pub fn svg(&self) -> String {
        svg::file(&self.scene, &self.caption)
    }

    /// Parts of the drawing, each no higher than this where it can be cut so.
    pub fn pages(&self, highest: i32) -> Vec<Area> {
        let mut cuts = self.scene.cuts.clone();
        cuts.sort_unstable();
        cuts.dedup();
        let mut pages = Vec::new();
        let mut from = 0;
        while self.scene.height - from > highest {
            let fitting = cuts.iter().rev().find(|cut| **cut > from && **cut <= from + highest);
            let beyond = cuts.iter().find(|cut| **cut > from);
            let Some(to) = fitting.or(beyond) else { break };
            pages.push(Area { x: 0, y: from, w: self.scene.width, h: to - from });
            from = *to;
        }
        pages.push(Area { x: 0, y: from, w: self.scene.width, h: self.scene.height - from });
        pages
    }
}

/// The whole in words.
fn caption(site: &Site, diagnosis: &Diagnosis) -> Caption {
    let declared = &site.declared;
    let (word, says) = told::verdict(diagnosis);
    let order = order::order(site);
    let along = order.iter().filter_map(|(node, _)| match node {
        order::Node::Unit(unit) => Some(short(&declared.units[*unit].name, 40)),
        order::Node::Device(_)
        | order::Node::Pack(_)
        | order::Node::Sensor(_)
        | order::Node::Loose(_) => None,
    });
    let counts = [
        (declared.units.len(), "unit"),
        (declared.cables.len(), "cable"),
        (declared.packs.len(), "pack"),
        (declared.sensors.len(), "sensor"),
        (declared.devices.len(), "other device"),
    ];
    let counts: Vec<_> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, noun)| counted(*count, noun))
        .collect();
    let along: Vec<_> = along.collect();
    let along = if along.is_empty() { "nothing".to_owned() } else { along.join(", ") };
    let sides =
        if power::is_declared(site) { " with the power side below or beside it" } else { "" };
    Caption {
        title: short(&format!("Drawing of {}", told::site_name(site)), 120),
        description: format!(
            "{}; {}. Boxes and cables{sides}. Along the link: {along}. {word}: {says}{}",
            short(&told::subject(site), 300),
            counts.join(", "),
            dangers(diagnosis),
        ),
    }
}

/// The dangers by their number, for who cannot see the marks; how many more findings are marked.
fn dangers(diagnosis: &Diagnosis) -> String {
    let numbered = (1..).zip(&diagnosis.findings);
    let dangers = numbered.filter(|(_, one)| one.severity == Severity::Danger);
    let told: Vec<String> =
        dangers.map(|(number, one)| format!("{number}: {}.", short(&one.says, 200))).collect();
    let shown = told.iter().take(MOST_DANGERS).map(String::as_str).collect::<Vec<_>>().join(" ");
    let more = match told.len().saturating_sub(MOST_DANGERS) {
        0 => String::new(),
        count => format!(" And {} more, each at its mark.", counted(count, "danger")),
    };
    if told.is_empty() { String::new() } else { format!(" Dangers: {shown}{more}") }
}
