//! A sine through samples, by least squares: with a known frequency, or with the frequency found.

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

/// `a * sin(w t) + b * cos(w t) + offset`, time from an origin of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sine {
    origin: f64,
    omega: f64,
    a: f64,
    b: f64,
    /// What is added to the alternating part, in volts.
    pub offset: f64,
    /// What the samples are off it, as root mean square, in volts.
    pub residual: f64,
}

impl Sine {
    /// The volts at a moment.
    pub fn at(&self, time: f64) -> f64 {
        let (sin, cos) = libm::sincos(self.omega * (time - self.origin));
        self.a * sin + self.b * cos + self.offset
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

/// The sine of a known frequency that is nearest to the samples; `None` if they do not tell one.
pub(super) fn fit(samples: &[Sample], omega: f64) -> Option<Sine> {
    let origin = samples.first()?.time;
    let mut normal = Normal::<3>::empty();
    for sample in samples {
        let (sin, cos) = libm::sincos(omega * (sample.time - origin));
        normal.add([sin, cos, 1.0], sample.volts);
    }
    let [a, b, offset] = normal.solve()?;
    Some(with_residual(Sine { origin, omega, a, b, offset, residual: 0.0 }, samples))
}

/// The sine that is nearest to the samples, its frequency near the given one (four parameters, as
/// in IEEE 1057).
pub(super) fn fit_frequency(samples: &[Sample], omega: f64) -> Option<Sine> {
    const ROUNDS: usize = 8;
    let mut sine = fit(samples, omega)?;
    for _ in 0..ROUNDS {
        let mut normal = Normal::<4>::empty();
        for sample in samples {
            let time = sample.time - sine.origin;
            let (sin, cos) = libm::sincos(sine.omega * time);
            let slope = time * (sine.a * cos - sine.b * sin);
            normal.add([sin, cos, 1.0, slope], sample.volts);
        }
        let [a, b, offset, step] = normal.solve()?;
        let omega = sine.omega + step;
        // Led away by noise or by what is no sine.
        if !(0.5..2.0).contains(&(omega / sine.omega)) {
            return None;
        }
        sine = Sine { omega, a, b, offset, ..sine };
        if step.abs() < 1e-10 * omega {
            break;
        }
    }
    fit(samples, sine.omega)
}

fn with_residual(sine: Sine, samples: &[Sample]) -> Sine {
    let off = |sample: &Sample| sample.volts - sine.at(sample.time);
    let squares: f64 = samples.iter().map(|sample| off(sample) * off(sample)).sum();
    #[allow(clippy::cast_precision_loss, reason = "far fewer samples than a float counts")]
    let mean = squares / samples.len() as f64;
    Sine { residual: mean.sqrt(), ..sine }
}

/// The normal equations of a least-squares problem with few unknowns.
struct Normal<const N: usize> {
    matrix: SMatrix<f64, N, N>,
    right: SVector<f64, N>,
}

impl<const N: usize> Normal<N> {
    fn empty() -> Self {
        Self { matrix: SMatrix::zeros(), right: SVector::zeros() }
    }

    fn add(&mut self, row: [f64; N], value: f64) {
        let row = SVector::from(row);
        self.matrix += row * row.transpose();
        self.right += row * value;
    }

    /// `None` if the samples do not tell the unknowns apart.
    fn solve(self) -> Option<[f64; N]> {
        let unknowns = Cholesky::new(self.matrix)?.solve(&self.right);
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
    fn too_few_samples_tell_no_sine() {
        assert_eq!(fit(&samples(2, 1e-4, |time| time), TAU * 60.0), None);
        assert_eq!(fit(&[], TAU * 60.0), None);
        // All at one moment.
        assert_eq!(fit(&samples(50, 0.0, |time| time), TAU * 60.0), None);
    }
}
