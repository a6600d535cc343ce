//! What the readings say.

use super::words;
use crate::meter::circuit::Where;
use crate::meter::expect;
use crate::meter::fault::Kind;
use crate::meter::fit::Shown;
use crate::meter::names::Names;
use crate::meter::next::{Among, next};
use crate::meter::rank::{Ranked, Ranking, odd_one, rank_told};
use crate::meter::taken::{Accuracy, AllGiven, MOST_VOLTS};
use crate::meter::topology::Topology;
use crate::readings::Amount;
use coldcheck_core::plan::Plan;

/// The answer in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Result {
    /// There are volts on the pair.
    Live,
    /// No ohms were given.
    NoOhms,
    /// What is declared is among what the readings cannot rule out.
    FitsDeclared,
    /// The readings rule it out, and something else explains them.
    PointsToFault,
    /// Nothing that was tried explains them.
    NothingFits,
}

impl Result {
    /// Its word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Live => "live",
            Self::NoOhms => "no-ohms",
            Self::FitsDeclared => "fits-declared",
            Self::PointsToFault => "points-to-fault",
            Self::NothingFits => "nothing-fits",
        }
    }
}

/// A reading beside what was expected.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Where, as `--read` takes it.
    pub place: String,
    /// What was shown.
    pub shown: String,
    /// The band of a right site.
    pub expected: String,
    /// Whether it lies within.
    pub within: bool,
}

/// Hypotheses of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The words of the kinds: none for what is declared, two for a pair.
    pub kinds: Vec<&'static str>,
    /// How many places it may be at.
    pub count: usize,
    /// In one sentence.
    pub says: String,
    /// Misfit of the best, in squared standard deviations.
    pub misfit: f64,
}

/// What to do next.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// In one sentence.
    pub says: String,
    /// The places as `--read` takes them; none where no ohms between the two wires help.
    pub places: Vec<String>,
}

/// Everything that the readings say.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The answer.
    pub result: Result,
    /// The answer in a sentence.
    pub says: String,
    /// The readings.
    pub rows: Vec<Row>,
    /// What fits and is not told apart, the likeliest first.
    pub front: Vec<Group>,
    /// What fits too, and is more than twenty times less likely.
    pub behind: Vec<Group>,
    /// What comes nearest, where nothing fits.
    pub nearest: Option<Group>,
    /// The one reading without which the others fit, where nothing fits them all.
    pub odd: Option<Odd>,
    /// Whether two faults at a time were tried.
    pub pairs_tried: bool,
    /// Volts that must be read before any of these ohms count, if they were not given.
    pub volts_first: Option<Next>,
    /// The next reading.
    pub next: Option<Next>,
}

/// A reading that goes with none of the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Odd {
    /// Where it was taken, as `--read` takes it.
    pub place: String,
    /// What the others fit.
    pub others_fit: Vec<Group>,
}

/// Groups behind the front that are worth telling.
const MOST_BEHIND: usize = 4;

/// Ranks the readings and tells what they say.
pub fn outcome(
    plan: &Plan<'_>,
    topology: &Topology,
    names: &Names<'_>,
    given: &AllGiven,
    accuracy: Accuracy,
) -> Outcome {
    outcome_told(plan, topology, names, given, accuracy, &mut |_, _| {})
}

