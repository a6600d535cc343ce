//! Supply, generator, sensors, solar arrays, changeover.

use super::bands::band;
use super::bonds;
use super::builder::Builder;
use super::live::NO_SUPPLY;
use super::made_of::{Conductor, MadeOf, Unit};
use super::off::WIRING;
use super::one_source;
use super::part::Part;
use super::{Hold, Stage};
use crate::readings::Quantity;
use crate::value::{Supply, System};

pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Supply);
    if site.has_supply || site.has_generator || site.has_changeover {
        one_source::fed_back(steps, site);
        steps.then();
    }
    if site.has_supply {
        source(steps, site, &SUPPLY);
        if site.has_generator {
            steps.then();
            one_source::generator_dead(steps);
        }
    }
    if site.has_generator {
        source(steps, site, &GENERATOR);
        steps.then();
        if site.has_two_sources() {
            one_source::supply_dead(steps);
        }
        bonds::on_generator(steps, site);
        let state = "on the generator";
        bonds::in_state(steps, site, ["bond on generator", "loads"], state, "On the generator");
        if site.has_two_sources() {
            one_source::supply_back(steps);
        }
    }
    if site.has_supply {
        steps.then();
        bonds::open_on_supply(steps, site);
    }
    sensors(steps, site);
    solar(steps, site);
    changeover(steps, site);
}

