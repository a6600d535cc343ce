//! Words around the picture: heading, the group, what lines and marks mean, findings by number,
//! what was not checked.

use super::boxes::{lay, measured};
use super::frame::Frame;
use super::marks::{self, Kind, Mark, Marks};
use super::measure::{Face, fit, width, wrap};
use super::palette;
use super::scene::{Anchor, Area, Paint, Role, Scene, Shape};
use super::style;
use super::things::Maker;
use crate::diagnosis::Diagnosis;
use crate::engine::Site;
use crate::render::told::{self, Open};
use crate::words::CAUTIONS;
use coldcheck_core::rule::Severity;

/// Lines of one entry of a list at the most: the text of a sheet may be of any length.
const MOST_LINES: usize = 40;
/// From the edge to the text of a list.
const INDENT: i32 = 30;

/// Name of the site, verdict, profile and scope.
pub(super) fn head(
    scene: &mut Scene,
    frame: &Frame,
    site: &Site,
    diagnosis: &Diagnosis,
    top: i32,
) -> i32 {
    scene.group(Role::Frame, "");
    let (word, says) = told::verdict(diagnosis);
    let mut y = top;
    for (text, face, most) in [
        (told::site_name(site).to_owned(), Face::TITLE, 2),
        (format!("{word}: {says}"), Face::HEAD, 4),
        (format!("profile {}; scope: {}", told::profile(site), told::scope(site)), Face::PLAIN, 3),
    ] {
        let lines = wrap(&text, face, frame.inside, most);
        y = scene.lines(frame.margin, y, face, palette::INK, &lines) + 2;
    }
    y + 6
}

/// The box of the whole group.
pub(super) fn group(scene: &mut Scene, frame: &Frame, site: &Site, marks: &Marks, top: i32) -> i32 {
    let thing = Maker { site, marks }.group();
    let height = measured(&thing, frame.inside, &|_| false).height;
    let area = Area { x: frame.margin, y: top, w: frame.inside, h: height };
    lay(&thing, scene, area, &|_| false);
    top + height + 14
}

/// What each kind of line and mark means, as far as it is there.
pub(super) fn key(scene: &mut Scene, site: &Site, marks: &Marks, at: Area) -> i32 {
    scene.group(Role::Frame, "");
    let mut y = heading(scene, at, at.y, "Lines and marks");
    let mut x = at.x;
    let declared = &site.declared;
    let mut entry = |scene: &mut Scene, wide: i32, word: &str| {
        let word = fit(word, Face::PLAIN, at.w - wide - 8);
        let all = wide + 6 + width(&word, Face::PLAIN) + 16;
        if x > at.x && x + all - 16 > at.x + at.w {
            x = at.x;
            y += marks::ROW;
        }
        let here = (x, y);
        scene.write((x + wide + 6, y + 14), Anchor::Start, Face::PLAIN, palette::INK, word);
        x += all;
        here
    };
    for kind in style::KINDS {
        let is_drawn = |cable: usize| !super::order::is_plug(declared, cable);
        let mut cables = declared.cables.iter().enumerate();
        if cables.any(|(at, cable)| cable.kind == *kind && is_drawn(at)) {
            let (x, y) = entry(scene, 40, style::word(*kind));
            let line = Shape::Line(vec![(x, y + 10), (x + 40, y + 10)], style::cable(*kind));
            scene.draw(line);
        }
    }
    for (kind, label, word) in [
        (Kind::Found(Severity::Danger), "1", Severity::Danger.word()),
        (Kind::Found(Severity::NoStart), "1", Severity::NoStart.word()),
        (Kind::Found(Severity::Degraded), "1", Severity::Degraded.word()),
        (Kind::Found(Severity::Note), "1", Severity::Note.word()),
        (Kind::Waived, "1", "waived"),
        (Kind::Open, "?", "not checked, or not declared, here"),
    ] {
        if marks.has(kind) {
            let mark = Mark { kind, label: label.to_owned(), title: String::new() };
            let (x, y) = entry(scene, marks::wide(&mark), word);
            for shape in marks::shapes(&mark, x, y + 2) {
                scene.draw(shape);
            }
        }
    }
    for (is_on, word) in [
        (Some(true), "terminator on"),
        (Some(false), "terminator off"),
        (None, "terminator not declared"),
    ] {
        let (x, y) = entry(scene, super::boxes::TERMINATOR.0, word);
        scene.draw(super::boxes::terminator((x, y + 5), is_on));
    }
    if declared.cables.iter().enumerate().any(|(at, _)| super::order::is_plug(declared, at)) {
        let (x, y) = entry(scene, super::boxes::TERMINATOR.0, "plug that does not end the link");
        for shape in super::boxes::plug((x, y + 5), false) {
            scene.draw(shape);
        }
    }
    y + marks::ROW + 4
}

