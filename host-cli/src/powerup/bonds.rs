//! Bonds of neutral and earth on the live plant: closed in each state in which the sheets have them, and
//! open in the others.

use super::Hold;
use super::bands::band;
use super::builder::Builder;
use super::live::NO_SUPPLY;
use super::made_of::MadeOf;
use super::part::Part;
use crate::readings::Quantity;
use crate::value::Supply;
use coldcheck_core::plan::OperatingState;

/// How a live conductor is read to earth. A neutral that floats stands near earth through filters and
/// cables, so that a meter without load reads full volts there too.
const UNDER_LOAD: &str = "with a two-pole tester, its load switched in (a neutral that floats gives way \
     under it; it may trip a residual-current device, so measure in front of one)";
const KEEPS: &str =
    "A leg that keeps its full volts to earth under a load shows that a bond is closed.";

/// Relays that make the bond while the group feeds the loads.
pub(super) fn live(steps: &mut Builder, site: &MadeOf) {
    for (bond, owner) in site.relays() {
        if bond.closed & OperatingState::Island.code() == 0 {
            continue;
        }
        let Some(unit) = owner.or(site.units.first()) else { continue };
        let leg = unit.live.first().map_or("L", |leg| leg.name.as_str());
        steps
            .add(&["bond live", &unit.name], Hold::Reading, Quantity::Volts)
            .act(format!(
                "{} alone, from the battery: {leg} to earth on the unit's side, {UNDER_LOAD}. The \
                 sheets have the bond as {}.",
                unit.name,
                bond.place.spoken()
            ))
            .why(KEEPS)
            .otherwise("The relay did not close, or another opened: stop, and look at its setting.")
            .at(format!("{} output {leg} to earth", unit.name))
            .percent(band("volts"), unit.volts, "of nominal", NO_SUPPLY)
            .rests_on(&[Part::Bond])
            .of(&unit.name, &[Part::Output, Part::Machine, Part::Ac]);
    }
}

/// Relays that make the bond while the generator feeds the loads.
pub(super) fn on_generator(steps: &mut Builder, site: &MadeOf) {
    for (bond, owner) in site.relays() {
        if bond.closed & OperatingState::Generator.code() == 0 {
            continue;
        }
        let Some(unit) = owner.or(site.units.first()) else { continue };
        steps
            .add(&["bond on generator", &unit.name], Hold::Reading, Quantity::Volts)
            .act(format!(
                "The generator taken: a live conductor of the output to earth, {UNDER_LOAD}. The \
                 sheets have the bond as {}.",
                bond.place.spoken()
            ))
            .why(KEEPS)
            .otherwise("Open the generator's breaker; look at the relay's setting and at the frame's bond.")
            .at(format!("output of {} to earth, on the generator", unit.name))
            .percent(band("volts"), unit.volts, "of nominal", NO_SUPPLY)
            .rests_on(&[Part::Bond, Part::Supply])
            .of(&unit.name, &[Part::Machine, Part::Ac]);
    }
}

/// Relays that are open while the supply feeds the loads: one that stays closed stands beside the
/// supply's own bond, and no dead test sees it.
pub(super) fn open_on_supply(steps: &mut Builder, site: &MadeOf) {
    for (bond, owner) in site.relays() {
        if bond.closed == 0 || bond.closed & OperatingState::Supply.code() != 0 {
            continue;
        }
        let Some(unit) = owner.or(site.units.first()) else { continue };
        steps
            .add(&["bond off supply", &unit.name], Hold::Reading, Quantity::Amperes)
            .act(format!(
                "On the supply, a load of 10 A or more from one leg to neutral: a clamp around the \
                 earth conductor of {} alone.",
                unit.name
            ))
            .why("A relay that stays closed beside the supply's bond leads neutral current over the earth conductors.")
            .otherwise("Open the supply; look at the relay's setting, and have the unit looked at.")
            .at(format!("earth conductor of {}, on the supply", unit.name))
            .within(band("earth current"))
            .rests_on(&[Part::Bond, Part::Supply])
            .of(&unit.name, &[Part::Machine, Part::Ac]);
    }
}

/// In each position of the changeover, and on the generator, one bond is closed.
pub(super) fn in_state(
    steps: &mut Builder,
    site: &MadeOf,
    name: [&str; 2],
    state: &str,
    begins: &str,
) {
    let of_supply = site.supply.map(Supply::volts_to_neutral);
    let volts = of_supply.or_else(|| site.units.iter().find_map(|unit| unit.volts));
    steps
        .add(&name, Hold::Reading, Quantity::Volts)
        .act(format!(
            "{begins}, loads off: a live conductor to earth at the loads' board, \
             {UNDER_LOAD}."
        ))
        .why("What is switched with the neutral decides which bond is left: one must be.")
        .otherwise("Leave the loads off; look which bond is closed now, and whether the neutral is switched.")
        .at(format!("loads' board, live to earth, {state}"))
        .percent(band("volts"), volts, "of nominal", NO_SUPPLY)
        .rests_on(&[Part::Bond, Part::Supply, Part::Machine, Part::Ac, Part::Output]);
}
