//! What a channel shows, as phasors: volts of its reference times the current of the leg that its
//! sensor sits on.

use crate::value::{Supply, System};

/// The legs of a supply.
#[derive(Clone, Debug, PartialEq)]
pub struct Legs {
    /// Volts to neutral.
    pub volts: f64,
    /// Angle of each leg's voltage, in degrees.
    pub angles: Vec<f64>,
}

impl Legs {
    /// Of a supply.
    pub fn of(supply: Supply) -> Self {
        let angles: &[f64] = match supply.system {
            System::SinglePhase => &[0.0],
            System::SplitPhase => &[0.0, 180.0],
            System::ThreePhase => &[0.0, -120.0, 120.0],
        };
        Self { volts: supply.volts_to_neutral(), angles: angles.to_vec() }
    }

    /// How many there are.
    pub const fn count(&self) -> usize {
        self.angles.len()
    }
}

/// How one channel's sensor sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Wiring {
    /// The leg that its current comes from.
    pub leg: usize,
    /// Whether it is the wrong way round.
    pub reversed: bool,
    /// The leg whose voltage its current is multiplied with.
    pub reference: usize,
}

impl Wiring {
    /// Degrees between its reference's volts and its current, as a channel takes it.
    fn turned(self, legs: &Legs) -> f64 {
        let angle = |leg: usize| legs.angles.get(leg).copied().unwrap_or(0.0);
        let half = if self.reversed { 180.0 } else { 0.0 };
        (angle(self.reference) - angle(self.leg) + half).rem_euclid(360.0)
    }

    /// Whether no load can tell the two apart.
    pub fn shows_as(self, other: Self, legs: &Legs) -> bool {
        self.leg == other.leg && (self.turned(legs) - other.turned(legs)).abs() < 1.0
    }

    /// How much of it is not as it should be, for the channel of a leg.
    pub fn faults(self, own: usize) -> usize {
        usize::from(self.leg != own)
            + usize::from(self.reversed)
            + usize::from(self.reference != own)
    }

    /// Every way to sit.
    pub fn all(legs: usize) -> impl Iterator<Item = Self> {
        (0..legs).flat_map(move |leg| {
            (0..legs).flat_map(move |reference| {
                [false, true].map(move |reversed| Self { leg, reversed, reference })
            })
        })
    }
}

/// What the screen shows of one channel.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shown {
    /// Watts, with their sign.
    pub watts: Option<f64>,
    /// Amperes.
    pub amperes: Option<f64>,
}

/// One known load, each leg to neutral.
#[derive(Clone, Debug, PartialEq)]
pub struct Test {
    /// Amperes by clamp on each leg; small ones are of what else runs.
    pub clamp: Vec<f64>,
    /// The legs that carry the known load.
    pub loaded: Vec<bool>,
    /// Its power factor; what else runs may have any from 0.5 on, lagging or leading.
    pub power_factor: f64,
    /// What the screen shows, by channel.
    pub shown: Vec<Shown>,
}

/// Degrees by which the current of what else runs may lag or lead.
const OTHERS: f64 = 60.0;

impl Test {
    /// Amperes of the known load.
    pub fn load(&self) -> f64 {
        let loaded = self.clamp.iter().zip(&self.loaded).filter(|(_, is_loaded)| **is_loaded);
        loaded.map(|(amperes, _)| *amperes).fold(0.0, f64::max)
    }

    /// The least and the most watts that a channel shows which is wired so, its ratio right and
    /// import shown as plus.
    pub fn watts(&self, legs: &Legs, wiring: Wiring) -> (f64, f64) {
        let amperes = self.clamp.get(wiring.leg).copied().unwrap_or(0.0);
        let angle = |leg: usize| legs.angles.get(leg).copied().unwrap_or(0.0);
        let apart = angle(wiring.reference) - angle(wiring.leg);
        let is_load = self.loaded.get(wiring.leg).copied().unwrap_or(false);
        let (least, most) = if is_load {
            let lag = libm::acos(self.power_factor.clamp(-1.0, 1.0)).to_degrees();
            let cosine = libm::cos((apart + lag).to_radians());
            (cosine, cosine)
        } else {
            cosines(apart - OTHERS, apart + OTHERS)
        };
        let whole = legs.volts * amperes;
        let (least, most) = (whole * least, whole * most);
        if wiring.reversed { (-most, -least) } else { (least, most) }
    }
}

/// The least and the most cosine between two angles in degrees.
fn cosines(from: f64, to: f64) -> (f64, f64) {
    let ends = [from, to].map(|angle| libm::cos(angle.to_radians()));
    let holds = |angle: f64| {
        let turns = libm::ceil((from - angle) / 360.0);
        angle + turns * 360.0 <= to
    };
    let least = if holds(180.0) { -1.0 } else { ends[0].min(ends[1]) };
    let most = if holds(0.0) { 1.0 } else { ends[0].max(ends[1]) };
    (least, most)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split() -> Legs {
        Legs { volts: 120.0, angles: vec![0.0, 180.0] }
    }

    /// Wirings, amperes of both legs, and what two channels then show.
    type Row = ([(usize, bool); 2], [f64; 2], [f64; 2]);

    /// Worked by hand: a swapped pair of a split-phase supply shows each the other's power with the
    /// other sign.
    #[test]
    fn channels_show_what_was_worked_out() {
        let rows: [Row; 4] = [
            ([(0, false), (1, false)], [50.0, 10.0], [6000.0, 1200.0]),
            ([(0, true), (1, false)], [50.0, 10.0], [-6000.0, 1200.0]),
            ([(1, false), (0, false)], [50.0, 10.0], [-1200.0, -6000.0]),
            ([(1, true), (0, true)], [50.0, 10.0], [1200.0, 6000.0]),
        ];
        for (wired, amperes, watts) in rows {
            let test = Test {
                clamp: amperes.to_vec(),
                loaded: vec![true, true],
                power_factor: 1.0,
                shown: Vec::new(),
            };
            for (channel, (leg, reversed)) in wired.into_iter().enumerate() {
                let wiring = Wiring { leg, reversed, reference: channel };
                let (least, most) = test.watts(&split(), wiring);
                for end in [least, most] {
                    assert!((end - watts[channel]).abs() < 1e-6, "{wired:?}");
                }
            }
        }
    }

    #[test]
    fn the_cosine_of_a_range_holds_its_tops() {
        let near =
            |(a, b): (f64, f64), (c, d): (f64, f64)| (a - c).abs() < 1e-9 && (b - d).abs() < 1e-9;
        assert!(near(cosines(-60.0, 60.0), (0.5, 1.0)));
        assert!(near(cosines(120.0, 240.0), (-1.0, -0.5)));
        assert!(near(cosines(60.0, 180.0), (-1.0, 0.5)));
        assert!(near(cosines(-180.0, -60.0), (-1.0, 0.5)));
        assert!(near(cosines(300.0, 420.0), (0.5, 1.0)));
    }
}
