//! What stands where on a form: the one fact that drawer and reader share.
//!
//! Places are in millimetres from the upper left corner of the paper, which lies on its long side.

use super::choices::Choices;
use crate::print::Paper;

/// Distance of the middle of a corner mark from both edges of the paper.
const CORNER: f32 = 13.5;
/// Radius of the ring of a corner mark, of its hole and of its dot.
pub const MARK: (f32, f32, f32) = (4.5, 3.0, 1.5);
/// The bar that tells which corner is the upper left one: place, width, height.
pub const BAR: Area = Area { x: 20.5, y: 12.0, w: 14.0, h: 3.0 };
/// A black piece at the edge that shows how the paper lies there: width and height.
pub const TICK: (f32, f32) = (3.0, 1.6);
/// Distance of the middle of a tick from its edge of the paper.
const TICK_EDGE: f32 = 10.0;
/// Stretches between the ticks along the upper and the lower edge.
const STRETCHES: u8 = 8;
/// A square of the strip: side, without gaps.
pub const SQUARE: f32 = 2.2;
/// Side of the QR code with its quiet zone.
pub const QR: f32 = 27.0;
/// Room left and right of everything that is read.
pub const MARGIN: f32 = 14.8;
/// Left and right side of the head.
pub const HEAD: f32 = 20.5;

/// Distance of two lines of bubbles in a row.
const LINE: f32 = 4.4;
/// Distance of two rows.
pub const ROW: f32 = 11.2;
/// Where the table and its first row begin.
pub const TABLE: f32 = 46.0;
const FIRST_ROW: f32 = 55.5;
/// What stays free below the rows.
const FOOT: f32 = 22.0;
/// Height of a bubble, and the widths of a round and of a wide one.
pub const BUBBLE: (f32, f32, f32) = (3.4, 3.4, 4.6);
/// Distance of two round and of two wide bubbles.
const STEP: (f32, f32) = (4.15, 5.25);
/// Between groups of one question, and between questions.
const GAP: (f32, f32) = (1.3, 3.0);
/// The most tens of metres: a data cable of sixty metres is none that a group has.
const MOST_TENS: u8 = 5;
/// Width of the column with the number of the row.
const NUMBER: f32 = 11.6;

/// A rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left side.
    pub x: f32,
    /// Upper side.
    pub y: f32,
    /// Width.
    pub w: f32,
    /// Height.
    pub h: f32,
}

/// One end of a cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Where it begins.
    From,
    /// Where it ends.
    To,
}

/// What a group of bubbles asks: at the most one of them is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ask {
    /// Whether the row is struck out.
    Void,
    /// Which unit, one bubble each.
    Unit(Side),
    /// Tens of the number of a unit.
    UnitTens(Side),
    /// Ones of the number of a unit.
    UnitOnes(Side),
    /// Which end that is no unit.
    Other(Side),
    /// Which socket.
    Socket(Side),
    /// Which kind of cable.
    Kind,
    /// Tens, ones and tenths of metres: 0, 1, 2.
    Length(u8),
}

/// Bubbles of one question.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// What is asked.
    pub ask: Ask,
    /// The bubbles in the order of the choices.
    pub bubbles: Vec<Bubble>,
}

/// A bubble: its middle, its width, what stands in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bubble {
    /// Middle.
    pub x: f32,
    /// Middle.
    pub y: f32,
    /// Width; the height is that of all bubbles.
    pub w: f32,
    /// A few signs.
    pub code: String,
}

/// One cable.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Number of the row on its sheet, from zero.
    pub at: u8,
    /// Middle of the row.
    pub y: f32,
    /// The questions from left to right.
    pub groups: Vec<Group>,
    /// Room for a note.
    pub note: Area,
}

/// A form of one set of choices on one size of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Size of the paper.
    pub paper: Paper,
    /// Width and height of the paper.
    pub size: (f32, f32),
    /// The rows of one sheet.
    pub rows: Vec<Row>,
    /// Where each question begins, and where the last ends: from side, to side, kind, length, note.
    pub columns: [f32; 6],
}

