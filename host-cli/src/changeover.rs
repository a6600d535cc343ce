//! A changeover from one source to another, as a sampled voltage shows it.
//!
//! Two measures that are easily confused stand side by side: the time between two clean waves, from the
//! waveform itself, and the time for which the one-cycle value is too low, which is never shorter
//! than half a cycle, whatever happened. Limits are held against the first, and against the second
//! where no change of wave explains it.

pub mod curve;
mod held;
pub mod record;
mod rms;
mod sine;
mod titles;
mod watch;

pub use rms::Dip;
pub use sine::{Sample, Sine};
pub use watch::Event;

use crate::read::ReadError;
use record::{CHANNELS, Hints, Moment, Record};
use std::collections::VecDeque;
use std::io::BufRead;
use watch::Watch;

/// Samples of a cycle from which on a record tells enough: half a millisecond at 60 Hz. Ours.
pub const FEWEST_SAMPLES: f64 = 32.0;
/// Moments of a picture, at the most.
const PICTURED: usize = 20_000;

/// What a person says of the site and of the record.
#[derive(Clone, Debug, Default)]
pub struct Request {
    /// The declared voltage, root mean square.
    pub nominal: Option<f64>,
    /// The declared frequency, in hertz.
    pub frequency: Option<f64>,
    /// The longest time without voltage that is allowed, in milliseconds.
    pub limit: Option<f64>,
    /// Whether the record is held against the curve for information equipment.
    pub against_curve: bool,
    /// About the record.
    pub hints: Hints,
}

/// What one channel shows.
#[derive(Clone, Debug)]
pub struct Channel {
    /// Its name.
    pub name: String,
    /// The sine at the start.
    pub first: Sine,
    /// Changes, the first one first.
    pub events: Vec<Event>,
    /// Dips of one-cycle values.
    pub dips: Vec<Dip>,
    /// The lowest one-cycle value, in volts.
    pub lowest: Option<f64>,
    /// The highest, in volts.
    pub highest: Option<f64>,
    /// The voltage that values are held against.
    pub reference: f64,
}

impl Channel {
    /// The change with the longest time without voltage; one that does not end is the longest.
    pub fn longest(&self) -> Option<&Event> {
        let gap = |event: &Event| event.gap().unwrap_or(f64::INFINITY);
        // Of those that are as long, the first.
        self.events.iter().rev().max_by(|one, other| gap(one).total_cmp(&gap(other)))
    }
}

/// How a limit ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing was asked for, or it cannot be told.
    NotChecked,
    /// Every limit is kept.
    Met,
    /// One is not.
    Broken,
}

impl Verdict {
    /// The word in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotChecked => "not-checked",
            Self::Met => "met",
            Self::Broken => "broken",
        }
    }
}

/// What a record shows.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The channels.
    pub channels: Vec<Channel>,
    /// Moments in the record.
    pub moments: u64,
    /// From the first moment to the last, in seconds.
    pub seconds: f64,
    /// The last moment, in seconds of the record's own clock.
    pub last: f64,
    /// The longest step between two moments, in seconds.
    pub longest_step: f64,
    /// Shorter changes and dips that were not kept.
    pub dropped: u64,
    /// Columns that nobody looked at.
    pub unread: Vec<String>,
    /// Moments around the longest change, for a picture.
    pub picture: Vec<Moment>,
    /// What was asked for.
    pub request: Request,
}

/// Looks through a record.
///
/// # Errors
/// If it cannot be read, or shows no steady voltage at its start.
///
/// ```
/// use coldcheck::changeover::{Request, examine};
///
/// let volt = |at: u32| 170.0 * (f64::from(at) * 1e-4 * 60.0 * core::f64::consts::TAU).sin();
/// let mut text = String::from("time_s,volts\n");
/// for at in 0..4000 {
///     // Ten milliseconds without voltage.
///     let volts = if (2000..2100).contains(&at) { 0.0 } else { volt(at) };
///     text.push_str(&format!("{},{volts}\n", f64::from(at) * 1e-4));
/// }
/// let outcome = examine("record.csv", text.as_bytes(), &Request::default()).expect("a record");
/// let gap = outcome.channels[0].longest().and_then(|event| event.gap()).expect("a gap");
/// assert!((gap - 0.010).abs() < 0.0003);
/// ```
pub fn examine(name: &str, reader: impl BufRead, request: &Request) -> Result<Outcome, ReadError> {
    examine_with(name, reader, request, |_| ())
}

