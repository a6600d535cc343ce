//! One fault with its rivals: how few readings tell it from all that would be noticed alike.

use super::act::Act;
use super::bench::Bench;
use super::look::{Seen, seen};
use super::plant::Plant;
use super::search::{Search, Tree};
use super::words::symptom_of;
use std::collections::BTreeMap;

/// Most rivals that are weighed.
const MOST_RIVALS: usize = 320;

/// A fault and everything that a learner could take it for.
#[derive(Debug)]
pub struct Puzzle {
    /// The fault, by its place among those of the bench.
    pub cause: usize,
    /// All faults with the same symptom, itself among them, by their places.
    pub rivals: Vec<usize>,
    /// How many of them can be told apart.
    pub classes: usize,
    /// Rivals that nothing here tells from it.
    pub alike: Vec<usize>,
    /// What a learner can do.
    pub acts: Vec<Act>,
    /// The ideal search: acts by their places, answers by their numbers.
    pub tree: Tree,
    /// The words of each answer, by its number.
    pub labels: Vec<String>,
    /// What each act shows for each rival, as numbers of answers.
    answers: Vec<Vec<usize>>,
    /// Readings that the ideal search needs for this fault.
    pub readings: u32,
    /// Readings that it needs for any rival, at the most: no search needs fewer in its worst case.
    pub at_most: u32,
    /// Whether the sheets show the fault.
    pub on_paper: bool,
    /// Whether everything is stated that sizes are computed from.
    pub is_sized: bool,
}

impl Puzzle {
    /// Works a fault out; `None` if it cannot be made, or the search is too large.
    pub fn of(bench: &Bench, cause: usize, on_paper: bool) -> Option<Self> {
        let own = bench.causes.get(cause)?;
        let symptom = symptom_of(own.kind)?;
        let on_paper = on_paper || own.is_paper();
        if on_paper && !own.is_on_list() {
            return None;
        }
        let is_rival = |other: &usize| {
            let other = &bench.causes[*other];
            let fits = if on_paper { other.is_on_list() } else { !other.is_paper() };
            fits && symptom_of(other.kind).is_some_and(|it| it.name == symptom.name)
        };
        let all: Vec<usize> = (0..bench.causes.len()).filter(is_rival).collect();
        if all.len() > MOST_RIVALS {
            return None;
        }
        let made = all.into_iter().filter_map(|at| {
            let plant = Plant::with(bench, &[&bench.causes[at]])?;
            Some((at, plant))
        });
        let (rivals, plants): (Vec<usize>, Vec<Plant<'_>>) = made.unzip();
        let is_sized = plants.iter().any(|plant| plant.is_sized);
        let plants: Vec<Plant<'_>> =
            if is_sized { plants.into_iter().map(Plant::sized).collect() } else { plants };
        let own = rivals.iter().position(|rival| *rival == cause)?;
        let acts = if on_paper { Act::on_paper(bench) } else { Act::at_plant(bench) };
        let mut labels = Labels::default();
        let answers: Vec<Vec<usize>> = acts
            .iter()
            .map(|act| plants.iter().map(|plant| labels.number(seen(plant, act).label)).collect())
            .collect();
        let costs: Vec<u32> = acts.iter().map(Act::cost).collect();
        let mut search = Search::of(&costs, answers.clone())?;
        let classes = search.classes();
        let (at_most, tree) = search.solve()?;
        let (way, found) = tree.way(&mut |act| Some(answers[act][own]));
        let alike = found?.iter().filter(|at| **at != own).map(|at| rivals[*at]).collect();
        let readings = way.iter().map(|act| costs[*act]).sum();
        Some(Self {
            cause,
            rivals,
            classes,
            alike,
            acts,
            tree,
            labels: labels.words,
            answers,
            readings,
            at_most,
            on_paper,
            is_sized,
        })
    }

    /// Follows the ideal search at a plant: every act with what it shows, and the rivals that are
    /// left at the end; none if the plant answers as no rival would.
    pub fn follow(&self, plant: &Plant<'_>) -> (Vec<(Act, Seen)>, Option<Vec<usize>>) {
        let mut steps = Vec::new();
        let (_, found) = self.tree.way(&mut |at| {
            let act = self.acts.get(at)?;
            let seen = seen(plant, act);
            let label = self.labels.iter().position(|label| *label == seen.label);
            steps.push((act.clone(), seen));
            label
        });
        let left = found.map(|found| found.iter().map(|at| self.rivals[*at]).collect());
        (steps, left)
    }

    /// What an act would show if a rival were the fault, the rival by its place among all faults.
    pub fn expected(&self, act: &Act, rival: usize) -> Option<&str> {
        let act = self.acts.iter().position(|own| own == act)?;
        let rival = self.rivals.iter().position(|own| *own == rival)?;
        let answer = *self.answers.get(act)?.get(rival)?;
        self.labels.get(answer).map(String::as_str)
    }

    /// Whether the search ends at the fault.
    pub fn ends_at_fault(&self, left: Option<&[usize]>) -> bool {
        left.is_some_and(|left| left.contains(&self.cause))
    }
}

/// Answers by number.
#[derive(Debug, Default)]
struct Labels {
    known: BTreeMap<String, usize>,
    words: Vec<String>,
}

impl Labels {
    fn number(&mut self, label: String) -> usize {
        if let Some(number) = self.known.get(&label) {
            return *number;
        }
        let number = self.words.len();
        self.words.push(label.clone());
        self.known.insert(label, number);
        number
    }
}
