//! A page as SVG, in millimetres. The text of sheets is escaped by the template library.

use super::{Anchor, Page, Shape, width};
use maud::{Markup, PreEscaped, html};

/// The page as a file of its own, with a title for those who cannot see it.
pub fn file(page: &Page, title: &str) -> String {
    let head = r#"<?xml version="1.0" encoding="UTF-8"?>"#;
    let (w, h) = (number(page.width), number(page.height));
    let svg = html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(format!("{w}mm")) height=(format!("{h}mm"))
            viewBox=(format!("0 0 {w} {h}")) role="img" aria-label=(title)
            font-family="Helvetica, Arial, 'Liberation Sans', sans-serif" {
            title { (title) }
            rect width=(w) height=(h) fill="#fff" {}
            (PreEscaped("\n"))
            @for shape in &page.shapes { (drawn(shape)) (PreEscaped("\n")) }
        }
    };
    format!("{head}\n{}\n", svg.into_string())
}

fn drawn(shape: &Shape) -> Markup {
    match shape {
        Shape::Block { x, y, w, h, ink } => html! {
            rect x=(number(*x)) y=(number(*y)) width=(number(*w)) height=(number(*h)) fill=(grey(*ink)) {}
        },
        Shape::Outline { x, y, w, h, radius, stroke, ink } => html! {
            rect x=(number(*x)) y=(number(*y)) width=(number(*w)) height=(number(*h)) rx=(number(*radius))
                fill="none" stroke=(grey(*ink)) stroke-width=(number(*stroke)) {}
        },
        Shape::Disc { x, y, radius, ink } => html! {
            circle cx=(number(*x)) cy=(number(*y)) r=(number(*radius)) fill=(grey(*ink)) {}
        },
        Shape::Text { x, y, anchor, face, text } => {
            let anchor = match anchor {
                Anchor::Start => None,
                Anchor::Middle => Some("middle"),
                Anchor::End => Some("end"),
            };
            // Whatever font a viewer has, the text takes the room that it was given.
            html! {
                text x=(number(*x)) y=(number(*y)) font-size=(number(face.size)) fill=(grey(face.ink))
                    text-anchor=[anchor] font-weight=[face.bold.then_some("bold")]
                    textLength=(number(width(text, *face))) lengthAdjust="spacingAndGlyphs" {
                    (crate::visible::in_markup(text))
                }
            }
        }
    }
}

/// Hundredths of a millimetre: finer than any printer needs.
fn number(millimetres: f32) -> String {
    let text = format!("{millimetres:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn grey(ink: f32) -> String {
    let level = super::level(ink);
    format!("#{level:02x}{level:02x}{level:02x}")
}