/// Ranks the readings and tells what they say; says now and then how many answers of how many were
/// looked at.
pub fn outcome_told(
    plan: &Plan<'_>,
    topology: &Topology,
    names: &Names<'_>,
    given: &AllGiven,
    accuracy: Accuracy,
    tell: &mut dyn FnMut(usize, usize),
) -> Outcome {
    let mut told = Outcome {
        result: Result::NoOhms,
        says: "No ohms between the two wires were given.".to_owned(),
        rows: rows(plan, topology, given),
        front: Vec::new(),
        behind: Vec::new(),
        nearest: None,
        odd: None,
        pairs_tried: false,
        volts_first: volts_first(given),
        next: None,
    };
    if let Some((place, volts)) = given.live() {
        told.result = Result::Live;
        told.says = format!(
            "{volts} V on the pair at {place}, more than {MOST_VOLTS} V: something feeds it. No \
             ohms are taken from a live pair; keep away from its plugs, and find the source."
        );
        return told;
    }
    let taken = given.taken();
    if taken.is_empty() {
        return told;
    }
    let ranking = rank_told(plan, topology, &taken, tell);
    told.pairs_tried = ranking.pairs_tried;
    told.front = groups(topology, names, ranking.front());
    let behind = ranking.fitting.get(ranking.front..).unwrap_or(&[]);
    told.behind = groups(topology, names, behind);
    told.behind.truncate(MOST_BEHIND);
    told.nearest = ranking.nearest.as_ref().and_then(|nearest| {
        groups(topology, names, std::slice::from_ref(nearest)).into_iter().next()
    });
    (told.result, told.says) = answer(&ranking, &told.front, &told.rows);
    // Where two faults were not tried, one of them may explain what looks like a slip.
    if ranking.pairs_tried
        && told.result == Result::NothingFits
        && let Some((at, others)) = odd_one(plan, topology, &taken, tell)
        && let Some(row) = told.rows.get(at)
    {
        let others_fit = groups(topology, names, others.front());
        told.odd = Some(Odd { place: row.place.clone(), others_fit });
        told.says = format!(
            "No site with one fault or two would show all these readings; all but the one at {} \
             go together. Look at its place and leads, and take it once more. If it shows the \
             same again, believe it: more is wrong there than one thing.",
            row.place
        );
    }
    told.next = next_reading(plan, topology, names, &ranking, given, accuracy);
    told
}

/// What is read before ohms: volts at the same places.
fn volts_first(given: &AllGiven) -> Option<Next> {
    let places: Vec<String> =
        given.without_volts().into_iter().map(|place| format!("{place}=VOLTS V")).collect();
    let says = match places.as_slice() {
        [] => return None,
        [_] => "No volts between the two wires were given for this place. They come before ohms:",
        _ => "No volts between the two wires were given for these places. They come before ohms:",
    };
    let says = format!("{says} above {MOST_VOLTS} V, no ohms count.");
    Some(Next { says, places })
}

fn answer(ranking: &Ranking, front: &[Group], rows: &[Row]) -> (Result, String) {
    if ranking.fitting.is_empty() {
        let tried = if ranking.pairs_tried { "one fault or two" } else { "one fault" };
        let says = format!(
            "No site with {tried} would show these readings. Look at volts, leads and \
             places again, and take them once more."
        );
        return (Result::NothingFits, says);
    }
    // What must be read is no guess, however likely a right plant is.
    let outside = rows.iter().find(|row| !row.within);
    if let Some(row) = outside.filter(|_| ranking.declared_fits()) {
        let says = format!(
            "The reading at {} is outside what it must be. A right plant that was read badly fits, and \
             so do the faults named below: take it once more, with more digits.",
            row.place
        );
        return (Result::PointsToFault, says);
    }
    if ranking.declared_fits() {
        let others = front.iter().filter(|group| !group.kinds.is_empty()).count();
        let says = if others == 0 {
            "The readings fit what is declared, and no fault that ohms can show."
        } else {
            "The readings fit what is declared. They do not rule out the faults named below it."
        };
        return (Result::FitsDeclared, says.to_owned());
    }
    let says = match front {
        [one] if one.count == 1 => "The readings point to one fault.",
        [one] if one.kinds.len() == 1 => "The readings point to one kind of fault.",
        _ => "The readings do not fit what is declared, and do not tell these apart.",
    };
    (Result::PointsToFault, says.to_owned())
}

fn rows(plan: &Plan<'_>, topology: &Topology, given: &AllGiven) -> Vec<Row> {
    given
        .ohms
        .iter()
        .map(|given| {
            let band = expect::band(plan, topology, given.taken.spot);
            let (shown, within) = match given.amount {
                Amount::Number { value, .. } => {
                    // Neither is the instrument exact.
                    let bound = match given.taken.shown {
                        Shown::Ohms(_, deviation) => deviation * 3.0_f64.sqrt(),
                        Shown::Above(_) => 0.0,
                    };
                    let fits = value + bound >= band.low && value - bound <= band.high;
                    (words::ohms(value), fits)
                }
                Amount::Above(limit) => (format!(">{}", words::ohms(limit)), band.high > limit),
                Amount::OverRange | Amount::Seen(_) => {
                    ("OL".to_owned(), band.high > crate::meter::taken::LEAST_RANGE)
                }
            };
            Row { place: given.place.clone(), shown, expected: words::band(band), within }
        })
        .collect()
}

