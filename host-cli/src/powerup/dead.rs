//! Everything off and proven off, and the tests on the dead plant.

use super::bands::band;
use super::builder::Builder;
use super::made_of::{MadeOf, Unit};
use super::part::Part;
use super::{Hold, Stage};
use crate::readings::Quantity;
use crate::value::Bond;
use coldcheck_core::plan::BondPlace;

/// Everything that carries current or data: whoever changes any of it works on the dead plant.
pub(super) const WIRING: [Part; 9] = [
    Part::Link,
    Part::BatteryData,
    Part::Machine,
    Part::BatteryPower,
    Part::Ac,
    Part::Bond,
    Part::Sensor,
    Part::Solar,
    Part::Supply,
];

pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    off(steps, site);
    steps.stage(Stage::Dead);
    for unit in &site.units {
        earth(steps, unit);
    }
    bonds(steps, site);
    for unit in &site.units {
        legs(steps, unit);
    }
    bank(steps);
    pair(steps, site);
    for unit in &site.units {
        work(steps, unit);
    }
}

fn off(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Off);
    let mut sources = vec!["supply", "every battery switch", "every solar isolator"];
    if site.has_generator {
        sources.push("generator");
    }
    steps
        .add(&["locked off"], Hold::Reason, Quantity::Seen)
        .act(format!(
            "Open every source: {}; the output breaker of every unit. Lock and tag each, and keep \
             the keys.",
            sources.join(", ")
        ))
        .why("A button, a screen or an interlock is no isolation: only an open, locked switch is.")
        .otherwise("What cannot be locked has its fuse drawn or its conductor taken off.")
        .at("every source")
        .seen("every source is open, locked and tagged")
        .rests_on(&WIRING);
    steps.then();
    for unit in &site.units {
        dead(steps, unit);
    }
    steps
        .add(&["dead", "bars"], Hold::Reading, Quantity::Volts)
        .act(
            "At the bars of the panel: every conductor to every other, and each to earth, AC and \
             DC. Write down the largest.",
        )
        .why("Another source may feed the bars from where nobody looked.")
        .otherwise(FED_FROM)
        .at("the bars")
        .within(band("dead"))
        .rests_on(&WIRING);
}

const FED_FROM: &str = "Something still feeds it, or capacitors are charged. Touch nothing; wait, \
                        then find the source and open it, and begin again with this step.";

fn dead(steps: &mut Builder, unit: &Unit) {
    steps
        .add(&["dead", &unit.name], Hold::Reading, Quantity::Volts)
        .act(format!(
            "Prove the meter on a source that is known to be live. At {}: battery plus to minus, \
             every output and input conductor to every other, and each to earth, AC and DC. Write \
             down the largest. Prove the meter again.",
            unit.name
        ))
        .why(
            "Capacitors keep their charge, and a battery can feed back: dead is what was measured.",
        )
        .otherwise(FED_FROM)
        .at(format!("the terminals of {}", unit.name))
        .within(band("dead"))
        .rests_on(&WIRING);
}

fn earth(steps: &mut Builder, unit: &Unit) {
    steps
        .add(&["earth", &unit.name], Hold::Reading, Quantity::Ohms)
        .act(format!(
            "From bare metal of the case of {} to the earth bar; the leads' own ohms taken off.",
            unit.name
        ))
        .why("Without it the case takes whatever a fault puts on it.")
        .otherwise("Follow the earth conductor; it goes on first and comes off last.")
        .at(format!("case of {} to the earth bar", unit.name))
        .within(band("earth"))
        .of(&unit.name, &[Part::Ac, Part::Machine]);
}

/// Whether a bond can be opened by hand and is closed on the dead plant.
pub(super) const fn is_fixed(bond: &Bond) -> bool {
    !matches!(bond.kind, BondPlace::UnitRelay)
}

fn bonds(steps: &mut Builder, site: &MadeOf) {
    let stated = site.bonds.as_deref();
    let fixed: Vec<&Bond> =
        stated.unwrap_or_default().iter().filter(|bond| is_fixed(bond)).collect();
    let rests = [Part::Bond, Part::Ac, Part::Machine];
    let one = fixed.len() == 1;
    if stated.is_none() || one {
        let place = fixed.first().map_or_else(
            || "the place where neutral and earth are joined".to_owned(),
            |bond| bond.place.spoken(),
        );
        steps
            .add(&["bond closed"], Hold::Reading, Quantity::Ohms)
            .act(format!("From the neutral bar to the earth bar, with the bond at {place} closed."))
            .why("Without a bond no breaker sees a fault to earth while the group feeds the loads.")
            .otherwise("Look for the bond where the sheets have it; make it, or correct the sheet.")
            .at("the neutral bar to the earth bar")
            .within(band("joined"))
            .rests_on(&rests);
    }
    steps
        .add(&["bond opened"], Hold::Reading, Quantity::Ohms)
        .act(match (one, stated) {
            (true, _) => {
                "The same with that bond taken out; put it back when this has been written down. \
                 Neutrals of the loads off."
            }
            (false, None) => {
                "The same with every bond that you know taken out; put it back when this has been \
                 written down. Neutrals of the loads off."
            }
            (false, Some(_)) => {
                "From the neutral bar to the earth bar, with every fixed bond of the sheets taken \
                 out. Neutrals of the loads off."
            }
        })
        .why("A second bond leads neutral current over the earth conductors, and blinds residual-current protection.")
        .otherwise("Another bond, or a neutral that touches earth: take conductors off one by one.")
        .at("the neutral bar to the earth bar, no bond")
        .within(band("apart"))
        .rests_on(&rests);
}

