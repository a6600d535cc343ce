//! A drill: a bench drawn by its number, faults drawn for it, and the readings that they take.

use super::act::Act;
use super::answer::confirm;
use super::ask::{Ask, Level, MOST_FAULTS, Refused, TERMINATORS};
use super::bench::Bench;
use super::cause::Cause;
use super::dice::Dice;
use super::plant::Plant;
use super::puzzle::Puzzle;
use super::words::symptom_of;
use crate::fault::{Group, Layout};

/// Benches that are tried for one drill, and faults that are tried on each.
const BENCHES: usize = 8;
const TRIES: usize = 12;

/// A drill.
#[derive(Debug)]
pub struct Drill {
    /// What was asked for.
    pub ask: Ask,
    /// The site as it should be.
    pub bench: Bench,
    /// One for each fault.
    pub puzzles: Vec<Puzzle>,
}

impl Drill {
    /// Makes a drill.
    ///
    /// # Errors
    /// Why there is none.
    pub fn make(ask: &Ask) -> Result<Self, Refused> {
        ask.check()?;
        let profile = ask.profile()?;
        let mut dice = Dice::new(ask.number);
        let mut tried = Tried::default();
        for _ in 0..BENCHES {
            let Some(bench) = draw_bench(ask, profile, &mut dice) else { continue };
            if let Some(puzzles) = draw_puzzles(ask, &bench, &mut dice, &mut tried) {
                return Ok(Self { ask: ask.clone(), bench, puzzles });
            }
            if let Some(refused) = tried.hiding(ask) {
                return Err(refused);
            }
        }
        // A kind that few benches have.
        for terminator in TERMINATORS {
            for coordinator in 0..usize::from(ask.units) {
                let layout = ask.layout(profile, coordinator, terminator);
                let Some(bench) = Bench::build(layout, NAME) else { continue };
                if let Some(puzzles) = draw_puzzles(ask, &bench, &mut dice, &mut tried) {
                    return Ok(Self { ask: ask.clone(), bench, puzzles });
                }
                if let Some(refused) = tried.hiding(ask) {
                    return Err(refused);
                }
            }
        }
        Err(ask.nothing(profile))
    }

    /// A drill with faults that somebody chose by their names.
    ///
    /// # Errors
    /// If the bench has no such fault, or not all of them can be there at once.
    pub fn by_hand(ask: &Ask, ids: &[String]) -> Result<Self, Refused> {
        let bench = bench_of(ask)?;
        let mut puzzles = Vec::new();
        for id in ids {
            let at = bench.causes.iter().position(|cause| cause.id() == *id).ok_or_else(|| {
                Refused::new(format!("this bench cannot be given the fault `{id}`"), "another one")
            })?;
            puzzles.push(Puzzle::of(&bench, at, ask.on_paper).ok_or_else(|| {
                let says = format!("`{id}` is no drill here: {}", why_none(ask, &bench.causes[at]));
                Refused::new(says, "another fault, or fewer units")
            })?);
        }
        if puzzles.len() > MOST_FAULTS {
            let says = format!("{} faults at once are no drill", puzzles.len());
            return Err(Refused::new(says, format!("1 to {MOST_FAULTS}")));
        }
        if puzzles.is_empty() || separate(&bench, &puzzles).is_err() {
            return Err(Refused::new("these faults hide each other", "others, or fewer"));
        }
        Ok(Self { ask: ask.clone(), bench, puzzles })
    }