/// As [`examine`], with word of how many moments were read.
///
/// # Errors
/// As [`examine`].
pub fn examine_with(
    name: &str,
    reader: impl BufRead,
    request: &Request,
    mut told: impl FnMut(u64),
) -> Result<Outcome, ReadError> {
    let mut record = Record::open(name, reader, &request.hints)?;
    let names = record.channels();
    let watch = |_: &String| Watch::new(request.nominal, request.frequency);
    let mut watches: Vec<Watch> = names.iter().take(CHANNELS).map(watch).collect();
    let mut pictures = Pictures::default();
    let (mut first, mut last, mut longest_step) = (None, 0.0, 0.0_f64);
    while let Some(moment) = record.moment()? {
        if first.is_some() {
            longest_step = longest_step.max(moment.time - last);
        }
        first.get_or_insert(moment.time);
        last = moment.time;
        let before: usize = watches.iter().map(|watch| watch.events.len()).sum();
        for (channel, watch) in watches.iter_mut().enumerate() {
            watch.push(moment.sample(channel));
        }
        let after: usize = watches.iter().map(|watch| watch.events.len()).sum();
        pictures.push(moment, &watches, after > before);
        if record.count() % 65_536 == 0 {
            told(record.count());
        }
    }
    let (mut channels, mut dropped) = (Vec::new(), 0);
    for (mut watch, channel) in watches.into_iter().zip(names) {
        watch.finish();
        let Some(first) = watch.first else {
            return Err(no_start(name, &channel, watch.off_at_start));
        };
        let reference = watch.rms.reference().or(request.nominal).unwrap_or_else(|| first.rms());
        dropped += watch.dropped + watch.rms.dropped;
        let (lowest, highest) = (watch.rms.lowest, watch.rms.highest);
        let (events, dips) = (watch.events, watch.rms.dips);
        channels.push(Channel { name: channel, first, events, dips, lowest, highest, reference });
    }
    Ok(Outcome {
        channels,
        moments: record.count(),
        seconds: last - first.unwrap_or(last),
        last,
        longest_step,
        dropped,
        unread: record.unread(),
        picture: pictures.finish(),
        request: request.clone(),
    })
}

fn no_start(name: &str, channel: &str, off: Option<f64>) -> ReadError {
    let off = off.map_or(String::new(), |off| {
        format!(": it is {:.0} % off a clean wave", (off * 100.0).min(999.0))
    });
    ReadError::file(
        name,
        format!("{channel} shows no steady alternating voltage at its start{off}"),
        "a record that begins at least 75 ms before the changeover, with enough samples of each \
         cycle; a frequency outside 40 to 70 Hz by --frequency",
    )
}

/// Keeps the moments around the longest change.
#[derive(Debug, Default)]
struct Pictures {
    recent: VecDeque<Moment>,
    best: Vec<Moment>,
    best_gap: f64,
}

impl Pictures {
    fn push(&mut self, moment: Moment, watches: &[Watch], has_new: bool) {
        self.recent.push_back(moment);
        let period = watches.first().and_then(|watch| watch.first).map_or(0.02, |one| one.period());
        let oldest = |recent: &VecDeque<Moment>| recent.front().map_or(0.0, |one| one.time);
        let keeps = 8.0 * period;
        while self.recent.len() > PICTURED || moment.time - oldest(&self.recent) > keeps {
            self.recent.pop_front();
        }
        if !has_new {
            return;
        }
        let gaps = watches.iter().filter_map(|watch| watch.events.last()?.gap());
        let gap = gaps.fold(0.0, f64::max);
        if self.best.is_empty() || gap > self.best_gap {
            self.best_gap = gap;
            self.best = self.recent.iter().copied().collect();
        }
    }

    fn finish(self) -> Vec<Moment> {
        if self.best.is_empty() { self.recent.into_iter().collect() } else { self.best }
    }
}

impl Outcome {
    /// The channel with the longest time without voltage.
    pub fn worst(&self) -> Option<&Channel> {
        let gap = |channel: &&Channel| {
            let event = channel.longest();
            event.map_or(-1.0, |event| event.gap().unwrap_or(f64::INFINITY))
        };
        self.channels.iter().rev().max_by(|one, other| gap(one).total_cmp(&gap(other)))
    }

    /// The longest time without voltage in milliseconds, 0 if there is none; `None` if the voltage
    /// does not come back.
    pub fn gap_ms(&self) -> Option<f64> {
        let event = self.worst()?.longest();
        event.map_or(Some(0.0), |event| event.gap().map(|gap| gap * 1000.0))
    }

    /// For how long some channel's one-cycle value was too low, in milliseconds: from the first that
    /// is below to the moment at which all are back; `None` if they do not come back.
    pub fn dip_ms(&self) -> Option<f64> {
        let dips = || self.channels.iter().flat_map(|channel| &channel.dips);
        let mut all: Vec<(f64, f64)> =
            dips().map(|dip| (dip.start, dip.end.unwrap_or(f64::INFINITY))).collect();
        all.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut joined: Vec<(f64, f64)> = Vec::new();
        for (start, end) in all {
            match joined.last_mut() {
                Some(last) if start <= last.1 => last.1 = last.1.max(end),
                _ => joined.push((start, end)),
            }
        }
        let longest = joined.iter().map(|(start, end)| end - start).fold(0.0, f64::max);
        longest.is_finite().then_some(longest * 1000.0)
    }

    /// The lowest one-cycle value in percent of what it is held against.
    pub fn residual_percent(&self) -> Option<f64> {
        let percent = |channel: &Channel| Some(channel.lowest? / channel.reference * 100.0);
        self.channels.iter().filter_map(percent).reduce(f64::min)
    }

    /// Samples of a cycle, as few as the longest step leaves.
    pub fn samples_of_cycle(&self) -> f64 {
        let period = self.channels.first().map_or(0.0, |channel| channel.first.period());
        if self.longest_step > 0.0 { period / self.longest_step } else { f64::INFINITY }
    }
}
