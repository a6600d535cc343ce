//! The battery, up to the units: polarity, packs that join, capacitors, the main switch.

use super::bands::band;
use super::builder::Builder;
use super::made_of::MadeOf;
use super::part::Part;
use super::{Hold, Stage};
use crate::readings::Quantity;

pub(super) fn add(steps: &mut Builder, site: &MadeOf) {
    steps.stage(Stage::Battery);
    if site.one_bank {
        polarity(steps, site, "main battery switch", None);
    } else {
        for unit in &site.units {
            polarity(steps, site, &format!("battery switch of {}", unit.name), Some(&unit.name));
        }
    }
    // Packs are not joined to a bank whose sign is wrong.
    steps.then();
    differences(steps, site);
    steps.then();
    precharge(steps, site);
}

fn polarity(steps: &mut Builder, site: &MadeOf, switch: &str, unit: Option<&str>) {
    let parts = [Part::BatteryPower, Part::Machine];
    let usual = band("polarity");
    let (low, high) = site.battery;
    let source = if low.is_some() || high.is_some() { "profile or settings" } else { usual.source };
    let name: Vec<&str> = ["polarity"].into_iter().chain(unit).collect();
    let step = steps.add(&name, Hold::Reading, Quantity::Volts);
    step.act(format!(
        "The {switch} open and locked; the lock off the first pack's own switch, if it has one, and \
         on: red lead on plus, black on minus, on the battery's side. Write the sign down too."
    ))
    .why("Plus and minus exchanged destroy a unit the moment its switch closes.")
    .otherwise("Below zero: exchanged. Open the battery, prove it dead, and follow the leads.")
    .at(format!("{switch}, battery's side, plus to minus"))
    .between(low.or(usual.low), high.or(usual.high), source);
    match unit {
        Some(unit) => step.of(unit, &parts),
        None => step.rests_on(&parts),
    };
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
            .otherwise("Near the volts of both together: one is the wrong way round, and is not joined. Else charge or discharge the one that differs by itself, then measure again.")
            .at(place)
            .between(None, most, source.clone());
        for pack in packs {
            step.of(pack, &parts);
        }
        if packs.is_empty() {
            step.rests_on(&parts);
        }
    };
    let named = u32::try_from(site.packs.len()).unwrap_or(u32::MAX);
    if let [first, others @ ..] = site.packs.as_slice() {
        for pack in others {
            one(
                &["battery difference", pack],
                format!(
                    "Before it is joined: minus joined, plus of {pack} to plus of {first}. Within the \
                     limit, its lock comes off and it is joined, the main switch still open."
                ),
                format!("plus of {pack} to plus of {first}"),
                &[first, pack],
            );
        }
    }
    // One pack has nothing to differ from; packs without names still have.
    let all_named = named > 1 && site.packs_fitted.is_none_or(|fitted| fitted <= named);
    if site.packs_fitted != Some(1) && !all_named {
        one(
            &["battery difference"],
            "Before packs are joined: plus of each to plus of the bank, minus joined. Write down \
             the largest; a bank of one pack reads 0. Within the limit, their locks come off and they \
             are joined, the main switch still open."
                .to_owned(),
            "plus of each pack to plus of the bank".to_owned(),
            &[],
        );
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
    let parts = [Part::BatteryPower, Part::Machine];
    let places: Vec<&str> = if site.one_bank { vec!["the bank"] } else { site.unit_names() };
    for place in &places {
        steps
            .add(&["pre-charge", place], Hold::Reason, Quantity::Volts)
            .act(format!(
                "Battery fuse or breaker of every unit in. Charge the units' capacitors from {place} \
                 through what pre-charges them; {wait}. Then, the battery switch still open: plus to \
                 minus on either side of it, both near the battery's volts, and volts across it, to \
                 be written down."
            ))
            .why("Empty capacitors on a battery weld contacts and blow fuses.")
            .otherwise("Do not close it: the path is open, or something draws current behind it.")
            .at(format!("across the open battery switch of {place}"))
            .percent(
                band("pre-charge"),
                nominal,
                "of the lowest battery voltage",
                "`min battery voltage`, by profile or settings",
            )
            .rests_on(&parts);
    }
    steps.then();
    for place in &places {
        steps
            .add(&["battery closed", place], Hold::Reason, Quantity::Seen)
            .act(format!(
                "Take the lock off the battery switch of {place} and close it, face turned away; every output breaker stays \
                 open and locked, and every unit off at its own switch."
            ))
            .why("From here on the units are live inside.")
            .otherwise("Open it, lock it, and wait for the capacitors before anything is touched.")
            .at(format!("battery switch of {place}"))
            .seen("it stays closed; no noise, no smell, no fault on a screen")
            .rests_on(&parts);
    }
}
