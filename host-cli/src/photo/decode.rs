//! One line of signs cut into the cells of a row: of all ways to cut it the one that costs least.

use super::columns::{Column, Order};
use super::number::{self, Length};
use super::similar::{distance, is_decimal, may_be_stroke};
use super::words::{Word, Words};

/// A sign of a line, folded, with what is known of its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Glyph {
    pub(super) sign: char,
    pub(super) confidence: f32,
    /// The box of text that it stands in, counted along the line.
    pub(super) piece: usize,
    /// Its place along the line, in coordinates of the sheet.
    pub(super) x: f64,
    /// Whether a space, a dash, an arrow or a ruling was read before it.
    pub(super) parted: bool,
}

/// What a stretch of signs was read as.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Found {
    /// First sign, and first sign behind it.
    pub(super) start: usize,
    pub(super) end: usize,
    /// The value, in the words of the vocabulary.
    pub(super) value: String,
    /// The unit of a length, else empty.
    pub(super) unit: &'static str,
    /// What had to be taken for something else.
    pub(super) cost: f32,
    /// The nearest other word and what that would cost.
    pub(super) next: Option<(String, f32)>,
    /// The way of printing that was met, folded.
    pub(super) printed: Vec<char>,
    /// Digits of a length, and whether it shows a decimal sign.
    pub(super) length: Option<(usize, bool)>,
}

/// A row as it was cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Cut {
    /// What all cells cost, with what was left over.
    pub(super) cost: f32,
    /// Signs that belong to no cell.
    pub(super) left_over: usize,
    /// The cells, in the order of the columns; `None` where nothing was found.
    pub(super) cells: Vec<Option<Found>>,
}

/// The longest cell, and the longest of each kind: a kind may be several words.
const LONGEST: usize = 28;

const fn longest(column: Column) -> usize {
    match column {
        Column::Label | Column::Length => 9,
        Column::FromUnit | Column::ToUnit | Column::FromPort | Column::ToPort => 16,
        Column::Kind => LONGEST,
    }
}

/// What it costs that a cell is empty, that a sign belongs to none, that a whole box does, that
/// a lone stroke does, that a cell begins in the middle of a word, that it reaches over the gap between two boxes.
const EMPTY: f32 = 1.6;
const STRAY: f32 = 0.8;
const STRAY_BOX: f32 = 1.0;
const STROKE: f32 = 0.3;
const IN_A_WORD: f32 = 0.35;
const OVER_A_GAP: f32 = 0.15;

/// What each stretch of a line would cost as each kind of cell.
pub(super) struct Costs<'l> {
    glyphs: &'l [Glyph],
    words: &'l Words,
    units: Vec<f32>,
    ports: Vec<f32>,
    kinds: Vec<f32>,
    labels: Vec<f32>,
    lengths: Vec<f32>,
}

impl<'l> Costs<'l> {
    pub(super) fn of(glyphs: &'l [Glyph], words: &'l Words) -> Self {
        let signs: Vec<char> = glyphs.iter().map(|glyph| glyph.sign).collect();
        let table = |longest: usize, cost: &dyn Fn(&[char]) -> f32| {
            let mut table = vec![f32::MAX; signs.len() * LONGEST];
            for start in 0..signs.len() {
                for end in start + 1..=signs.len().min(start + longest) {
                    let gaps = gaps(glyphs, start, end) as f32 * OVER_A_GAP;
                    table[start * LONGEST + end - start - 1] = cost(&signs[start..end]) + gaps;
                }
            }
            table
        };
        let closed = |column: Column, words: &[Word]| {
            table(longest(column), &|signs| {
                nearest(signs, words).first().map_or(f32::MAX, |(cost, ..)| *cost)
            })
        };
        let prefix = words.prefix.as_deref();
        Self {
            units: closed(Column::FromUnit, &words.units),
            ports: closed(Column::FromPort, &words.ports),
            kinds: closed(Column::Kind, &words.kinds),
            labels: table(longest(Column::Label), &|signs| {
                number::label(signs, prefix).map_or(f32::MAX, |found| found.cost)
            }),
            lengths: table(longest(Column::Length), &|signs| {
                number::length(signs).map_or(f32::MAX, |found| found.cost)
            }),
            glyphs,
            words,
        }
    }

    fn cost(&self, column: Column, start: usize, end: usize) -> f32 {
        let table = match column {
            Column::Label => &self.labels,
            Column::FromUnit | Column::ToUnit => &self.units,
            Column::FromPort | Column::ToPort => &self.ports,
            Column::Kind => &self.kinds,
            Column::Length => &self.lengths,
        };
        table[start * LONGEST + end - start - 1]
    }

    /// What it costs to begin a cell before a sign.
    fn begin(&self, at: usize) -> f32 {
        let glyph = &self.glyphs[at];
        let is_first =
            at.checked_sub(1).is_none_or(|before| self.glyphs[before].piece != glyph.piece);
        if is_first || glyph.parted { 0.0 } else { IN_A_WORD }
    }