/// Findings by number, what must be declared, what was not checked, and the cautions.
pub(super) fn lists(scene: &mut Scene, diagnosis: &Diagnosis, marks: &Marks, at: Area) -> i32 {
    let mut y = at.y;
    let findings = diagnosis.findings.iter().map(|finding| {
        let (head, says) = told::finding(finding);
        format!("{head}: {says}")
    });
    let waived = diagnosis.waived.iter().map(|waived| {
        let (severity, says) = told::waived(&waived.finding);
        let waiver = &waived.waiver;
        format!(
            "waived, {severity}: {says}; because: {}; by {}, until {}",
            waiver.reason, waiver.by, waiver.until
        )
    });
    if !marks.listed.is_empty() {
        scene.group(Role::Frame, "");
        y = heading(scene, at, y, "Findings");
    }
    for (mark, text) in marks.listed.iter().zip(findings.chain(waived)) {
        let lines = wrap(&text, Face::PLAIN, at.w - INDENT, MOST_LINES);
        scene.cuts.push(y - 2);
        scene.group(Role::Frame, "");
        for shape in marks::shapes(mark, at.x, y + 1) {
            scene.draw(shape);
        }
        y = scene.lines(at.x + INDENT, y, Face::PLAIN, palette::INK, &lines) + 4;
    }
    let questions = diagnosis.questions.iter();
    let questions = questions.map(|question| format!("{} ({})", question.says, question.answer));
    y = list(scene, at, y, "To answer first:", questions);
    let undeclared = diagnosis.undeclared.iter().map(told::undeclared);
    y = list(scene, at, y, told::UNDECLARED, undeclared);
    y = list(scene, at, y, told::COUNTED, told::counted_rules(diagnosis).iter());
    y = list(scene, at, y, told::NOT_CHECKED, Open::of(&diagnosis.not_checked).lines());
    y = list(scene, at, y, told::GAPS, Open::of(&diagnosis.gaps).lines());
    y = list(scene, at, y, told::LOOKED_AT_BY_NONE, diagnosis.looked_at_by_none.iter());
    let unread = diagnosis.not_understood.iter().map(|cell| cell.text.as_str());
    y = list(scene, at, y, told::NOT_UNDERSTOOD, unread);
    scene.cuts.push(y - 1);
    scene.group(Role::Frame, "");
    y = heading(scene, at, y, told::met_heading(diagnosis).trim_end_matches(':'));
    scene.group(Role::Frame, "");
    scene.rule(at.x, y + 4, at.w);
    let lines = wrap(CAUTIONS, Face::PLAIN, at.w, 30);
    scene.lines(at.x, y + 10, Face::PLAIN, palette::INK, &lines)
}

fn heading(scene: &mut Scene, at: Area, y: i32, text: &str) -> i32 {
    let lines = wrap(text, Face::HEAD, at.w, 4);
    scene.lines(at.x, y + 6, Face::HEAD, palette::INK, &lines) + 4
}

/// A heading with its entries; nothing if there are none.
fn list<T: AsRef<str>>(
    scene: &mut Scene,
    at: Area,
    y: i32,
    title: &str,
    items: impl Iterator<Item = T>,
) -> i32 {
    let mut below = y;
    for (position, item) in items.enumerate() {
        scene.cuts.push(below - 1);
        scene.group(Role::Frame, "");
        if position == 0 {
            below = heading(scene, at, below, title);
        }
        let lines = wrap(item.as_ref(), Face::SMALL, at.w - 12, MOST_LINES);
        let dot = Area { x: at.x + 2, y: below + 6, w: 4, h: 4 };
        scene.draw(Shape::Rect(dot, 2, Paint::filled(palette::INK)));
        below = scene.lines(at.x + 12, below, Face::SMALL, palette::INK, &lines) + 3;
    }
    below
}
