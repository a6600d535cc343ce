//! From bubbles to the cells of a cable list. What is not clear is asked about, never guessed.

use super::marks::{Seen, State};
use super::order::sort_short;
use crate::form::choices::{Choice, Choices, TERMINATOR};
use crate::form::layout::{Ask, BUBBLE, Bubble, Row, Side};
use crate::picture::Point;
use crate::picture::cell::Certainty;

/// A cell of a cable list as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// The most likely reading.
    pub text: String,
    /// Whether it stands.
    pub certainty: Certainty,
    /// How sure, 0 to 1.
    pub confidence: f32,
    /// Other readings, the likelier first.
    pub alternatives: Vec<String>,
    /// Where it stands in the picture, in pixels: left, top, width, height.
    pub area: [u32; 4],
}

/// One cable.
#[derive(Clone, Debug, PartialEq)]
pub struct FilledRow {
    /// The number printed before the row.
    pub label: Cell,
    /// From unit, from port, to unit, to port, kind, length in metres.
    pub cells: [Cell; 6],
}

impl FilledRow {
    /// Whether a person must still say something.
    pub fn is_asked(&self) -> bool {
        self.cells.iter().any(|cell| cell.certainty != Certainty::Sure)
    }
}

/// What a row is.
pub(super) enum Outcome {
    /// Nothing is filled.
    Blank,
    /// Its person took it back.
    Void,
    Used(Box<FilledRow>),
}

/// What a group of bubbles says.
#[derive(Clone, Debug, PartialEq)]
enum Said {
    Blank,
    One(usize, f32),
    /// These could be meant, the likelier first.
    Several(Vec<usize>),
}

/// A cell before it has its place.
type Reading = (String, Certainty, f32, Vec<String>);

const fn empty(certainty: Certainty) -> Reading {
    (
        String::new(),
        certainty,
        if matches!(certainty, Certainty::Sure) { 1.0 } else { 0.0 },
        Vec::new(),
    )
}

/// A row as it was filled. `place` tells where a place on paper lies in the picture.
pub(super) fn row(
    choices: &Choices,
    row: &Row,
    seen: &[Vec<Seen>],
    label: &str,
    place: &dyn Fn(f32, f32) -> Point,
) -> Outcome {
    let view = RowView { choices, row, seen };
    let void = view.said(Ask::Void);
    if matches!(void, Said::One(..)) {
        return Outcome::Void;
    }
    let asked = row.groups.iter().filter(|group| group.ask != Ask::Void);
    if void == Said::Blank
        && asked.map(|group| view.said(group.ask)).all(|said| said == Said::Blank)
    {
        return Outcome::Blank;
    }
    let kind = named(&view.said(Ask::Kind), &choices.kinds());
    let plug = kind.1 == Certainty::Sure && kind.0 == TERMINATOR;
    let (from_unit, from_port) = view.end(Side::From, false);
    let (to_unit, to_port) = view.end(Side::To, plug);
    let length = view.length();
    let mut readings = [from_unit, from_port, to_unit, to_port, kind, length];
    if void != Said::Blank {
        // Perhaps the whole row was taken back.
        for reading in &mut readings {
            reading.1 = reading.1.max_doubt();
            reading.2 = reading.2.min(0.5);
        }
    }
    let sides = [
        view.bubbles(&|ask| is_thing(ask, Side::From)),
        view.bubbles(&|ask| ask == Ask::Socket(Side::From)),
        view.bubbles(&|ask| is_thing(ask, Side::To)),
        view.bubbles(&|ask| ask == Ask::Socket(Side::To)),
        view.bubbles(&|ask| ask == Ask::Kind),
        view.bubbles(&|ask| matches!(ask, Ask::Length(_))),
    ];
    let mut areas = sides.iter().map(|bubbles| area(bubbles, place));
    let cells = readings.map(|(text, certainty, confidence, alternatives)| Cell {
        text,
        certainty,
        confidence,
        alternatives,
        area: areas.next().unwrap_or_default(),
    });
    let label = Cell {
        text: label.to_owned(),
        certainty: Certainty::Sure,
        confidence: 1.0,
        alternatives: Vec::new(),
        area: area(&view.bubbles(&|ask| ask == Ask::Void), place),
    };
    Outcome::Used(Box::new(FilledRow { label, cells }))
}