    /// Where the box of a sign ends, if the sign is the first of it.
    fn box_behind(&self, at: usize) -> Option<usize> {
        let piece = self.glyphs[at].piece;
        let is_first = at.checked_sub(1).is_none_or(|before| self.glyphs[before].piece != piece);
        let behind = self.glyphs[at..].iter().position(|glyph| glyph.piece != piece);
        is_first.then_some(behind.map_or(self.glyphs.len(), |behind| at + behind))
    }

    /// The cheapest way to cut the line into cells of this order.
    pub(super) fn cut(&self, order: &Order) -> Cut {
        let length = self.glyphs.len();
        let wide = length + 1;
        // The least cost with so many cells done and so many signs taken, and the step to it.
        let mut least = vec![f32::MAX; (order.len() + 1) * wide];
        let mut from: Vec<(usize, usize)> = vec![(0, 0); least.len()];
        least[0] = 0.0;
        for done in 0..=order.len() {
            for taken in 0..=length {
                let here = least[done * wide + taken];
                if here >= f32::MAX {
                    continue;
                }
                let mut reach = |done_then: usize, taken_then: usize, cost: f32| {
                    let slot = done_then * wide + taken_then;
                    if here + cost < least[slot] {
                        least[slot] = here + cost;
                        from[slot] = (done, taken);
                    }
                };
                if taken < length {
                    let speck = if is_decimal(self.glyphs[taken].sign) { 0.2 } else { STRAY };
                    reach(done, taken + 1, speck);
                    if let Some(behind) = self.box_behind(taken) {
                        let is_stroke = is_stroke(self.glyphs, taken);
                        reach(done, behind, if is_stroke { STROKE } else { STRAY_BOX });
                    }
                }
                if let Some(column) = order.get(done) {
                    reach(done + 1, taken, EMPTY);
                    for end in taken + 1..=length.min(taken + longest(*column)) {
                        let cost = self.cost(*column, taken, end);
                        // Worse than empty with all of its signs left over.
                        if cost < EMPTY + STRAY * (end - taken) as f32 {
                            reach(done + 1, end, cost + self.begin(taken));
                        }
                    }
                }
            }
        }
        self.trace(order, &least, &from)
    }

    fn trace(&self, order: &Order, least: &[f32], from: &[(usize, usize)]) -> Cut {
        let wide = self.glyphs.len() + 1;
        let (mut done, mut taken) = (order.len(), self.glyphs.len());
        let cost = least.last().copied().unwrap_or(f32::MAX);
        let mut cells = vec![None; order.len()];
        let mut left_over = 0;
        while (done, taken) != (0, 0) {
            let (done_before, taken_before) = from[done * wide + taken];
            if done_before == done {
                if !is_stroke(self.glyphs, taken_before) {
                    left_over += taken - taken_before;
                }
            } else if taken_before < taken {
                cells[done_before] = self.found(order[done_before], taken_before, taken);
            }
            (done, taken) = (done_before, taken_before);
        }
        Cut { cost, left_over, cells }
    }

    /// What a stretch says as a cell of a column.
    pub(super) fn found(&self, column: Column, start: usize, end: usize) -> Option<Found> {
        let signs: Vec<char> = self.glyphs[start..end].iter().map(|glyph| glyph.sign).collect();
        let of = |value: String, cost, printed: Vec<char>| Found {
            start,
            end,
            value,
            unit: "",
            cost,
            next: None,
            printed,
            length: None,
        };
        let words = match column {
            Column::Label => {
                let found = number::label(&signs, self.words.prefix.as_deref())?;
                let front = self.words.prefix.as_deref().unwrap_or(&found.letters);
                let printed = found.letters.chars().chain(found.digits.chars()).collect();
                return Some(of(format!("{front}{}", found.digits), found.cost, printed));
            }
            Column::Length => {
                let found: Length = number::length(&signs)?;
                let metres = number::metres(&found.number, found.unit)?;
                let length = Some((found.digits, found.is_decimal));
                return Some(Found { unit: found.unit, length, ..of(metres, found.cost, signs) });
            }
            Column::FromUnit | Column::ToUnit => &self.words.units,
            Column::FromPort | Column::ToPort => &self.words.ports,
            Column::Kind => &self.words.kinds,
        };
        let near = nearest(&signs, words);
        let (cost, word, printed) = near.first()?;
        let next = near.get(1).map(|(cost, word, _)| (word.name.clone(), *cost));
        Some(Found { next, ..of(word.name.clone(), *cost, printed.to_vec()) })
    }
}

/// Whether a sign is alone in its box and may be a ruling or the slash between unit and socket.
pub(super) fn is_stroke(glyphs: &[Glyph], at: usize) -> bool {
    let own = glyphs[at].piece;
    let alone = |other: Option<usize>| {
        other.and_then(|at| glyphs.get(at)).is_none_or(|other| other.piece != own)
    };
    may_be_stroke(glyphs[at].sign) && alone(at.checked_sub(1)) && alone(Some(at + 1))
}

