//! A record held against limits: met, broken, or not to be told from it.

use super::{Channel, Event, FEWEST_SAMPLES, Outcome, Verdict, curve};
use crate::phrase::counted;

/// A time of too little voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Low {
    /// The voltage that was left, as a part of the right one.
    part: f64,
    /// The shortest and the longest that it can have lasted, in seconds.
    least: f64,
    most: f64,
}

impl Outcome {
    /// Why the record tells less than it should, if it does.
    pub fn shortcomings(&self) -> Vec<String> {
        let mut all = Vec::new();
        if !self.has_enough_samples() {
            let samples = self.samples_of_cycle();
            all.push(format!(
                "too few samples: {samples:.0} a cycle where they stand farthest apart; take at least \
                 {FEWEST_SAMPLES:.0}"
            ));
        }
        let events = || self.channels.iter().flat_map(|channel| &channel.events);
        if events().any(|event| event.end.is_none()) {
            all.push("no clean wave of 90 to 110 % comes back before the record ends".to_owned());
        }
        let most = self.channels.iter().map(|channel| channel.events.len()).max().unwrap_or(0);
        if most > 1 {
            all.push(format!("{} found; the longest one counts", counted(most, "change")));
        }
        if self.dropped > 0 {
            let short = counted(usize::try_from(self.dropped).unwrap_or(usize::MAX), "short one");
            all.push(format!("only the longest changes and dips are listed; {short} left out"));
        }
        if self.channels.iter().any(has_too_much) {
            all.push("the voltage rises above 110 %; only --curve looks at that".to_owned());
        }
        if !self.unread.is_empty() {
            all.push(format!("columns that were not looked at: {}", self.unread.join(", ")));
        }
        all
    }

    fn has_enough_samples(&self) -> bool {
        self.samples_of_cycle() >= FEWEST_SAMPLES
    }

    /// How the limits ended, the worst of them.
    pub fn verdict(&self) -> Verdict {
        let of_limit = self.request.limit.map(|limit| self.within_limit(limit / 1000.0));
        let of_curve = self.request.against_curve.then(|| self.within_curve());
        let all: Vec<Option<bool>> = of_limit.into_iter().chain(of_curve).collect();
        if all.contains(&Some(false)) {
            Verdict::Broken
        } else if all.is_empty() || all.contains(&None) {
            Verdict::NotChecked
        } else {
            Verdict::Met
        }
    }

    /// Whether the voltage was never away or too low for longer, in seconds.
    fn within_limit(&self, limit: f64) -> Option<bool> {
        const HAIR: f64 = 1e-6;
        self.all_low(|low| {
            if low.least > limit + HAIR {
                Some(false)
            } else {
                (low.most <= limit + HAIR).then_some(true)
            }
        })
    }

    /// Whether everything stays within the curve for information equipment; `None` if that cannot be
    /// told, or the voltage is another one than the curve is for.
    pub fn within_curve(&self) -> Option<bool> {
        let is_for = |channel: &Channel| {
            curve::is_for(channel.reference) && curve::is_for(channel.first.rms())
        };
        if !self.channels.iter().all(is_for) {
            return None;
        }
        let part = |channel: &Channel| channel.highest.map_or(0.0, |one| one / channel.reference);
        let highest = self.channels.iter().map(part).fold(0.0, f64::max);
        if highest > curve::MOST_OF_A_CYCLE {
            return Some(false);
        }
        let low = self.all_low(|low| {
            if curve::allows(low.part, low.most) {
                Some(true)
            } else {
                (!curve::allows(low.part, low.least)).then_some(false)
            }
        });
        // How long it was too high is not measured.
        if low == Some(true) && highest > curve::MOST_FOR_EVER { None } else { low }
    }

    /// Asks of every time of too little voltage; a record with too few samples can only break.
    fn all_low(&self, ask: impl Fn(Low) -> Option<bool>) -> Option<bool> {
        let mut all = self.has_enough_samples().then_some(true);
        for channel in &self.channels {
            for low in self.low_times(channel) {
                match ask(low) {
                    Some(false) => return Some(false),
                    Some(true) => {}
                    None => all = None,
                }
            }
        }
        all
    }

    /// Changes of wave, and dips that none of them explains.
    fn low_times(&self, channel: &Channel) -> Vec<Low> {
        let period = channel.first.period();
        let of_event = |event: &Event| {
            let part = event.volts_between / channel.reference;
            match event.gap().zip(event.longest_gap(self.longest_step)) {
                // The end may lie anywhere between two samples.
                Some((gap, most)) => Low { part, least: gap - self.longest_step, most },
                None => Low { part, least: self.last - event.start, most: f64::INFINITY },
            }
        };
        let mut all: Vec<Low> = channel.events.iter().map(of_event).collect();
        for dip in &channel.dips {
            // A value is low as soon as its cycle touches the change, and comes every half cycle.
            let end = dip.end.unwrap_or(self.last);
            let explains = |event: &&Event| {
                let event_end = event.end.unwrap_or(f64::INFINITY);
                event.start < end + period
                    && event_end > dip.start
                    && end - dip.start <= event_end - event.start + 2.0 * period
            };
            if channel.events.iter().find(explains).is_none() {
                let lasts = end - dip.start;
                let most = if dip.end.is_none() { f64::INFINITY } else { lasts };
                let least = (lasts - 1.5 * period).max(0.0);
                all.push(Low { part: dip.lowest / channel.reference, least, most });
            }
        }
        all
    }
}

fn has_too_much(channel: &Channel) -> bool {
    channel.highest.is_some_and(|highest| highest > curve::MOST_FOR_EVER * channel.reference)
}
