//! One channel of a record: where it leaves its sine and where it comes back, sample by sample, in
//! memory of a few cycles whatever the length of the record.

use super::rms::HalfCycles;
use super::sine::{Sample, Sine, fit, fit_frequency, fit_plain};
use core::f64::consts::{PI, TAU};
use std::collections::VecDeque;

/// Cycles that a sine is taken from, and that are kept.
const FITTED: f64 = 3.0;
const KEPT: f64 = 4.5;
/// Cycles from which the voltage that comes back is taken.
const FITTED_BEHIND: f64 = 2.0;
/// Frequencies that are tried where none is declared, in hertz.
const FREQUENCIES: std::ops::RangeInclusive<u32> = 40..=70;
/// Off by this part of the peak at least, and by this at most, is off; between them five times what
/// the steady voltage is off anyway. A tenth of the peak: common practice, no source; the others are
/// ours.
const LEAST_OFF: f64 = 0.02;
const MOST_OFF: f64 = 0.10;
const NOISES: f64 = 5.0;
/// What begins must last so long (ours), in seconds and in samples; where it begins near a crossing, half of
/// a longer time must be off. Else it was a spike.
const CONFIRMED: f64 = 0.4e-3;
const CONFIRMED_AT_LAST: f64 = 1.2e-3;
const CONFIRMED_SAMPLES: u32 = 3;
/// What is taken for a sine may be off one by this part of its peak: with room for the harmonics of
/// 8 % that public supplies may have (EN 50160, from memory).
const STEADY: f64 = 0.08;
/// What comes back must have this part of the peak before, and no more than that: otherwise the
/// voltage is there and yet too low or too high. As IEC 61000-4-30 ends a dip (second-hand).
const BACK: std::ops::RangeInclusive<f64> = 0.90..=1.10;
/// A free frequency fits better only if it leaves no more than this part of what is off. Ours.
const CLEARLY_BETTER: f64 = 0.95;
/// Most events that are kept; of more, the longest.
const MOST: usize = 1000;
/// Most samples from which the first sine is taken.
const MOST_AT_START: usize = 1 << 20;

/// A change from one source to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// The first sample that is off the sine before, in seconds.
    pub start: f64,
    /// The sample behind the last one that is off the sine after; `None` if no sine comes back.
    pub end: Option<f64>,
    /// Root mean square of the voltage between them, in volts.
    pub volts_between: f64,
    /// The sine before.
    pub before: Sine,
    /// The sine after.
    pub after: Option<Sine>,
}

impl Event {
    /// The time without either sine, in seconds; `None` if it does not end.
    pub fn gap(&self) -> Option<f64> {
        self.end.map(|end| (end - self.start).max(0.0))
    }

    /// The longest that it can be, in seconds: near a crossing the end of a sine is not seen, since it
    /// is as near to 0 as what comes. `None` if it does not end.
    pub fn longest_gap(&self, step: f64) -> Option<f64> {
        let (end, after) = (self.end?, self.after?);
        let hidden = hidden(&self.before, self.start - step) + hidden(&after, end);
        Some(self.gap()? + hidden)
    }

    /// By how much the sine after runs ahead of the one before, in degrees from -180 to 180.
    pub fn phase_jump(&self) -> Option<f64> {
        let (end, after) = (self.end?, self.after?);
        let jump = libm::fmod(after.angle(end) - self.before.angle(end), TAU);
        let half_turns = if jump > PI {
            -TAU
        } else if jump <= -PI {
            TAU
        } else {
            0.0
        };
        Some((jump + half_turns).to_degrees())
    }
}

#[derive(Debug)]
enum State {
    /// Collecting the first cycles.
    Starting,
    /// On a sine. Since when it seems to be off it: samples off, samples in all.
    Steady { sine: Sine, fit_at: f64, doubt: Option<Doubt> },
    /// Off it.
    Away { before: Sine, start: f64, energy: f64, try_at: f64 },
    /// No sine at the start.
    Lost,
}

/// A sine that came back, of which more is to be seen yet.
#[derive(Clone, Copy, Debug)]
struct Fresh {
    event: usize,
    end: f64,
}

#[derive(Clone, Copy, Debug)]
struct Doubt {
    start: f64,
    energy: f64,
    off: u32,
    all: u32,
}

/// Watches a channel.
#[derive(Debug)]
pub(super) struct Watch {
    state: State,
    declared_frequency: Option<f64>,
    recent: VecDeque<(Sample, f64)>,
    energy: f64,
    /// One-cycle values.
    pub(super) rms: HalfCycles,
    /// Changes, the first one first.
    pub(super) events: Vec<Event>,
    /// Shorter changes that are not kept.
    pub(super) dropped: u64,
    fresh: Option<Fresh>,
    /// The sine at the start.
    pub(super) first: Option<Sine>,
    /// By which part of its peak the first cycles are off a sine, where that is too much.
    pub(super) off_at_start: Option<f64>,
}

