//! The rhythm of one address: how often signs of life come, and whether two are at it.

use crate::plan::Milliseconds;

/// The rhythm of the signs of life under one address.
///
/// Times between two of them are kept up to 65 s, but for the longest one. Where two together take
/// longer, whether two take turns cannot be told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Rhythm {
    first: u32,
    last: u32,
    longest: u32,
    /// Every second time between two signs, added up: the second one of each pair.
    seconds: u32,
    beats: u16,
    before: u16,
    shortest_pair: u16,
    longest_pair: u16,
}

impl Rhythm {
    /// None yet. All zero, so that a table of many is cleared where it lies.
    pub const NONE: Self = Self {
        first: 0,
        last: 0,
        longest: 0,
        seconds: 0,
        beats: 0,
        before: 0,
        shortest_pair: 0,
        longest_pair: 0,
    };

    /// Fewest signs of life from which a rhythm is taken.
    const FEWEST: u16 = 6;

    /// Takes note of a sign of life.
    pub fn beat(&mut self, at: Milliseconds) {
        let since = at.0.saturating_sub(self.last);
        let interval = u16::try_from(since).unwrap_or(u16::MAX);
        self.last = at.0;
        if self.beats == 0 {
            self.first = at.0;
        } else {
            self.longest = self.longest.max(since);
            // Up to the second sign this is one interval alone, which no pair is shorter than.
            let pair = self.before.saturating_add(interval);
            if self.beats == 2 || pair < self.shortest_pair {
                self.shortest_pair = pair;
            }
            self.longest_pair = self.longest_pair.max(pair);
            self.before = interval;
            if self.beats & 1 == 0 {
                self.seconds = self.seconds.wrapping_add(since);
            }
        }
        self.beats = self.beats.saturating_add(1);
    }

    /// Whether any sign of life came.
    pub const fn has_begun(&self) -> bool {
        self.beats > 0
    }

    /// The usual time between two signs of life, the longest time left out; `None` while too few
    /// came to tell.
    pub fn period(&self) -> Option<u32> {
        if self.beats < Self::FEWEST || self.beats == u16::MAX {
            return None;
        }
        let usual = self.last.saturating_sub(self.first).saturating_sub(self.longest);
        usual.checked_div(u32::from(self.beats).saturating_sub(2)).filter(|period| *period > 0)
    }

    /// Whether it stopped and began again, or stopped: silent for more than three times as long
    /// as usual, up to now.
    pub fn has_pauses(&self, now: Milliseconds) -> bool {
        let since = now.0.saturating_sub(self.last);
        self.period().is_some_and(|period| since.max(self.longest) > period.saturating_mul(3))
    }

    /// Whether two take turns: any two times together are alike, but one and the next are not, all
    /// added up. One sign that comes late, or each a little early or late, is no second unit.
    pub fn has_two_phases(&self) -> bool {
        // The last time between two has no second one if their number is odd.
        let single = if self.beats & 1 == 0 { self.before } else { 0 };
        // All of it is part of the time from the first sign to the last.
        let whole = self.last.wrapping_sub(self.first).wrapping_sub(single.into());
        let firsts = whole.wrapping_sub(self.seconds);
        // Neither of too few, nor of more than are counted.
        (Self::FEWEST..u16::MAX).contains(&self.beats)
            && self.longest_pair < u16::MAX
            && u32::from(self.longest_pair) <= quarter_more(self.shortest_pair.into())
            && firsts.max(self.seconds) > half_more(firsts.min(self.seconds))
    }

    /// Whether signs of life come twice as often, or more, as one unit sends them.
    pub fn is_doubled(&self, usual: u32) -> bool {
        // Three fifths lie well between one and a half.
        let is_short = |period: u32| period.saturating_mul(5) <= usual.saturating_mul(3);
        self.period().is_some_and(is_short)
    }
}

/// A quarter more than this, in the same unit. Nothing here is longer than half of what fits.
const fn quarter_more(time: u32) -> u32 {
    time.wrapping_add(time.wrapping_shr(2))
}

