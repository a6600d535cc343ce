//! Times that never run backwards, out of times that may.
//!
//! Lines of a log may be out of order by a little: several queues lead into it. A line that is
//! older than the one before by up to a second counts as being of the same time. One that is older
//! by more begins a new stretch, since the recorder's clock was set or two logs were put together:
//! time goes on from where it was. A recorder may also write the time since the line before, which
//! looks as if time ran backwards all the while; then it is not known what time it is.

use super::summary::Summary;
use coldcheck_core::plan::Milliseconds;

/// A step back that is put up with, in microseconds.
const LITTLE: u64 = 1_000_000;

#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Timeline {
    /// The latest time of the stretch, as written.
    latest: Option<u64>,
    /// The time since the first line, in microseconds.
    since: u64,
}

impl Timeline {
    /// The time of a line, with what is written there in microseconds.
    pub(super) fn at(&mut self, written: Option<u64>, summary: &mut Summary) -> Milliseconds {
        match (written, self.latest) {
            (None, _) => summary.without_time += 1,
            (Some(written), None) => {
                summary.with_time += 1;
                self.latest = Some(written);
            }
            (Some(written), Some(latest)) => {
                summary.with_time += 1;
                if let Some(step) = written.checked_sub(latest) {
                    self.since = self.since.saturating_add(step);
                    self.latest = Some(written);
                } else {
                    summary.steps_back += 1;
                    if latest - written > LITTLE {
                        summary.jumps_back += 1;
                        self.latest = Some(written);
                    }
                }
            }
        }
        self.now()
    }

    /// The time of the last line.
    pub(super) fn now(self) -> Milliseconds {
        Milliseconds(u32::try_from(self.since / 1000).unwrap_or(u32::MAX))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn times(written: &[u64]) -> (Vec<u32>, Summary) {
        let (mut timeline, mut summary) = (Timeline::default(), Summary::default());
        let at = written.iter().map(|one| timeline.at(Some(one * 1000), &mut summary).0);
        (at.collect(), summary)
    }

    #[test]
    fn a_step_back_stands_still_and_a_jump_back_goes_on() {
        let (at, summary) = times(&[5000, 5100, 5050, 5200, 6200]);
        assert_eq!(at, [0, 100, 100, 200, 1200]);
        assert_eq!((summary.steps_back, summary.jumps_back), (1, 0));
        let (at, summary) = times(&[5000, 9000, 100, 600]);
        assert_eq!(at, [0, 4000, 4000, 4500]);
        assert_eq!((summary.steps_back, summary.jumps_back), (1, 1));
    }

    #[test]
    fn the_largest_times_do_not_overflow() {
        let (mut timeline, mut summary) = (Timeline::default(), Summary::default());
        for written in [0, u64::MAX, 0, u64::MAX] {
            timeline.at(Some(written), &mut summary);
        }
        assert_eq!(timeline.now(), Milliseconds(u32::MAX));
    }
}
