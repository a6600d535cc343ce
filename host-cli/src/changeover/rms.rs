//! Root mean square over one cycle, renewed every half cycle, and the dips that it shows
//! (IEC 61000-4-30, second-hand).

use super::sine::{Sample, Sine};
use std::collections::VecDeque;

/// Below this part of the reference a dip begins, and at this part above it ends (IEC 61000-4-30,
/// read second-hand).
const THRESHOLD: f64 = 0.90;
const HYSTERESIS: f64 = 0.02;
/// A step longer than this part of half a cycle is a hole between samples. Ours.
const HOLE: f64 = 4.0;
/// Most dips that are kept; of more, the longest.
const MOST: usize = 1000;

/// A time of too little voltage, as one-cycle values show it. Each value bears the time at which its
/// cycle begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dip {
    /// The first value below the threshold, in seconds.
    pub start: f64,
    /// The first that is high enough again; `None` if the record ends before.
    pub end: Option<f64>,
    /// The lowest value, in volts.
    pub lowest: f64,
}

/// One-cycle values, one after the other.
#[derive(Debug, Default)]
pub(super) struct HalfCycles {
    reference: Option<f64>,
    half: f64,
    next: Option<f64>,
    last: Option<Sample>,
    energy: f64,
    marks: VecDeque<(f64, f64)>,
    /// The lowest value of all, in volts.
    pub(super) lowest: Option<f64>,
    /// The highest value of all, in volts.
    pub(super) highest: Option<f64>,
    /// The first value, in volts.
    pub(super) first: Option<f64>,
    /// Dips, the first one first.
    pub(super) dips: Vec<Dip>,
    /// Shorter dips that are not kept.
    pub(super) dropped: u64,
}

impl HalfCycles {
    /// Values against a declared voltage, or against the first one measured.
    pub(super) fn against(reference: Option<f64>) -> Self {
        Self { reference, ..Self::default() }
    }

    /// The voltage that values are held against.
    pub(super) fn reference(&self) -> Option<f64> {
        self.reference.or(self.first)
    }

    /// Lays the half cycles at the crossings of a sine, from a moment on. Marks of a former one are
    /// kept only if it runs on in step.
    pub(super) fn follow(&mut self, sine: &Sine, from: f64, in_step: bool) {
        self.half = sine.period() / 2.0;
        let crossing = sine.next_crossing(from);
        match self.next {
            // The crossing that was expected, a little earlier or later.
            Some(next) if in_step => {
                let halves = ((next - crossing) / self.half).round();
                self.next = Some(crossing + halves * self.half);
            }
            _ => {
                self.marks.clear();
                self.next = Some(crossing);
            }
        }
    }

    /// Takes a sample, which stands until the next one.
    pub(super) fn push(&mut self, sample: Sample) {
        if let Some(last) = self.last {
            // Over a hole no value is known.
            if sample.time - last.time > self.half / HOLE {
                self.marks.clear();
                self.next = self.next.map(|next| {
                    let halves = ((sample.time - next) / self.half).ceil().max(0.0);
                    next + halves * self.half
                });
            }
            let power = last.volts * last.volts;
            while let Some(next) = self.next.filter(|next| *next <= sample.time) {
                if next >= last.time {
                    self.mark(next, self.energy + power * (next - last.time));
                }
                self.next = Some(next + self.half);
            }
            self.energy += power * (sample.time - last.time);
        }
        self.last = Some(sample);
    }

    fn mark(&mut self, time: f64, energy: f64) {
        self.marks.push_back((time, energy));
        if let [(start, before), _, (end, behind)] = *self.marks.make_contiguous() {
            self.marks.pop_front();
            let square = (behind - before) / (end - start);
            self.value(start, square.max(0.0).sqrt());
        }
    }

    fn value(&mut self, start: f64, volts: f64) {
        self.first.get_or_insert(volts);
        self.lowest = Some(self.lowest.map_or(volts, |lowest| lowest.min(volts)));
        self.highest = Some(self.highest.map_or(volts, |highest| highest.max(volts)));
        let Some(reference) = self.reference() else { return };
        if let Some(dip) = self.dips.last_mut().filter(|dip| dip.end.is_none()) {
            dip.lowest = dip.lowest.min(volts);
            if volts >= (THRESHOLD + HYSTERESIS) * reference {
                dip.end = Some(start);
            }
        } else if volts < THRESHOLD * reference {
            if self.dips.len() >= MOST {
                self.drop_the_shortest();
            }
            self.dips.push(Dip { start, end: None, lowest: volts });
        }
    }

    fn drop_the_shortest(&mut self) {
        let lasts = |dip: &Dip| dip.end.map_or(f64::INFINITY, |end| end - dip.start);
        let all = self.dips.iter().enumerate();
        let shortest = all.min_by(|one, other| lasts(one.1).total_cmp(&lasts(other.1)));
        if let Some((at, _)) = shortest {
            self.dips.remove(at);
            self.dropped += 1;
        }
    }
}
