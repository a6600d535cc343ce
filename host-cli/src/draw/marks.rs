//! Which finding is marked where, and what its mark looks like: number, shape and colour.

use super::measure::{Face, short, width};
use super::palette;
use super::scene::{Anchor, Area, Paint, Role, Scene, Shape, Text};
use crate::diagnosis::{self, Because, Diagnosis};
use crate::render::told;
use coldcheck_core::place::Place;
use coldcheck_core::rule::Severity;
use coldcheck_core::rules::POWER_DATA;
use std::collections::BTreeMap;

/// Height of a mark.
pub(super) const HEIGHT: i32 = 16;
/// Height of a row of marks.
pub(super) const ROW: i32 = 20;
/// Between two marks.
const GAP: i32 = 3;
/// A screen reader is told so many signs of a finding at its mark; all of it stands in the list.
const MOST_SIGNS: usize = 160;

/// How bad a finding is, or that something was left open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A finding of this severity.
    Found(Severity),
    /// A finding that a named person lets stand.
    Waived,
    /// Something here could not be checked, or must still be declared.
    Open,
}

/// A mark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Mark {
    /// What it is for.
    pub(super) kind: Kind,
    /// The number of the finding, with a question mark if it asks; or that alone.
    pub(super) label: String,
    /// What a screen reader says.
    pub(super) title: String,
}

/// All marks by place.
#[derive(Clone, Debug, Default)]
pub(super) struct Marks {
    at: BTreeMap<Place, Vec<Mark>>,
    /// Marks of units that belong to the power side.
    power: BTreeMap<Place, Vec<Mark>>,
    /// One mark for each finding and then for each waived one, for the list.
    pub(super) listed: Vec<Mark>,
}

impl Marks {
    /// The marks of a diagnosis. Findings of the power side are marked there, if it is drawn.
    pub(super) fn of(diagnosis: &Diagnosis, draws_power: bool) -> Self {
        let mut marks = Self::default();
        let found = diagnosis.findings.iter().map(|one| (one, Kind::Found(one.severity)));
        let waived = diagnosis.waived.iter().map(|one| (&one.finding, Kind::Waived));
        for (number, (finding, kind)) in (1..).zip(found.chain(waived)) {
            let (head, says) = match kind {
                Kind::Waived => ("waived".to_owned(), told::waived(finding).1),
                Kind::Found(_) | Kind::Open => told::finding(finding),
            };
            let title = format!("Finding {number}, {head}: {says}");
            let asks = kind != Kind::Waived && finding.rule.rule().asks;
            let label = format!("{number}{}", if asks { "?" } else { "" });
            let mark = Mark { kind, label, title: short(&title, MOST_SIGNS) };
            let is_power = draws_power && diagnosis::stage(finding.rule) == "power";
            for place in &finding.at {
                let is_there = is_power && matches!(place, Place::Unit(_));
                let side = if is_there { &mut marks.power } else { &mut marks.at };
                side.entry(*place).or_default().push(mark.clone());
            }
            if finding.at.is_empty() {
                marks.at.entry(Place::Group).or_default().push(mark.clone());
            }
            marks.listed.push(mark);
        }
        marks.add_open(diagnosis, draws_power);
        marks
    }

    /// One question mark for each place that something is missing at, and one at the group for what
    /// has no place: questions, and what nobody declares of the whole. What nothing of the site
    /// declares would be a mark on every unit and say nothing about any, so that it is the group's.
    fn add_open(&mut self, diagnosis: &Diagnosis, draws_power: bool) {
        let unchecked = diagnosis.not_checked.iter().chain(&diagnosis.gaps);
        let missing = unchecked.filter(|entry| matches!(entry.because, Because::Missing(_)));
        let open = missing.map(|entry| {
            let at = if entry.nowhere.is_none() { entry.at.as_slice() } else { &[] };
            (at, entry.says.clone(), diagnosis::stage(entry.rule) == "power")
        });
        let undeclared = diagnosis.undeclared.iter().map(|entry| {
            let text = format!("must be declared: {}", told::undeclared(entry));
            (entry.at.as_slice(), text, POWER_DATA.contains(entry.datum))
        });
        let questions = diagnosis.questions.iter();
        let questions = questions.map(|question| (&[][..], question.says.clone(), false));
        let mut says: BTreeMap<(bool, Place), Vec<String>> = BTreeMap::new();
        for (places, text, is_power) in questions.chain(undeclared).chain(open) {
            let places = if places.is_empty() { &[Place::Group] } else { places };
            for place in places {
                let is_power = draws_power && is_power && matches!(place, Place::Unit(_));
                let known = says.entry((is_power, *place)).or_default();
                if !known.contains(&text) {
                    known.push(text.clone());
                }
            }
        }
        for ((is_power, place), texts) in says {
            let title = short(&format!("Left open: {}", texts.join("; ")), MOST_SIGNS);
            let mark = Mark { kind: Kind::Open, label: "?".to_owned(), title };
            let side = if is_power { &mut self.power } else { &mut self.at };
            side.entry(place).or_default().push(mark);
        }
    }

