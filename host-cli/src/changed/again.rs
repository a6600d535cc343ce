//! What must be tested again: steps of the power-up that rest on something that changed.

use super::State;
use super::diff::{Change, Kind};
use crate::powerup::{Stage, Step, steps};
use std::collections::{BTreeMap, BTreeSet};

/// Steps of one kind that must be taken again.
#[derive(Clone, Debug, PartialEq)]
pub struct Again {
    /// The kind.
    pub kind: String,
    /// When it is done.
    pub stage: Stage,
    /// What is proven by it.
    pub title: &'static str,
    /// The steps.
    pub steps: Vec<String>,
    /// Whether they are all of that kind.
    pub is_all: bool,
    /// Why, in words.
    pub because: Vec<String>,
}

/// What each kind of step proves, as people say it.
const TITLES: &[(&str, &str)] = &[
    ("locked-off", "every source locked off"),
    ("dead", "absence of voltage"),
    ("earth", "earth of the case"),
    ("bond-closed", "the bond of neutral and earth"),
    ("bond-opened", "no second bond"),
    ("bond-live", "the bond while the group feeds the loads"),
    ("own-bar", "each conductor to its own bar"),
    ("other-bars", "no conductor to another bar"),
    ("input-own", "each supply conductor to its own bar"),
    ("input-others", "no supply conductor to another bar"),
    ("generator-own", "each generator conductor to its own bar"),
    ("generator-others", "no generator conductor to another bar"),
    ("interlock", "the interlock of supply and generator"),
    ("battery-lead", "battery leads, plus and minus"),
    ("made-ready", "all put back after the dead tests"),
    ("battery-closed", "the battery switch closed"),
    ("all-started", "all units started"),
    ("battery-heard", "the battery's own values at its unit"),
    ("fed-back", "no unit feeds its own inputs"),
    ("bond-on-generator", "the bond while the generator feeds the loads"),
    ("input-live", "volts at each supply input"),
    ("generator", "volts of the generator"),
    ("generator-live", "volts at each generator input"),
    ("generator-input", "order of the generator legs"),
    ("generator-taken", "the generator taken by every unit"),
    ("battery-bars", "no short at the battery bars"),
    ("pair", "terminators and the pair, by ohms"),
    ("torque", "torque of the joints"),
    ("insulation", "insulation"),
    ("polarity", "polarity of the battery leads"),
    ("battery-difference", "difference between packs"),
    ("pre-charge", "pre-charge"),
    ("alone", "volts of the unit alone"),
    ("hertz", "frequency of the unit alone"),
    ("read-back", "settings, unit count, limits and firmware of every part, read back"),
    ("link-heard", "everyone heard on the link"),
    ("bar-dead", "a dead bar before the first joins"),
    ("closed", "the first onto the bars"),
    ("own-side", "phasing: the unit's side"),
    ("bar-side", "phasing: the bar's side"),
    ("across", "phasing: across the open breaker"),
    ("circulating", "circulating current"),
    ("between", "volts between the legs"),
    ("rotation", "order of the phases"),
    ("share", "share of the load"),
    ("warm", "warm joints under load"),
    ("sensor", "sensors: leg, direction, ratio and rating"),
    ("input", "order of the supply legs"),
    ("cold-start", "starts from dark"),
    ("supply", "volts of the supply"),
    ("supply-lines", "volts between the lines of the supply"),
    ("supply-dead", "nothing at the supply while the generator feeds"),
    ("generator-dead", "nothing at the generator while the supply feeds"),
    ("generator-lines", "volts between the lines of the generator"),
    ("local-code", "tests that local code asks for"),
    ("supply-neutral", "neutral of the supply to earth"),
    ("supply-taken", "the supply taken by every unit"),
    ("bond-off-supply", "the relay of the bond open on the supply"),
    ("generator-gone", "the generator gone before the supply comes back"),
    ("supply-back", "the supply taken again after the generator"),
    ("generator-ready", "the generator as the site is to run"),
    ("bond-in-position", "the bond in each position"),
    ("solar", "polarity and volts of the arrays"),
    ("changeover", "changeover both ways"),
];

/// What a kind of step proves.
pub fn title(kind: &str) -> &'static str {
    let found = TITLES.iter().find(|(word, _)| *word == kind);
    found.map_or("a step of the power-up", |(_, title)| title)
}

/// What must be tested again, in the order of the power-up.
pub fn again(old: State<'_>, new: State<'_>, changes: &[Change]) -> Vec<Again> {
    let before: BTreeMap<String, Step> =
        steps(old.site, old.shape).into_iter().map(|step| (step.id.clone(), step)).collect();
    let now = steps(new.site, new.shape);
    let is_open =
        |step: &&Step| before.get(&step.id).is_none_or(|before| before.basis != step.basis);
    let mut all: Vec<Again> = Vec::new();
    // For whatever is done dead, everything is locked off, and switched on again behind it.
    let is_locked = now.iter().any(|step| step.kind == "locked-off" && is_open(&step));
    let is_again = |step: &&Step| is_open(step) || is_locked && step.is_undone_by_lock();
    for step in now.iter().filter(is_again) {
        let because = changes.iter().filter(|change| touches(step, change)).map(Change::says);
        let mut because: BTreeSet<String> = because.collect();
        if because.is_empty() {
            // A demand may have changed that no part of the site is.
            because.insert(match before.get(&step.id) {
                Some(old) if old.must() != step.must() => {
                    format!("it must be {}, and was {}", step.bare(), old.bare())
                }
                Some(_) if !is_open(&step) => "everything is locked off for the work".to_owned(),
                Some(_) => "what it is measured against has changed".to_owned(),
                None => "it is a new step".to_owned(),
            });
        }
        match all.iter_mut().find(|again| again.kind == step.kind && again.stage == step.stage) {
            Some(again) => {
                again.steps.push(step.id.clone());
                let new: Vec<String> =
                    because.into_iter().filter(|one| !again.because.contains(one)).collect();
                again.because.extend(new);
            }
            None => all.push(Again {
                kind: step.kind.clone(),
                stage: step.stage,
                title: title(&step.kind),
                steps: vec![step.id.clone()],
                is_all: false,
                because: because.into_iter().collect(),
            }),
        }
    }
    for again in &mut all {
        let of_kind =
            now.iter().filter(|step| step.kind == again.kind && step.stage == again.stage);
        again.is_all = of_kind.count() == again.steps.len();
    }
    all
}

/// Whether a step rests on what a change is about.
fn touches(step: &Step, change: &Change) -> bool {
    step.touches.iter().any(|touch| {
        let is_here = touch.thing.as_ref().is_none_or(|thing| *thing == change.thing);
        // Of a thing that is new, everything is.
        let is_new = touch.thing.is_some() && matches!(change.kind, Kind::Added | Kind::Renamed);
        is_here && (touch.part == change.part || is_new)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_kind_has_two_titles() {
        let kinds: BTreeSet<&str> = TITLES.iter().map(|(kind, _)| *kind).collect();
        assert_eq!(kinds.len(), TITLES.len());
    }
}
