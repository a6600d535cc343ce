//! A form filled at random, as people fill them, with what was meant.

use super::raster::Canvas;
use super::{happens, within};
use crate::generate::Dice;
use coldcheck::form::choices::{Choices, TERMINATOR};
use coldcheck::form::layout::{Ask, BUBBLE, Bubble, Layout, Row, Side};

/// What was meant by a row.
#[derive(Clone, Debug, PartialEq)]
pub enum Meant {
    /// It was left empty, or taken back.
    Nothing,
    /// A cable.
    Cable([Wanted; 6]),
}

/// What a reader must make of a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Wanted {
    /// This word. It may ask, and must not take another one for sure.
    Word(String),
    /// A mark spoiled in this way: it must ask.
    Asked(&'static str),
}

/// The hand that fills a form.
#[derive(Clone, Copy, Debug)]
pub struct Hand {
    /// How dark its pen is.
    pub dark: f32,
    /// How messy it is, 0 to 1.
    pub messy: f32,
    /// How often a mark is spoiled: struck out, double, half wiped away, faint, smudged.
    pub spoils: f32,
}

impl Hand {
    /// Pencils and pens, faint and dark, careful and messy.
    pub fn at_random(dice: &mut Dice) -> Self {
        Self { dark: within(dice, 0.42, 0.9), messy: within(dice, 0.1, 1.0), spoils: 0.012 }
    }
}

/// Fills a sheet. `row` tells for each row whether it is used.
pub fn fill(
    canvas: &mut Canvas,
    choices: &Choices,
    layout: &Layout,
    hand: Hand,
    dice: &mut Dice,
) -> Vec<Meant> {
    layout
        .rows
        .iter()
        .map(|row| {
            if happens(dice, 0.3) {
                return Meant::Nothing;
            }
            let (marks, words) = cable(choices, dice);
            let mut pen = Pen { canvas, row, hand, dice, spoiled: [None; 6] };
            for (ask, at) in marks {
                pen.answer(ask, at);
            }
            let spoiled = pen.spoiled;
            if happens(dice, 0.05) {
                let void = row.groups.iter().find(|group| group.ask == Ask::Void).expect("there");
                let mut pen = Pen { canvas, row, hand, dice, spoiled: [None; 6] };
                pen.mark(&void.bubbles[0]);
                return Meant::Nothing;
            }
            let mut words = words.into_iter();
            Meant::Cable(spoiled.map(|spoiled| {
                let word = words.next().expect("six words");
                spoiled.map_or(Wanted::Word(word), Wanted::Asked)
            }))
        })
        .collect()
}

/// A cable at random: which bubbles are filled, and the six words that they mean.
fn cable(choices: &Choices, dice: &mut Dice) -> (Vec<(Ask, usize)>, [String; 6]) {
    let mut marks = Vec::new();
    let mut words: [String; 6] = Default::default();
    let kinds = choices.kinds();
    let kind = dice.roll(kinds.len());
    let plug = kinds[kind].word == TERMINATOR;
    for (side, at) in [(Side::From, 0), (Side::To, 2)] {
        if plug && side == Side::To {
            continue;
        }
        let others = choices.others();
        if happens(dice, 0.15) {
            let other = dice.roll(others.len());
            marks.push((Ask::Other(side), other));
            words[at].clone_from(&others[other].word);
            others[other].port.clone_into(&mut words[at + 1]);
            continue;
        }
        let number = 1 + dice.roll(choices.units.into());
        if choices.by_digits() {
            marks.push((Ask::UnitTens(side), number / 10));
            marks.push((Ask::UnitOnes(side), number % 10));
        } else {
            marks.push((Ask::Unit(side), number - 1));
        }
        words[at] = format!("unit {number}");
        let sockets = choices.sockets();
        let socket = dice.roll(sockets.len());
        marks.push((Ask::Socket(side), socket));
        words[at + 1].clone_from(&sockets[socket].word);
    }
    marks.push((Ask::Kind, kind));
    words[4].clone_from(&kinds[kind].word);
    if happens(dice, 0.9) {
        let tenths = 1 + dice.roll(599);
        let digits = [tenths / 100, tenths / 10 % 10, tenths % 10];
        marks.extend((0..3).zip(digits).map(|(digit, at)| (Ask::Length(digit), at)));
        words[5] = format!("{}.{}", tenths / 10, tenths % 10);
    }
    (marks, words)
}

struct Pen<'c> {
    canvas: &'c mut Canvas,
    row: &'c Row,
    hand: Hand,
    dice: &'c mut Dice,
    spoiled: [Option<&'static str>; 6],
}

