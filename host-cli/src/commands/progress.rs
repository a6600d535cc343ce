//! One line on a terminal that says how far a long run is.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// How long it is silent between two words.
const PAUSE: Duration = Duration::from_millis(500);

/// Says how far a run is, if anybody looks.
pub(super) struct Progress {
    /// When it began and when it last spoke; `None` if nobody looks.
    since: Option<(Instant, Instant)>,
    shown: bool,
}

impl Progress {
    /// One that is silent if it shall be, and where no person reads.
    pub(super) fn new(quiet: bool) -> Self {
        let seen = !quiet && io::stderr().is_terminal();
        let now = Instant::now();
        Self { since: seen.then_some((now, now)), shown: false }
    }

    /// Says how far it is, now and then; the words are given the seconds so far, one at the least.
    pub(super) fn show(&mut self, err: &mut dyn Write, words: impl FnOnce(u64) -> String) {
        let Some((start, last)) = &mut self.since else { return };
        if last.elapsed() < PAUSE {
            return;
        }
        *last = Instant::now();
        self.shown = true;
        // That it cannot be shown is no reason to stop.
        let _ = write!(err, "\r{} \u{1b}[K", words(start.elapsed().as_secs().max(1)));
        let _ = err.flush();
    }

    /// Takes the line away.
    pub(super) fn clear(&self, err: &mut dyn Write) {
        if self.shown {
            let _ = write!(err, "\r\u{1b}[K");
            let _ = err.flush();
        }
    }
}