    /// The plant, with everything that is wrong with it.
    pub fn plant(&self) -> Plant<'_> {
        plant(&self.bench, &self.puzzles).unwrap_or_else(|| Plant::right(&self.bench))
    }

    /// The faults.
    pub fn causes(&self) -> impl Iterator<Item = &Cause> {
        self.puzzles.iter().filter_map(|puzzle| self.bench.causes.get(puzzle.cause))
    }

    /// Whether the sheets show the fault.
    pub fn on_paper(&self) -> bool {
        self.puzzles.iter().any(|puzzle| puzzle.on_paper)
    }

    /// What a learner can do: at the plant, or with the sheets where the fault is on paper.
    pub fn acts(&self) -> Vec<Act> {
        if self.on_paper() { Act::on_paper(&self.bench) } else { Act::at_plant(&self.bench) }
    }

    /// The parts of the plant that they are in, each once.
    pub fn parts(&self) -> impl Iterator<Item = &'static str> {
        let mut parts: Vec<&'static str> = Vec::new();
        for symptom in self.causes().filter_map(|cause| symptom_of(cause.kind)) {
            if !parts.contains(&symptom.part) {
                parts.push(symptom.part);
            }
        }
        parts.into_iter()
    }

    /// Readings of the ideal search for these faults.
    pub fn readings(&self) -> u32 {
        self.puzzles.iter().map(|puzzle| puzzle.readings).sum()
    }

    /// Readings that it needs at the most.
    pub fn at_most(&self) -> u32 {
        self.puzzles.iter().map(|puzzle| puzzle.at_most).sum()
    }

    /// How hard it is.
    pub fn level(&self) -> Level {
        level(&self.puzzles)
    }

    /// The sheets that the class gets.
    pub fn given<'d>(&'d self, plant: &'d Plant<'d>) -> &'d Group {
        if self.on_paper() { plant.listed() } else { plant.reference() }
    }
}

/// Why a fault that a bench can be given is no drill.
fn why_none(ask: &Ask, cause: &Cause) -> &'static str {
    if ask.on_paper && !cause.is_on_list() {
        "no sheet can show it"
    } else {
        "too many others would be noticed alike"
    }
}

fn level(puzzles: &[Puzzle]) -> Level {
    Level::of(puzzles.iter().map(|puzzle| puzzle.at_most).max().unwrap_or(0))
}

/// The name of the site. The number stays with the trainer: in the page it tells the answer.
const NAME: &str = "Drill";

/// The bench of a number, whatever fault it is given.
///
/// # Errors
/// If the profile has no such group, or what is asked cannot be meant.
pub fn bench_of(ask: &Ask) -> Result<Bench, Refused> {
    ask.check()?;
    let profile = ask.profile()?;
    let mut dice = Dice::new(ask.number);
    let drawn = (0..BENCHES).find_map(|_| draw_bench(ask, profile, &mut dice));
    drawn.ok_or_else(|| ask.nothing(profile))
}

fn draw_bench(ask: &Ask, profile: &'static str, dice: &mut Dice) -> Option<Bench> {
    let mut order: Vec<u16> = (1..=ask.units).collect();
    dice.shuffle(&mut order);
    let coordinator = dice.roll(order.len());
    // Most benches have switches; the other kinds come in turn.
    let first = [0, 0, 0, 1, 2, 3].get(dice.roll(6)).copied().unwrap_or(0);
    let turned = TERMINATORS.iter().cycle().skip(first).take(TERMINATORS.len());
    turned.copied().find_map(|terminator| {
        let layout = Layout { profile, order: order.clone(), coordinator, terminator };
        Bench::build(layout, NAME)
    })
}

/// Faults that are as hard as was asked for, and do not hide each other.
fn draw_puzzles(
    ask: &Ask,
    bench: &Bench,
    dice: &mut Dice,
    tried: &mut Tried,
) -> Option<Vec<Puzzle>> {
    let fits = |cause: &Cause| {
        let wanted = ask.kinds.is_empty() || ask.kinds.iter().any(|kind| kind == cause.kind);
        // A fault of paper is for whoever asks for paper, or for that fault.
        let for_paper = if ask.on_paper { cause.is_on_list() } else { true };
        let unasked = cause.is_paper() && !ask.on_paper && ask.kinds.is_empty();
        wanted && for_paper && !unasked
    };
    // Kinds first, so that one with many places is not drawn more often.
    let mut kinds: Vec<&'static str> = Vec::new();
    for cause in bench.causes.iter().filter(|cause| fits(cause)) {
        if !kinds.contains(&cause.kind) {
            kinds.push(cause.kind);
        }
    }
    let mut puzzles: Vec<Puzzle> = Vec::new();
    // A search that is too large for one fault of a symptom is so for all.
    let mut too_large: Vec<&str> = Vec::new();
    let symptom = |kind: &str| symptom_of(kind).map_or("", |symptom| symptom.name);
    for _ in 0..TRIES * ask.faults {
        let kind = dice.pick(&kinds).copied()?;
        if too_large.contains(&symptom(kind)) {
            continue;
        }
        let of_kind: Vec<usize> =
            (0..bench.causes.len()).filter(|at| bench.causes[*at].kind == kind).collect();
        let at = dice.pick(&of_kind).copied()?;
        if puzzles.iter().any(|puzzle| puzzle.rivals.contains(&at)) {
            continue;
        }
        let Some(puzzle) = Puzzle::of(bench, at, ask.on_paper) else {
            too_large.push(symptom(kind));
            continue;
        };
        let is_mixed = puzzles.iter().any(|other| other.on_paper != puzzle.on_paper);
        let of_level = ask.level.is_none_or(|level| Level::of(puzzle.at_most) == level);
        if is_mixed || !of_level {
            continue;
        }
        puzzles.push(puzzle);
        if let Err(hidden) = separate(bench, &puzzles) {
            tried.hid(bench, &puzzles, hidden);
            puzzles.pop();
        }
        if puzzles.len() == ask.faults {
            return Some(puzzles);
        }
    }
    None
}

