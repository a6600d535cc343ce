//! A drill in words, for every output alike.

use super::act::Act;
use super::answer::{Answer, Confirmed};
use super::exercise::Drill;
use super::listen;
use super::look::seen;
use super::plant::Plant;
use super::words::symptom_of;
use crate::diagnosis::diagnose;
use crate::draw::{Drawing, Parts, Width, draw};
use crate::phrase::counted;
use crate::read::RawSheet;

/// What every drill says first.
pub const CAUTION: &str = "This is a drill: for dummy units that hold no voltage and are joined to \
    no source, or on paper. Nothing of it is made, pulled or measured on a plant that can be live.";

/// What comes before anybody touches anything, and costs nothing.
pub const PROVE_DEAD: &str = "Lock off every source, wait for the capacitors, prove the meter, and \
    prove dead: volts on the pair and at the terminals near zero, also on a dummy, so that the hand \
    learns it. It costs nothing; to leave it out is a danger missed. The gateway listens with the link \
    powered: behind that, prove dead again.";

/// An exercise as the class gets it.
#[derive(Debug)]
pub struct Exercise {
    /// Its number.
    pub number: u64,
    /// In a line: units, profile, faults, how hard.
    pub head: String,
    /// What is noticed, a sentence for each fault.
    pub noticed: Vec<&'static str>,
    /// What is to be done.
    pub task: String,
    /// The sheets.
    pub sheets: Vec<RawSheet>,
    /// What can be asked for: readings that it costs, and the act.
    pub acts: Vec<(u32, String)>,
}

/// The answers as the trainer gets them.
#[derive(Debug)]
pub struct Answers<'d> {
    /// The drill.
    pub drill: &'d Drill,
    /// One for each fault.
    pub answers: Vec<Answer<'d>>,
    /// What to tell whoever asks, where it is not as the sheets have it, or where it is a number.
    pub readings: Vec<(Act, String)>,
    /// What is told where nothing is wrong and no sheet says it.
    pub usual: Vec<(&'static str, String)>,
    /// What the gateway would hear, as a log.
    pub log: String,
    /// What is said of that log.
    pub heard: Vec<String>,
}

impl Drill {
    /// The exercise in words.
    pub fn exercise(&self) -> Exercise {
        let plant = self.plant();
        let faults = self.puzzles.len();
        let symptom = |kind: &'static str| symptom_of(kind).map(|symptom| symptom.says);
        let noticed = self.causes().filter_map(|cause| symptom(cause.kind)).collect();
        let (which, where_to) = if self.on_paper() {
            ("in these sheets", "Each piece of a sheet that is read counts as a reading")
        } else {
            (
                "in the plant, though these sheets are right",
                "Ask the trainer, or the bench; each act counts as so many readings",
            )
        };
        let listens = format!("The gateway hangs at unit {}.", self.bench.listens_at());
        let one = if faults == 1 { "One thing is" } else { "Several things are" };
        Exercise {
            number: self.ask.number,
            head: format!(
                "{}, profile {}, {}, {}: an ideal search needs {} at the most",
                counted(usize::from(self.ask.units), "unit"),
                self.ask.profile,
                counted(faults, "fault"),
                self.level().word(),
                readings(self.at_most())
            ),
            noticed,
            task: format!(
                "{one} wrong {which}. Find what and where, with as few readings as you can. \
                 {where_to}. Then say: the fault, its place, why it matters, how to prove it, how \
                 to mend it. {listens}"
            ),
            sheets: self.given(&plant).sheets(),
            acts: self.offered(),
        }
    }

    /// What can be asked for, each kind of act once.
    fn offered(&self) -> Vec<(u32, String)> {
        let mut offered: Vec<(u32, String)> = Vec::new();
        for act in self.acts() {
            let one = (act.cost(), act.says_of_any());
            if !offered.contains(&one) {
                offered.push(one);
            }
        }
        offered
    }

