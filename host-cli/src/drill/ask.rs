//! What is asked of a drill, and why there may be none.

use super::words::{kinds, symptom_of, words_of};
use crate::fault::{Group, Layout};
use crate::phrase::{all_of, one_of};
use crate::profile;
use coldcheck_core::plan::Terminator;
use std::fmt;

/// Most units of a drill: more are no bench that a class has.
pub const MOST_UNITS: u16 = 12;
/// Most faults at once.
pub const MOST_FAULTS: usize = 3;
/// Most drills of a class.
pub const MOST_OF_CLASS: usize = 40;

/// How hard a drill is, by the readings that an ideal search needs at the most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Up to three.
    Easy,
    /// Four to six.
    Medium,
    /// Seven and more.
    Hard,
}

impl Level {
    /// Every level.
    pub const ALL: [Self; 3] = [Self::Easy, Self::Medium, Self::Hard];

    /// That of so many readings.
    pub const fn of(readings: u32) -> Self {
        match readings {
            0..=3 => Self::Easy,
            4..=6 => Self::Medium,
            _ => Self::Hard,
        }
    }

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Easy => "easy",
            Self::Medium => "medium",
            Self::Hard => "hard",
        }
    }
}

/// What is asked for. The same gives the same drill on every machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ask {
    /// How many units.
    pub units: u16,
    /// A built-in profile.
    pub profile: String,
    /// How many faults at once.
    pub faults: usize,
    /// The number of the drill.
    pub number: u64,
    /// Kinds of faults to draw from; all if empty.
    pub kinds: Vec<String>,
    /// How hard it must be.
    pub level: Option<Level>,
    /// Whether the sheets show the fault, so that it is found by reading.
    pub on_paper: bool,
}

impl Default for Ask {
    fn default() -> Self {
        Self {
            units: 4,
            profile: profile::ASSUMED.to_owned(),
            faults: 1,
            number: 1,
            kinds: Vec::new(),
            level: None,
            on_paper: false,
        }
    }
}

/// Why there is no such drill: in words, with what was expected.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// What is wrong.
    pub says: String,
    /// What would do.
    pub expected: String,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; expected {}", self.says, self.expected)
    }
}

impl Refused {
    pub(super) fn new(says: impl Into<String>, expected: impl Into<String>) -> Self {
        Self { says: says.into(), expected: expected.into() }
    }
}

/// Every kind of terminator, the usual one first.
pub(super) const TERMINATORS: [Terminator; 5] =
    [Terminator::On, Terminator::Plug, Terminator::BuiltIn, Terminator::Automatic, Terminator::Off];

impl Ask {
    /// The profile's name as the library has it.
    pub(super) fn profile(&self) -> Result<&'static str, Refused> {
        let names = profile::builtin_names();
        names.iter().copied().find(|name| *name == self.profile).ok_or_else(|| {
            Refused::new(
                format!("no built-in profile is called `{}`", self.profile),
                one_of(&names),
            )
        })
    }

    /// Whether all of it can be meant.
    pub(super) fn check(&self) -> Result<(), Refused> {
        if !(2..=MOST_UNITS).contains(&self.units) {
            let says = format!("a bench of {} units is no drill", self.units);
            return Err(Refused::new(says, format!("2 to {MOST_UNITS} units")));
        }
        if !(1..=MOST_FAULTS).contains(&self.faults) {
            let says = format!("{} faults at once are no drill", self.faults);
            return Err(Refused::new(says, format!("1 to {MOST_FAULTS} faults")));
        }
        for kind in &self.kinds {
            if words_of(kind).is_none() {
                let near = near(kind, kinds());
                let expected = if near.is_empty() {
                    "a rule of `coldcheck explain --all`, or a kind of `coldcheck drill --list`"
                        .to_owned()
                } else {
                    one_of(&near)
                };
                return Err(Refused::new(format!("no fault is called `{kind}`"), expected));
            }
        }
        self.check_together()
    }

    /// Whether the kinds that were named can make so many faults: two behind one symptom would be
    /// taken for one.
    fn check_together(&self) -> Result<(), Refused> {
        let mut symptoms: Vec<&str> = Vec::new();
        for symptom in self.kinds.iter().filter_map(|kind| symptom_of(kind)) {
            if !symptoms.contains(&symptom.says) {
                symptoms.push(symptom.says);
            }
        }
        if self.kinds.is_empty() || symptoms.len() >= self.faults {
            return Ok(());
        }
        let kinds: Vec<String> = self.kinds.iter().map(|kind| format!("`{kind}`")).collect();
        let says = format!(
            "{} at once cannot be drawn from {}: each must be noticed by something of its own, and \
             all of these are noticed as \u{201c}{}\u{201d}",
            crate::phrase::counted(self.faults, "fault"),
            all_of(&kinds),
            symptoms.join(" ")
        );
        Err(Refused::new(
            says,
            "kinds with different symptoms, as many as faults at once, or fewer faults",
        ))
    }

    /// Why nothing was found.
    pub(super) fn nothing(&self, profile: &'static str) -> Refused {
        let groups = TERMINATORS.map(|terminator| self.layout(profile, 0, terminator));
        if groups.into_iter().find_map(Group::build).is_none() {
            let says = format!("profile {profile} has no group of {} units", self.units);
            return Refused::new(says, "another number of units, or another profile");
        }
        let kinds: Vec<String> = self.kinds.iter().map(|kind| format!("`{kind}`")).collect();
        let of = if kinds.is_empty() { "fault".to_owned() } else { all_of(&kinds) };
        let level = self.level.map_or_else(String::new, |level| format!(", {}", level.word()));
        let paper = if self.on_paper { " on paper" } else { "" };
        let says = format!(
            "no drill was found{paper} of {of} with {} at once on {} units under {profile}{level}",
            crate::phrase::counted(self.faults, "fault"),
            self.units
        );
        let expected = "other units, another profile or level; `coldcheck drill --list` says where \
                        each kind can be drilled";
        Refused::new(says, expected)
    }

    /// The layout with units in their order.
    pub(super) fn layout(
        &self,
        profile: &'static str,
        coordinator: usize,
        terminator: Terminator,
    ) -> Layout {
        Layout { profile, order: (1..=self.units).collect(), coordinator, terminator }
    }
}

/// No longer word is taken for a misspelt one.
const LONGEST: usize = 120;

/// Up to three names that are nearly what was written, the nearest first.
pub(super) fn near<N: AsRef<str> + Ord>(word: &str, names: impl Iterator<Item = N>) -> Vec<N> {
    // The time goes with the product of both lengths, and nobody names a thing in so many letters.
    if word.len() > LONGEST {
        return Vec::new();
    }
    let mut near: Vec<(usize, N)> = names
        .map(|name| (strsim::levenshtein(&name.as_ref().to_lowercase(), word), name))
        .collect();
    near.sort_unstable();
    let most = word.len() / 3;
    near.into_iter().filter(|(far, _)| *far <= most).take(3).map(|(_, name)| name).collect()
}
