//! The reading that would tell most of what is open.

use super::fit::{Channel, Left, Ratio};
use super::model::{Legs, Test};
use super::{FLOOR, TOLERANCE};

/// What to read next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Next {
    /// What the screen shows for power that is certainly taken from the supply.
    SignOfImport,
    /// A load on this leg alone, watts and amperes read.
    Load {
        /// The leg.
        leg: usize,
        /// Its power factor: 1 for a heater, less for a motor.
        power_factor: f64,
        /// At least so many amperes, if a sensor's rating is known.
        least: Option<f64>,
    },
    /// No load tells them apart: the arrow on the part and the wire of the reference must be looked
    /// at.
    Look,
}

/// A load as it is tried out, in amperes.
const TRIED: f64 = 10.0;
/// A motor without load, about (common practice, no source).
const MOTOR: f64 = 0.7;

/// The reading that tells most pairs of what is left apart; `None` if nothing is open.
pub(super) fn next(legs: &Legs, channels: &[Channel], left: &[Vec<Left>]) -> Option<Next> {
    let pairs: Vec<(&Left, &Left)> = left.iter().flat_map(|own| pairs(own)).collect();
    let small = left.iter().flatten().any(|one| one.ratio == Ratio::Open);
    let must_look = left
        .iter()
        .zip(channels)
        .any(|(own, channel)| own.iter().any(|one| one.likely(channel.own).count() > 1));
    if pairs.is_empty() && !small {
        return must_look.then_some(Next::Look);
    }
    let ratings = channels.iter().filter_map(|channel| channel.rating);
    let least = ratings.reduce(f64::max).map(|rating| rating * super::LEAST_FOR_RATIO);
    let loads = [1.0, MOTOR].into_iter().flat_map(|power_factor| {
        (0..legs.count()).map(move |leg| Next::Load { leg, power_factor, least })
    });
    // What costs less stands first, and wins if it tells as much.
    let all = std::iter::once(Next::SignOfImport).chain(loads);
    let told = |next: &Next| pairs.iter().filter(|pair| tells(legs, *next, **pair)).count();
    // A ratio that is open wants a larger load on the leg that it shows.
    let wanted = |left: &Left| Next::Load { leg: left.leg(), power_factor: 1.0, least };
    let first = left.iter().flatten().find(|one| one.ratio == Ratio::Open);
    let mut best = (0, first.map_or(Next::Look, wanted));
    for next in all {
        let count = told(&next);
        if count > best.0 {
            best = (count, next);
        }
    }
    Some(best.1)
}

fn pairs(left: &[Left]) -> impl Iterator<Item = (&Left, &Left)> {
    left.iter().enumerate().flat_map(|(at, one)| left[..at].iter().map(move |other| (one, other)))
}

/// Whether a reading would come out differently.
fn tells(legs: &Legs, next: Next, (one, other): (&Left, &Left)) -> bool {
    match next {
        Next::SignOfImport => one.import != other.import,
        Next::Look => false,
        Next::Load { leg, power_factor, .. } => {
            let mut clamp = vec![0.0; legs.count()];
            let mut loaded = vec![false; legs.count()];
            if let (Some(amperes), Some(is_loaded)) = (clamp.get_mut(leg), loaded.get_mut(leg)) {
                (*amperes, *is_loaded) = (TRIED, true);
            }
            let test = Test { clamp, loaded, power_factor, shown: Vec::new() };
            let [one, other] = [one, other].map(|left| {
                let wiring = left.ways.first().copied();
                let (watts, _) = wiring.map_or((0.0, 0.0), |wiring| test.watts(legs, wiring));
                let amperes = if left.leg() == leg { TRIED } else { 0.0 };
                let watts = watts * left.import.sign() / legs.volts;
                [spread(watts, left.times), spread(amperes, left.times)]
            });
            one.iter().zip(&other).any(|(one, other)| one.1 < other.0 || other.1 < one.0)
        }
    }
}

/// What may be shown, in amperes and watts for each volt.
fn spread(value: f64, (from, to): (f64, f64)) -> (f64, f64) {
    let floor = FLOOR * TRIED;
    let ends = [value * from, value * to];
    let (least, most) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    let widen = |end: f64, out: f64| end + out * end.abs() * TOLERANCE;
    (widen(least, -1.0) - floor, widen(most, 1.0) + floor)
}
