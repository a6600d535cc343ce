//! From the battery to the bars: what is done with the plant live.

use super::bands::band;
use super::builder::Builder;
use super::dead::WIRING;
use super::made_of::{Conductor, MadeOf, Unit};
use super::part::Part;
use super::{Expected, Hold, Stage};
use crate::phrase::all_of;
use crate::readings::Quantity;

/// What is missing where nobody states the supply.
pub(super) const NO_SUPPLY: &str =
    "`supply system`, such as `supply system = split-phase 120/240 V`, for the nominal volts";
const NO_RATING: &str = "`rated current` or `rated power` of a unit, by profile or settings";

pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    battery(steps, site);
    steps.stage(Stage::Alone);
    for unit in &site.units {
        alone(steps, site, unit);
    }
    link(steps, site);
    steps.stage(Stage::Join);
    join(steps, site);
    load(steps, site);
}

fn battery(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Battery);
    let usual = band("polarity");
    let (low, high) = site.battery;
    let source = if low.is_some() || high.is_some() { "profile or settings" } else { usual.source };
    for unit in &site.units {
        steps
            .add(&["polarity", &unit.name], Hold::Reading, Quantity::Volts)
            .act(format!(
                "Battery switch of {} still open: red lead on its plus, black on its minus, on the \
                 battery's side. Write the sign down too.",
                unit.name
            ))
            .why("Plus and minus exchanged destroy a unit the moment its switch closes.")
            .otherwise(
                "Below zero: exchanged. Open the battery, prove it dead, and follow the leads.",
            )
            .at(format!("battery terminals of {}, plus to minus", unit.name))
            .between(low.or(usual.low), high, source)
            .of(&unit.name, &[Part::BatteryPower, Part::Machine]);
    }
    differences(steps, site);
    steps.then();
    precharge(steps, site);
}

fn differences(steps: &mut Builder, site: &MadeOf) {
    let usual = band("battery difference");
    let (most, source) = site
        .packs_may_differ
        .clone()
        .map_or((usual.high, usual.source.to_owned()), |(volts, source)| (Some(volts), source));
    let parts = [Part::BatteryPower, Part::BatteryData];
    let mut one = |name: &[&str], act: String, place: String, packs: &[&String]| {
        let step = steps.add(name, Hold::Reading, Quantity::Volts);
        step.act(act)
            .why("Two packs that differ level themselves through their joint, with nothing but copper to hold the current.")
            .otherwise("Charge or discharge the one that differs by itself, then measure again.")
            .at(place)
            .between(None, most, source.clone());
        for pack in packs {
            step.of(pack, &parts);
        }
        if packs.is_empty() {
            step.rests_on(&parts);
        }
    };
    match site.packs.as_slice() {
        [_] => {}
        [] => one(
            &["battery difference"],
            "Before packs are joined: plus of each to plus of the bank, minus joined. Write down \
             the largest; a bank of one pack reads 0."
                .to_owned(),
            "plus of each pack to plus of the bank".to_owned(),
            &[],
        ),
        [first, others @ ..] => {
            for pack in others {
                one(
                    &["battery difference", pack],
                    format!(
                        "Before it is joined: minus joined, plus of {pack} to plus of {first}."
                    ),
                    format!("plus of {pack} to plus of {first}"),
                    &[first, pack],
                );
            }
        }
    }
}

fn precharge(steps: &mut Builder, site: &MadeOf) {
    let nominal = site.battery.0.or(site.battery.1);
    // Five time constants leave less than one percent.
    let wait = match site.inrush {
        (Some(farads), Some(ohms)) => {
            format!("wait {:.1} s (five times R times C)", 5.0 * farads * ohms)
        }
        _ => "wait until the reading stands".to_owned(),
    };
    let places: Vec<&str> = if site.one_bank { vec!["the bank"] } else { site.unit_names() };
    for place in places {
        let step = steps
            .add(&["pre-charge", place], Hold::Reason, Quantity::Volts)
            .act(format!(
                "Pre-charge {place}; {wait}. Then volts across the open main battery switch, \
                 before it is closed."
            ))
            .why("Empty capacitors on a battery weld contacts and blow fuses.")
            .otherwise("Do not close it: the path is open, or something draws current behind it.")
            .at(format!("across the open battery switch of {place}"));
        step.percent(
            band("pre-charge"),
            nominal,
            "of the lowest battery voltage",
            "`min battery voltage`, by profile or settings",
        );
        step.rests_on(&[Part::BatteryPower, Part::Machine]);
    }
}

