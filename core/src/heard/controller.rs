//! What the gateway's own controller says about the bus.
//!
//! Counters and limits are those of the CAN protocol (CAN FD specification 1.0 (2012), chapter 7,
//! the same as in CAN 2.0): passive from 128 on, off from 256 on.

/// What a controller may still do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BusState {
    /// Takes full part.
    #[default]
    Active,
    /// A counter has reached 96.
    Warning,
    /// A counter has reached 128: it no longer interrupts faulty frames.
    Passive,
    /// The transmit counter has reached 256: it has left the bus.
    Off,
}

impl BusState {
    /// The state that follows from the two counters.
    pub const fn of(receive_errors: u16, transmit_errors: u16) -> Self {
        let most = if receive_errors > transmit_errors { receive_errors } else { transmit_errors };
        if transmit_errors >= 256 {
            Self::Off
        } else if most >= 128 {
            Self::Passive
        } else if most >= 96 {
            Self::Warning
        } else {
            Self::Active
        }
    }
}

/// What was wrong with a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BusError {
    /// Nobody confirmed a frame that this controller sent.
    Acknowledge,
    /// A bit on the bus was not the one that was sent.
    Bit,
    /// Six equal bits, a fixed bit or a checksum was wrong.
    Frame,
    /// Something, and the controller does not say what.
    Other,
    /// A frame was lost because nobody fetched it in time. The last, since it is not counted.
    Overrun,
}

impl BusError {
    /// Kinds that are counted: all but the last.
    const COUNTED: usize = Self::Overrun.index();

    #[allow(clippy::as_conversions, reason = "the number of a kind without data")]
    const fn index(self) -> usize {
        self as usize
    }
}

/// Why the bus is likely to be in trouble.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BusTrouble {
    /// Nobody confirms: alone on the pair.
    NobodyConfirms,
    /// Bits cannot be sent, and nothing is heard: a short, or the two wires swapped.
    NothingPasses,
    /// Something is heard, but no frame is right: another bit rate.
    NothingFits,
    /// Frames are heard, and some are destroyed: terminators, length, noise, a doubled address.
    SomeAreLost,
}

/// What the gateway's controller said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Controller {
    worst: BusState,
    /// How many errors of each kind came, in the order of [`BusError`].
    counts: [u16; BusError::COUNTED],
}

impl Controller {
    /// Takes note of a state.
    pub fn state(&mut self, state: BusState) {
        self.worst = self.worst.max(state);
    }

    /// Takes note of an error. A frame that was fetched too late says nothing about the bus.
    pub fn error(&mut self, error: BusError) {
        if let Some(count) = self.counts.get_mut(error.index()) {
            *count = count.saturating_add(1);
        }
    }

    /// How many errors of a kind there were; none of frames that were fetched too late.
    pub fn count(&self, error: BusError) -> u16 {
        self.counts.get(error.index()).copied().unwrap_or(0)
    }

    /// The worst state that was seen.
    pub const fn worst(&self) -> BusState {
        self.worst
    }

    /// Whether nothing was wrong but that nobody confirms.
    pub const fn is_unanswered(&self) -> bool {
        let [acknowledge, others @ ..] = self.counts;
        acknowledge > 0 && matches!(others, [0, 0, 0])
    }

    /// Whether anything was wrong.
    pub fn is_troubled(&self) -> bool {
        *self != Self::default()
    }

    /// What the kinds of errors point to, with how many frames came all the same.
    pub fn trouble(&self, frames: u32) -> BusTrouble {
        if frames > 0 {
            BusTrouble::SomeAreLost
        } else if self.is_unanswered() {
            BusTrouble::NobodyConfirms
        } else if self.count(BusError::Frame) > 0 {
            BusTrouble::NothingFits
        } else {
            BusTrouble::NothingPasses
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn states_follow_from_the_counters_as_the_protocol_says() {
        // CAN FD specification 1.0 (2012), chapter 7: passive at 128, off at 256; the warning at 96
        // is that of common controllers.
        for (receive, transmit, state) in [
            (0, 95, BusState::Active),
            (96, 0, BusState::Warning),
            (0, 96, BusState::Warning),
            (127, 127, BusState::Warning),
            (128, 0, BusState::Passive),
            (0, 128, BusState::Passive),
            (255, 255, BusState::Passive),
            (0, 256, BusState::Off),
        ] {
            assert_eq!(BusState::of(receive, transmit), state, "{receive} {transmit}");
        }
    }

    #[test]
    fn kinds_of_errors_point_to_causes() {
        use BusError::{Acknowledge, Bit, Frame, Other, Overrun};
        use BusTrouble::{NobodyConfirms, NothingFits, NothingPasses, SomeAreLost};
        let of = |errors: &[BusError], frames| {
            let mut controller = Controller::default();
            for error in errors {
                controller.error(*error);
            }
            (controller.is_troubled(), controller.is_unanswered(), controller.trouble(frames))
        };
        assert_eq!(of(&[Acknowledge], 0), (true, true, NobodyConfirms));
        assert_eq!(of(&[Acknowledge, Frame], 0), (true, false, NothingFits));
        assert_eq!(of(&[Acknowledge, Bit], 0), (true, false, NothingPasses));
        assert_eq!(of(&[Bit, Frame], 0), (true, false, NothingFits));
        assert_eq!(of(&[Other], 0), (true, false, NothingPasses));
        assert_eq!(of(&[Acknowledge, Other], 3), (true, false, SomeAreLost));
        assert_eq!(of(&[Overrun], 3), (false, false, SomeAreLost));
    }

    #[test]
    fn errors_are_counted_by_their_kind() {
        let mut controller = Controller::default();
        for error in [BusError::Bit, BusError::Frame, BusError::Bit, BusError::Overrun] {
            controller.error(error);
        }
        let kinds = [BusError::Acknowledge, BusError::Bit, BusError::Frame, BusError::Other];
        assert_eq!(kinds.map(|kind| controller.count(kind)), [0, 2, 1, 0]);
        assert_eq!(controller.count(BusError::Overrun), 0);
    }

    #[test]
    fn the_worst_state_is_kept() {
        let mut controller = Controller::default();
        assert!(!controller.is_troubled());
        controller.state(BusState::Warning);
        controller.state(BusState::Off);
        controller.state(BusState::Active);
        assert_eq!((controller.worst(), controller.is_troubled()), (BusState::Off, true));
    }
}
