//! Each unit alone, what it says, and what all do under load.

use super::bands::band;
use super::bonds;
use super::builder::Builder;
use super::dead::WRONG_LINK;
use super::made_of::{MadeOf, Unit};
use super::off::WIRING;
use super::part::Part;
use super::{Expected, Hold, Stage};
use crate::phrase::all_of;
use crate::readings::Quantity;

/// What is missing where nobody states the supply.
pub(super) const NO_SUPPLY: &str =
    "`supply system`, such as `supply system = split-phase 120/240 V`, for the nominal volts";

/// Each unit alone, then what it says.
pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Alone);
    for unit in &site.units {
        alone(steps, unit);
    }
    bonds::live(steps, site);
    steps.then();
    started(steps);
    link(steps, site);
}

fn alone(steps: &mut Builder, unit: &Unit) {
    let parts = [Part::Output, Part::Machine, Part::Ac];
    for leg in &unit.live {
        steps
            .add(&["alone", &unit.name, &leg.name], Hold::Reason, Quantity::Volts)
            .act(format!(
                "Start {} alone, from the battery, its output breaker open; every other unit off. \
                 {} to N on the unit's side. Stop it again when it is all written down.",
                unit.name, leg.name
            ))
            .why("A unit that makes the wrong voltage by itself makes trouble in the group.")
            .otherwise(
                "Stop the unit; compare its settings with the list. A follower that does not start \
                 by itself is read after `all-started`: write that as the reason.",
            )
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
}

fn started(steps: &mut Builder) {
    steps
        .add(&["all started"], Hold::Reason, Quantity::Seen)
        .act("Start every unit, who leads first; every output breaker still open and locked.")
        .why("What they say of themselves and of each other is asked with all of them on.")
        .otherwise("Stop the one that does not start; look at its settings and its battery lead.")
        .at("all units")
        .seen("all run, and none shows a fault")
        .rests_on(&[Part::Output, Part::Settings, Part::Machine]);
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
    for name in &site.battery_heard_at {
        steps
            .add(&["battery heard", name], Hold::Reason, Quantity::Seen)
            .act(format!(
                "Read from the screen of {name}: volts, charge and limits of the battery."
            ))
            .why("Without the battery's own values a unit works from volts alone, or stops.")
            .otherwise("Units off: follow the data lead, then protocol and addresses of the packs.")
            .at(format!("screen of {name}, battery"))
            .seen("the battery's own values are shown, of as many packs as there are")
            .rests_on(&[Part::BatteryData])
            .of(name, &[Part::Settings, Part::Machine]);
    }
    if site.has_link {
        let names = all_of(&site.unit_names());
        let step = steps
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
        // Where the cables that are listed make no right link, screens that say so are wrong.
        if site.pair.iter().any(|(_, band)| band.is_none()) {
            step.expected = Expected::Unknown(WRONG_LINK.to_owned());
        }
    }
}

/// Under load: what each takes, bar by bar, and how warm it gets.
pub(super) fn load(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Load);
    let (share, least) = (band("share"), band("load for sharing"));
    let part = |end: Option<f64>| end.unwrap_or(100.0) / 100.0;
    let on = |bar: &str| {
        let all = site.units.iter().flat_map(|unit| &unit.live);
        all.filter(|leg| leg.bar == bar).count()
    };
    for unit in &site.units {
        // Alone at its bar, a unit has nothing to share.
        for leg in unit.live.iter().filter(|leg| on(&leg.bar) > 1) {
            let step = steps
                .add(&["share", &unit.name, &leg.name], Hold::Reason, Quantity::Amperes)
                .act(format!(
                    "A steady load on {}, half of what the group gives there or more, and no more \
                     than all of it; clamp on {} of {}, \
                     all units within one minute.",
                    leg.bar, leg.name, unit.name
                ))
                .why("A unit that takes more than its part trips first, and the rest after it.")
                .otherwise("Compare lengths, sections and joints of the leads; then the settings.")
                .at(format!("output {} of {} under load", leg.name, unit.name));
            step.expected = Expected::Share {
                bar: leg.bar.clone(),
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
