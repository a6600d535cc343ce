//! Pages as PDF (ISO 32000-1), with the built-in faces. The same pages give the same bytes.

use super::{Anchor, MILLIMETRES_A_POINT, Page, Shape, width};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

const PLAIN: Name<'_> = Name(b"P");
const BOLD: Name<'_> = Name(b"B");
/// How far the handles of a Bézier curve stand off that comes nearest to a quarter of a circle.
const QUARTER: f32 = 0.552_285;

/// A sign that the built-in faces lack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoSuchSign(pub char);

/// The pages as one file.
///
/// # Errors
/// The first sign for which the built-in faces have no shape.
pub fn file(pages: &[Page], title: &str) -> Result<Vec<u8>, NoSuchSign> {
    let mut pdf = Pdf::new();
    let [catalog, tree, info, plain, bold] = [1, 2, 3, 4, 5].map(Ref::new);
    let mut next = 6;
    let ids: Vec<(Ref, Ref)> = pages
        .iter()
        .map(|_| {
            next += 2;
            (Ref::new(next - 2), Ref::new(next - 1))
        })
        .collect();
    pdf.catalog(catalog).pages(tree);
    pdf.document_info(info).title(TextStr(title)).producer(TextStr("coldcheck"));
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(ids.iter().map(|(page, _)| *page)).count(count);
    for (face, name) in [(plain, "Helvetica"), (bold, "Helvetica-Bold")] {
        pdf.type1_font(face)
            .base_font(Name(name.as_bytes()))
            .encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    for (page, (id, content)) in pages.iter().zip(&ids) {
        pdf.stream(*content, &drawn(page)?);
        let mut written = pdf.page(*id);
        written.parent(tree).contents(*content).media_box(Rect::new(
            0.0,
            0.0,
            points(page.width),
            points(page.height),
        ));
        let mut resources = written.resources();
        resources.fonts().pair(PLAIN, plain).pair(BOLD, bold);
        resources.finish();
    }
    Ok(pdf.finish())
}

fn points(millimetres: f32) -> f32 {
    millimetres / MILLIMETRES_A_POINT
}

fn drawn(page: &Page) -> Result<Vec<u8>, NoSuchSign> {
    let mut content = Content::new();
    // Millimetres from the upper left corner, as everywhere here; text is turned upright again.
    let scale = points(1.0);
    content.transform([scale, 0.0, 0.0, -scale, 0.0, points(page.height)]);
    for shape in &page.shapes {
        match shape {
            Shape::Block { x, y, w, h, ink } => {
                content.set_fill_gray(1.0 - ink).rect(*x, *y, *w, *h).fill_nonzero();
            }
            Shape::Outline { x, y, w, h, radius, stroke, ink } => {
                content.set_stroke_gray(1.0 - ink).set_line_width(*stroke);
                round(&mut content, (*x, *y), (*w, *h), *radius);
                content.stroke();
            }
            Shape::Disc { x, y, radius, ink } => {
                content.set_fill_gray(1.0 - ink);
                let (left, top) = (x - radius, y - radius);
                round(&mut content, (left, top), (2.0 * radius, 2.0 * radius), *radius);
                content.fill_nonzero();
            }
            Shape::Text { x, y, anchor, face, text } => {
                let wide = width(text, *face);
                let left = match anchor {
                    Anchor::Start => *x,
                    Anchor::Middle => x - wide / 2.0,
                    Anchor::End => x - wide,
                };
                let bytes = text.chars().map(win_ansi).collect::<Result<Vec<u8>, _>>()?;
                content
                    .set_fill_gray(1.0 - face.ink)
                    .begin_text()
                    .set_font(if face.bold { BOLD } else { PLAIN }, face.size)
                    .set_text_matrix([1.0, 0.0, 0.0, -1.0, left, *y])
                    .show(Str(&bytes))
                    .end_text();
            }
        }
    }
    Ok(content.finish().to_vec())
}

/// The path of a rectangle with round corners.
fn round(content: &mut Content, (x, y): (f32, f32), (w, h): (f32, f32), radius: f32) {
    if radius <= 0.0 {
        content.rect(x, y, w, h);
        return;
    }
    let (right, bottom) = (x + w, y + h);
    let off = radius * (1.0 - QUARTER);
    content.move_to(x + radius, y).line_to(right - radius, y);
    content.cubic_to(right - off, y, right, y + off, right, y + radius);
    content.line_to(right, bottom - radius);
    content.cubic_to(right, bottom - off, right - off, bottom, right - radius, bottom);
    content.line_to(x + radius, bottom);
    content.cubic_to(x + off, bottom, x, bottom - off, x, bottom - radius);
    content.line_to(x, y + radius);
    content.cubic_to(x, y + off, x + off, y, x + radius, y).close_path();
}

/// The byte of a sign in the encoding of the built-in faces (ISO 32000-1, annex D): ASCII, the upper
/// half of Latin 1, and what lists use beyond it.
fn win_ansi(sign: char) -> Result<u8, NoSuchSign> {
    match sign {
        ' '..='~' => u8::try_from(sign).map_err(|_| NoSuchSign(sign)),
        '\u{a0}'..='\u{ff}' => u8::try_from(u32::from(sign)).map_err(|_| NoSuchSign(sign)),
        '\u{20ac}' => Ok(0x80),
        '\u{2026}' => Ok(0x85),
        '\u{2018}' => Ok(0x91),
        '\u{2019}' => Ok(0x92),
        '\u{201c}' => Ok(0x93),
        '\u{201d}' => Ok(0x94),
        '\u{2022}' => Ok(0x95),
        '\u{2013}' => Ok(0x96),
        '\u{2014}' => Ok(0x97),
        '\u{2122}' => Ok(0x99),
        other => Err(NoSuchSign(other)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::print::{Face, Paper};

    #[test]
    fn a_sign_without_a_shape_is_named_and_not_left_out() {
        let mut page = Page::new(Paper::A4, false);
        page.text((10.0, 10.0), Face::plain(9.0), "Blöcke – 1");
        assert!(file(std::slice::from_ref(&page), "t").is_ok());
        page.text((10.0, 20.0), Face::plain(9.0), "блок");
        assert_eq!(file(&[page], "t"), Err(NoSuchSign('б')));
    }
}
