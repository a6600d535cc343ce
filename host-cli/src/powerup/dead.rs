//! Tests on the dead plant. They are taken with the neutral-earth bond out and the electronics
//! unplugged; what was taken apart is put back, and proven so, before anything is closed.

use super::bands::band;
use super::builder::Builder;
use super::made_of::{Conductor, MadeOf, Unit};
use super::part::Part;
use super::{Expected, Hold, Stage, Step};
use crate::phrase::all_of;
use crate::readings::Quantity;
use crate::value::Bond;
use coldcheck_core::plan::BondPlace;

pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Dead);
    for unit in &site.units {
        earth(steps, unit);
    }
    bond_opened(steps, site);
    for unit in &site.units {
        legs(steps, unit);
    }
    for unit in &site.units {
        inputs(steps, unit);
    }
    interlock(steps, site);
    battery(steps, site);
    pair(steps, site);
    for unit in &site.units {
        insulation(steps, unit);
    }
    for unit in &site.units {
        torque(steps, unit);
    }
    steps.then();
    bond_closed(steps, site);
    steps.then();
    steps
        .add(&["made ready"], Hold::Reason, Quantity::Seen)
        .act(
            "Put back the loads' neutrals and every connector that was taken off for a test; take \
             every lead and probe away; what was taken off is tightened and marked again; covers on. \
             Every breaker of a unit that was closed for its test, of output, supply and generator, \
             open and locked; every other source still locked.",
        )
        .why("What was opened for a test and is not put back is a fault that the test has made.")
        .otherwise("Nothing is closed before everything stands as it will run.")
        .at("the whole plant")
        .seen("all is put back, and every AC breaker of every unit is open and locked")
        .rests_on(&[Part::Machine, Part::Ac, Part::Bond, Part::BatteryPower]);
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

/// Whether a bond can be opened by hand and is closed on the dead plant. One that is stated, and closed
/// in no state, stays open.
const fn is_fixed(bond: &Bond) -> bool {
    let is_open = bond.stated != 0 && bond.closed == 0;
    !matches!(bond.kind, BondPlace::UnitRelay) && !is_open
}

/// The places of the bonds that a hand can open; `None` where no sheet says where they are.
fn fixed(site: &MadeOf) -> Option<Vec<String>> {
    let all = site.bonds.as_deref()?.iter();
    Some(all.filter(|bond| is_fixed(bond)).map(|bond| bond.place.spoken()).collect())
}

/// What bonds rest on.
const BONDS: [Part; 3] = [Part::Bond, Part::Ac, Part::Machine];

fn bond_opened(steps: &mut Builder, site: &MadeOf) {
    let act = match fixed(site).as_deref() {
        None => "Take out every bond of neutral and earth that you find. ".to_owned(),
        Some([]) => String::new(),
        Some(places) => format!("Take out the bond at {}. ", all_of(places)),
    };
    // Behind a breaker that leaves it through, it is at earth where it comes from.
    let of_supply = if site.has_supply || site.has_changeover {
        ", and that of the supply, parted on the units' side of its locked breaker (in front of it may \
         be live: by licensed people)"
    } else {
        ""
    };
    steps
        .add(&["bond opened"], Hold::Reading, Quantity::Ohms)
        .act(format!(
            "{act}Neutrals of the loads off{of_supply}. From the neutral bar to the earth bar. It stays so \
             until the dead tests are done."
        ))
        .why("A second bond leads neutral current over the earth conductors, and blinds residual-current protection.")
        .otherwise("Another bond, or a neutral that touches earth: take conductors off one by one.")
        .at("the neutral bar to the earth bar, no bond")
        .within(band("apart"))
        .rests_on(&BONDS);
}

