//! A sine through samples, by least squares: with a known frequency, or with the frequency found. With
//! it the harmonics that public supplies have, so that a bent wave is not taken for a change.

use core::f64::consts::{PI, SQRT_2, TAU};
use nalgebra::{Cholesky, SMatrix, SVector};

/// A voltage at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Seconds from the start of the record's own clock.
    pub time: f64,
    /// Volts.
    pub volts: f64,
}

/// Harmonics that are fitted: the odd ones that loads and converters make most of.
const HARMONICS: [i32; 3] = [3, 5, 7];
/// Samples of a cycle from which on the seventh is told from noise. Ours.
const FEWEST_FOR_HARMONICS: f64 = 24.0;
/// And from which on more tell no more. Ours.
const ENOUGH_FOR_HARMONICS: f64 = 200.0;

/// `a * sin(w t) + b * cos(w t) + offset` with some harmonics, time from an origin of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sine {
    origin: f64,
    omega: f64,
    a: f64,
    b: f64,
    /// Sine and cosine of each harmonic.
    harmonics: [[f64; 2]; HARMONICS.len()],
    /// What is added to the alternating part, in volts.
    pub offset: f64,
    /// What the samples are off it, harmonics and all, as root mean square, in volts.
    pub residual: f64,
}

impl Sine {
    /// The volts at a moment.
    pub fn at(&self, time: f64) -> f64 {
        let (sin, cos) = libm::sincos(self.omega * (time - self.origin));
        let mut volts = self.a * sin + self.b * cos + self.offset;
        for ([a, b], [sin, cos]) in self.harmonics.iter().zip(multiples(sin, cos)) {
            volts += a * sin + b * cos;
        }
        volts
    }

    /// What the samples are off the sine without its harmonics, as root mean square, in volts.
    pub fn distortion(&self) -> f64 {
        let squares: f64 = self.harmonics.iter().flatten().map(|part| part * part / 2.0).sum();
        (squares + self.residual * self.residual).sqrt()
    }

    /// Half of the swing, in volts.
    pub fn peak(&self) -> f64 {
        libm::hypot(self.a, self.b)
    }

    /// Root mean square of the alternating part, in volts.
    pub fn rms(&self) -> f64 {
        self.peak() / SQRT_2
    }

    /// Cycles in a second.
    pub fn frequency(&self) -> f64 {
        self.omega / TAU
    }

    /// Seconds of a cycle.
    pub fn period(&self) -> f64 {
        TAU / self.omega
    }

    /// The angle at a moment, in radians; at 0 it rises through its offset.
    pub fn angle(&self, time: f64) -> f64 {
        libm::atan2(self.b, self.a) + self.omega * (time - self.origin)
    }

    /// The next moment, not before the given one, at which it passes its offset.
    pub fn next_crossing(&self, from: f64) -> f64 {
        let past = libm::fmod(self.angle(from), PI);
        let past = if past < 0.0 { past + PI } else { past };
        // A crossing that lies at the moment itself counts, whatever rounding says.
        if past < 1e-9 { from } else { from + (PI - past) / self.omega }
    }
}

/// Sine and cosine of the multiples of an angle that harmonics have, from those of the angle.
fn multiples(sin: f64, cos: f64) -> [[f64; 2]; HARMONICS.len()] {
    let twice = [2.0 * sin * cos, 1.0 - 2.0 * sin * sin];
    let add = |[s, c]: [f64; 2]| [s * twice[1] + c * twice[0], c * twice[1] - s * twice[0]];
    let third = add([sin, cos]);
    let fifth = add(third);
    [third, fifth, add(fifth)]
}

