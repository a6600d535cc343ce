//! One source at a time: nothing is fed back, and the one that does not feed is dead.

use super::Hold;
use super::bands::band;
use super::builder::Builder;
use super::made_of::MadeOf;
use super::part::Part;
use crate::readings::Quantity;

/// A unit that feeds its own input makes a dead line live for whoever works on it.
pub(super) fn fed_back(steps: &mut Builder, site: &MadeOf) {
    let sources = match (site.has_supply, site.has_generator) {
        (true, true) => "Supply and generator",
        (false, true) => "Generator",
        _ => "Supply",
    };
    steps
        .add(&["fed back"], Hold::Reason, Quantity::Volts)
        .act(format!(
            "Loads off, {} still locked, all input breakers open, the group running from the battery: \
             on the units' side of each breaker of a supply or generator input every conductor to every other and to earth, \
             with a two-pole tester, its load switched in. Write down the largest.",
            sources.to_lowercase()
        ))
        .why("A relay that stays closed feeds the line from behind, and whoever works on it.")
        .otherwise("Stop the group. No input is closed before this unit was looked at.")
        .at("input breakers, units' side, the group running alone")
        .within(band("dead"))
        .rests_on(&[Part::Supply, Part::Machine]);
}

/// Where the supply feeds, the generator's line is dead.
pub(super) fn generator_dead(steps: &mut Builder) {
    steps
        .add(&["generator dead"], Hold::Reason, Quantity::Volts)
        .act(
            "The supply feeds the group, the generator's breaker still locked: at that breaker, units' \
             side, every conductor to every other and to earth, with a two-pole tester, its load \
             switched in. Write down the largest.",
        )
        .why("Two sources that meet at an input make the generator's line live from behind.")
        .otherwise("Open the supply. Look at the interlock, and at the relays of the inputs.")
        .at("generator breaker, units' side, the supply feeding")
        .within(band("dead"))
        .rests_on(&[Part::Supply, Part::Machine]);
}

/// The same the other way round: a generator that reaches the supply's line is live where others work.
pub(super) fn supply_dead(steps: &mut Builder) {
    steps
        .add(&["supply dead"], Hold::Reason, Quantity::Volts)
        .act(
            "The generator feeds the group, the supply's breaker still locked: at that breaker, units' \
             side, every conductor to every other and to earth, with a two-pole tester, its load \
             switched in. Write down the largest.",
        )
        .why("Two sources that meet at an input make the supply's line live from behind.")
        .otherwise("Stop the generator. Look at the interlock, and at the relays of the inputs.")
        .at("supply breaker, units' side, the generator feeding")
        .within(band("dead"))
        .rests_on(&[Part::Supply, Part::Machine]);
    steps.then();
}

/// What follows is done on the supply, which was locked for the generator: one source at a time.
pub(super) fn supply_back(steps: &mut Builder) {
    steps.then();
    steps
        .add(&["generator gone"], Hold::Reading, Quantity::Volts)
        .act(
            "Open the generator's breaker and lock it, take its start from automatic and stop it: \
             then each line to neutral where it comes to the units. Write down the largest.",
        )
        .why("A generator that is left in automatic starts by itself when the supply goes.")
        .otherwise("Leave the supply locked; find what still feeds this side.")
        .at("generator's conductors at the units, line to neutral")
        .within(band("dead"))
        .rests_on(&[Part::Supply, Part::Ac]);
    steps.then();
    steps
        .add(&["supply back"], Hold::Reason, Quantity::Seen)
        .act(
            "Take the lock off the supply and close it to all units; wait for the time that its \
             rules set.",
        )
        .why("The steps that follow are for a group on its supply, with one source at a time.")
        .otherwise("Open the supply; look at the interlock and at what each unit says.")
        .at("every unit")
        .seen("every unit takes the supply again, and none reports a fault")
        .rests_on(&[Part::Supply, Part::Settings, Part::Output, Part::Machine]);
}

/// The generator was locked for the steps on the supply.
pub(super) fn generator_ready(steps: &mut Builder) {
    steps
        .add(&["generator ready"], Hold::None, Quantity::Seen)
        .act(
            "Take the lock off the generator's breaker, and put its start back to automatic where \
             the site is to run so.",
        )
        .why("It stays locked after these steps if nobody does it.")
        .otherwise("Leave it locked, and write down why.")
        .at("generator")
        .seen("breaker and start stand as the site is to run")
        .rests_on(&[Part::Supply]);
}
