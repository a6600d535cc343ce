//! Onto the bars, one unit after the other, with no load.

use super::bands::band;
use super::builder::Builder;
use super::live::NO_SUPPLY;
use super::made_of::{Conductor, MadeOf, Unit};
use super::part::Part;
use super::{Hold, Stage, Step};
use crate::readings::Quantity;
use crate::value::Supply;

const NO_RATING: &str = "`rated current` or `rated power` of a unit, by profile or settings";
/// What a unit's output rests on.
const OUTPUT: [Part; 3] = [Part::Ac, Part::Output, Part::Machine];

/// A bar, and the unit that made it live.
struct Live<'s> {
    bar: &'s str,
    by: &'s Unit,
}

pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Join);
    let mut live: Vec<Live<'_>> = Vec::new();
    for (position, unit) in site.units.iter().enumerate() {
        let by = |leg: &Conductor| live.iter().find(|live| live.bar == leg.bar).map(|live| live.by);
        steps.then();
        for leg in &unit.live {
            match by(leg) {
                Some(other) => nominal(steps, unit, leg, other),
                None => bar_dead(steps, unit, leg),
            }
        }
        steps.then();
        for leg in &unit.live {
            if let Some(other) = by(leg) {
                across(steps, unit, leg, other);
            }
        }
        steps.then();
        let others: Vec<&Unit> = unit.live.iter().filter_map(by).collect();
        if others.is_empty() {
            closed(steps, unit);
        } else {
            joined(steps, site, unit, position + 1, &others);
        }
        let is_new = |leg: &&Conductor| by(leg).is_none();
        let new: Vec<Live<'_>> =
            unit.live.iter().filter(is_new).map(|leg| Live { bar: &leg.bar, by: unit }).collect();
        let first_new = live.len();
        live.extend(new);
        between(steps, site, unit, &live, first_new);
    }
}

/// The step rests on this unit, on the one that made its bar live, and on the link by which the
/// one follows the other.
fn rests_on_both(step: &mut Step, unit: &Unit, other: &Unit) {
    step.of(&unit.name, &OUTPUT).of(&other.name, &OUTPUT).rests_on(&[Part::Link]);
}

fn bar_dead(steps: &mut Builder, unit: &Unit, leg: &Conductor) {
    steps
        .add(&["bar dead", &unit.name, &leg.name], Hold::Reading, Quantity::Volts)
        .act(format!(
            "Output breaker of {} still open, every other source of {} off: {} to N.",
            unit.name, leg.bar, leg.bar
        ))
        .why("The first one must join a dead bar.")
        .otherwise("Another source feeds the bar: stop, and find it.")
        .at(format!("{} to N, before {} joins", leg.bar, unit.name))
        .within(band("dead"))
        .rests_on(&[Part::Supply])
        .of(&unit.name, &OUTPUT);
}

fn closed(steps: &mut Builder, unit: &Unit) {
    steps
        .add(&["closed", &unit.name], Hold::Reason, Quantity::Seen)
        .act(format!(
            "Take the lock off the output breaker of {} and close it, loads off.",
            unit.name
        ))
        .why("It makes its bars live; the others join it.")
        .otherwise("Open it again, stop the unit.")
        .at(format!("output breaker of {}", unit.name))
        .seen("it stays closed, and no fault shows")
        .of(&unit.name, &OUTPUT);
}

/// Both sides of the open breaker at nominal: across it, near zero with a dead side proves nothing.
fn nominal(steps: &mut Builder, unit: &Unit, leg: &Conductor, other: &Unit) {
    let sides = [
        (
            "own side",
            format!("{} output {} to N, unit's side of the open breaker", unit.name, leg.name),
        ),
        ("bar side", format!("{} to N, at the open breaker of {}", leg.bar, unit.name)),
    ];
    for (side, place) in sides {
        let step = steps
            .add(&[side, &unit.name, &leg.name], Hold::Reading, Quantity::Volts)
            .act(format!("{} runs, its output breaker open: {place}.", unit.name))
            .why("Near zero across a breaker proves nothing while one side of it is dead.")
            .otherwise("No voltage there: find out why before anything is read across the breaker.")
            .at(place)
            .percent(band("volts"), unit.volts, "of nominal", NO_SUPPLY);
        rests_on_both(step, unit, other);
    }
}

fn across(steps: &mut Builder, unit: &Unit, leg: &Conductor, other: &Unit) {
    let step = steps
        .add(&["across", &unit.name, &leg.name], Hold::Reading, Quantity::Volts)
        .act(format!(
            "Across the open output breaker of {}, {} to {}, for one whole minute: write down the \
             largest.",
            unit.name, leg.name, leg.bar
        ))
        .why("Like to like is near zero and stays there. A swapped leg shows the volts between two legs, one that does not follow swings.")
        .otherwise("DO NOT CLOSE IT. Stop this unit; it makes another leg, or does not follow the group.")
        .at(format!("across the open breaker of {}, {}", unit.name, leg.name))
        .percent(band("across"), unit.volts, "of nominal", NO_SUPPLY);
    rests_on_both(step, unit, other);
}

fn joined(steps: &mut Builder, site: &MadeOf, unit: &Unit, running: usize, others: &[&Unit]) {
    let step = steps
        .add(&["circulating", &unit.name], Hold::Reason, Quantity::Amperes)
        .act(format!(
            "Close the output breaker of {}, loads off. Clamp on each live conductor of all \
             {running} units that are on; write down the largest.",
            unit.name
        ))
        .why("With no load, whatever flows goes from unit to unit.")
        .otherwise(
            "Open its breaker again: lengths of leads, settings, or a unit that does not follow.",
        )
        .at(format!("output conductors, {} joined", unit.name))
        .percent(band("circulating"), site.rated, "of rated", NO_RATING);
    for other in others {
        rests_on_both(step, unit, other);
    }
}

/// Volts between the bars that are live now, those from `first_new` on for the first time.
fn between(steps: &mut Builder, site: &MadeOf, unit: &Unit, live: &[Live<'_>], first_new: usize) {
    let parts = [Part::Ac, Part::Output];
    if live.len() < 2 || first_new == live.len() {
        return;
    }
    steps.then();
    let volts = site.supply.map(Supply::volts_between_lines);
    for (position, new) in live.iter().enumerate().skip(first_new) {
        for other in live.get(..position).unwrap_or_default() {
            steps
                .add(&["between", other.bar, new.bar], Hold::Reason, Quantity::Volts)
                .act(format!("{} to {}, loads off.", other.bar, new.bar))
                .why("Two bars that make the same leg show nothing between them.")
                .otherwise("Open the breaker of the unit that joined last; its leg or phase is not as listed.")
                .at(format!("{} to {}", other.bar, new.bar))
                .percent(band("volts"), volts, "of nominal from leg to leg", NO_SUPPLY)
                .of(&unit.name, &parts)
                .of(&other.by.name, &parts);
        }
    }
    if live.len() == 3 {
        steps
            .add(&["rotation"], Hold::Reason, Quantity::Seen)
            .act("Order of the phases at the bars, with a rotating-field indicator.")
            .why("Volts are the same both ways round; motors are not.")
            .otherwise("Two units make each other's phase: stop, compare settings with the list.")
            .at("the bars")
            .seen("L1, L2, L3 follow each other in this order")
            .rests_on(&parts);
    }
}