/// Places that follow from the paper alone: what a reader looks for before it knows the form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Width of the paper.
    pub width: f32,
    /// Height of the paper.
    pub height: f32,
}

impl Frame {
    /// The frame of a size of paper.
    pub const fn of(paper: Paper) -> Self {
        let (width, height) = paper.sides();
        Self { width, height }
    }

    /// The middles of the corner marks, clockwise from the upper left one.
    pub const fn corners(self) -> [(f32, f32); 4] {
        let (right, bottom) = (self.width - CORNER, self.height - CORNER);
        [(CORNER, CORNER), (right, CORNER), (right, bottom), (CORNER, bottom)]
    }

    /// Upper left corners of the two strips.
    pub const fn strips(self) -> [(f32, f32); 2] {
        [(HEAD, 41.5), (HEAD, self.height - 20.4)]
    }

    /// Place of the QR code.
    pub const fn qr(self) -> Area {
        Area { x: self.width - HEAD - QR, y: 13.0, w: QR, h: QR }
    }

    /// How many rows have room.
    fn rows(self) -> u8 {
        let fits =
            |rows: &u8| FIRST_ROW + ROW * (f32::from(*rows) - 0.5) + 5.0 < self.height - FOOT + 2.0;
        (1..=40).take_while(fits).last().unwrap_or(1)
    }

    /// The middle of a row.
    fn row(at: u8) -> f32 {
        FIRST_ROW + ROW * (f32::from(at) + 0.5) - 2.0
    }

    /// The middles of the ticks along the left and the right edge, from top to bottom.
    pub fn side_ticks(self) -> [Vec<(f32, f32)>; 2] {
        let down = |x: f32| (0..self.rows()).map(|at| (x, Self::row(at))).collect();
        [down(TICK_EDGE), down(self.width - TICK_EDGE)]
    }

    /// The middles of the ticks along the upper and the lower edge, from left to right.
    pub fn level_ticks(self) -> [Vec<(f32, f32)>; 2] {
        let step = (self.width - 2.0 * CORNER) / f32::from(STRETCHES);
        let along = |y: f32| (1..STRETCHES).map(|at| (CORNER + step * f32::from(at), y)).collect();
        [along(TICK_EDGE), along(self.height - TICK_EDGE)]
    }
}

impl Layout {
    /// The layout of a form.
    pub fn new(choices: &Choices, paper: Paper) -> Self {
        let frame = Frame::of(paper);
        let mut columns = [0.0; 6];
        let rows = (0..frame.rows())
            .map(|at| {
                let mut pen = Pen { x: MARGIN, y: Frame::row(at), groups: Vec::new() };
                pen.void();
                columns[0] = pen.x;
                pen.end(choices, Side::From);
                columns[1] = pen.x;
                pen.end(choices, Side::To);
                columns[2] = pen.x;
                pen.words(Ask::Kind, choices.kinds().into_iter().map(|kind| kind.code));
                pen.x += GAP.1 - GAP.0;
                columns[3] = pen.x;
                pen.digits(Ask::Length(0), 0..MOST_TENS + 1);
                pen.digits(Ask::Length(1), 0..10);
                pen.digits(Ask::Length(2), 0..10);
                pen.x += GAP.1 - GAP.0;
                columns[4] = pen.x;
                columns[5] = frame.width - MARGIN;
                let note = Area {
                    x: pen.x,
                    y: pen.y - ROW / 2.0 + 0.8,
                    w: columns[5] - pen.x,
                    h: ROW - 1.6,
                };
                Row { at, y: pen.y, groups: pen.groups, note }
            })
            .collect();
        Self { paper, size: paper.sides(), rows, columns }
    }

    /// The places that do not depend on the choices.
    pub const fn frame(&self) -> Frame {
        Frame::of(self.paper)
    }
}