fn alone(steps: &mut Builder, site: &MadeOf, unit: &Unit) {
    let parts = [Part::Output, Part::Machine, Part::Ac];
    for leg in &unit.live {
        steps
            .add(&["alone", &unit.name, &leg.name], Hold::Reason, Quantity::Volts)
            .act(format!(
                "{} alone runs from the battery, its output breaker open: {} to N on the unit's side.",
                unit.name, leg.name
            ))
            .why("A unit that makes the wrong voltage by itself makes trouble in the group.")
            .otherwise("Stop the unit; compare its settings with the list.")
            .at(format!("{} output {} to N, breaker open", unit.name, leg.name))
            .percent(band("volts"), unit.volts, "of nominal", NO_SUPPLY)
            .of(&unit.name, &parts);
    }
    if let Some(hertz) = unit.hertz {
        steps
            .add(&["hertz", &unit.name], Hold::None, Quantity::Hertz)
            .act(format!("The same, frequency of {}.", unit.name))
            .why("Units of one group make one frequency.")
            .otherwise("Stop the unit; compare its settings with the list.")
            .at(format!("{} output, breaker open", unit.name))
            .percent(band("hertz"), Some(hertz), "of what is set", "")
            .of(&unit.name, &parts);
    }
    let has_relay = |bond: &&crate::value::Bond| !super::dead::is_fixed(bond);
    if let Some(bond) = site.bonds.iter().flatten().find(has_relay) {
        steps
            .add(&["bond live", &unit.name], Hold::Reading, Quantity::Volts)
            .act(format!(
                "{} alone, still from the battery: N to earth at the bars. The sheets have the \
                 bond at {}.",
                unit.name,
                bond.place.spoken()
            ))
            .why("A relay inside a unit cannot be seen; only a neutral that stays at earth shows that it closed.")
            .otherwise("The relay did not close, or another opened: stop, and look at its setting.")
            .at(format!("N to earth, {} alone", unit.name))
            .within(band("dead"))
            .rests_on(&[Part::Bond])
            .of(&unit.name, &parts);
    }
}

fn link(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Link);
    for unit in &site.units {
        let told = if unit.settings.is_empty() {
            "what the list of settings has (the sheets state nothing of this unit)".to_owned()
        } else {
            unit.settings.join(", ")
        };
        steps
            .add(&["read back", &unit.name], Hold::Reason, Quantity::Seen)
            .act(format!(
                "Read from the screen of {}, every part's firmware too; some settings are taken \
                 only after everything was dark.",
                unit.name
            ))
            .why("What was dialled in is what the unit says, not what the list says.")
            .otherwise("Set it, go dark, read again; or correct the sheet and check again.")
            .at(format!("screen of {}", unit.name))
            .seen(told)
            .rests_on(&[Part::Firmware, Part::Machine])
            .of(&unit.name, &[Part::Settings, Part::Output, Part::BatteryData]);
    }
    if site.has_link {
        let names = all_of(&site.unit_names());
        steps
            .add(&["link heard"], Hold::Reason, Quantity::Seen)
            .act(
                "All units on, outputs still open, five minutes: who is heard, and the error \
                 counters. With a recorder: `coldcheck hear SHEETS LOG`.",
            )
            .why("Units that do not hear each other do not follow each other when they join.")
            .otherwise("Units off, then the meter plan: `coldcheck meter`.")
            .at("the link")
            .seen(format!("{names} heard, each at its own address, no error counter rising"))
            .rests_on(&[Part::Link, Part::Settings, Part::Firmware, Part::Machine]);
    }
}

/// Conductors that already have a live bar, with the unit that made it live.
fn join(steps: &mut Builder, site: &MadeOf) {
    let mut live: Vec<String> = Vec::new();
    for (position, unit) in site.units.iter().enumerate() {
        let parts = [Part::Ac, Part::Output, Part::Machine];
        steps.then();
        for leg in &unit.live {
            if live.contains(&leg.bar) {
                nominal(steps, unit, leg);
            } else {
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
                    .of(&unit.name, &parts);
            }
        }
        steps.then();
        for leg in unit.live.iter().filter(|leg| live.contains(&leg.bar)) {
            across(steps, unit, leg);
        }
        steps.then();
        if unit.live.iter().any(|leg| live.contains(&leg.bar)) {
            joined(steps, site, unit, position + 1);
        } else {
            steps
                .add(&["closed", &unit.name], Hold::Reason, Quantity::Seen)
                .act(format!("Close the output breaker of {}, loads off.", unit.name))
                .why("It makes its bars live; the others join it.")
                .otherwise("Open it again, stop the unit.")
                .at(format!("output breaker of {}", unit.name))
                .seen("it stays closed, and no fault shows")
                .of(&unit.name, &parts);
        }
        let new: Vec<&Conductor> =
            unit.live.iter().filter(|leg| !live.contains(&leg.bar)).collect();
        live.extend(new.iter().map(|leg| leg.bar.clone()));
        between(steps, site, unit, &new, &live);
    }
}

