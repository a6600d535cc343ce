//! The way down, and what to do when a danger is found with the plant live.

use super::made_of::{Conductor, MadeOf, Unit};
use crate::engine::Site;
use crate::phrase::all_of;
use crate::site_file::SiteFile;

/// One act of the way down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Down {
    /// What to do.
    pub act: String,
    /// Why it stands here.
    pub why: &'static str,
}

/// The way down of a site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayDown {
    /// The acts, in order.
    pub acts: Vec<Down>,
    /// What must be open before anybody touches anything, each to be locked.
    pub isolation: Vec<String>,
    /// Sources that the sheets say nothing of.
    pub missing: Vec<[&'static str; 2]>,
    /// What to do first when a danger is found live.
    pub danger: Vec<&'static str>,
}

/// The way down of a site.
pub fn way_down(site: &Site, shape: &SiteFile) -> WayDown {
    let site = MadeOf::of(site, shape);
    let mut acts = Vec::new();
    let mut act = |act: String, why| acts.push(Down { act, why });
    act(
        "Tell everyone who depends on it, then loads off, the largest first.".to_owned(),
        "No switch is opened under load that need not be.",
    );
    if site.has_generator {
        act(
            "Take the generator's start from automatic, stop it, and open its breakers at the \
             units and at itself."
                .to_owned(),
            "It starts by itself.",
        );
    }
    let mut names = site.unit_names();
    names.reverse();
    act(
        format!("Stop the units at their own switches: {}.", all_of(&names)),
        "Followers first: who leads is the last to go.",
    );
    act(
        "Open the output breaker of every unit.".to_owned(),
        "From here on no unit feeds the bars.",
    );
    if site.has_supply || site.has_changeover {
        act(
            "Open the input breakers of the units, then the supply in front of them.".to_owned(),
            "It comes back by itself when it likes.",
        );
    }
    if !site.arrays.is_empty() {
        act(
            "Open the solar isolators, the units stopped. Never part a connector.".to_owned(),
            "A direct current does not go out by itself, and solar is live while there is light.",
        );
    }
    for [source, _] in site.undeclared_sources() {
        act(
            format!("If there is {source}, open it too: the sheets say nothing of one."),
            "What nobody wrote down feeds all the same.",
        );
    }
    act(
        "Open the main battery switch, then draw the fuses.".to_owned(),
        "Last of the sources: while it is on, the units hold what comes from the array.",
    );
    act(
        "Lock and tag every open switch, and keep the keys.".to_owned(),
        "Only a lock keeps it open.",
    );
    act("Wait for the capacitors: as long as the maker says, five minutes at the least (common practice, no source).".to_owned(), "They feed the terminals with everything open.");
    act("Prove dead at the place of work, every conductor to every other and to earth; the meter proven before and after.".to_owned(), "Dead is what was measured.");
    let mut isolation = vec![if site.one_bank {
        "main battery switch".to_owned()
    } else {
        "battery switch of every unit".to_owned()
    }];
    isolation.extend(site.units.iter().map(|unit| {
        let sides = [
            ("output", true),
            ("input", !unit.inputs.is_empty()),
            ("generator input", !unit.generator.is_empty()),
        ];
        let sides: Vec<&str> =
            sides.into_iter().filter_map(|(side, is_there)| is_there.then_some(side)).collect();
        let breaker = if sides.len() == 1 { "breaker" } else { "breakers" };
        format!("{} {breaker} of {}", all_of(&sides), unit.name)
    }));
    let none_has =
        |of: fn(&Unit) -> &[Conductor]| site.units.iter().all(|unit| of(unit).is_empty());
    if (site.has_supply || site.has_changeover) && none_has(|unit| &unit.inputs) {
        isolation.push("input breakers of the units, if there are any".to_owned());
    }
    if site.has_generator && none_has(|unit| &unit.generator) {
        isolation.push("generator breakers of the units, if there are any".to_owned());
    }
    if site.has_supply || site.has_changeover {
        isolation.push("supply breaker".to_owned());
    }
    if site.has_generator {
        isolation.push("generator breaker".to_owned());
    }
    isolation.extend(
        site.undeclared_sources()
            .iter()
            .map(|[source, _]| format!("{source}, if there is one: the sheets say nothing of it")),
    );
    isolation
        .extend(site.arrays.iter().map(|(array, unit)| format!("isolator of {array} ({unit})")));
    WayDown { acts, isolation, missing: site.undeclared_sources(), danger: DANGER.to_vec() }
}

/// What to do first, in order.
const DANGER: &[&str] = &[
    "Do not touch it, and do not open a cover. Keep others away.",
    "If nothing burns and nobody is held: open the breaker that was closed last, from the handle.",
    "Smoke, fire or a smell from the battery: everybody out, call for help, name the battery.",
    "Somebody is held: open the nearest switch of each source; do not touch the person before that.",
    "Then the way down. Nothing is closed again before the cause is found, mended and checked.",
];