impl Pen<'_> {
    /// Fills one bubble of a group, or spoils the group.
    fn answer(&mut self, ask: Ask, at: usize) {
        let group = self.row.groups.iter().find(|group| group.ask == ask).expect("it was asked");
        let bubble = &group.bubbles[at];
        if !happens(self.dice, self.hand.spoils) {
            self.mark(bubble);
            return;
        }
        let cell = match ask {
            Ask::Void => return,
            Ask::Unit(side) | Ask::UnitTens(side) | Ask::UnitOnes(side) | Ask::Other(side) => {
                if side == Side::From {
                    0
                } else {
                    2
                }
            }
            Ask::Socket(side) => {
                if side == Side::From {
                    1
                } else {
                    3
                }
            }
            Ask::Kind => 4,
            Ask::Length(_) => 5,
        };
        let count = group.bubbles.len();
        let another =
            (count > 1).then(|| &group.bubbles[(at + 1 + self.dice.roll(count - 1)) % count]);
        let way = match (self.dice.roll(6), another) {
            (0, Some(another)) => {
                self.mark(bubble);
                self.mark(another);
                "two marks"
            }
            (1, Some(another)) => {
                self.strike_out(another);
                self.mark(bubble);
                "one mark struck out, one not"
            }
            // Wiped away: what is left of a mark.
            (2, Some(another)) => {
                let left = within(self.dice, 0.16, 0.3);
                self.cover(another, left, 1.0);
                self.mark(bubble);
                "one mark wiped away"
            }
            (3, _) => {
                self.smudge(bubble);
                "a smudge"
            }
            (4, _) => {
                self.strike_out(bubble);
                "struck out"
            }
            (_, _) => {
                self.faint_tick(bubble);
                "a tick"
            }
        };
        self.spoiled[cell] = Some(way);
    }

    /// A filled bubble: mostly covered, somewhat beside it, streaky.
    fn mark(&mut self, bubble: &Bubble) {
        let dark = (self.hand.dark + within(self.dice, -0.06, 0.06)).min(0.95);
        let size = 1.0 + within(self.dice, -0.1, 0.14) * self.hand.messy;
        self.cover(bubble, dark, size);
    }

    fn cover(&mut self, bubble: &Bubble, dark: f32, size: f32) {
        let messy = self.hand.messy;
        let (x, y) = (
            bubble.x + within(self.dice, -0.28, 0.28) * messy,
            bubble.y + within(self.dice, -0.28, 0.28) * messy,
        );
        let (half_wide, half_high) = (bubble.w / 2.0 * size, BUBBLE.0 / 2.0 * size);
        let straight = (half_wide - half_high).max(0.0);
        let phase = within(self.dice, 0.0, 6.0);
        let slope = within(self.dice, -0.8, 0.8);
        let streak = 0.3 * messy;
        self.canvas.ink(
            (x - half_wide - 0.4, y - half_high - 0.4, x + half_wide + 0.4, y + half_high + 0.4),
            |px, py| {
                let (dx, dy) = (px - x, py - y);
                let turn = dy.atan2(dx);
                let edge = half_high * (1.0 + 0.07 * messy * (3.0 * turn + phase).sin());
                let out = (dx.abs() - straight).max(0.0).hypot(dy);
                let line = ((dy + slope * dx) * 9.0 + phase).sin();
                if out < edge { dark * (1.0 - streak * line.max(0.0)) } else { 0.0 }
            },
        );
    }

    fn strike_out(&mut self, bubble: &Bubble) {
        self.mark(bubble);
        let (wide, high) = (bubble.w * 0.85, BUBBLE.0 * 0.85);
        let wide_pen = within(self.dice, 0.4, 0.7);
        for side in [-1.0, 1.0] {
            self.canvas.stroke(
                (bubble.x - wide, bubble.y - high * side),
                (bubble.x + wide, bubble.y + high * side),
                wide_pen,
                self.hand.dark.max(0.6),
            );
        }
    }

    fn smudge(&mut self, bubble: &Bubble) {
        let (x, y) =
            (bubble.x + within(self.dice, -1.0, 1.0), bubble.y + within(self.dice, -1.0, 1.0));
        // What a thumb carries away is less dark than the mark that it came from.
        let dark = within(self.dice, 0.14, 0.36).min(0.55 * self.hand.dark);
        let (wide, high) = (within(self.dice, 2.2, 4.5), within(self.dice, 1.8, 2.6));
        self.canvas.ink((x - wide, y - high, x + wide, y + high), |px, py| {
            let out = ((px - x) / wide).hypot((py - y) / high);
            dark * (1.0 - out * out).max(0.0).sqrt()
        });
    }

    fn faint_tick(&mut self, bubble: &Bubble) {
        let dark = within(self.dice, 0.35, 0.8);
        let wide = within(self.dice, 0.35, 0.6);
        let low = (bubble.x - 0.3, bubble.y + 1.2);
        self.canvas.stroke((bubble.x - 1.3, bubble.y), low, wide, dark);
        self.canvas.stroke(low, (bubble.x + 1.6, bubble.y - 1.6), wide, dark);
    }
}