impl Watch {
    /// One for a channel of which voltage and frequency may be declared.
    pub(super) fn new(nominal: Option<f64>, frequency: Option<f64>) -> Self {
        Self {
            state: State::Starting,
            declared_frequency: frequency,
            recent: VecDeque::new(),
            energy: 0.0,
            rms: HalfCycles::against(nominal),
            events: Vec::new(),
            dropped: 0,
            fresh: None,
            first: None,
            off_at_start: None,
        }
    }

    /// Takes the next sample.
    pub(super) fn push(&mut self, sample: Sample) {
        if let Some((last, _)) = self.recent.back() {
            self.energy += last.volts * last.volts * (sample.time - last.time);
        }
        self.recent.push_back((sample, self.energy));
        match self.state {
            State::Starting => self.starting(),
            State::Steady { .. } => self.steady(sample),
            State::Away { .. } => self.away(sample),
            State::Lost => {
                self.recent.pop_front();
            }
        }
    }

    /// Ends the record. A change of which the end was not seen is kept as one.
    pub(super) fn finish(&mut self) {
        match self.state {
            State::Starting => self.begin(),
            State::Away { before, start, energy, .. } => {
                let now = self.recent.back().map_or(start, |(last, _)| last.time);
                let volts_between = mean(self.energy - energy, now - start);
                let event = Event { start, end: None, volts_between, before, after: None };
                self.note(event);
            }
            State::Steady { .. } | State::Lost => {}
        }
    }

    /// Keeps an event, and gives its place if there is room without a shorter one.
    fn note(&mut self, event: Event) -> Option<usize> {
        if self.events.len() < MOST {
            self.events.push(event);
            return self.events.len().checked_sub(1);
        }
        self.dropped += 1;
        let gap = |event: &Event| event.gap().unwrap_or(f64::INFINITY);
        let kept = self.events.iter_mut();
        let shortest = kept.min_by(|one, other| gap(one).total_cmp(&gap(other)))?;
        if gap(&event) > gap(shortest) {
            *shortest = event;
        }
        None
    }

    fn span(&self) -> f64 {
        let time = |end: Option<&(Sample, f64)>| end.map_or(0.0, |(sample, _)| sample.time);
        time(self.recent.back()) - time(self.recent.front())
    }

    fn starting(&mut self) {
        let slowest = self.declared_frequency.unwrap_or(f64::from(*FREQUENCIES.start()));
        if self.span() >= FITTED / slowest || self.recent.len() >= MOST_AT_START {
            self.begin();
        }
    }

    /// The first sine, from everything that was collected.
    fn begin(&mut self) {
        let samples: Vec<Sample> = self.recent.iter().map(|(sample, _)| *sample).collect();
        let near = if let Some(frequency) = self.declared_frequency {
            fit(&samples, TAU * frequency)
        } else {
            let tried = FREQUENCIES.filter_map(|hertz| fit_plain(&samples, TAU * f64::from(hertz)));
            tried.min_by(|one, other| one.residual.total_cmp(&other.residual))
        };
        let sine = near.and_then(|near| fit_frequency(&samples, TAU * near.frequency()));
        let span = self.span();
        let cycles = |sine: &Sine| span * sine.frequency() > 0.9 * FITTED;
        let is_steady = |sine: &Sine| sine.distortion() < STEADY * sine.peak();
        self.off_at_start = sine.filter(cycles).map(|sine| sine.distortion() / sine.peak());
        let Some(sine) = sine.filter(is_steady).filter(cycles) else {
            self.state = State::Lost;
            return;
        };
        self.first = Some(sine);
        let (Some(first), Some(last)) = (samples.first(), samples.last()) else { return };
        self.rms.follow(&sine, first.time, false);
        for sample in &samples {
            self.rms.push(*sample);
        }
        self.state = State::Steady { sine, fit_at: last.time + sine.period(), doubt: None };
        self.forget(sine.period());
    }

    fn forget(&mut self, period: f64) {
        while self.span() > KEPT * period {
            self.recent.pop_front();
        }
    }

    /// The newest samples of so many seconds.
    fn newest(&self, seconds: f64) -> Vec<Sample> {
        let Some((last, _)) = self.recent.back() else { return Vec::new() };
        let from = last.time - seconds;
        let newest = self.recent.iter().map(|(sample, _)| *sample);
        newest.filter(|sample| sample.time > from).collect()
    }