/// Both sides of the open breaker at nominal: across it, near zero with a dead side proves nothing.
fn nominal(steps: &mut Builder, unit: &Unit, leg: &Conductor) {
    let sides = [
        (
            "own side",
            format!("{} output {} to N, unit's side of the open breaker", unit.name, leg.name),
        ),
        ("bar side", format!("{} to N, at the open breaker of {}", leg.bar, unit.name)),
    ];
    for (side, place) in sides {
        steps
            .add(&[side, &unit.name, &leg.name], Hold::Reading, Quantity::Volts)
            .act(format!("{} runs, its output breaker open: {place}.", unit.name))
            .why("Near zero across a breaker proves nothing while one side of it is dead.")
            .otherwise("No voltage there: find out why before anything is read across the breaker.")
            .at(place)
            .percent(band("volts"), unit.volts, "of nominal", NO_SUPPLY)
            .of(&unit.name, &[Part::Ac, Part::Output, Part::Machine]);
    }
}

fn across(steps: &mut Builder, unit: &Unit, leg: &Conductor) {
    steps
        .add(&["across", &unit.name, &leg.name], Hold::Reading, Quantity::Volts)
        .act(format!(
            "Across the open output breaker of {}, {} to {}, for one whole minute: write down the \
             largest.",
            unit.name, leg.name, leg.bar
        ))
        .why("Like to like is near zero and stays there. A swapped leg shows the volts between two legs, one that does not follow swings.")
        .otherwise("DO NOT CLOSE IT. Stop this unit; it makes another leg, or does not follow the group.")
        .at(format!("across the open breaker of {}, {}", unit.name, leg.name))
        .percent(band("across"), unit.volts, "of nominal", NO_SUPPLY)
        .of(&unit.name, &[Part::Ac, Part::Output, Part::Machine]);
}

fn joined(steps: &mut Builder, site: &MadeOf, unit: &Unit, running: usize) {
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
        .at(format!("output conductors, {} joined", unit.name));
    step.percent(band("circulating"), site.rated, "of rated", NO_RATING);
    step.of(&unit.name, &[Part::Ac, Part::Output, Part::Machine]);
}

/// Volts between the bars that are live now.
fn between(steps: &mut Builder, site: &MadeOf, unit: &Unit, new: &[&Conductor], live: &[String]) {
    if live.len() < 2 || new.is_empty() {
        return;
    }
    steps.then();
    let volts = site.supply.map(crate::value::Supply::volts_between_lines);
    for (position, bar) in live.iter().enumerate() {
        for other in &live[..position] {
            if !new.iter().any(|leg| leg.bar == *bar) {
                continue;
            }
            steps
                .add(&["between", other, bar], Hold::Reason, Quantity::Volts)
                .act(format!("{other} to {bar}, loads off."))
                .why("Two bars that make the same leg show nothing between them.")
                .otherwise("Open the breaker of the unit that joined last; its leg or phase is not as listed.")
                .at(format!("{other} to {bar}"))
                .percent(band("volts"), volts, "of nominal from leg to leg", NO_SUPPLY)
                .of(&unit.name, &[Part::Ac, Part::Output]);
        }
    }
    if live.len() == 3 {
        steps
            .add(&["rotation"], Hold::Reason, Quantity::Seen)
            .act("Order of the phases at the bars.")
            .why("Volts are the same both ways round; motors are not.")
            .otherwise("Two units make each other's phase: stop, compare settings with the list.")
            .at("the bars")
            .seen("L1, L2, L3 follow each other in this order")
            .rests_on(&[Part::Ac, Part::Output]);
    }
}

fn load(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Load);
    if site.units.len() > 1 {
        let (share, least) = (band("share"), band("load for sharing"));
        let part = |end: Option<f64>| end.unwrap_or(100.0) / 100.0;
        for unit in &site.units {
            let step = steps
                .add(&["share", &unit.name], Hold::Reason, Quantity::Amperes)
                .act(format!(
                    "A steady load of half the group's rating or more; clamp on {} of {}, all units \
                     within one minute.",
                    unit.live.first().map_or("the live conductor", |leg| leg.name.as_str()),
                    unit.name
                ))
                .why("A unit that takes more than its part trips first, and the rest after it.")
                .otherwise("Compare lengths, sections and joints of the leads; then the settings.")
                .at(format!("output of {} under load", unit.name));
            step.expected = Expected::Share {
                low: part(share.low),
                high: part(share.high),
                least: site.rated.map(|rated| rated * part(least.low)),
                source: share.source.to_owned(),
            };
            step.rests_on(&[Part::Ac, Part::Machine]);
        }
    }
    let parts: Vec<Part> = WIRING.into_iter().filter(|part| *part != Part::Sensor).collect();
    steps
        .add(&["warm"], Hold::None, Quantity::Seen)
        .act("The same load for half an hour; then every joint and breaker with a thermometer or a camera, covers on, hands off.")
        .why("A bad joint shows as heat before it shows as a fire.")
        .otherwise("Load off, way down, and remake the joint.")
        .at("joints and breakers")
        .seen("no joint is warmer than its neighbours")
        .rests_on(&parts);
}
