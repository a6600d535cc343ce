//! Which ways to sit the readings leave.

use super::model::{Legs, Shown, Test, Wiring};
use super::next::{Next, next};
use super::{FLOOR, Import, LEAST_FOR_RATIO, TOLERANCE};
use crate::sizing::sensor::true_ratio;

/// A channel of the screen: what is set and known of its sensor.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    /// Its name.
    pub name: String,
    /// The leg that it is for.
    pub own: usize,
    /// The ratio that is set, as one number; 40 for 200:5.
    pub ratio_set: Option<f64>,
    /// Rated primary amperes.
    pub rating: Option<f64>,
}

/// How a ratio stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ratio {
    /// As set.
    Right,
    /// What is shown is so many times the truth.
    Wrong {
        /// How many times.
        times: f64,
        /// The standard ratio that is fitted then, if one is near.
        fitted: Option<f64>,
    },
    /// The load was too small to tell, or nothing of it was shown.
    Open,
}

/// A way to sit that the readings leave.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    /// What import is shown as.
    pub import: Import,
    /// Wirings that show the same under every load, the fewest faults first.
    pub ways: Vec<Wiring>,
    /// The ratio.
    pub ratio: Ratio,
    /// What is shown is between so many times the truth.
    pub times: (f64, f64),
}

impl Left {
    /// The leg that its current comes from.
    pub fn leg(&self) -> usize {
        self.ways.first().map_or(0, |wiring| wiring.leg)
    }

    /// How many things are wrong then, at the least.
    pub fn faults(&self, own: usize) -> usize {
        let wired = self.ways.first().map_or(0, |wiring| wiring.faults(own));
        wired + usize::from(matches!(self.ratio, Ratio::Wrong { .. }))
    }

    /// The wirings with the fewest faults: more than one are told apart by looking alone.
    pub fn likely(&self, own: usize) -> impl Iterator<Item = Wiring> + Clone + '_ {
        let least = self.ways.first().map_or(0, |wiring| wiring.faults(own));
        self.ways.iter().copied().filter(move |wiring| wiring.faults(own) == least)
    }
}

/// Whether a channel shows anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Silence {
    /// It does.
    No,
    /// Nothing so far, and some leg was not loaded yet: it may sit on that one, or show nothing.
    Perhaps,
    /// Nothing at all though every leg was loaded.
    Sure,
}

/// What the readings say.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// What is left of each channel, the fewest faults first; nothing if no way to sit shows that.
    pub left: Vec<Vec<Left>>,
    /// Whether each channel shows anything.
    pub silent: Vec<Silence>,
    /// The reading that would tell most, if something is open that a reading tells.
    pub next: Option<Next>,
    /// Loads that are too small for a sensor's rating: test and channel.
    pub too_small: Vec<(usize, usize)>,
}

impl Answer {
    /// Whether each channel is down to one way to sit, its ratio told too.
    pub fn is_sure(&self, channels: &[Channel]) -> bool {
        let is_open = self.silent.contains(&Silence::Perhaps);
        !is_open
            && self.left.iter().zip(channels).all(|(left, channel)| {
                matches!(left.as_slice(), [one] if one.ratio != Ratio::Open
                && one.likely(channel.own).count() == 1)
            })
    }
}

/// No ratio is off by more than this, either way.
const MOST_TIMES: f64 = 30.0;

/// Everything that the readings leave of each channel.
pub fn solve(legs: &Legs, channels: &[Channel], tests: &[Test], import: Option<Import>) -> Answer {
    let mut left: Vec<Vec<Left>> = vec![Vec::new(); channels.len()];
    let conventions: Vec<Import> =
        Import::ALL.into_iter().filter(|one| import.is_none_or(|stated| stated == *one)).collect();
    let silent: Vec<Silence> = (0..channels.len()).map(|at| silence(legs, tests, at)).collect();
    let is_silent = |at: usize| silent[at] == Silence::Sure;
    for convention in conventions {
        let of_each: Vec<Vec<Left>> = channels
            .iter()
            .enumerate()
            .map(|(at, channel)| {
                if is_silent(at) { Vec::new() } else { fits(legs, channel, at, tests, convention) }
            })
            .collect();
        // One convention holds for the whole screen: it falls if a channel cannot be so.
        if of_each.iter().enumerate().all(|(at, own)| is_silent(at) || !own.is_empty()) {
            for (all, own) in left.iter_mut().zip(of_each) {
                all.extend(own);
            }
        }
    }
    for (own, channel) in left.iter_mut().zip(channels) {
        own.sort_by_key(|one| (one.faults(channel.own), one.leg()));
    }
    let too_small = channels.iter().enumerate().flat_map(|(at, channel)| {
        let least = channel.rating.unwrap_or(0.0) * super::LEAST_LOAD;
        let small = tests.iter().enumerate().filter(move |(_, test)| test.load() < least);
        small.map(move |(test, _)| (test, at))
    });
    let next = next(legs, channels, &left).or_else(|| {
        let leg = unloaded(legs, tests).filter(|_| silent.contains(&Silence::Perhaps))?;
        Some(Next::Load { leg, power_factor: 1.0, least: None })
    });
    Answer { next, silent, too_small: too_small.collect(), left }
}

/// What no reading tells from nothing: watts, amperes.
fn floors(legs: &Legs, test: &Test) -> (f64, f64) {
    let amperes = FLOOR * test.load();
    (amperes * legs.volts, amperes)
}

/// A leg that was loaded in no test.
fn unloaded(legs: &Legs, tests: &[Test]) -> Option<usize> {
    let is_loaded = |test: &Test, leg: usize| test.loaded.get(leg).copied().unwrap_or(false);
    (0..legs.count()).find(|leg| !tests.iter().any(|test| is_loaded(test, *leg)))
}