fn plant<'b>(bench: &'b Bench, puzzles: &[Puzzle]) -> Option<Plant<'b>> {
    let causes: Vec<&Cause> =
        puzzles.iter().filter_map(|puzzle| bench.causes.get(puzzle.cause)).collect();
    let plant = Plant::with(bench, &causes)?;
    let is_sized = puzzles.iter().any(|puzzle| puzzle.is_sized);
    Some(if is_sized { plant.sized() } else { plant })
}

/// Why faults cannot be there at once.
#[derive(Clone, Copy, Debug)]
enum Hidden {
    /// More than one of them changes the link, and a meter tells one reading for all.
    Link,
    /// One takes away what another one changes.
    Gone,
    /// The search for one of them ends elsewhere because of the others.
    Search,
}

/// Whether each fault is found by its own search though the others are there, and each is still
/// confirmed.
fn separate(bench: &Bench, puzzles: &[Puzzle]) -> Result<(), Hidden> {
    let plant = plant(bench, puzzles).ok_or(Hidden::Gone)?;
    let touches_link = |puzzle: &&Puzzle| {
        let cause = &bench.causes[puzzle.cause];
        Plant::with(bench, &[cause]).is_some_and(|plant| plant.is_other_link())
    };
    if puzzles.len() > 1 && puzzles.iter().filter(touches_link).count() > 1 {
        return Err(Hidden::Link);
    }
    let is_found = |puzzle: &Puzzle| {
        let (_, left) = puzzle.follow(&plant);
        puzzle.ends_at_fault(left.as_deref())
            && bench.causes.get(puzzle.cause).is_some_and(|cause| confirm(&plant, cause).is_some())
    };
    if puzzles.iter().all(is_found) { Ok(()) } else { Err(Hidden::Search) }
}

/// Times that faults hid each other before it is said that they do.
const MOST_HIDDEN: usize = 6;

/// What came of trying faults that somebody named together.
#[derive(Debug, Default)]
struct Tried {
    times: usize,
    last: Option<([&'static str; 2], Hidden)>,
}

impl Tried {
    fn hid(&mut self, bench: &Bench, puzzles: &[Puzzle], hidden: Hidden) {
        let mut kinds = puzzles.iter().rev().map(|puzzle| bench.causes[puzzle.cause].kind);
        if let (Some(new), Some(old)) = (kinds.next(), kinds.next()) {
            self.times += 1;
            self.last = Some(([old, new], hidden));
        }
    }

    /// The refusal, where no more kinds were named than faults are wanted, and they hid each other
    /// again and again.
    fn hiding(&self, ask: &Ask) -> Option<Refused> {
        let ([one, two], hidden) = self.last?;
        if ask.kinds.len() != ask.faults || self.times < MOST_HIDDEN {
            return None;
        }
        let why = match hidden {
            Hidden::Link => "both change the link, and a meter tells one reading for both",
            Hidden::Gone => "one takes away what the other one changes",
            Hidden::Search => {
                "with both there, what is heard or read no longer leads to each of them"
            }
        };
        let says = format!("`{one}` and `{two}` cannot be drilled at once: {why}");
        Some(Refused::new(says, "other kinds together, or one fault at a time"))
    }
}