impl Certainty {
    /// At least doubtful.
    const fn max_doubt(self) -> Self {
        match self {
            Self::Sure => Self::Doubtful,
            Self::Doubtful | Self::Unread => self,
        }
    }
}

fn is_thing(ask: Ask, side: Side) -> bool {
    [Ask::Unit(side), Ask::UnitTens(side), Ask::UnitOnes(side), Ask::Other(side)].contains(&ask)
}

struct RowView<'r> {
    choices: &'r Choices,
    row: &'r Row,
    seen: &'r [Vec<Seen>],
}

impl RowView<'_> {
    fn bubbles(&self, which: &dyn Fn(Ask) -> bool) -> Vec<&Bubble> {
        let groups = self.row.groups.iter().filter(|group| which(group.ask));
        groups.flat_map(|group| &group.bubbles).collect()
    }

    fn said(&self, ask: Ask) -> Said {
        let at = self.row.groups.iter().position(|group| group.ask == ask);
        said(at.and_then(|at| self.seen.get(at)).map_or(&[], |seen| seen.as_slice()))
    }

    /// A unit or another end, and its socket. `nothing` is expected at the far side of a plug.
    fn end(&self, side: Side, nothing: bool) -> (Reading, Reading) {
        let others = self.choices.others();
        let (unit, other) = (self.unit(side), self.said(Ask::Other(side)));
        let sockets = self.choices.sockets();
        let socket = self.said(Ask::Socket(side));
        if nothing {
            // What stands there all the same contradicts the plug.
            let doubted = |(text, certainty, confidence, alternatives): Reading| match certainty {
                Certainty::Unread => empty(Certainty::Sure),
                Certainty::Sure | Certainty::Doubtful => {
                    (text, Certainty::Doubtful, confidence * 0.5, alternatives)
                }
            };
            let thing = thing(&unit, &other, &others);
            return (doubted(thing), doubted(named(&socket, &sockets)));
        }
        let thing = thing(&unit, &other, &others);
        let is_other = unit == Said::Blank && matches!(other, Said::One(..));
        let port = if is_other {
            let implied =
                others.iter().find(|other| other.word == thing.0).map_or("", |other| other.port);
            match socket {
                Said::Blank => (implied.to_owned(), Certainty::Sure, 1.0, Vec::new()),
                // Such an end has no socket to choose.
                Said::One(..) | Said::Several(_) => {
                    let (text, _, _, mut alternatives) = named(&socket, &sockets);
                    alternatives.insert(0, implied.to_owned());
                    (text, Certainty::Doubtful, 0.5, alternatives)
                }
            }
        } else {
            named(&socket, &sockets)
        };
        (thing, port)
    }

    /// Which unit: its number less one.
    fn unit(&self, side: Side) -> Said {
        if !self.choices.by_digits() {
            return self.said(Ask::Unit(side));
        }
        let (tens, ones) = (self.said(Ask::UnitTens(side)), self.said(Ask::UnitOnes(side)));
        if tens == Said::Blank && ones == Said::Blank {
            return Said::Blank;
        }
        let units = usize::from(self.choices.units);
        let number =
            |ten: usize, one: usize| (10 * ten + one).checked_sub(1).filter(|at| *at < units);
        if let (Said::One(ten, sure), Said::One(one, also)) = (&tens, &ones) {
            // A number that no unit has is a slip of the pen.
            return number(*ten, *one)
                .map_or(Said::Several(Vec::new()), |at| Said::One(at, sure.min(*also)));
        }
        let all = |said: &Said, most: usize| match said {
            Said::Blank => (0..most).collect(),
            Said::One(at, _) => vec![*at],
            Said::Several(several) => several.clone(),
        };
        let (tens, ones) = (all(&tens, 4), all(&ones, 10));
        let fits = tens.iter().flat_map(|ten| ones.iter().filter_map(|one| number(*ten, *one)));
        Said::Several(fits.take(6).collect())
    }

    fn length(&self) -> Reading {
        let digits = [0, 1, 2].map(|digit| self.said(Ask::Length(digit)));
        if digits.iter().all(|digit| *digit == Said::Blank) {
            // A length may be left open; the check says what it could not check for want of it.
            return empty(Certainty::Sure);
        }
        let text =
            |tens: usize, ones: usize, tenths: usize| format!("{}.{tenths}", 10 * tens + ones);
        if let [Said::One(tens, a), Said::One(ones, b), Said::One(tenths, c)] = &digits {
            let sure = a.min(*b).min(*c);
            // No cable has no length.
            let state =
                if tens + ones + tenths == 0 { Certainty::Doubtful } else { Certainty::Sure };
            return (text(*tens, *ones, *tenths), state, sure, Vec::new());
        }
        let all = |said: &Said| match said {
            Said::Blank => vec![0],
            Said::One(at, _) => vec![*at],
            Said::Several(several) => several.clone(),
        };
        let [tens, ones, tenths] = digits.map(|digit| all(&digit));
        let mut readings = Vec::new();
        for ten in &tens {
            for one in &ones {
                readings.extend(tenths.iter().map(|tenth| text(*ten, *one, *tenth)));
            }
        }
        readings.truncate(6);
        doubtful(readings)
    }
}