/// Whether a channel shows nothing in every test, and every leg was loaded in some.
fn silence(legs: &Legs, tests: &[Test], channel: usize) -> Silence {
    let nothing = |test: &Test| {
        let (watts, amperes) = floors(legs, test);
        test.shown.get(channel).is_some_and(|shown| {
            (shown.watts.is_some() || shown.amperes.is_some())
                && shown.watts.is_none_or(|shown| shown.abs() <= watts)
                && shown.amperes.is_none_or(|shown| shown.abs() <= amperes)
        })
    };
    match (tests.iter().all(nothing), unloaded(legs, tests)) {
        (false, _) => Silence::No,
        (true, Some(_)) => Silence::Perhaps,
        (true, None) => Silence::Sure,
    }
}

fn fits(legs: &Legs, channel: &Channel, at: usize, tests: &[Test], import: Import) -> Vec<Left> {
    let of_wiring = |wiring: Wiring| {
        let mut times = (1.0 / MOST_TIMES, MOST_TIMES);
        let mut largest: f64 = 0.0;
        for test in tests {
            let shown = test.shown.get(at).copied().unwrap_or_default();
            times = narrowed(times, legs, test, shown, wiring, import)?;
            if test.loaded.get(wiring.leg).copied().unwrap_or(false) {
                largest = largest.max(test.clamp.get(wiring.leg).copied().unwrap_or(0.0));
            }
        }
        Some((times, largest))
    };
    let mut all: Vec<Left> = Vec::new();
    for wiring in Wiring::all(legs.count()) {
        let Some((times, largest)) = of_wiring(wiring) else { continue };
        let Some(ratio) = ratio(channel, times, largest) else { continue };
        let alike = |left: &&mut Left| left.ways.iter().any(|way| way.shows_as(wiring, legs));
        match all.iter_mut().find(alike) {
            Some(left) => left.ways.push(wiring),
            None => all.push(Left { import, ways: vec![wiring], ratio, times }),
        }
    }
    for left in &mut all {
        left.ways.sort_by_key(|wiring| (wiring.faults(channel.own), *wiring));
    }
    all
}

/// How many times the truth may be shown, after one more test; `None` if no number of times is
/// left.
fn narrowed(
    times: (f64, f64),
    legs: &Legs,
    test: &Test,
    shown: Shown,
    wiring: Wiring,
    import: Import,
) -> Option<(f64, f64)> {
    let (watt_floor, ampere_floor) = floors(legs, test);
    let mut times = times;
    if let Some(amperes) = shown.amperes {
        let clamp = test.clamp.get(wiring.leg).copied().unwrap_or(0.0);
        times = within(times, (clamp, clamp), amperes.abs(), ampere_floor)?;
    }
    if let Some(watts) = shown.watts {
        let expected = test.watts(legs, wiring);
        times = within(times, expected, watts * import.sign(), watt_floor)?;
    }
    Some(times)
}

/// The part of a range of times in which something between `least` and `most`, so many times, can
/// be shown as `shown`.
fn within(
    times: (f64, f64),
    (least, most): (f64, f64),
    shown: f64,
    floor: f64,
) -> Option<(f64, f64)> {
    // Where less than nothing is expected, all is turned over.
    if most <= 0.0 && least < 0.0 {
        return within(times, (-most, -least), -shown, floor);
    }
    let (low, high) = (shown - floor, shown + floor);
    let range = if least > 0.0 {
        (high > 0.0).then_some((low / most / (1.0 + TOLERANCE), high / least * (1.0 + TOLERANCE)))
    } else if low > 0.0 {
        (most > 0.0).then_some((low / most / (1.0 + TOLERANCE), f64::INFINITY))
    } else if high < 0.0 {
        (least < 0.0).then_some((high / least / (1.0 + TOLERANCE), f64::INFINITY))
    } else {
        Some((0.0, f64::INFINITY))
    };
    let (from, to) = range?;
    let (from, to) = (times.0.max(from), times.1.min(to));
    (from <= to).then_some((from, to))
}

/// Standard primary currents in each decade (IEC 61869-2:2012, rated primary currents).
const PRIMARIES: [f64; 10] = [10.0, 12.5, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0];
/// Standard secondary currents.
const SECONDARIES: [f64; 2] = [1.0, 5.0];

/// The ratio that is left where so many times the truth is shown; `None` if no ratio does that.
fn ratio(channel: &Channel, times: (f64, f64), largest: f64) -> Option<Ratio> {
    let is_enough = channel.rating.is_none_or(|rating| largest >= rating * LEAST_FOR_RATIO);
    // The range of one reading and its floor, not of a channel of which little was shown.
    let is_told = is_enough && times.1 / times.0 <= (1.0 + TOLERANCE).powi(4);
    if times.0 <= 1.0 && times.1 >= 1.0 {
        return Some(if is_told { Ratio::Right } else { Ratio::Open });
    }
    let middle = libm::sqrt(times.0 * times.1);
    let wrong = |fitted| Some(Ratio::Wrong { times: middle, fitted });
    let Some(set) = channel.ratio_set.filter(|_| is_told) else { return wrong(None) };
    let fitted = true_ratio(set, 1.0, middle);
    let decades = (-1..=3).map(|power| libm::pow(10.0, f64::from(power)));
    let standard = decades.flat_map(|decade| {
        PRIMARIES.iter().flat_map(move |primary| SECONDARIES.map(|one| primary * decade / one))
    });
    let off = |ratio: f64| (ratio / fitted - 1.0).abs();
    let nearest = standard.min_by(|one, other| off(*one).total_cmp(&off(*other)));
    // What is no standard ratio is no ratio error.
    wrong(Some(nearest.filter(|nearest| off(*nearest) <= TOLERANCE)?))
}