    fn steady(&mut self, sample: Sample) {
        self.rms.push(sample);
        let State::Steady { sine, fit_at, doubt } = &mut self.state else { return };
        let is_off = (sample.volts - sine.at(sample.time)).abs() > off_by(sine);
        if doubt.is_none() && is_off {
            *doubt = Some(Doubt { start: sample.time, energy: self.energy, off: 0, all: 0 });
        }
        if let Some(open) = doubt {
            open.all += 1;
            open.off += u32::from(is_off);
            if sample.time - open.start < CONFIRMED || open.all < CONFIRMED_SAMPLES {
                return;
            }
            let (open, before) = (*open, *sine);
            if 2 * open.off >= open.all {
                let try_at = open.start + FITTED_BEHIND * before.period();
                let Doubt { start, energy, .. } = open;
                self.state = State::Away { before, start, energy, try_at };
                return;
            }
            if sample.time - open.start < CONFIRMED_AT_LAST {
                return;
            }
            *doubt = None;
        }
        if sample.time >= *fit_at {
            let (omega, period) = (TAU * sine.frequency(), sine.period());
            let newest = self.newest(FITTED * period);
            if let Some(next) = fit_frequency(&newest, omega) {
                self.see_more_of(&next, sample.time - FITTED * period);
                self.rms.follow(&next, sample.time, true);
                let fit_at = sample.time + next.period();
                self.state = State::Steady { sine: next, fit_at, doubt: None };
            }
            self.forget(period);
        }
    }

    /// Two cycles tell little of a frequency: the first three behind a change tell more.
    fn see_more_of(&mut self, newer: &Sine, since: f64) {
        if let Some(fresh) = self.fresh.filter(|fresh| since >= fresh.end) {
            if let Some(event) = self.events.get_mut(fresh.event) {
                event.after = Some(*newer);
            }
            self.fresh = None;
        }
    }

    fn away(&mut self, sample: Sample) {
        self.rms.push(sample);
        let State::Away { before, start, energy, try_at } = &mut self.state else { return };
        let (before, start, energy) = (*before, *start, *energy);
        let period = before.period();
        if sample.time < *try_at {
            return;
        }
        *try_at = sample.time + period / 2.0;
        self.forget(period);
        let newest = self.newest(FITTED_BEHIND * period);
        let omega = TAU * before.frequency();
        let is_back = |sine: &Sine| {
            BACK.contains(&(sine.peak() / before.peak()))
                && sine.distortion() < (STEADY * sine.peak()).max(3.0 * before.distortion())
        };
        // The same frequency is the better guess, unless another one fits clearly better.
        let same = fit(&newest, omega).filter(is_back);
        let free = fit_frequency(&newest, omega).filter(is_back);
        let after = match (same, free) {
            (Some(same), Some(free)) if free.residual < CLEARLY_BETTER * same.residual => free,
            (Some(same), _) => same,
            (None, Some(free)) => free,
            (None, None) => return,
        };
        let off = off_by(&after);
        let mut end = None;
        for (sample, energy) in self.recent.iter().rev() {
            if (sample.volts - after.at(sample.time)).abs() > off {
                break;
            }
            end = Some((sample.time, *energy));
        }
        let (end, energy_at_end) = end.unwrap_or((sample.time, self.energy));
        // A sine that was taken from some of what lies before its return is not the one that came.
        if newest.first().is_none_or(|oldest| end > oldest.time) {
            return;
        }
        let volts_between = mean(energy_at_end - energy, end - start);
        let event = Event { start, end: Some(end), volts_between, before, after: Some(after) };
        self.fresh = self.note(event).map(|event| Fresh { event, end });
        self.rms.follow(&after, sample.time, false);
        let fit_at = sample.time + period;
        self.state = State::Steady { sine: after, fit_at, doubt: None };
    }
}

/// How long a sine may hide where it begins or ends, if a moment lies near a crossing of it.
fn hidden(sine: &Sine, time: f64) -> f64 {
    let off = off_by(sine);
    if (sine.at(time) - sine.offset).abs() > off {
        return 0.0;
    }
    2.0 * libm::asin((off / sine.peak()).min(1.0)) / TAU * sine.period()
}

/// From how many volts on a sample is off a sine.
fn off_by(sine: &Sine) -> f64 {
    let peak = sine.peak();
    (NOISES * sine.residual).clamp(LEAST_OFF * peak, MOST_OFF * peak)
}

/// Root mean square from the integral of the square.
fn mean(energy: f64, seconds: f64) -> f64 {
    if seconds > 0.0 { (energy / seconds).max(0.0).sqrt() } else { 0.0 }
}