/// Hypotheses of one kind together, in the order of the best of each. What a terminator is moved
/// from tells two kinds.
fn groups(topology: &Topology, names: &Names<'_>, ranked: &[Ranked]) -> Vec<Group> {
    use crate::meter::fault::Fault;
    let key = |one: &Ranked| {
        let from = one.hypothesis.faults.first().and_then(|fault| match fault {
            Fault::Moved { from, .. } => Some(*from),
            Fault::Open { .. }
            | Fault::Loose { .. }
            | Fault::Swapped { .. }
            | Fault::Shorted { .. }
            | Fault::Missing { .. }
            | Fault::Extra { .. }
            | Fault::Ring { .. }
            | Fault::Grounded { .. } => None,
        });
        let mut kinds = one.hypothesis.kinds();
        // One sentence tells of all the ways in which a cable is open.
        if let [kind @ (Kind::OneWireOpen | Kind::Loose)] = kinds.as_mut_slice() {
            *kind = Kind::Open;
        }
        (kinds, from, one.hypothesis.assumed_on.clone())
    };
    let mut found: Vec<(_, Vec<&Ranked>)> = Vec::new();
    for one in ranked {
        let own = key(one);
        let is_pair = one.hypothesis.faults.len() > 1;
        match found.iter_mut().find(|(key, _)| *key == own && !is_pair) {
            Some((_, list)) => list.push(one),
            None => found.push((own, vec![one])),
        }
    }
    found
        .into_iter()
        .map(|((kinds, _, _), list)| {
            let alike: Vec<_> = list.iter().map(|one| (&one.hypothesis, &one.fit)).collect();
            let own = list.first().map(|one| one.hypothesis.kinds());
            let is_one_kind = list.iter().all(|one| Some(one.hypothesis.kinds()) == own);
            let kinds = own.filter(|_| is_one_kind).unwrap_or(kinds);
            Group {
                kinds: kinds.iter().map(|kind| kind.word()).collect(),
                count: places(&list),
                says: words::hypotheses(topology, names, &alike),
                misfit: list.first().map_or(0.0, |one| one.fit.misfit),
            }
        })
        .collect()
}

/// How many places the hypotheses of one kind are about; a cable is one, wherever it is open.
fn places(alike: &[&Ranked]) -> usize {
    let mut places: Vec<Option<usize>> = alike
        .iter()
        .map(|one| match one.hypothesis.faults.as_slice() {
            [only] => Some(only.place()),
            _ => None,
        })
        .collect();
    places.sort_unstable();
    places.dedup();
    places.len()
}

fn next_reading(
    plan: &Plan<'_>,
    topology: &Topology,
    names: &Names<'_>,
    ranking: &Ranking,
    given: &AllGiven,
    accuracy: Accuracy,
) -> Option<Next> {
    let front = ranking.front();
    if front.len() < 2 {
        return None;
    }
    if let Some(act) = next(topology, ranking, &given.taken(), accuracy.share(), Among::All) {
        let places: Vec<String> =
            act.spots.iter().map(|spot| names.spot(topology, *spot)).collect();
        let first = act.spots.first()?;
        let says = match (first.pulled, first.place) {
            (Some(pulled), _) => format!(
                "Pull {} at {}; read into its socket there, and into the loose plug.",
                names.cable(pulled.cable),
                names.point(pulled.at)
            ),
            (None, Where::Point(point)) => {
                format!("With all plugged in, read at {}.", names.point(point))
            }
            (None, Where::Plug) => return None,
        };
        return Some(Next { says, places });
    }
    let swapped = front.iter().any(|one| one.hypothesis.kinds().contains(&Kind::Swapped));
    let says = if swapped {
        let pins = super::blind::continuity(plan, topology, names);
        format!(
            "No further ohms between the two wires tell these apart. Continuity of each cable with \
             both plugs out: {pins}."
        )
    } else {
        "No further ohms between the two wires tell these apart. Look at the terminators, plugs and \
         cables that are named."
            .to_owned()
    };
    Some(Next { says, places: Vec::new() })
}
