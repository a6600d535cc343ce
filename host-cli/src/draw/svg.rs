//! A drawing as SVG: whole, or a part of its height for each page. The text of sheets is escaped
//! by the template library.

use super::scene::{Anchor, Area, Group, Paint, Role, Scene, Shape, Text};
use maud::{Markup, PreEscaped, Render, html};
use std::fmt::Write;

/// Fonts that are asked for, the widest first.
const FONTS: &str = "DejaVu Sans, Verdana, sans-serif";

/// What stands beside the shapes, for those who cannot see them.
#[derive(Clone, Debug)]
pub struct Caption {
    /// A name for the whole.
    pub title: String,
    /// What it shows, in a few sentences.
    pub description: String,
}

/// The drawing as a file of its own.
pub fn file(scene: &Scene, caption: &Caption) -> String {
    let whole = Area { x: 0, y: 0, w: scene.width, h: scene.height };
    let head = r#"<?xml version="1.0" encoding="UTF-8"?>"#;
    format!("{head}\n{}\n", window(scene, whole, caption, "drawing").into_string())
}

/// The part of a drawing that lies in an area. Identifiers begin with the given word.
pub fn window(scene: &Scene, area: Area, caption: &Caption, id: &str) -> Markup {
    let Area { x, y, w, h } = area;
    let seen = scene.groups.iter().filter(|group| {
        let own = group.area();
        !group.shapes.is_empty() && own.y <= area.bottom() && own.bottom() >= area.y
    });
    html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(w) height=(h)
            viewBox=(format!("{x} {y} {w} {h}")) role="graphics-document document"
            aria-labelledby=(format!("{id}-title {id}-desc"))
            font-family=(FONTS) {
            title id=(format!("{id}-title")) { (caption.title) }
            desc id=(format!("{id}-desc")) { (caption.description) }
            (PreEscaped("\n"))
            rect x=(x) y=(y) width=(w) height=(h) fill=(super::palette::PAPER) {}
            (PreEscaped("\n"))
            @for one in seen { (group(one)) (PreEscaped("\n")) }
        }
    }
}

fn group(group: &Group) -> Markup {
    let role = match group.role {
        Role::Frame if group.title.is_empty() => None,
        Role::Frame | Role::Thing | Role::Cable(_) => Some("graphics-object group"),
        Role::Mark(_) => Some("graphics-symbol img"),
    };
    html! {
        g role=[role] {
            @if !group.title.is_empty() { title { (group.title) } }
            @for shape in &group.shapes { (shape) }
        }
    }
}

impl Render for Shape {
    fn render(&self) -> Markup {
        match self {
            Self::Rect(Area { x, y, w, h }, r, paint) => {
                let r = (*r > 0).then_some(*r);
                let Painted { fill, stroke, width, dash, .. } = painted(*paint);
                html! {
                    rect x=(x) y=(y) width=(w) height=(h) rx=[r] fill=(fill) stroke=[stroke]
                        stroke-width=[width] stroke-dasharray=[dash] {}
                }
            }
            Self::Line(points, paint) => {
                let Painted { fill, stroke, width, dash } = painted(*paint);
                html! {
                    polyline points=(list(points)) fill=(fill) stroke=[stroke] stroke-width=[width]
                        stroke-dasharray=[dash] stroke-linejoin="round" {}
                }
            }
            Self::Polygon(points, paint) => {
                let Painted { fill, stroke, width, dash } = painted(*paint);
                html! {
                    polygon points=(list(points)) fill=(fill) stroke=[stroke] stroke-width=[width]
                        stroke-dasharray=[dash] {}
                }
            }
            Self::Circle((x, y), r, paint) => {
                let Painted { fill, stroke, width, dash } = painted(*paint);
                html! {
                    circle cx=(x) cy=(y) r=(r) fill=(fill) stroke=[stroke] stroke-width=[width]
                        stroke-dasharray=[dash] {}
                }
            }
            Self::Text(text) => words(text),
        }
    }
}

fn words(text: &Text) -> Markup {
    let anchor = match text.anchor {
        Anchor::Start => None,
        Anchor::Middle => Some("middle"),
        Anchor::End => Some("end"),
    };
    let weight = text.face.bold.then_some("bold");
    html! {
        text x=(text.at.0) y=(text.at.1) font-size=(text.face.size) font-weight=[weight]
            text-anchor=[anchor] fill=(text.ink) { (text.says) }
    }
}

struct Painted {
    fill: &'static str,
    stroke: Option<&'static str>,
    width: Option<String>,
    dash: Option<&'static str>,
}

fn painted(paint: Paint) -> Painted {
    Painted {
        fill: paint.fill.unwrap_or("none"),
        stroke: paint.stroke,
        width: paint.stroke.map(|_| format!("{}.{}", paint.tenths / 10, paint.tenths % 10)),
        dash: (!paint.dash.is_empty()).then_some(paint.dash),
    }
}

fn list(points: &[(i32, i32)]) -> String {
    let mut text = String::new();
    for (x, y) in points {
        let space = if text.is_empty() { "" } else { " " };
        let _ = write!(text, "{space}{x},{y}");
    }
    text
}
