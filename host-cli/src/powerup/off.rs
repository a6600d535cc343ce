//! Everything off, and proven off.

use super::bands::band;
use super::builder::Builder;
use super::made_of::{MadeOf, Unit};
use super::part::Part;
use super::{Hold, Stage};
use crate::phrase::one_of;
use crate::readings::Quantity;

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
    steps.stage(Stage::Off);
    steps
        .add(&["locked off"], Hold::Reason, Quantity::Seen)
        .act(format!(
            "A generator's start off automatic first. Open every source: supply, generator, every \
             battery switch, every solar isolator; all breakers of every unit. Lock and tag each, and keep the keys.{}",
            match site.undeclared_sources() {
                missing if missing.is_empty() => String::new(),
                missing => format!(
                    " The sheets say nothing of {}: look whether there is one.",
                    one_of(&missing.iter().map(|[what, _]| *what).collect::<Vec<_>>())
                ),
            }
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
                        then find the source, open and lock it. What was proven off or dead \
                        before says nothing any more: begin again with `locked-off`.";

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
