//! What the gateway asks of a CAN controller: the traits of `embedded-can`, and a little besides.

use coldcheck_core::frame::{Frame, FrameId};
use coldcheck_core::heard::{BusError, Heard};
use coldcheck_core::plan::Milliseconds;
use coldcheck_core::units::BitsPerSecond;
use embedded_can::{ErrorKind, ExtendedId, Id, StandardId};

/// A controller that the gateway listens with. The items have defaults, so a driver that offers
/// `embedded_can::nb::Can` needs one line: `impl Port for Driver {}`.
pub(crate) trait Port: embedded_can::nb::Can {
    /// Begins to listen, at the bit rate that the plan states, without confirming frames.
    fn open(&mut self, _rate: Option<BitsPerSecond>) {}

    /// A received frame as one of the core; `None` if it is longer than classic CAN allows.
    fn frame_of(frame: &Self::Frame) -> Option<Frame> {
        frame_of(frame)
    }

    /// When the last frame came, by a clock of the controller's own; without one, the board's
    /// clock is taken.
    fn time(&self) -> Option<Milliseconds> {
        None
    }

    /// Hands on what is known of counters and states. A controller that can be asked for its
    /// counters says `heard.controller().state(BusState::of(receive_errors, transmit_errors))`.
    fn tell(&mut self, _heard: &mut Heard) {}

    /// Whether nothing can come any more.
    fn is_over(&self) -> bool {
        false
    }
}

/// A frame of the core with the traits of `embedded-can`.
#[derive(Clone, Copy)]
pub(crate) struct CanFrame(pub(crate) Frame);

impl embedded_can::Frame for CanFrame {
    fn new(id: impl Into<Id>, data: &[u8]) -> Option<Self> {
        Frame::new(of_core(id.into()), data).map(Self)
    }

    fn new_remote(id: impl Into<Id>, dlc: usize) -> Option<Self> {
        Frame::request(of_core(id.into()), u8::try_from(dlc).ok()?).map(Self)
    }

    fn is_extended(&self) -> bool {
        matches!(self.0.id(), FrameId::Extended(_))
    }

    fn is_remote_frame(&self) -> bool {
        self.0.is_request()
    }

    fn id(&self) -> Id {
        match self.0.id() {
            FrameId::Standard(id) => StandardId::new(id).unwrap_or(StandardId::MAX).into(),
            FrameId::Extended(id) => ExtendedId::new(id).unwrap_or(ExtendedId::MAX).into(),
        }
    }

    fn dlc(&self) -> usize {
        self.0.length()
    }

    fn data(&self) -> &[u8] {
        self.0.data()
    }
}

fn of_core(id: Id) -> FrameId {
    match id {
        Id::Standard(id) => FrameId::Standard(id.as_raw()),
        Id::Extended(id) => FrameId::Extended(id.as_raw()),
    }
}

/// A frame of any driver as one of the core.
fn frame_of(frame: &impl embedded_can::Frame) -> Option<Frame> {
    let id = of_core(frame.id());
    if frame.is_remote_frame() {
        Frame::request(id, u8::try_from(frame.dlc()).ok()?)
    } else {
        Frame::new(id, frame.data())
    }
}

/// What an error of a driver says about the bus.
pub(crate) fn bus_error(kind: ErrorKind) -> BusError {
    match kind {
        ErrorKind::Overrun => BusError::Overrun,
        ErrorKind::Bit => BusError::Bit,
        ErrorKind::Stuff | ErrorKind::Crc | ErrorKind::Form => BusError::Frame,
        ErrorKind::Acknowledge => BusError::Acknowledge,
        // The list is open: later kinds are taken for "something".
        ErrorKind::Other | _ => BusError::Other,
    }
}