/// A source from outside that the units take.
struct Source {
    name: &'static str,
    /// The act that makes its volts.
    start: &'static str,
    /// The step's name for a conductor at its own source, and from unit to unit.
    kinds: [&'static str; 2],
    of: fn(&Unit) -> &[Conductor],
    /// Whether its neutral is at earth before anything of the site is joined to it.
    is_earthed: bool,
    taken: (&'static str, &'static str),
}

const SUPPLY: Source = Source {
    name: "supply",
    start: "Supply on, its breaker to the units still open",
    kinds: ["input live", "input"],
    of: |unit| &unit.inputs,
    is_earthed: true,
    taken: (
        "supply taken",
        "Close the supply's input breaker of unit after unit, with the utility's consent; wait for \
         the time that its rules set.",
    ),
};

const GENERATOR: Source = Source {
    name: "generator",
    start: "Supply off and locked; generator running, its breaker to the units still open",
    kinds: ["generator live", "generator input"],
    of: |unit| &unit.generator,
    is_earthed: false,
    taken: (
        "generator taken",
        "Close the generator's input breaker of unit after unit, loads off; wait until they take it.",
    ),
};

/// Whether units take more than one of its lines. A single phase has one, by whatever names of bars.
fn has_several_lines(site: &MadeOf, source: &Source) -> bool {
    if site.supply.is_some_and(|supply| supply.system == System::SinglePhase) {
        return false;
    }
    let mut bars = site.units.iter().flat_map(|unit| (source.of)(unit)).map(|leg| &leg.bar);
    let first = bars.next();
    bars.any(|bar| Some(bar) != first)
}

fn source(steps: &mut Builder, site: &MadeOf, source: &Source) {
    let Source { name, start, .. } = source;
    let volts = site.supply.map(Supply::volts_to_neutral);
    steps.then();
    steps
        .add(&[name], Hold::Reason, Quantity::Volts)
        .act(format!("{start}: each line to neutral on the {name}'s side; write down the one that is farthest off."))
        .why("A source of another system, or a lost neutral, is not seen by any unit's screen.")
        .otherwise("Leave the breaker open, and have the source looked at.")
        .at(format!("{name} breaker, {name}'s side, line to neutral"))
        .percent(band("volts"), volts, "of nominal", NO_SUPPLY)
        .rests_on(&[Part::Supply]);
    if source.is_earthed {
        steps
            .add(&[&format!("{name} neutral")], Hold::Reason, Quantity::Volts)
            .act(format!("The same place: neutral to earth of the {name}."))
            .why("Line and neutral that are exchanged read right to each other, and not to earth.")
            .otherwise("Leave the breaker open, and have the source looked at.")
            .at(format!("{name} breaker, {name}'s side, neutral to earth"))
            .within(band("neutral to earth"))
            .rests_on(&[Part::Supply]);
    }
    // Each line may be right to neutral while two of them are one and the same.
    if has_several_lines(site, source) {
        let between = site.supply.map(Supply::volts_between_lines);
        steps
            .add(&[&format!("{name} lines")], Hold::Reason, Quantity::Volts)
            .act("The same place: every line to every other; write down the one that is farthest off.")
            .why("Two lines of one phase read right to neutral, and carry its current twice.")
            .otherwise("Leave the breaker open, and have the source looked at.")
            .at(format!("{name} breaker, {name}'s side, line to line"))
            .percent(band("volts"), between, "of nominal from line to line", NO_SUPPLY)
            .rests_on(&[Part::Supply]);
    }
    if let Some(hertz) = site.units.iter().find_map(|unit| unit.hertz) {
        steps
            .add(&[name, "hertz"], Hold::None, Quantity::Hertz)
            .act(format!("The same, frequency of the {name}."))
            .why("Units take a source only near their own frequency.")
            .otherwise("Have the source looked at before it is closed to the units.")
            .at(format!("{name} breaker, {name}'s side"))
            .percent(band("hertz"), Some(hertz), "of what is set", "")
            .rests_on(&[Part::Supply]);
    }
    steps.then();
    inputs(steps, site, source);
    steps.then();
    let (taken, act) = source.taken;
    steps
        .add(&[taken], Hold::Reason, Quantity::Seen)
        .act(act)
        .why("Some settings for working with a source are looked at only now.")
        .otherwise("Open it; compare grid profile and legs with the list.")
        .at("every unit")
        .seen(format!("every unit takes the {name}, and none reports a fault"))
        .rests_on(&[Part::Supply, Part::Settings, Part::Output, Part::Machine]);
}

/// Conductors of one bar meet inside the group: each at its own volts, and none between them.
fn inputs(steps: &mut Builder, site: &MadeOf, source: &Source) {
    let parts = [Part::Supply, Part::Machine];
    let [alive, meeting] = source.kinds;
    let (name, of) = (source.name, source.of);
    let all: Vec<(&Unit, &Conductor)> =
        site.units.iter().flat_map(|unit| of(unit).iter().map(move |leg| (unit, leg))).collect();
    for (unit, leg) in &all {
        steps
            .add(&[alive, &unit.name, &leg.name], Hold::Reading, Quantity::Volts)
            .act(format!(
                "The {name} let through to the open input breakers of the units: {} to N at that \
                 of {}, on the {name}'s side.",
                leg.bar, unit.name
            ))
            .why("Near zero between two conductors proves nothing while one of them is dead.")
            .otherwise("No voltage there: find out why before anything is read between units.")
            .at(format!("{} at the input {} of {}, to N", leg.bar, leg.name, unit.name))
            .percent(band("volts"), unit.volts, "of nominal", NO_SUPPLY)
            .of(&unit.name, &parts);
    }
    steps.then();
    for (position, (unit, leg)) in all.iter().enumerate() {
        let before = all.get(..position).unwrap_or_default();
        let Some((first, same)) = before.iter().find(|(_, other)| other.bar == leg.bar) else {
            continue;
        };
        steps
            .add(&[meeting, &unit.name, &leg.name], Hold::Reading, Quantity::Volts)
            .act(format!(
                "The {name}'s input breakers of both units open, the {name} on: input {} of {} to input {} of \
                 {}, both from {}, on the {name}'s side of both.",
                leg.name, unit.name, same.name, first.name, leg.bar
            ))
            .why("Supply legs in another order at one unit meet inside the group.")
            .otherwise("Leave both breakers open; exchange the conductors with the source off and proven dead.")
            .at(format!(
                "{}: input {} of {} to input {} of {}",
                leg.bar, leg.name, unit.name, same.name, first.name
            ))
            .percent(band("across"), unit.volts, "of nominal", NO_SUPPLY)
            .of(&unit.name, &parts)
            .of(&first.name, &parts);
    }
}

fn sensors(steps: &mut Builder, site: &MadeOf) {
    if site.sensors.is_empty() {
        return;
    }
    steps.stage(Stage::Sensors);
    let least = band("load for sensors");
    let by_supply =
        if site.has_supply { ", carried by the supply (discharge stopped)" } else { "" };
    for (sensor, rating) in &site.sensors {
        let percent = least.low.unwrap_or(100.0);
        let load = rating.map_or_else(
            || format!("at least {percent} % of the rating of {sensor}"),
            |amperes| {
                format!(
                    "at least {:.0} A ({percent} % of the rating of {sensor}; {})",
                    amperes * percent / 100.0,
                    least.source
                )
            },
        );
        steps
            .add(&["sensor", sensor], Hold::Reason, Quantity::Seen)
            .act(format!(
                "A known load on one leg at a time{by_supply}, {load}: clamp and screen, then `coldcheck \
                 sensors`. Never open the secondary of a current transformer while current flows."
            ))
            .why(
                "A sensor on the wrong leg or the wrong way round makes the group do the opposite.",
            )
            .otherwise("`coldcheck sensors` says what is exchanged, and which load decides.")
            .at(sensor.clone())
            .seen("it is right: on its own leg, its own way round, with its own ratio")
            .of(sensor, &[Part::Sensor])
            // How many units there are decides the largest current that it sees.
            .rests_on(&[Part::Machine]);
    }
}

fn solar(steps: &mut Builder, site: &MadeOf) {
    let usual = band("polarity");
    steps.stage(Stage::Solar);
    for (array, unit) in &site.arrays {
        steps
            .add(&["solar", array], Hold::Reading, Quantity::Volts)
            .act(format!(
                "Isolator of {array} open, on the array's side: red lead on plus. It is live \
                 whenever there is light. Then each pole to earth: it must fall to zero."
            ))
            .why("A string the wrong way round, or too long for the cold, destroys the input.")
            .otherwise("Leave it open. Below zero: exchanged. Never part a connector under load.")
            .at(format!("{array}, plus to minus, towards {unit}"))
            .between(
                usual.low,
                site.solar_most.or(usual.high),
                if site.solar_most.is_some() { "`max solar voltage`" } else { usual.source },
            )
            .rests_on(&[Part::Solar]);
    }
}

/// What this list does not measure, and whoever is licensed must.
fn by_local_code(steps: &mut Builder) {
    steps
        .add(&["local code"], Hold::Reason, Quantity::Seen)
        .act(
            "What local code asks for beyond this list: residual-current devices, fault loop (also from \
             the battery, which gives less current), earth electrode. Write yes, and where the record is.",
        )
        .why("A group that runs well may still leave a fault to earth standing.")
        .otherwise("Loads off; the protection is put right before anybody uses the site.")
        .at("protection against faults to earth")
        .seen("a record by licensed people, all within limits (IEC 60364-6:2016 6.4.3, from memory)")
        .rests_on(&[Part::Ac, Part::Bond, Part::Supply, Part::Machine]);
}

fn changeover(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Changeover);
    let rests = [Part::Bond, Part::Supply, Part::Machine, Part::Output];
    if site.has_supply || site.has_changeover {
        for (name, way) in [
            ("to battery", "Open the supply in front of the changeover, under a load"),
            ("to supply", "Close the supply again, under the same load"),
        ] {
            steps
                .add(&["changeover", name], Hold::Reason, Quantity::Seen)
                .act(format!(
                    "{way}; record the volts of one load from 0.1 s before to 0.1 s after, then \
                     `coldcheck changeover RECORD.csv`."
                ))
                .why("The time without voltage is what the loads have to ride through.")
                .otherwise("Compare the limits; look at neutral and bonds in both positions.")
                .at(format!("changeover {name}"))
                .seen("the loads stay on, no residual-current device trips, and the record is within its limits")
                .rests_on(&rests);
            if site.has_changeover {
                steps.then();
                let state = format!("changeover {name}");
                let begins = "Left in this position";
                bonds::in_state(steps, site, ["bond in position", name], &state, begins);
                steps.then();
            }
        }
    }
    by_local_code(steps);
    let mut everything = WIRING.to_vec();
    everything.extend([Part::Settings, Part::Output, Part::Firmware]);
    for start in ["1", "2", "3"] {
        steps
            .add(&["cold start", start], Hold::None, Quantity::Seen)
            .act("The way down, as far as the battery switch, and wait for the capacitors; then up again from the battery on, in the order of the live steps: pre-charge first, where there is one, and volts across each open output breaker before it is closed.")
            .why("A group that starts once may have been lucky.")
            .otherwise("Note which unit says what, and go back to the link.")
            .at("the group")
            .seen("all units are up, and no fault shows")
            .rests_on(&everything);
    }
    if site.has_two_sources() {
        one_source::generator_ready(steps);
    }
}