fn said(seen: &[Seen]) -> Said {
    let mut marked: Vec<(usize, &Seen)> =
        seen.iter().enumerate().filter(|(_, seen)| seen.state != State::Blank).collect();
    sort_short(&mut marked, |one, other| one.1.ink > other.1.ink);
    match marked.as_slice() {
        [] => Said::Blank,
        [(at, seen)] if seen.state == State::Filled => {
            Said::One(*at, (0.6 + 0.4 * seen.ink).min(1.0))
        }
        several => Said::Several(several.iter().map(|(at, _)| *at).collect()),
    }
}

fn doubtful(mut readings: Vec<String>) -> Reading {
    if readings.is_empty() {
        return empty(Certainty::Unread);
    }
    let text = readings.remove(0);
    (text, Certainty::Doubtful, 0.5, readings)
}

fn named(said: &Said, words: &[Choice]) -> Reading {
    let word = |at: &usize| words.get(*at).map(|choice| choice.word.clone());
    match said {
        Said::Blank => empty(Certainty::Unread),
        Said::One(at, sure) => word(at)
            .map_or(empty(Certainty::Unread), |text| (text, Certainty::Sure, *sure, Vec::new())),
        Said::Several(several) => doubtful(several.iter().filter_map(word).collect()),
    }
}

/// A unit or another end, whichever was filled: both are asked about.
fn thing(unit: &Said, other: &Said, others: &[Choice]) -> Reading {
    let name = |at: &usize| u8::try_from(*at + 1).ok().map(Choices::unit);
    let word = |at: &usize| others.get(*at).map(|choice| choice.word.clone());
    match (unit, other) {
        (_, Said::Blank) => match unit {
            Said::Blank => empty(Certainty::Unread),
            Said::One(at, sure) => name(at).map_or(empty(Certainty::Unread), |text| {
                (text, Certainty::Sure, *sure, Vec::new())
            }),
            Said::Several(several) => doubtful(several.iter().filter_map(name).collect()),
        },
        (Said::Blank, _) => named(other, others),
        (_, _) => {
            let all = |said: &Said| match said {
                Said::Blank => Vec::new(),
                Said::One(at, _) => vec![*at],
                Said::Several(several) => several.clone(),
            };
            let (units, others) = (all(unit), all(other));
            let readings = units.iter().filter_map(name).chain(others.iter().filter_map(word));
            doubtful(readings.collect())
        }
    }
}

/// The rectangle around bubbles in the picture.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places of a picture; what lies left or above of it is its edge"
)]
fn area(bubbles: &[&Bubble], place: &dyn Fn(f32, f32) -> Point) -> [u32; 4] {
    let (mut low, mut high) = (Point::new(f64::MAX, f64::MAX), Point::new(0.0, 0.0));
    for bubble in bubbles {
        let (wide, tall) = (bubble.w / 2.0 + 0.4, BUBBLE.0 / 2.0 + 0.4);
        for (x, y) in [(-wide, -tall), (wide, -tall), (wide, tall), (-wide, tall)] {
            let at = place(bubble.x + x, bubble.y + y);
            (low.x, low.y) = (low.x.min(at.x), low.y.min(at.y));
            (high.x, high.y) = (high.x.max(at.x), high.y.max(at.y));
        }
    }
    [low.x, low.y, high.x - low.x, high.y - low.y].map(|value| value as u32)
}