    /// Marks at a place.
    pub(super) fn at(&self, place: Place) -> &[Mark] {
        self.at.get(&place).map_or(&[], Vec::as_slice)
    }

    /// Marks at a unit's power side.
    pub(super) fn of_power(&self, place: Place) -> &[Mark] {
        self.power.get(&place).map_or(&[], Vec::as_slice)
    }

    /// Whether there is a mark of this kind.
    pub(super) fn has(&self, kind: Kind) -> bool {
        let all = self.at.values().chain(self.power.values()).flatten().chain(&self.listed);
        all.into_iter().any(|mark| mark.kind == kind)
    }

    /// Every place with a mark.
    pub(super) fn places(&self) -> impl Iterator<Item = Place> {
        self.at.keys().copied()
    }
}

/// Width of a mark.
pub(super) fn wide(mark: &Mark) -> i32 {
    (width(&mark.label, Face::MARK) + 9).max(18)
}

/// Width of marks beside each other.
pub(super) fn all_wide(marks: &[Mark]) -> i32 {
    marks.iter().map(|mark| wide(mark) + GAP).sum::<i32>() - if marks.is_empty() { 0 } else { GAP }
}

/// The marks in rows of this room: where each stands within, and the height of all rows.
pub(super) fn rows(marks: &[Mark], room: i32) -> (Vec<(i32, i32)>, i32) {
    let (mut x, mut y) = (0, 0);
    let mut at = Vec::new();
    for mark in marks {
        if x > 0 && x + wide(mark) > room {
            (x, y) = (0, y + ROW);
        }
        at.push((x, y));
        x += wide(mark) + GAP;
    }
    (at, if marks.is_empty() { 0 } else { y + ROW })
}

/// Draws marks in rows and gives their height.
pub(super) fn draw_rows(
    scene: &mut Scene,
    marks: &[Mark],
    place: Place,
    at: (i32, i32),
    room: i32,
) -> i32 {
    let (spots, height) = rows(marks, room);
    for (mark, (x, y)) in marks.iter().zip(spots) {
        let shapes = shapes(mark, at.0 + x, at.1 + y + (ROW - HEIGHT) / 2);
        scene.lay_above(Role::Mark(place), mark.title.clone(), shapes);
    }
    height
}

/// A mark: a danger has points at its sides, what keeps the group from starting corners,
/// what makes it work badly round ends, a note is white; what is waived or open has a dashed frame.
pub(super) fn shapes(mark: &Mark, x: i32, y: i32) -> Vec<Shape> {
    let w = wide(mark);
    let area = Area { x, y, w, h: HEIGHT };
    let dashed = |r| {
        let paint = Paint { dash: "3 2", ..Paint::framed(palette::PAPER, palette::INK, 12) };
        (Shape::Rect(area, r, paint), palette::INK)
    };
    let (shape, ink) = match mark.kind {
        Kind::Found(Severity::Danger) => {
            let (right, bottom, middle) = (x + w, y + HEIGHT, y + HEIGHT / 2);
            let points = vec![
                (x, middle),
                (x + 4, y),
                (right - 4, y),
                (right, middle),
                (right - 4, bottom),
                (x + 4, bottom),
            ];
            (Shape::Polygon(points, Paint::filled(palette::DANGER)), palette::PAPER)
        }
        Kind::Found(Severity::NoStart) => {
            (Shape::Rect(area, 0, Paint::filled(palette::NO_START)), palette::PAPER)
        }
        Kind::Found(Severity::Degraded) => {
            (Shape::Rect(area, HEIGHT / 2, Paint::filled(palette::DEGRADED)), palette::PAPER)
        }
        Kind::Found(Severity::Note) => {
            let paint = Paint::framed(palette::PAPER, palette::INK, 12);
            (Shape::Rect(area, HEIGHT / 2, paint), palette::INK)
        }
        Kind::Waived => dashed(HEIGHT / 2),
        Kind::Open => dashed(0),
    };
    let at = (x + w / 2, y + HEIGHT / 2 + 4);
    let says = mark.label.clone();
    let text = Text { at, anchor: Anchor::Middle, face: Face::MARK, ink, says };
    vec![shape, Shape::Text(text)]
}
