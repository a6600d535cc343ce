//! What the sensor test says, in words.

use super::fit::{Channel, Left, Ratio, Silence};
use super::model::Wiring;
use super::next::Next;
use super::{Answer, Import};

/// From so wide a range on, its middle says nothing.
const UNTOLD: f64 = 1.3;

/// A leg as people call it.
fn leg(position: usize) -> String {
    format!("L{}", position + 1)
}

/// A way to sit, in words; `is_open` where import may be shown as plus or as minus.
pub fn candidate(channel: &Channel, left: &Left, is_open: bool) -> String {
    let ways: Vec<String> = left.likely(channel.own).map(|wiring| wired(channel, wiring)).collect();
    let mut says: Vec<String> = Vec::new();
    match ways.as_slice() {
        [one] if one.is_empty() => {}
        [one] => says.push(one.clone()),
        several => says.push(format!("{} (no load tells these apart)", several.join(", or "))),
    }
    match left.ratio {
        Ratio::Right => {}
        Ratio::Wrong { times, fitted } => {
            let part = fitted.map_or_else(String::new, |fitted| {
                format!(": a part of ratio {} is fitted", crate::words::thousandths(ratio(fitted)))
            });
            let (from, to) = left.times;
            let times = if to / from > UNTOLD {
                format!("{from:.1} to {to:.1}")
            } else {
                format!("{times:.2}")
            };
            says.push(format!("its ratio is wrong, {times} times the truth is shown{part}"));
        }
        Ratio::Open => {
            says.push("its ratio is open, its leg was not loaded enough to tell".to_owned());
        }
    }
    if says.is_empty() {
        says.push("it reads right: leg, direction and ratio".to_owned());
    } else if left.faults(channel.own) == 0 {
        says.insert(0, "leg and direction read right".to_owned());
    }
    let if_so = match (is_open, left.import) {
        (false, _) => "",
        (true, Import::Plus) => ", if import is shown as plus",
        (true, Import::Minus) => ", if import is shown as minus",
    };
    format!("{}{if_so}", says.join("; "))
}

/// A ratio in thousandths.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a standard ratio")]
fn ratio(ratio: f64) -> u32 {
    (ratio * 1000.0).round() as u32
}

/// How a sensor sits, in words; empty if as it should.
fn wired(channel: &Channel, wiring: Wiring) -> String {
    let mut says = Vec::new();
    let own = leg(channel.own);
    if wiring.leg != channel.own {
        says.push(format!("it sits on {} and not on {own}", leg(wiring.leg)));
    }
    if wiring.reversed {
        says.push("it is the wrong way round".to_owned());
    }
    if wiring.reference != channel.own {
        says.push(format!("its voltage reference is {} and not {own}", leg(wiring.reference)));
    }
    says.join(" and ")
}

/// Why a sensor may show nothing.
const DEAD: &str = "a lead that is open or shorted, conductors of both directions through it, or no \
                    sensor there";

/// What is said of one channel, before what is left of it.
pub fn verdict(channel: &Channel, left: &[Left], silence: Silence) -> String {
    let name = &channel.name;
    match left {
        _ if silence == Silence::Sure => format!("{name} shows nothing under any load: {DEAD}"),
        [] => format!(
            "{name}: no way to sit and no standard ratio shows this; a load that changed between \
             clamp and screen, a burden, or a mistake in writing it down"
        ),
        [_, ..] if silence == Silence::Perhaps => format!(
            "{name} shows nothing so far, and not every leg was loaded: {DEAD}; or one of these"
        ),
        [one] => format!("{name}: {}", candidate(channel, one, false)),
        [_, ..] => format!("{name}: {} ways to sit are left", left.len()),
    }
}

impl Next {
    /// What to do.
    pub fn says(&self) -> String {
        match self {
            Self::SignOfImport => {
                "find out what this screen shows for power from the supply: let no unit give or \
                 charge, switch a load on, and look which figure for the supply rises; then \
                 --import plus or --import minus"
                    .to_owned()
            }
            Self::Load { leg: at, power_factor, least } => {
                let kind = if *power_factor < 1.0 { "a motor" } else { "a heater" };
                let least =
                    least.map_or_else(String::new, |least| format!(", {least:.0} A or more"));
                format!(
                    "a load on {} alone, {kind}{least}; watts and amperes of every channel",
                    leg(*at)
                )
            }
            Self::Look => {
                "no load tells these apart: look at the arrow on the part and at the wire \
                           of its voltage reference, everything off"
                    .to_owned()
            }
        }
    }

    /// Its word in JSON.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::SignOfImport => "sign-of-import",
            Self::Load { .. } => "load",
            Self::Look => "look",
        }
    }
}

impl Answer {
    /// Whether anything but right is certain, or possible.
    pub fn has_fault(&self, channels: &[Channel]) -> bool {
        let is_faulty = |(left, channel): (&Vec<Left>, &Channel)| {
            left.first().is_none_or(|best| best.faults(channel.own) > 0)
        };
        self.left.iter().zip(channels).any(is_faulty)
    }
}