fn bond_closed(steps: &mut Builder, site: &MadeOf) {
    let places = match fixed(site) {
        // A relay inside a unit is open now; it is proven live.
        Some(places) if places.is_empty() => return,
        Some(places) => format!("the bond at {}", all_of(&places)),
        None => "the one bond that this site is to have".to_owned(),
    };
    let first = if site.has_supply || site.has_changeover {
        "the supply's neutral where it was parted, then "
    } else {
        ""
    };
    steps
        .add(&["bond closed"], Hold::Reading, Quantity::Ohms)
        .act(format!("Put back {first}{places}. From the neutral bar to the earth bar."))
        .why("Without a bond no breaker sees a fault to earth while the group feeds the loads.")
        .otherwise("Look for the bond where the sheets have it; make it, or correct the sheet.")
        .at("the neutral bar to the earth bar")
        .within(band("joined"))
        .rests_on(&BONDS);
}

/// Terminals of one function.
#[derive(Clone, Copy)]
struct Terminal {
    word: &'static str,
    /// Of the step to its own bar, and of that to all others.
    kinds: [&'static str; 2],
    parts: [Part; 2],
}

const OUTPUT: Terminal =
    Terminal { word: "output", kinds: ["own bar", "other bars"], parts: [Part::Ac, Part::Machine] };
const INPUT: Terminal = Terminal {
    word: "input",
    kinds: ["input own", "input others"],
    parts: [Part::Supply, Part::Machine],
};
const GENERATOR: Terminal = Terminal {
    word: "generator input",
    kinds: ["generator own", "generator others"],
    parts: [Part::Supply, Part::Machine],
};

fn legs(steps: &mut Builder, unit: &Unit) {
    for leg in unit.live.iter().chain([&unit.neutral]) {
        conductor(steps, unit, leg, OUTPUT);
    }
}

fn inputs(steps: &mut Builder, unit: &Unit) {
    for leg in unit.inputs.iter().chain(&unit.input_neutral) {
        conductor(steps, unit, leg, INPUT);
    }
    for leg in unit.generator.iter().chain(&unit.generator_neutral) {
        conductor(steps, unit, leg, GENERATOR);
    }
}

/// Both steps of a conductor: to its own bar, and to no other.
fn conductor(steps: &mut Builder, unit: &Unit, leg: &Conductor, terminal: Terminal) {
    let Terminal { word, kinds: [own, others], parts } = terminal;
    let (name, leg, bar) = (&unit.name, &leg.name, &leg.bar);
    steps
        .add(&[own, name, leg], Hold::Reason, Quantity::Ohms)
        .act(format!(
            "This {word}'s breaker unlocked and closed, all else locked and dead, loads off: from {word} terminal {leg} of \
             {name} to {bar}."
        ))
        .why("A conductor that is open, or at another bar, is cheap to find now.")
        .otherwise("Follow this conductor from end to end.")
        .at(format!("{name} {word} {leg} to {bar}"))
        .within(band("joined"))
        .unless_wrong(unit)
        .of(name, &parts);
    // Neutrals may meet in a unit or at a changeover.
    let (all, place, filter) = if leg == "N" {
        let all = "every bar of a live conductor, and to earth";
        (all, format!("{name} {word} N to live bars and earth"), "")
    } else {
        let filter = ". A unit's own filter may show: read it with its plug-in connector off";
        ("every other bar", format!("{name} {word} {leg} to every bar but {bar}"), filter)
    };
    steps
        .add(&[others, name, leg], Hold::Reason, Quantity::Ohms)
        .act(format!(
            "From the same terminal to {all}, the bond still out; write down the least. Over range \
             is OL{filter}."
        ))
        .why("Two conductors exchanged at one unit are a dead short between units when it joins.")
        .otherwise("Conductors are exchanged, or touch: do not close this breaker live.")
        .at(place)
        .within(band("apart"))
        .unless_wrong(unit)
        .of(name, &parts);
}

/// What is demanded where a unit's conductors are at wrong bars by the sheets.
const WRONG_BARS: &str =
    "a right bar for each conductor of this unit (mend what `check` finds of it first)";

impl Step {
    /// A conductor that is found at the wrong bar, where the sheets have it, is no right one.
    fn unless_wrong(&mut self, unit: &Unit) -> &mut Self {
        if !unit.is_joined_right {
            self.expected = Expected::Unknown(WRONG_BARS.to_owned());
        }
        self
    }
}

fn interlock(steps: &mut Builder, site: &MadeOf) {
    if !site.has_two_sources() {
        return;
    }
    steps
        .add(&["interlock"], Hold::Reason, Quantity::Seen)
        .act("Both sources dead in front of their breakers, and locked there: take the locks off the two breakers that the interlock joins, close the one and try the other, then the other way round. Open both and lock them again.")
        .why("Two sources that meet are a short between them; the interlock is what keeps them apart.")
        .otherwise("No second source before it has an interlock that holds.")
        .at("supply and generator")
        .seen("neither closes while the other is closed")
        .rests_on(&[Part::Supply]);
}

fn battery(steps: &mut Builder, site: &MadeOf) {
    let parts = [Part::BatteryPower, Part::Machine];
    let bars = |steps: &mut Builder, name: &[&str], place: &str| {
        steps
            .add(name, Hold::Reason, Quantity::Ohms)
            .act(format!(
                "Battery switch open: from {place}, plus to minus. It may climb while capacitors \
                 charge; wait until it stands."
            ))
            .why("A short between the bars meets the whole battery when its switch closes.")
            .otherwise("Take the leads off one by one until it is gone.")
            .at(format!("{place}, plus to minus"))
            .within(band("bank bars"))
            .rests_on(&parts);
    };
    if !site.one_bank {
        for unit in &site.units {
            let place = format!("the battery terminals of {}", unit.name);
            bars(steps, &["battery bars", &unit.name], &place);
        }
        return;
    }
    bars(steps, &["battery bars"], "the battery bars, units' side");
    for unit in &site.units {
        steps
            .add(&["battery lead", &unit.name], Hold::Reading, Quantity::Ohms)
            .act(format!(
                "Fuse or breaker of {} in: from the plus bar to the plus terminal of {}, and from \
                 the minus bar to its minus. Write down the larger.",
                unit.name, unit.name
            ))
            .why("One switch feeds all units: leads that are exchanged at one of them must be found before it closes.")
            .otherwise("Exchanged, or open: follow both leads from end to end.")
            .at(format!("battery bars to {}, plus to plus and minus to minus", unit.name))
            .within(band("joined"))
            .of(&unit.name, &parts);
    }
}

/// Where the link as declared is wrong, what it reads is no proof.
pub(super) const WRONG_LINK: &str = "a right link (mend what `check` finds of it first)";

fn pair(steps: &mut Builder, site: &MadeOf) {
    for (place, band) in &site.pair {
        let step = steps
            .add(&["pair", place], Hold::Reason, Quantity::PairOhms)
            .act(format!(
                "Volts between the two wires first: near zero, or no ohms. Then ohms between them \
                 at {place}, through a breakout lead, everything plugged in. `coldcheck meter` has \
                 the whole plan."
            ))
            .why("Two terminators, no more and no fewer, and no break between these ends.")
            .otherwise("Give what was read to `coldcheck meter`: it ranks what fits.")
            .at(place.clone())
            .rests_on(&[Part::Link, Part::Machine]);
        match band {
            Some((low, high)) => {
                step.between(Some(*low), Some(*high), "the meter plan of this site");
            }
            None => step.expected = Expected::Unknown(WRONG_LINK.to_owned()),
        }
    }
}

fn insulation(steps: &mut Builder, unit: &Unit) {
    steps
        .add(&["insulation", &unit.name], Hold::Reason, Quantity::Ohms)
        .act(format!(
            "The bond still out, electronics unplugged or taken off: live conductors and neutral of \
             {}'s leads, joined, to earth, with 500 V d.c. Write down the least, with its unit.",
            unit.name
        ))
        .why("Crushed insulation shows now, and not under a load.")
        .otherwise("Take the leads apart until the bad one is found.")
        .at(format!("leads of {} to earth", unit.name))
        .within(band("insulation"))
        .of(&unit.name, &[Part::Ac, Part::Machine]);
}

fn torque(steps: &mut Builder, unit: &Unit) {
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
        .of(&unit.name, &[Part::Ac, Part::BatteryPower, Part::Machine]);
}
