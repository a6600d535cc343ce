//! Sensors, supply, solar arrays, changeover.

use super::bands::band;
use super::builder::Builder;
use super::dead::WIRING;
use super::live::NO_SUPPLY;
use super::made_of::MadeOf;
use super::part::Part;
use super::{Hold, Stage};
use crate::readings::Quantity;

pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    sensors(steps, site);
    steps.stage(Stage::Sources);
    if site.has_supply {
        supply(steps, site);
    }
    solar(steps, site);
    changeover(steps, site);
}

fn sensors(steps: &mut Builder, site: &MadeOf) {
    if site.sensors.is_empty() {
        return;
    }
    steps.stage(Stage::Sensors);
    for sensor in &site.sensors {
        steps
            .add(&["sensor", sensor], Hold::Reason, Quantity::Seen)
            .act(format!(
                "A known load on one leg at a time, at least 5 % of the rating of {sensor}: clamp \
                 and screen, then `coldcheck sensors`. Never open the secondary of a current \
                 transformer while current flows."
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

fn supply(steps: &mut Builder, site: &MadeOf) {
    let rests = [Part::Supply, Part::Machine];
    let system = site.supply;
    let volts = system.map(crate::value::Supply::volts_to_neutral);
    steps
        .add(&["supply"], Hold::Reason, Quantity::Volts)
        .act("Supply breaker of the units still open: each line to neutral on the supply's side; write down the one that is farthest off.")
        .why("A supply of another system, or a lost neutral, is not seen by any unit's screen.")
        .otherwise("Leave the breaker open, and have the supply looked at.")
        .at("supply breaker, supply side, line to neutral")
        .percent(band("volts"), volts, "of nominal", NO_SUPPLY)
        .rests_on(&[Part::Supply]);
    steps.then();
    let with_inputs = site.units.iter().filter(|unit| !unit.inputs.is_empty());
    let mut others = with_inputs.clone();
    if let Some(first) = others.next() {
        for unit in others {
            for leg in unit.inputs.iter().filter(|leg| first.inputs.contains(leg)) {
                steps
                    .add(&["input", &unit.name, leg], Hold::Reading, Quantity::Volts)
                    .act(format!(
                        "Supply on, input breakers of both units open on the units' side: input {leg} \
                         of {} to input {leg} of {}, on the supply's side of both.",
                        unit.name, first.name
                    ))
                    .why("Supply legs in another order at one unit meet inside the group.")
                    .otherwise("Leave both breakers open; exchange the two conductors with the supply off.")
                    .at(format!("input {leg} of {} to input {leg} of {}", unit.name, first.name))
                    .percent(band("across"), unit.volts.or(volts), "of nominal", NO_SUPPLY)
                    .of(&unit.name, &rests)
                    .of(&first.name, &rests);
            }
        }
    }
    steps.then();
    steps
        .add(&["supply taken"], Hold::Reason, Quantity::Seen)
        .act("Close the supply to all units, with the utility's consent; wait for the time that its rules set.")
        .why("Some settings for working with a supply are looked at only now.")
        .otherwise("Open it; compare grid profile and legs with the list.")
        .at("every unit")
        .seen("every unit takes the supply, and none reports a fault")
        .rests_on(&[Part::Supply, Part::Settings, Part::Output, Part::Machine]);
}

fn solar(steps: &mut Builder, site: &MadeOf) {
    let usual = band("polarity");
    for (array, unit) in &site.arrays {
        steps
            .add(&["solar", array], Hold::Reading, Quantity::Volts)
            .act(format!(
                "Isolator of {array} open, on the array's side: red lead on plus. It is live \
                 whenever there is light. Then each pole to earth: it must fall to zero."
            ))
            .why("A string the wrong way round, or too long for the cold, destroys the input.")
            .otherwise("Leave it open. Below zero: exchanged. Never part a connector under load.")
            .at(format!("array {array}, plus to minus, towards {unit}"))
            .between(
                usual.low,
                site.solar_most,
                if site.solar_most.is_some() { "`max solar voltage`" } else { usual.source },
            )
            .rests_on(&[Part::Solar]);
    }
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
        }
    }
    let mut everything = WIRING.to_vec();
    everything.extend([Part::Settings, Part::Output, Part::Firmware]);
    for start in ["1", "2", "3"] {
        steps
            .add(&["cold start", start], Hold::None, Quantity::Seen)
            .act("Everything dark, wait for the capacitors, then up in the order of this sheet.")
            .why("A group that starts once may have been lucky.")
            .otherwise("Note which unit says what, and go back to the link.")
            .at("the group")
            .seen("all units are up, and no fault shows")
            .rests_on(&everything);
    }
}