fn legs(steps: &mut Builder, unit: &Unit) {
    let parts = [Part::Ac, Part::Machine];
    for leg in unit.live.iter().chain([&unit.neutral]) {
        steps
            .add(&["own bar", &unit.name, &leg.name], Hold::Reason, Quantity::Ohms)
            .act(format!(
                "Output breaker closed, still dead, loads off: from output terminal {} of {} to {}.",
                leg.name, unit.name, leg.bar
            ))
            .why("A conductor that is open, or at another bar, is cheap to find now.")
            .otherwise("Follow this conductor from end to end.")
            .at(format!("{} output {} to {}", unit.name, leg.name, leg.bar))
            .within(band("joined"))
            .of(&unit.name, &parts);
        steps
            .add(&["other bars", &unit.name, &leg.name], Hold::Reason, Quantity::Ohms)
            .act(format!(
                "From the same terminal to every other bar, the bond taken out; write down the \
                 least. Over range is OL{}.",
                if leg.name == "N" {
                    ""
                } else {
                    ". A unit's own filter may show: read it with its plug-in connector off"
                }
            ))
            .why("Two legs exchanged at one unit are a dead short between outputs when it joins.")
            .otherwise("Conductors are exchanged, or touch: do not close this breaker live.")
            .at(format!("{} output {} to every bar but {}", unit.name, leg.name, leg.bar))
            .within(band("apart"))
            .of(&unit.name, &parts);
    }
}

fn bank(steps: &mut Builder) {
    steps
        .add(&["battery bars"], Hold::Reason, Quantity::Ohms)
        .act(
            "Battery switch open: from the plus bar to the minus bar on the units' side. It may \
             climb while capacitors charge; wait until it stands.",
        )
        .why("A short between the bars meets the whole battery when its switch closes.")
        .otherwise("Take the units' leads off one by one until it is gone.")
        .at("battery plus bar to minus bar, units' side")
        .within(band("bank bars"))
        .rests_on(&[Part::BatteryPower, Part::Machine]);
}

fn pair(steps: &mut Builder, site: &MadeOf) {
    for (place, low, high) in &site.pair {
        steps
            .add(&["pair", place], Hold::Reason, Quantity::PairOhms)
            .act(format!(
                "Volts between the two wires first: near zero, or no ohms. Then ohms between them \
                 at {place}, through a breakout lead, everything plugged in. `coldcheck meter` has \
                 the whole plan."
            ))
            .why("Two terminators, no more and no fewer, and no break between these ends.")
            .otherwise("Give what was read to `coldcheck meter`: it ranks what fits.")
            .at(place.clone())
            .between(Some(*low), Some(*high), "the meter plan of this site")
            .rests_on(&[Part::Link]);
    }
}

fn work(steps: &mut Builder, unit: &Unit) {
    let parts = [Part::Ac, Part::BatteryPower, Part::Machine];
    steps
        .add(&["torque", &unit.name], Hold::Reason, Quantity::Seen)
        .act(format!(
            "Every power terminal of {}, and its bars and breakers: tighten to the maker's figure \
             with a calibrated tool, and mark it. Write yes, then the largest figure.",
            unit.name
        ))
        .why("A loose lug heats, and a direct current does not forgive it.")
        .otherwise("Nothing is closed on a joint that was not tightened.")
        .at(format!("power terminals of {}", unit.name))
        .seen("every joint tightened to the maker's figure and marked")
        .of(&unit.name, &parts);
    steps
        .add(&["insulation", &unit.name], Hold::Reason, Quantity::Ohms)
        .act(format!(
            "Electronics unplugged or taken off: live conductors and neutral of {}'s leads, joined, \
             to earth, with 500 V d.c. Write down the least.",
            unit.name
        ))
        .why("Crushed insulation shows now, and not under a load.")
        .otherwise("Take the leads apart until the bad one is found.")
        .at(format!("leads of {} to earth", unit.name))
        .within(band("insulation"))
        .of(&unit.name, &parts);
}