/// The sine of a known frequency, with its harmonics, that is nearest to the samples; `None` if they
/// do not tell one.
pub(super) fn fit(samples: &[Sample], omega: f64) -> Option<Sine> {
    let plain = fit_plain(samples, omega)?;
    let span = samples.last()?.time - plain.origin;
    #[allow(clippy::cast_precision_loss, reason = "far fewer samples than a float counts")]
    let of_cycle = samples.len() as f64 / (span / plain.period()).max(1.0);
    if of_cycle < FEWEST_FOR_HARMONICS {
        return Some(plain);
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small number")]
    let every = (of_cycle / ENOUGH_FOR_HARMONICS) as usize;
    let mut normal = Normal::<9>::empty();
    for sample in samples.iter().step_by(every.max(1)) {
        let (sin, cos) = libm::sincos(omega * (sample.time - plain.origin));
        let [[s3, c3], [s5, c5], [s7, c7]] = multiples(sin, cos);
        normal.add([sin, cos, 1.0, s3, c3, s5, c5, s7, c7], sample.volts);
    }
    let Some([a, b, offset, s3, c3, s5, c5, s7, c7]) = normal.solve() else { return Some(plain) };
    let harmonics = [[s3, c3], [s5, c5], [s7, c7]];
    Some(with_residual(Sine { a, b, harmonics, offset, ..plain }, samples))
}

/// The sine of a known frequency, without harmonics, that is nearest to the samples.
pub(super) fn fit_plain(samples: &[Sample], omega: f64) -> Option<Sine> {
    let origin = samples.first()?.time;
    let mut normal = Normal::<3>::empty();
    for sample in samples {
        let (sin, cos) = libm::sincos(omega * (sample.time - origin));
        normal.add([sin, cos, 1.0], sample.volts);
    }
    let [a, b, offset] = normal.solve()?;
    let harmonics = [[0.0; 2]; HARMONICS.len()];
    Some(with_residual(Sine { origin, omega, a, b, harmonics, offset, residual: 0.0 }, samples))
}

/// The sine that is nearest to the samples, its frequency near the given one (four parameters, as
/// in IEEE 1057).
pub(super) fn fit_frequency(samples: &[Sample], omega: f64) -> Option<Sine> {
    const ROUNDS: usize = 8;
    const PASSES: usize = 8;
    let mut sine = fit(samples, omega)?;
    for _ in 0..PASSES {
        let was = sine.omega;
        for _ in 0..ROUNDS {
            let step = step(&mut sine, samples)?;
            if step.abs() < 1e-9 * sine.omega {
                break;
            }
        }
        // Harmonics stand at other angles now.
        let moved = (sine.omega - was).abs();
        sine = fit(samples, sine.omega)?;
        if moved < 1e-9 * sine.omega {
            break;
        }
    }
    Some(sine)
}

/// One step towards the frequency, its harmonics as they are; gives by how much it changed.
fn step(sine: &mut Sine, samples: &[Sample]) -> Option<f64> {
    let mut normal = Normal::<4>::empty();
    for sample in samples {
        let time = sample.time - sine.origin;
        let (sin, cos) = libm::sincos(sine.omega * time);
        let mut slope = sine.a * cos - sine.b * sin;
        let mut bent = 0.0;
        let each = sine.harmonics.iter().zip(multiples(sin, cos)).zip(HARMONICS);
        for (([a, b], [sin, cos]), times) in each {
            slope += f64::from(times) * (a * cos - b * sin);
            bent += a * sin + b * cos;
        }
        normal.add([sin, cos, 1.0, time * slope], sample.volts - bent);
    }
    let [a, b, offset, step] = normal.solve()?;
    let omega = sine.omega + step;
    // Led away by noise or by what is no sine.
    if !(0.5..2.0).contains(&(omega / sine.omega)) {
        return None;
    }
    *sine = Sine { omega, a, b, offset, ..*sine };
    Some(step)
}

fn with_residual(sine: Sine, samples: &[Sample]) -> Sine {
    let off = |sample: &Sample| sample.volts - sine.at(sample.time);
    let squares: f64 = samples.iter().map(|sample| off(sample) * off(sample)).sum();
    #[allow(clippy::cast_precision_loss, reason = "far fewer samples than a float counts")]
    let mean = squares / samples.len() as f64;
    Sine { residual: mean.sqrt(), ..sine }
}

/// The normal equations of a least-squares problem with few unknowns: their lower half.
struct Normal<const N: usize> {
    matrix: [[f64; N]; N],
    right: [f64; N],
}

impl<const N: usize> Normal<N> {
    const fn empty() -> Self {
        Self { matrix: [[0.0; N]; N], right: [0.0; N] }
    }

    fn add(&mut self, row: [f64; N], value: f64) {
        for (at, one) in row.iter().enumerate() {
            for (sum, other) in self.matrix[at].iter_mut().zip(&row[..=at]) {
                *sum += one * other;
            }
            self.right[at] += one * value;
        }
    }

    /// `None` if the samples do not tell the unknowns apart.
    fn solve(self) -> Option<[f64; N]> {
        let matrix = SMatrix::from_fn(|row, column| {
            let (row, column) = if row >= column { (row, column) } else { (column, row) };
            self.matrix[row][column]
        });
        let unknowns = Cholesky::new(matrix)?.solve(&SVector::from(self.right));
        unknowns.iter().all(|one| one.is_finite()).then(|| unknowns.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn samples(count: u32, step: f64, volts: impl Fn(f64) -> f64) -> Vec<Sample> {
        (0..count)
            .map(|at| f64::from(at) * step)
            .map(|time| Sample { time: time + 5.0, volts: volts(time + 5.0) })
            .collect()
    }

    #[test]
    fn a_sine_is_found_with_its_frequency() {
        let volts = |time: f64| 170.0 * libm::sin(TAU * 59.7 * time + 0.4) - 1.5;
        let all = samples(500, 1e-4, volts);
        let sine = fit_frequency(&all, TAU * 60.0).expect("a sine");
        assert!((sine.frequency() - 59.7).abs() < 1e-6, "{}", sine.frequency());
        assert!((sine.peak() - 170.0).abs() < 1e-6 && (sine.offset + 1.5).abs() < 1e-6);
        assert!(sine.residual < 1e-6);
        // It holds between the samples and behind them.
        assert!((sine.at(5.0612) - volts(5.0612)).abs() < 1e-4);
        let crossing = sine.next_crossing(5.02);
        assert!((5.02..5.02 + 0.5 / 59.7 + 1e-9).contains(&crossing));
        assert!((volts(crossing) + 1.5).abs() < 1e-3);
    }

    #[test]
    fn harmonics_are_part_of_the_wave_and_told_apart_from_noise() {
        let volts = |time: f64| {
            let angle = TAU * 50.3 * time + 1.1;
            325.0 * libm::sin(angle)
                + 16.0 * libm::sin(3.0 * angle - 0.4)
                + 9.0 * libm::cos(5.0 * angle)
                - 4.0 * libm::sin(7.0 * angle)
        };
        let sine = fit_frequency(&samples(600, 1e-4, volts), TAU * 50.0).expect("a sine");
        assert!((sine.frequency() - 50.3).abs() < 0.01, "{}", sine.frequency());
        assert!((sine.peak() - 325.0).abs() < 0.5 && sine.residual < 0.5, "{sine:?}");
        let off = ((16.0_f64.powi(2) + 9.0_f64.powi(2) + 4.0_f64.powi(2)) / 2.0).sqrt();
        assert!((sine.distortion() - off).abs() < 0.3, "{}", sine.distortion());
        assert!((sine.at(5.0333) - volts(5.0333)).abs() < 1.0);
    }

    #[test]
    fn too_few_samples_tell_no_sine() {
        assert_eq!(fit(&samples(2, 1e-4, |time| time), TAU * 60.0), None);
        assert_eq!(fit(&[], TAU * 60.0), None);
        // All at one moment.
        assert_eq!(fit(&samples(50, 0.0, |time| time), TAU * 60.0), None);
    }
}
