//! Reads filled forms and holds them against what was meant.

use super::camera::Shot;
use super::pen::{self, Hand, Meant, Wanted};
use super::raster::Canvas;
use super::{happens, share};
use crate::generate::Dice;
use coldcheck::form::choices::Choices;
use coldcheck::form::layout::Layout;
use coldcheck::form::read::{self, Filled, Knowledge, Refusal};
use coldcheck::form::sheet;
use coldcheck::picture::cell::Certainty;
use coldcheck::picture::{Grey, Turn};
use coldcheck::print::Paper;
use coldcheck::profile;
use std::time::{Duration, Instant};

/// What became of many cells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Sheets.
    pub sheets: usize,
    /// Sheets that were refused.
    pub refused: Vec<String>,
    /// Cells that were filled as they should be,
    pub cells: usize,
    /// and those of them that are asked about.
    pub asked: usize,
    /// Cells with a spoiled mark,
    pub spoiled: usize,
    /// and those of them that are asked about.
    pub spoiled_asked: usize,
    /// Cells that are sure and wrong, rows that were lost or made up: each in words.
    pub wrong: Vec<String>,
    /// The longest time that a sheet took to read.
    pub longest: Duration,
}

impl Tally {
    /// Asked cells of those that were filled as they should be, in hundredths.
    ///
    /// # Panics
    /// Never: there are some thousands of cells.
    pub fn share_asked(&self) -> f64 {
        let count = |cells: usize| f64::from(u32::try_from(cells).expect("some thousands"));
        100.0 * count(self.asked) / count(self.cells).max(1.0)
    }

    /// Adds what became of others.
    pub fn add(&mut self, other: Self) {
        self.sheets += other.sheets;
        self.refused.extend(other.refused);
        self.cells += other.cells;
        self.asked += other.asked;
        self.spoiled += other.spoiled;
        self.spoiled_asked += other.spoiled_asked;
        self.wrong.extend(other.wrong);
        self.longest = self.longest.max(other.longest);
    }
}

/// What a reader with the built-in profiles knows.
pub fn knowledge<'k>() -> Knowledge<'k> {
    Knowledge { given: None, known: &read::builtin, code: &|_| None }
}

/// The choices of a built-in profile.
///
/// # Panics
/// If there is no such profile.
pub fn choices(name: &str, units: u16) -> Choices {
    let profile = profile::parse(name, profile::builtin(name).expect("built in")).expect("right");
    Choices::of(&profile, units).expect("so many units")
}

/// A form filled and photographed, with what was meant.
#[derive(Clone, Debug)]
pub struct Taken {
    /// The photograph.
    pub picture: Grey,
    /// What stands where on it.
    pub layout: Layout,
    /// Which sheet it is, from zero.
    pub which: usize,
    /// What was meant by each row.
    pub meant: Vec<Meant>,
}

/// The form of a number, filled and photographed: always the same.
///
/// # Panics
/// If a generated form is not one.
pub fn taken(number: usize) -> Taken {
    let mut dice = Dice::new(u64::try_from(number).expect("small"));
    let names = profile::builtin_names();
    let name = names[dice.roll(names.len())];
    let large = happens(&mut dice, 0.25);
    let units = if large { 13 + dice.roll(20) } else { 2 + dice.roll(11) };
    let choices = choices(name, u16::try_from(units).expect("few"));
    let paper = Paper::ALL[dice.roll(2)];
    let sheets = sheet::sheets(&choices, paper);
    let which = dice.roll(sheets.into());
    let page = &sheet::pages(&choices, paper, sheets)[which];
    let canvas = Canvas::of(page, SCALE);
    let hard = share(&mut dice);
    let mut taken = photographed(canvas, &choices, paper, hard, &mut dice);
    let turns = [Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters];
    taken.picture = taken.picture.turned(turns[dice.roll(4)]);
    taken.which = which;
    taken
}

/// Pixels a millimetre of a sheet before it is photographed.
pub const SCALE: f32 = 9.0;

/// A blank first sheet, however it was drawn, filled and photographed; `hard` is from 0 to 1.
pub fn photographed(
    mut canvas: Canvas,
    choices: &Choices,
    paper: Paper,
    hard: f32,
    dice: &mut Dice,
) -> Taken {
    let layout = Layout::new(choices, paper);
    let person = Hand::at_random(dice);
    let meant = pen::fill(&mut canvas, choices, &layout, person, dice);
    let camera = Shot::at_random(dice, layout.size, hard);
    let picture = camera.take(&canvas.picture, layout.size, dice);
    Taken { picture, layout, which: 0, meant }
}

/// The form of a number, read.
pub fn one(number: usize) -> Tally {
    judged(number, &taken(number))
}

/// Reads a photograph and holds it against what was meant.
pub fn judged(number: usize, taken: &Taken) -> Tally {
    let begun = Instant::now();
    let read = read::read(&taken.picture, &knowledge());
    let mut tally = Tally { sheets: 1, longest: begun.elapsed(), ..Tally::default() };
    tally.hold(number, &read, &taken.layout, taken.which, &taken.meant);
    tally
}

impl Tally {
    fn hold(
        &mut self,
        number: usize,
        read: &Result<Filled, Refusal>,
        layout: &Layout,
        which: usize,
        meant: &[Meant],
    ) {
        if let Err(refusal) = read {
            self.refused.push(format!("form {number}: {refusal}"));
        }
        let rows = read.as_ref().map_or(&[][..], |filled| filled.rows.as_slice());
        for (at, meant) in meant.iter().enumerate() {
            let label = (which * layout.rows.len() + at + 1).to_string();
            let row = rows.iter().find(|row| row.label.text == label);
            let wanted = match (meant, row) {
                (Meant::Nothing, None) => continue,
                (Meant::Nothing, Some(row)) => {
                    // A row that was left empty may be asked about as a whole; it is no cable.
                    if row.is_asked() {
                        self.cells += 1;
                        self.asked += 1;
                    } else {
                        self.wrong.push(format!("form {number}, row {label} is made up"));
                    }
                    continue;
                }
                (Meant::Cable(wanted), _) => wanted,
            };
            let Some(row) = row else {
                let words =
                    wanted.iter().filter(|wanted| matches!(wanted, Wanted::Word(_))).count();
                self.cells += words;
                self.asked += words;
                self.spoiled += wanted.len() - words;
                self.spoiled_asked += wanted.len() - words;
                if read.is_ok() {
                    self.wrong.push(format!("form {number}, row {label} is lost"));
                }
                continue;
            };
            for (at, (cell, wanted)) in row.cells.iter().zip(wanted).enumerate() {
                let sure = cell.certainty == Certainty::Sure;
                match wanted {
                    Wanted::Word(word) => {
                        self.cells += 1;
                        self.asked += usize::from(!sure);
                        if sure && cell.text != *word {
                            let read = &cell.text;
                            self.wrong.push(format!(
                                "form {number}, row {label}, cell {at}: `{read}` for `{word}`"
                            ));
                        }
                    }
                    Wanted::Asked(way) => {
                        self.spoiled += 1;
                        self.spoiled_asked += usize::from(!sure);
                        if sure {
                            let read = &cell.text;
                            self.wrong.push(format!(
                                "form {number}, row {label}, cell {at}: `{read}` from {way}"
                            ));
                        }
                    }
                }
            }
        }
    }
}
