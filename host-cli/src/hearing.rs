//! What a log tells of a group: the same listening that a gateway does, over lines of a log.

use crate::log::{Entry, Reader, Said, Summary, Times};
use crate::read::ReadError;
use coldcheck_core::heard::{Heard, Listener};
use coldcheck_core::plan::{Dialect, Milliseconds, Plan};

/// Listens to a log for a plan.
///
/// Where the log's times cannot be used, everything counts as heard at one time, after long listening:
/// who is there and what is told is known all the same, and rules about rhythm are left open. Which it is shows
/// only at the end, so both are kept.
#[derive(Debug)]
pub struct Hearing<'p> {
    reader: Reader,
    ears: Ears<'p>,
}

#[derive(Debug)]
struct Ears<'p> {
    dialect: Option<Dialect>,
    listener: Option<Listener<'p>>,
    timed: Heard,
    untimed: Heard,
}

/// Is called with the time of each line, before what the line says is heard.
pub type Before<'b> = dyn FnMut(&Heard, Milliseconds) + 'b;

impl<'p> Hearing<'p> {
    /// Nothing heard yet.
    pub fn of(plan: &Plan<'p>, reader: Reader) -> Self {
        Self {
            reader,
            ears: Ears {
                dialect: plan.demands.dialect(),
                listener: Listener::of(plan),
                timed: Heard::of(plan),
                untimed: Heard::of(plan),
            },
        }
    }

    /// The controller is known to tell of errors, so that its silence is good.
    pub fn knows_controller(&mut self) {
        self.ears.timed.controller();
        self.ears.untimed.controller();
    }

    /// Takes the next piece of the log.
    ///
    /// # Errors
    /// As [`Reader::push`].
    pub fn push(&mut self, bytes: &[u8]) -> Result<(), ReadError> {
        self.push_watched(bytes, &mut |_, _| ())
    }

    /// Takes the next piece of the log; tells the time of each line before it is heard.
    ///
    /// # Errors
    /// As [`Reader::push`].
    pub fn push_watched(&mut self, bytes: &[u8], before: &mut Before<'_>) -> Result<(), ReadError> {
        let Self { reader, ears } = self;
        reader.push(bytes, &mut |entry| {
            before(&ears.timed, entry.at);
            ears.hear(&entry);
        })
    }

    /// Ends the log.
    ///
    /// # Errors
    /// As [`Reader::finish`].
    pub fn finish(&mut self) -> Result<(), ReadError> {
        let Self { reader, ears } = self;
        reader.finish(&mut |entry| ears.hear(&entry)).map(|_| ())
    }

    /// Lets time go on without a line.
    pub fn pass(&mut self, at: Milliseconds) {
        self.ears.timed.pass(at);
    }

    /// What was heard.
    pub fn heard(&self) -> &Heard {
        match self.log().times() {
            Times::Told => &self.ears.timed,
            Times::Lacking | Times::Unsteady => &self.ears.untimed,
        }
    }

    /// What the log was like.
    pub const fn log(&self) -> &Summary {
        self.reader.summary()
    }

    /// How the units make themselves known.
    pub const fn dialect(&self) -> Option<Dialect> {
        self.ears.dialect
    }
}

impl Ears<'_> {
    fn hear(&mut self, entry: &Entry<'_>) {
        let at_once = Milliseconds(u32::MAX);
        for (heard, at) in [(&mut self.timed, entry.at), (&mut self.untimed, at_once)] {
            match entry.said {
                Said::Frame(frame) => heard.hear(at, &frame, self.listener.as_ref()),
                Said::Error(error) => {
                    heard.pass(at);
                    error.tell(heard.controller());
                }
                Said::Status(status) => status.tell(heard.controller()),
                Said::Sent(_) | Said::Other => heard.pass(at),
            }
        }
    }
}
