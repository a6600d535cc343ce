//! How units make themselves known: what a frame says about its sender.

mod canopen;
mod j1939;
mod mapped;

use crate::frame::Frame;
use crate::plan::{Dialect, FrameRecord, Plan, Role};

/// What one frame says about its sender.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Sighting {
    /// The sender's address.
    pub address: u16,
    /// Whether the frame is one that comes over and over.
    pub is_beat: bool,
    /// Whether it says that the sender has just started.
    pub is_start: bool,
    /// The sender's role.
    pub role: Option<Role>,
    /// The unit count that it is set to.
    pub count: Option<u16>,
    /// Its firmware: four parts, the first in the high byte.
    pub firmware: Option<u32>,
    /// What tells it from any other.
    pub identity: Option<u64>,
    /// Whether the identity is a serial number.
    pub has_serial: bool,
}

/// Reads frames in the dialect of a plan.
#[derive(Clone, Copy, Debug)]
pub struct Listener<'p> {
    dialect: Dialect,
    map: &'p [FrameRecord],
}

impl<'p> Listener<'p> {
    /// One for the dialect that the plan demands; `None` if it demands none.
    pub fn of(plan: &Plan<'p>) -> Option<Self> {
        Some(Self { dialect: plan.demands.dialect()?, map: plan.frames })
    }

    /// What a frame says about its sender; `None` if it says nothing.
    pub fn read(&self, frame: &Frame) -> Option<Sighting> {
        if frame.is_request() {
            return None;
        }
        match self.dialect {
            Dialect::CanOpen => canopen::read(frame),
            Dialect::J1939 => j1939::read(frame),
            Dialect::FrameMap => mapped::read(frame, self.map),
        }
    }
}