    /// A drawing of the site as the class sees it: nothing that was found is marked.
    pub fn drawing(&self, width: Width) -> Option<Drawing> {
        let plant = self.plant();
        let site = super::bench::read(&self.given(&plant).sheets())?;
        let mut diagnosis = diagnose(&site).ok()?;
        diagnosis.findings.clear();
        diagnosis.questions.clear();
        diagnosis.undeclared.clear();
        diagnosis.not_checked.clear();
        diagnosis.gaps.clear();
        Some(draw(&site, &diagnosis, width, Parts::Picture))
    }

    /// The answers in words.
    pub fn answered(&self) -> Answers<'_> {
        let plant = self.plant();
        let right = if plant.is_sized {
            Plant::right(&self.bench).sized()
        } else {
            Plant::right(&self.bench)
        };
        let acts = if self.on_paper() { Vec::new() } else { Act::at_plant(&self.bench) };
        let mut usual = usual(&right, &acts);
        let is_number = |act: &Act| matches!(act, Act::Ohms(_) | Act::Pull(..));
        let told = acts.into_iter().filter_map(|act| {
            let shown = seen(&plant, &act);
            let differs = shown.label != seen(&right, &act).label;
            (differs || is_number(&act)).then_some((act, shown.shown))
        });
        let readings: Vec<(Act, String)> = told.collect();
        // What is heard at the bench stands among the readings, where it is not as usual.
        if readings.iter().any(|(act, _)| *act == Act::Listen) {
            usual.retain(|(asked, _)| *asked != LISTEN);
        }
        Answers {
            drill: self,
            answers: self.answers(),
            readings,
            usual,
            log: listen::log(&plant),
            heard: listen::findings(&plant),
        }
    }
}

/// How it is asked what the gateway hears.
const LISTEN: &str = "listen";

/// What a right plant shows where the sheets say nothing of it: each kind of act once.
fn usual(right: &Plant<'_>, acts: &[Act]) -> Vec<(&'static str, String)> {
    let mut usual: Vec<(&'static str, String)> = Vec::new();
    for act in acts {
        let kinds = [
            (matches!(act, Act::Common(_)), "ohms from either wire to the common"),
            (matches!(act, Act::Move(_)), "a plug moved by hand"),
            (matches!(act, Act::Exchange(_)), "a good cable in place of another"),
            (matches!(act, Act::Pins(_)), "the pins of a cable"),
            (matches!(act, Act::Listen), LISTEN),
        ];
        let Some((_, asked)) = kinds.into_iter().find(|(is_it, _)| *is_it) else { continue };
        if usual.iter().all(|(own, _)| *own != asked) {
            usual.push((asked, seen(right, act).shown));
        }
    }
    usual
}

/// `1 reading`, `4 readings`.
pub fn readings(count: u32) -> String {
    counted(usize::try_from(count).unwrap_or(usize::MAX), "reading")
}

impl Answer<'_> {
    /// Where it is, as a sentence.
    pub fn place(&self) -> String {
        crate::phrase::sentence(&self.cause.done)
    }

    /// Who confirms it, in a sentence.
    pub fn confirmed(&self) -> String {
        match &self.confirmed {
            Some(Confirmed { by, says }) => format!("Confirmed by {}: {says}.", by.word()),
            None => "Nobody confirms it.".to_owned(),
        }
    }

    /// How hard it is, in a sentence.
    pub fn search(&self) -> String {
        format!(
            "{} would be noticed alike; with it, {} can be told apart. The ideal search \
             needs {} for this one, and {} at the most for any of them; none needs fewer in its \
             worst case.",
            counted(self.puzzle.rivals.len().saturating_sub(1), "other fault"),
            self.puzzle.classes,
            readings(self.puzzle.readings),
            self.puzzle.at_most
        )
    }

    /// What nothing here tells from it.
    pub fn alike(&self) -> Option<String> {
        let others: Vec<&str> = self.alike.iter().map(|cause| cause.done.as_str()).collect();
        let all = crate::phrase::one_of(&others);
        (!others.is_empty())
            .then(|| format!("Counts as right, too, since nothing tells it apart: {all}."))
    }
}