/// Lays one row out from left to right.
struct Pen {
    x: f32,
    y: f32,
    groups: Vec<Group>,
}

impl Pen {
    fn void(&mut self) {
        let bubble = Bubble { x: self.x + 7.0, y: self.y, w: BUBBLE.1, code: String::new() };
        self.groups.push(Group { ask: Ask::Void, bubbles: vec![bubble] });
        self.x += NUMBER;
    }

    fn end(&mut self, choices: &Choices, side: Side) {
        if choices.by_digits() {
            self.digits(Ask::UnitTens(side), 0..choices.units / 10 + 1);
            self.digits(Ask::UnitOnes(side), 0..10);
        } else {
            self.digits(Ask::Unit(side), 1..choices.units + 1);
        }
        self.words(Ask::Other(side), choices.others().into_iter().map(|other| other.code));
        self.words(Ask::Socket(side), choices.sockets().into_iter().map(|socket| socket.code));
        self.x += GAP.1 - GAP.0;
    }

    fn digits(&mut self, ask: Ask, numbers: std::ops::Range<u8>) {
        self.put(ask, numbers.map(|number| number.to_string()).collect(), BUBBLE.1, STEP.0);
    }

    fn words(&mut self, ask: Ask, codes: impl Iterator<Item = String>) {
        self.put(ask, codes.collect(), BUBBLE.2, STEP.1);
    }

    /// In two lines, the first half above the second.
    fn put(&mut self, ask: Ask, codes: Vec<String>, w: f32, step: f32) {
        let columns = codes.len().div_ceil(2);
        let (mut x, mut y) = (self.x + step / 2.0, self.y - LINE / 2.0);
        let mut bubbles = Vec::with_capacity(codes.len());
        for (at, code) in codes.into_iter().enumerate() {
            if at == columns {
                (x, y) = (self.x + step / 2.0, self.y + LINE / 2.0);
            }
            bubbles.push(Bubble { x, y, w, code });
            x += step;
        }
        for _ in 0..columns {
            self.x += step;
        }
        self.x += GAP.0;
        self.groups.push(Group { ask, bubbles });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::choices::Port;
    use coldcheck_core::plan::PortClass;

    fn all_layouts() -> impl Iterator<Item = (Choices, Layout)> {
        let classes = [PortClass::Link, PortClass::Battery, PortClass::Sensor, PortClass::Meter];
        let sizes = (1..=32).flat_map(|units| (1..=8).map(move |ports| (units, ports)));
        sizes.flat_map(move |(units, count)| {
            let port = |at: usize| Port { name: format!("port {at}"), class: classes[at % 4] };
            let choices = Choices::new("own", units, (0..count).map(port).collect()).unwrap();
            Paper::ALL.map(|paper| (choices.clone(), Layout::new(&choices, paper)))
        })
    }

    #[test]
    fn every_form_has_room_for_all_bubbles_and_a_note() {
        for (choices, layout) in all_layouts() {
            let note = layout.columns[5] - layout.columns[4];
            assert!(note > 8.0, "{note} {choices:?} {:?}", layout.paper);
            let last = layout.rows.last().unwrap();
            assert!(layout.rows.len() >= 10 && last.y + ROW / 2.0 < layout.size.1 - 20.4);
        }
    }

    #[test]
    fn no_two_bubbles_touch_on_any_form() {
        for (_, layout) in all_layouts() {
            let rows = layout.rows.iter().take(2).flat_map(|row| &row.groups);
            let bubbles: Vec<&Bubble> = rows.flat_map(|group| &group.bubbles).collect();
            for (at, one) in bubbles.iter().enumerate() {
                for other in &bubbles[at + 1..] {
                    let apart = (one.x - other.x).abs() - f32::midpoint(one.w, other.w);
                    assert!(apart > 0.5 || (one.y - other.y).abs() - BUBBLE.0 > 0.8);
                }
            }
        }
    }
}