/// How many gaps between boxes lie in a stretch.
fn gaps(glyphs: &[Glyph], start: usize, end: usize) -> usize {
    glyphs[start..end].windows(2).filter(|pair| pair[0].piece != pair[1].piece).count()
}

/// The two words nearest to some signs, with what they cost and the way of printing.
fn nearest<'w>(signs: &[char], words: &'w [Word]) -> Vec<(f32, &'w Word, &'w [char])> {
    let mut near: Vec<(f32, &Word, &[char])> = Vec::new();
    for word in words {
        let best = word
            .printed
            .iter()
            // A word that is so much longer or shorter is not what was read.
            .filter(|printed| printed.len().abs_diff(signs.len()) <= 3)
            .map(|printed| (distance(signs, printed), printed.as_slice()))
            .min_by(|left, right| left.0.total_cmp(&right.0));
        if let Some((cost, printed)) = best {
            near.push((cost, word, printed));
        }
    }
    near.sort_by(|left, right| left.0.total_cmp(&right.0));
    near.truncate(2);
    near
}

#[cfg(test)]
mod tests {
    use super::*;
    use Column::{FromPort, FromUnit, Kind, Label, ToPort, ToUnit};

    fn words() -> Words {
        Words {
            units: vec![Word::new("U1", []), Word::new("U2", []), Word::new("U7", [])],
            ports: vec![Word::new("LINK A", ["A"]), Word::new("LINK B", ["B"])],
            kinds: vec![Word::new("parallel link", []), Word::new("meter cable", [])],
            prefix: Some("P".to_owned()),
        }
    }

    /// Boxes stand between bars, and in them spaces part words.
    fn glyphs(text: &str) -> Vec<Glyph> {
        let mut glyphs = Vec::new();
        for (piece, text) in text.split('|').enumerate() {
            let mut parted = false;
            for sign in text.chars() {
                match super::super::similar::folded(sign) {
                    Some(sign) => {
                        let x = glyphs.len() as f64;
                        glyphs.push(Glyph { sign, confidence: 0.99, piece, x, parted });
                        parted = false;
                    }
                    None => parted = true,
                }
            }
        }
        glyphs
    }

    fn values(text: &str, order: &[Column]) -> Vec<String> {
        let (glyphs, words) = (glyphs(text), words());
        let cut = Costs::of(&glyphs, &words).cut(&order.to_vec());
        cut.cells.into_iter().map(|cell| cell.map_or_else(String::new, |cell| cell.value)).collect()
    }

    const USUAL: [Column; 7] = [Label, FromUnit, FromPort, ToUnit, ToPort, Kind, Column::Length];

    #[test]
    fn boxes_and_typed_lines_are_cut_alike() {
        let cells = ["P3", "U1", "LINK A", "U2", "LINK B", "parallel link", "1.5"];
        assert_eq!(values("P3|U1|LINK A|U2|LINK B|parallel link|1,50 m", &USUAL), cells);
        assert_eq!(values("P3 U1 A -> U2 B parallel link 1.5", &USUAL), cells);
        assert_eq!(values("P3|U1A|U2:B|para|llel link|1.5m", &USUAL), cells);
    }

    #[test]
    fn twins_are_taken_for_what_the_vocabulary_knows() {
        assert_eq!(
            values("PI|UI|LlNK A|U2|8|parallel link|O.8", &USUAL)[..5],
            ["P1", "U1", "LINK A", "U2", "LINK B"]
        );
    }

    #[test]
    fn a_cell_that_is_not_there_stays_empty() {
        assert_eq!(values("P3|U1|U2|B|meter cable|1.5", &USUAL)[2], "");
    }

    #[test]
    fn a_box_of_something_else_is_left_over() {
        let (glyphs, words) = (glyphs("12|P3|U1|A|U2|B|see note"), words());
        let cut = Costs::of(&glyphs, &words).cut(&USUAL[..5].to_vec());
        assert_eq!(cut.left_over, 9);
        assert!(cut.cells.iter().all(|cell| cell.as_ref().is_some_and(|cell| cell.cost < 0.01)));
    }

    #[test]
    fn a_slash_alone_in_its_box_is_no_surplus() {
        let (glyphs, words) = (glyphs("P3|U1|/|A|U2|1|B"), words());
        let cut = Costs::of(&glyphs, &words).cut(&USUAL[..5].to_vec());
        assert_eq!(cut.left_over, 0);
        assert_eq!(cut.cells[3].as_ref().map(|cell| cell.value.as_str()), Some("U2"));
    }

    #[test]
    fn the_nearest_other_word_is_told() {
        let (glyphs, words) = (glyphs("U1"), words());
        let found = Costs::of(&glyphs, &words).found(FromUnit, 0, 2).unwrap();
        assert_eq!(found.next, Some(("U2".to_owned(), 1.0)));
        assert_eq!(
            Costs::of(&glyphs, &words).cut(&vec![FromUnit, FromPort, ToUnit, ToPort]).cells[1],
            None
        );
    }
}