/// A half more than this.
const fn half_more(time: u32) -> u32 {
    time.wrapping_add(time.wrapping_shr(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rhythm(times: impl IntoIterator<Item = u32>) -> Rhythm {
        let mut rhythm = Rhythm::NONE;
        for at in times {
            rhythm.beat(Milliseconds(at));
        }
        rhythm
    }

    #[test]
    fn a_steady_rhythm_has_a_period_and_nothing_else() {
        let steady = rhythm((0..20).map(|beat| 300 + beat * 1000 + beat % 3 * 20));
        assert!(steady.period().is_some_and(|period| (980..=1020).contains(&period)));
        assert!(!steady.has_two_phases() && !steady.has_pauses(Milliseconds(20_500)));
        assert!(!steady.is_doubled(1000) && !steady.is_doubled(1500) && steady.is_doubled(2000));
    }

    #[test]
    fn none_yet_is_what_a_default_is() {
        assert_eq!(Rhythm::NONE, Rhythm::default());
    }

    #[test]
    fn too_few_signs_tell_nothing() {
        let few = rhythm((0..5).map(|beat| beat * 1000));
        assert_eq!(few.period(), None);
        assert!(!few.has_two_phases() && !few.has_pauses(Milliseconds(u32::MAX)));
        assert!(rhythm((0..6).map(|beat| beat * 1000)).period().is_some());
        assert_eq!(rhythm([7; 9]).period(), None);
    }

    #[test]
    fn two_that_take_turns_are_told_without_knowing_the_period() {
        let turns = rhythm((0..20).map(|beat| beat / 2 * 1000 + beat % 2 * 300));
        assert!(turns.has_two_phases());
        // Whichever comes first, and whichever last.
        for (turn, beats) in [(300, 6), (300, 7), (700, 6), (700, 7), (380, 20)] {
            let turns = (0..beats).map(|beat| beat / 2 * 1000 + beat % 2 * turn);
            assert!(rhythm(turns).has_two_phases(), "{turn} {beats}");
        }
        let even = rhythm((0..20).map(|beat| beat * 500));
        assert!(!even.has_two_phases() && even.is_doubled(1000));
    }

    #[test]
    fn one_unit_that_is_not_punctual_is_one() {
        // One sign late, at any place, also the last one; and each late by up to a fifth of the period,
        // drawn by a small generator.
        for late in 0..40 {
            for by in (10..240).step_by(10) {
                let one =
                    rhythm((0..40).map(|beat| beat * 500 + if beat == late { by } else { 0 }));
                assert!(!one.has_two_phases(), "beat {late} by {by} ms");
            }
        }
        let mut state = 7u32;
        let mut jitter = |most: u32| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 8) % most
        };
        for most in [50, 80, 100] {
            for beats in [6, 7, 12, 61] {
                for _ in 0..200 {
                    let one = rhythm((0..beats).map(|beat| beat * 500 + jitter(most)));
                    assert!(!one.has_two_phases(), "{beats} beats, up to {most} ms");
                }
            }
        }
        // Two that are not punctual either are told all the same.
        for _ in 0..200 {
            let turns = (0..40).map(|beat| beat / 2 * 500 + beat % 2 * 150 + jitter(40));
            assert!(rhythm(turns).has_two_phases());
        }
    }

    #[test]
    fn a_pause_is_told_while_it_lasts_and_after() {
        let still = rhythm((0..10).map(|beat| beat * 1000));
        assert!(!still.has_pauses(Milliseconds(12_000)) && still.has_pauses(Milliseconds(12_001)));
        let paused = rhythm((0..20).map(|beat| beat * 1000 + beat / 10 * 5000));
        assert!(paused.has_pauses(Milliseconds(24_000)));
        assert!(paused.period().is_some_and(|period| period == 1000));
        assert!(!paused.has_two_phases());
        // However long it lasts, and however few signs there are beside it.
        let long = rhythm([0, 1000, 2000, 603_000, 604_000, 605_000]);
        assert_eq!(long.period(), Some(1000));
        assert!(long.has_pauses(Milliseconds(605_500)));
    }

    #[test]
    fn one_long_wait_at_the_start_is_no_turn() {
        // The first two intervals together are longer than any other two.
        let turns = (0..20).map(|beat| 700 + beat / 2 * 1000 + beat % 2 * 700);
        assert!(!rhythm([0].into_iter().chain(turns)).has_two_phases());
        // The time before the first sign is none between two.
        let late = rhythm((0..10).map(|beat| 1_000_000 + beat * 1000));
        assert!(!late.has_pauses(Milliseconds(1_009_500)) && late.period() == Some(1000));
    }

    #[test]
    fn slow_signs_do_not_take_turns() {
        let slow = rhythm([0, 40_000, 110_000, 150_000, 220_000, 260_000, 330_000]);
        assert!(!slow.has_two_phases() && !slow.has_pauses(Milliseconds(330_000)));
        assert!(slow.period().is_some_and(|period| (50_000..54_000).contains(&period)));
    }
}
